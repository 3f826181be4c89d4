"""What an `each` runs over: a list, a name, or a set computed from the energy network."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from itertools import islice

from proctool.model.document import Mapping, Node, Scalar
from proctool.model.nearest import did_you_mean
from proctool.model.procedure import Block, Entry
from proctool.model.words import Role
from proctool.network import cuts
from proctool.network.reach import Network
from proctool.resolve.fitting import passes
from proctool.resolve.scope import ENTRY_LIMIT, Job, Scope, names_in

Compute = Callable[[Network, Sequence[str], Sequence[str]], tuple[str, ...]]

COMPUTED: dict[str, Compute] = {
    "isolators_of": lambda net, parts, also: cuts.isolators_of(net, parts, also).isolators,
    "vents_of": lambda net, parts, _: cuts.vents_of(net, parts).vents,
    "gauges_of": lambda net, parts, _: _gauges_of(net, parts),
    "runners_of": cuts.runners_of,
    "keeps_of": lambda net, parts, _: cuts.keeps_of(net, parts),
}
"""Sets that the energy network answers."""


def _gauges_of(net: Network, parts: Sequence[str]) -> tuple[str, ...]:
    """What can see any of some parts, each gauge once."""
    return tuple(dict.fromkeys(gauge for part in parts for gauge in cuts.gauges_of(net, part, parts)))


def copies(job: Job, scope: Scope, entry: Entry) -> tuple[dict[str, tuple[str, ...]], ...]:
    """For each copy of an `each` the parts its names stand for; the last name turns fastest."""
    bindings: list[dict[str, tuple[str, ...]]] = [{}]
    if not all([job.bind(scope, name) for name, _ in entry.sets]):
        return ()
    also = tuple(p.id for name in entry.also_off for p in job.parts(scope, name))
    for place, (name, node) in enumerate(entry.sets):
        last = place == len(entry.sets) - 1
        only = entry.only if last else None
        grown = (
            {**binding, name.text: (part,)}
            for binding in bindings
            for part in members(job, scope.bound(binding), node, also)
            if only is None or passes(job, only, part)
        )
        bindings = list(islice(grown, ENTRY_LIMIT))
        if not job.goes_on(entry.span, entries=len(bindings)):
            return ()
    if entry.only is not None:
        passes(job, entry.only, next(iter(job.unit.parts)))  # so that a wrong word is told on every unit
    return tuple(reversed(bindings) if entry.reversed else bindings)


def given(job: Job, scope: Scope, entry: Entry, block: Block, use: Scalar) -> dict[str, tuple[str, ...]]:
    """The parts that the names of a block stand for: given by `with`, or the procedure's own `opens`."""
    said = dict(entry.given.entries) if entry.given is not None else {}
    takes = [take.text for take in block.takes]
    for key in said:
        if key.text not in takes:
            job.unknown(key, f"name that block `{block.name}` takes", takes)
    sets = {key.text: value for key, value in said.items()}
    values: dict[str, tuple[str, ...]] = {}
    for take in block.takes:
        name = take.text
        if not job.bind(Scope(), take):
            continue
        values[name] = ()
        if name in sets:
            values[name] = members(job, scope, sets[name])
        elif name == "opens" and job.procedure.opens:
            values[name] = job.opens
        else:
            own = ", or say `opens` at the head of the procedure" if name == "opens" else ""
            message = f"Block `{block.name}` takes `{name}`: give it with `with: {{{name}: …}}`{own}."
            job.fault("graph/unknown-name", message, use.span)
    return values


def members(job: Job, scope: Scope, node: Node, also: Sequence[str] = ()) -> tuple[str, ...]:
    """The parts of one set."""
    if not isinstance(node, Mapping):
        return tuple(part.id for part in job.parts(scope, node))
    if len(node.entries) != 1:
        job.fault(
            "file/schema", "A set is a list, a name, or one of its kinds with what it is of.", node.span
        )
        return ()
    ((kind, of),) = node.entries
    if kind.text == "all":
        return _all(job, of)
    if kind.text not in COMPUTED:
        known = (*COMPUTED, "all")
        job.fault(
            "graph/unknown-name",
            f"`{kind.text}` is no kind of set; known are {', '.join(known)}.{did_you_mean(kind.text, known)}",
            kind.span,
        )
        return ()
    parts = tuple(dict.fromkeys(part.id for part in job.parts(scope, of)))
    return COMPUTED[kind.text](job.network, parts, also) if parts else ()


def _all(job: Job, of: Node) -> tuple[str, ...]:
    found: list[str] = []
    for role in names_in(of):
        if role.text not in set(Role):
            job.unknown(role, "role of a part", [r.value for r in Role])
        found += (part.id for part in job.unit.parts.values() if part.role == role.text)
    return tuple(found)
