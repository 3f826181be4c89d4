"""What an `each` runs over: a list, a name, or a set computed from the energy network."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from proctool.model.document import Mapping, Node
from proctool.model.nearest import did_you_mean
from proctool.model.procedure import Entry
from proctool.model.words import Role
from proctool.network import cuts
from proctool.network.reach import Network
from proctool.resolve.fitting import passes
from proctool.resolve.scope import Job, Scope, names_in

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
        bindings = [
            {**binding, name.text: (part,)}
            for binding in bindings
            for part in members(job, scope.bound(binding), node, also)
            if only is None or passes(job, only, part)
        ]
    return tuple(reversed(bindings) if entry.reversed else bindings)


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
