"""Names looked up: every name of a procedure or block is found here, or reported here."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from collections.abc import Mapping as ReadOnly
from contextlib import contextmanager
from dataclasses import dataclass, field

from proctool.model.document import Node, Scalar, Sequence
from proctool.model.finding import Finding, Related, file_fault
from proctool.model.nearest import did_you_mean
from proctool.model.procedure import Block, LibraryFile, Procedure
from proctool.model.span import Span
from proctool.model.unit import Danger, Part, Unit
from proctool.network.kept import network_of
from proctool.resolve.unit import danger

RESERVED = frozenset({"unit", "family", "fitted", "not_fitted", "fact", "lockout"})
"""Words of `when` that no `each` or `takes` may use as a name."""

STEP_LIMIT = 5_000
"""Steps of one resolved procedure, those of every `otherwise` included."""
ENTRY_LIMIT = 10 * STEP_LIMIT
"""Entries looked at for them: those that come to nothing on this unit count too."""
DEPTH_LIMIT = 60
"""Groups, blocks and `otherwise` inside each other."""


@dataclass(frozen=True, slots=True)
class Scope:
    """What names mean at one place: those of the block's `takes` and of the `each` around it."""

    values: ReadOnly[str, tuple[str, ...]] = field(default_factory=dict)
    """For each name the parts it stands for; the name of an `each` stands for one."""
    copies: frozenset[str] = frozenset()
    """Names given by an `each`."""
    conditions: frozenset[str] = frozenset()
    blocks: tuple[str, ...] = ()
    """The blocks in use around this place."""

    def bound(self, values: ReadOnly[str, tuple[str, ...]]) -> Scope:
        """This scope with the names of an `each` bound for one copy."""
        return Scope({**self.values, **values}, self.copies | values.keys(), self.conditions, self.blocks)


@dataclass(frozen=True, slots=True)
class Known:
    """Names that some unit or base of the library has: one that none of them has is a slip of the pen."""

    parts: frozenset[str] = frozenset()
    properties: frozenset[str] = frozenset()
    units: frozenset[str] = frozenset()
    families: frozenset[str] = frozenset()
    every_family: bool = True
    """False where some unit could not be put on its base: then a family may be there and unseen."""
    facts: frozenset[str] = frozenset()


class Job:
    """One procedure being resolved for one unit: what is known, and what was found wrong."""

    def __init__(
        self,
        library: LibraryFile,
        blocks: ReadOnly[str, Block],
        procedure: Procedure,
        unit: Unit,
        known: Known,
    ) -> None:
        self.library, self.blocks, self.procedure, self.unit = library, blocks, procedure, unit
        self.network = network_of(unit)
        self.known = known
        self.findings: list[Finding] = []
        self.conditions = {k.text: v for k, v in (*library.conditions, *procedure.conditions)}
        self.dangers: dict[str, Danger] = {
            key.text: found
            for group in (library.dangers, procedure.dangers)
            if group is not None
            for key, value in group
            if (found := danger(value)) is not None
        }
        self.opens: tuple[str, ...] = ()
        self.used: dict[str, None] = {}
        """Tools and supplies that steps use, in order."""
        self.steps = self.entries = self.depth = 0
        self.full = False
        """Whether a limit was met: what follows is not looked at."""

    def fault(
        self,
        rule: str,
        message: str,
        span: Span,
        *,
        help: str | None = None,
        related: tuple[Related, ...] = (),
    ) -> None:
        """Note a fault of this procedure on this unit."""
        self.findings.append(file_fault(rule, message, span, help=help, related=related))

    def unknown(
        self,
        name: Scalar,
        what: str,
        known: Iterable[str],
        *,
        help: str | None = None,
        related: tuple[Related, ...] = (),
    ) -> None:
        """Note a name that does not exist, with the nearest that does; `help` where none is near."""
        hint = did_you_mean(name.text, known)
        message = f"`{name.text}` is no {what}.{hint}"
        self.fault("graph/unknown-name", message, name.span, help=None if hint else help, related=related)

    def goes_on(self, span: Span, *, entries: int = 0, steps: int = 0) -> bool:
        """Count entries and steps; False, noted once, where there are more of them than the limits allow."""
        self.entries += entries
        self.steps += steps
        if self.full:
            return False
        if self.steps > STEP_LIMIT or self.entries > ENTRY_LIMIT:
            most, what = (STEP_LIMIT, "steps") if self.steps > STEP_LIMIT else (ENTRY_LIMIT, "entries")
            message = f"More than {most:,} {what} come of this procedure on this unit."
            self.fault("file/limit", message, span, help="Blocks or the copies of `each` multiply here.")
            self.full = True
        return not self.full

    @contextmanager
    def inside(self, span: Span) -> Iterator[bool]:
        """One level deeper; gives False, noted once, where it is too deep."""
        self.depth += 1
        if self.depth > DEPTH_LIMIT and not self.full:
            message = f"Groups, blocks and `otherwise` lie more than {DEPTH_LIMIT} levels deep here."
            self.fault("file/limit", message, span, help="Take an inner group out into steps of its own.")
            self.full = True
        try:
            yield not self.full
        finally:
            self.depth -= 1

    def find(self, scope: Scope, name: str) -> tuple[str, ...] | None:
        """The parts a name stands for: of an `each` or `takes`, a part's id, or a tag; None for none."""
        if name in scope.values:
            return scope.values[name]
        if name in self.unit.parts:
            return (name,)
        tagged = self.unit.tagged(name)
        return (tagged.id,) if tagged is not None else None

    def parts(self, scope: Scope, node: Node | None) -> tuple[Part, ...]:
        """The parts that a name or a list of names stands for; unknown names are noted."""
        found: list[Part] = []
        for name in names_in(node):
            ids = self.find(scope, name.text)
            if ids is None:
                self.unknown(name, "part of this unit", (*self.unit.parts, *scope.values))
            else:
                found += (self.unit.parts[i] for i in ids)
        return tuple(found)

    def bind(self, scope: Scope, name: Scalar) -> bool:
        """Whether a new name of an `each` or `takes` hides nothing."""
        text = name.text
        hidden = (
            "a word of `when`"
            if text in RESERVED
            else "a part of this unit"
            if text in self.unit.parts or self.unit.tagged(text) is not None
            else "a name given around it"
            if text in scope.values
            else "a fact of the unit"
            if text in self.unit.facts
            else "a thing that the library names"
            if text in {*self.library.tools, *self.library.supplies, *self.library.ppe, *self.library.people}
            else "a condition"
            if text in self.conditions
            else None
        )
        if hidden:
            self.fault("graph/hidden-name", f"`{text}` hides {hidden}. Choose another name.", name.span)
        return hidden is None


def names_in(node: Node | None) -> tuple[Scalar, ...]:
    """The texts of a text or a list of texts."""
    items = node.items if isinstance(node, Sequence) else (node,)
    return tuple(item for item in items if isinstance(item, Scalar))


def kind_of(part: Part) -> str:
    """What a part is, with its article: its device where it has one, else its role."""
    word = (part.device or part.role).value.replace("_", " ")
    return f"an {word}" if word[0] in "aeiou" else f"a {word}"
