"""Flat problems as facts for the solver.

A unit and a procedure come as plain dicts, as YAML files would hold them.  A procedure is *flat* if no failed
check leads to steps of its own: failing ends the job (``end_here``) or is passed over (``continue``).
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any

Words = str | list[str]
Act = tuple[str, Any]

POSITIONS = {
    "valve": {"open": "on", "part_open": "part", "closed": "off"},
    "plug": {"plugged_in": "on", "unplugged": "off"},
    "breaker": {"on": "on", "off": "off"},
    "disconnector": {"on": "on", "off": "off"},
    "blind": {"removed": "on", "fitted": "off"},
}
# fmt: off
EFFECTS = {  # acts that change the unit, or that a rule of the proof judges
    "isolate", "throttle", "connect", "restore", "lock", "unlock", "vent", "shut", "discharge", "dose",
    "flush", "verify_zero", "open", "uncover", "cover", "inspect_seal", "new_seal", "close", "leak_check",
    "bleed", "stop", "start", "try_start", "tighten", "loosen", "adjust"}
OTHER_ACTS = {"prove_tester", "tell", "fit", "remove", "clean", "lubricate"}
# fmt: on


class NotFlatError(ValueError):
    """The procedure has ways back or steps of an ``otherwise``, which the encoding leaves out."""


@dataclass(frozen=True, slots=True)
class Step:
    """One step of a flat procedure."""

    id: str
    acts: tuple[Act, ...] = ()
    needs: tuple[tuple[str, str], ...] = ()
    makes: tuple[tuple[str, str], ...] = ()
    before: frozenset[str] = frozenset()
    """Ids of steps that come first, all that is needed for the order."""
    failing: str = ""
    """Empty if it cannot fail; ``ends`` if failing ends the job; ``passed_over`` if the job goes on."""


@dataclass(frozen=True, slots=True)
class Problem:
    """A unit, and the steps of a procedure with the order among them."""

    unit: Mapping[str, Any]
    steps: tuple[Step, ...]
    conditions: Mapping[str, list[str]] = field(default_factory=dict)
    starts: Mapping[str, Words] = field(default_factory=dict)
    leaves: Mapping[str, Words] = field(default_factory=dict)


def listed(value: Words) -> list[str]:
    """One word or a list of words, as a list."""
    return [value] if isinstance(value, str) else list(value)


# -- reading a procedure -------------------------------------------------------------------------------


def problem(unit: Mapping[str, Any], procedure: Mapping[str, Any]) -> Problem:
    """The flat problem of a unit and a procedure; raises NotFlatError."""
    judged = {p for p, said in unit["parts"].items() if said["role"] == "gauge" and "usual" in said}
    steps: list[Step] = []
    _read(procedure["steps"], "", frozenset(), None, judged, steps, free=False)
    return Problem(
        unit,
        tuple(steps),
        procedure.get("conditions", {}),
        procedure.get("starts", {}),
        procedure.get("leaves", {}),
    )


def _read(
    entries: Iterable[Mapping[str, Any]],
    prefix: str,
    outside: frozenset[str],
    otherwise: Mapping[str, Any] | None,
    judged: set[str],
    out: list[Step],
    *,
    free: bool,
) -> set[str]:
    """Append the steps of one list; gives their ids.

    An entry follows all entries above it, or those of its ``after``; in an ``any_order`` it follows none.
    An entry that holds no step hands its own predecessors on.
    """
    ends: dict[str, frozenset[str]] = {}  # entry -> what whoever follows it must wait for
    for entry in entries:
        name = entry["id"]
        named = listed(entry["after"]) if "after" in entry else [] if free else list(ends)
        ahead = outside.union(*(ends[n] for n in named))
        recovery = entry.get("otherwise", otherwise)
        inner = entry.get("steps", entry.get("any_order"))
        if inner is not None:
            own = _read(inner, f"{prefix}{name}/", ahead, recovery, judged, out, free="any_order" in entry)
        else:
            out.append(_step(entry, prefix + name, ahead, recovery, judged))
            own = {prefix + name}
        ends[name] = ahead | own
    return set().union(*ends.values()) - outside if ends else set()


def _step(
    entry: Mapping[str, Any],
    name: str,
    ahead: frozenset[str],
    otherwise: Mapping[str, Any] | None,
    judged: set[str],
) -> Step:
    acts = tuple(_acts(entry))
    needs = tuple((part, word) for part, words in entry.get("needs", {}).items() for word in listed(words))
    failing = _failing(otherwise) if _may_fail(entry, acts, judged) else ""
    return Step(name, acts, needs, tuple(entry.get("makes", {}).items()), ahead, failing)


def _acts(entry: Mapping[str, Any]) -> Iterator[Act]:
    for said in entry.get("acts", [entry]):
        for verb, what in said.items():
            if verb in EFFECTS:
                yield from ((verb, each) for each in (what if isinstance(what, list) else [what]))
            elif verb in OTHER_ACTS:
                yield "other", ""


def _may_fail(entry: Mapping[str, Any], acts: tuple[Act, ...], judged: set[str]) -> bool:
    """Checks may fail, readings that are judged too; an untold step is a check if it only verifies."""
    if "do" in entry or "wait" in entry:
        return False
    if "read" in entry:
        what = entry["read"]
        return "within" in (what if isinstance(what, dict) else entry) or what in judged
    return "check" in entry or (bool(acts) and all(verb in {"verify_zero", "leak_check"} for verb, _ in acts))


def _failing(otherwise: Mapping[str, Any] | None) -> str:
    if otherwise is None:
        return "ends"
    if otherwise.get("steps") or "back_to" in otherwise:
        raise NotFlatError("an otherwise with steps of its own, or with a way back")
    return "passed_over" if "continue" in otherwise else "ends"


# -- facts -----------------------------------------------------------------------------------------------


def facts(asked: Problem) -> str:
    """The problem as a logic program without rules."""
    parts = asked.unit["parts"]
    lines = [*_unit(asked.unit), *_steps(asked)]
    for name, values in asked.conditions.items():
        lines.append(_fact("condition", name, values[0]))
    for predicate, said in (("begins", asked.starts), ("leaves", asked.leaves)):
        lines += [
            _fact(predicate, part, state(parts[part], word))
            for part, words in said.items()
            for word in listed(words)
        ]
    return "\n".join(lines)


def state(part: Mapping[str, Any], word: str) -> str:
    """A word said of a part, as the one name that the rules have for this state."""
    if part["role"] == "isolator":
        return POSITIONS[part["device"]].get(word, word)
    if part["role"] == "vent":
        return {"open": "letting_out", "shut": "shut_off"}.get(word, word)
    return {"open": "opened", "shut": "shut"}.get(word, word)


def _fact(predicate: str, *values: str | int) -> str:
    said = ", ".join(str(v) if isinstance(v, int) else '"' + v.replace('"', '\\"') + '"' for v in values)
    return f"{predicate}({said})."


def _unit(unit: Mapping[str, Any]) -> Iterator[str]:
    for energy, said in unit["energies"].items():
        yield _fact("form", energy, said["form"])
        yield _fact("depth", energy, said.get("isolation", "single"))
        if said.get("brought") == "true":
            yield _fact("brought", energy)
    for name, said in unit["lines"].items():
        yield from (_fact("carries", name, energy) for energy in listed(said["energy"]))
        yield from (_fact("path", name, place, part) for place, part in enumerate(said["path"]))
    if unit.get("lockout") == "exclusive_control":
        yield "all_excused."
    for part, said in unit["parts"].items():
        yield from _part(part, said)


def _part(part: str, said: Mapping[str, Any]) -> Iterator[str]:
    role = said["role"]
    yield _fact("role", part, role)
    if role == "source" or (role == "outlet" and said.get("feeds_back") != "false"):
        yield _fact("feeds", part)
    if role == "isolator":
        yield _fact("normal", part, state(said, said["normal"]) if "normal" in said else "on")
    elif role == "vent":
        yield _fact("normal", part, state(said, said.get("normal", "shut")))
    elif "runs" in said:
        yield _fact("normal", part, said.get("normal", "running"))
        yield _fact("runs", part, said["runs"])
    if role == "gauge":
        yield _fact("reads", part, said["energy"])
        yield _fact("tester", part) if said["at"] == "any" else _fact("at", part, said["at"])
    for key in ("throttles", "exclusive_control", "cover", "traps_air"):
        if said.get(key) == "true":
            yield _fact(key, part)
    for key in ("seal", "tighten"):
        if key in said:
            yield _fact(key, part)
    for key in ("keeps", "rebuilds", "near"):
        yield from (_fact(key, part, each) for each in listed(said.get(key, [])))


def _steps(asked: Problem) -> Iterator[str]:
    """The steps, each with the points in time that its place in the order leaves it.

    Time runs in acts: a step fills as many points as it has acts, at least one.
    """
    acts = {step.id: [a for a in step.acts if a[0] != "other"] or [("none", "")] for step in asked.steps}
    ahead = _all_before(asked.steps)
    behind = {s: {t for t in ahead if s in ahead[t]} for s in ahead}
    last = sum(map(len, acts.values()))
    yield f"last({last})."
    for step in asked.steps:
        own = len(acts[step.id])
        yield _fact("step", step.id, own)
        first = 1 + sum(len(acts[s]) for s in ahead[step.id])
        latest = last + 1 - own - sum(len(acts[s]) for s in behind[step.id])
        yield from (_fact("window", step.id, point) for point in range(first, latest + 1))
        yield from (_fact("before", earlier, step.id) for earlier in sorted(step.before))
        if step.failing:
            yield _fact("may_fail", step.id, step.failing)
        for number, (verb, what) in enumerate(acts[step.id]):
            yield from _act(step.id, number, verb, what)
        for name, word in step.needs:
            if name in asked.conditions:
                yield _fact("needs_value", step.id, name, word)
            else:
                yield _fact("needs", step.id, name, state(asked.unit["parts"][name], word))
        yield from (_fact("makes", step.id, name, value) for name, value in step.makes)


def _act(step: str, number: int, verb: str, what: Any) -> Iterator[str]:
    part = what["part"] if isinstance(what, dict) else what
    yield _fact("act", step, number, verb, part)
    if verb == "verify_zero":
        yield _fact("act_by", step, number, what["by"])
    if verb == "dose":
        yield _fact("act_energy", step, number, what["energy"])


def _all_before(steps: tuple[Step, ...]) -> dict[str, set[str]]:
    """For each step all that come before it in every order."""
    ahead: dict[str, set[str]] = {step.id: set(step.before) for step in steps}
    for middle, earlier in ahead.items():  # after a round, all ways through the steps so far are known
        for known in ahead.values():
            if middle in known:
                known.update(earlier)
    return ahead
