"""Walk every order of a procedure, one by one, and collect what goes wrong.

``walk`` is the oracle: it goes depth-first through all orders that the step graph allows, lets every
check fail up to twice, does each act on a model of the unit and notes which rule breaks at which step.
"""

from __future__ import annotations

import sys
from dataclasses import replace
from typing import Any

from . import state as st
from .course import Act, Course, Place, Step, count_orders, count_walks
from .plant import Plant, listed
from .state import State

__all__ = ["Finding", "Walker", "count_orders", "count_walks", "walk"]

Finding = tuple[str, str | None, str | None]  # rule, step, part
Broken = set[tuple[str, str]]  # rule, part
Trace = tuple[tuple[str, bool], ...]  # steps and whether each failed

NO_EFFECT_WHEN_FAILED = {"verify_zero", "leak_check", "discharge", "flush", "inspect_seal", "new_seal"}


def walk(
    unit: dict[str, Any], procedure: dict[str, Any], max_failures: int = 2, prune: bool = True
) -> set[Finding]:
    """All (rule, step, part) that any order of the procedure breaks.

    ``prune`` leaves out only what is exactly repeated: the same place in the procedure, with the same
    failures so far, and the same state of the unit.
    """
    return set(Walker(unit, procedure, max_failures, prune).run())


class Walker:
    """One procedure on one unit."""

    def __init__(
        self, unit: dict[str, Any], procedure: dict[str, Any], max_failures: int = 2, prune: bool = True
    ) -> None:
        self.plant = Plant(unit)
        self.course = Course(unit, procedure, max_failures)
        self.leaves = {p: listed(w) for p, w in procedure.get("leaves", {}).items()}
        self.start = st.first_state(self.plant, procedure)
        self.prune = prune
        self.been: set[tuple[Place, State]] = set()
        self.found: dict[Finding, Trace] = {}

    def run(self) -> dict[Finding, Trace]:
        """Every finding with the first walk that led to it."""
        sys.setrecursionlimit(max(sys.getrecursionlimit(), 20_000))
        self._explore(self.course.start(), self.start, ())
        return self.found

    def _explore(self, place: Place, state: State, trace: Trace) -> None:
        if self.prune:
            if (place, state) in self.been:
                return
            self.been.add((place, state))
        for move in self.course.moves(place):
            if move.kind == "end":
                self._note(None, at_end(self.plant, state, self.leaves), trace)
            elif move.kind == "end_here":
                assert move.step is not None
                self._note(move.step.path, at_end_here(self.plant, state), trace)
            elif move.kind == "go":
                assert move.place is not None
                self._explore(move.place, state, trace)
            else:
                assert move.step is not None and move.place is not None
                after, broken = do_step(self.plant, state, move.step, move.failed)
                further = (*trace, (move.step.path, move.failed))
                self._note(move.step.path, broken, further)
                self._explore(move.place, after, further)

    def _note(self, step: str | None, broken: Broken, trace: Trace) -> None:
        for rule, part in sorted(broken):
            self.found.setdefault((rule, step, part), trace)


def do_step(plant: Plant, state: State, step: Step, failed: bool) -> tuple[State, Broken]:
    """A whole step: its needs, its acts one after the other, what it makes true."""
    broken: Broken = {
        ("graph/need-unmet", part) for part, word in step.needs if not holds(plant, state, part, word)
    }
    for act in step.acts:
        state, more = do_act(plant, state, act, failed)
        broken |= more
    if not failed:
        conditions = {**dict(state.conditions), **step.makes}
        state = replace(state, conditions=frozenset(conditions.items()))
    return state, broken


def holds(plant: Plant, state: State, part: str, word: str) -> bool:
    """Whether a word of ``needs`` is true."""
    if part not in plant.parts:
        return (part, word) in state.conditions
    role = plant.role(part)
    if word == "locked":
        return part in state.locked
    if role == "isolator":
        return state.position(part) == plant.position(part, word)
    if word in ("open", "shut"):
        stands_open = part in (state.vented if role == "vent" else state.opened)
        return stands_open == (word == "open")
    charges = [st.charge(plant, state, part, e) for e in plant.energies(part)]
    if word == "live":
        return "live" in charges
    if word == "relieved":
        return all(c == "zero" for c in charges)
    if word == "proven":
        return (
            bool(charges)
            and all(c == "zero" for c in charges)
            and all(  # none: not verified
                st.proven(plant, state, part, e) for e in plant.energies(part)
            )
        )
    if word == "leak_checked":
        return part not in state.owed
    if word in ("running", "stopped"):
        return (part in state.running) == (word == "running")
    raise ValueError(f"{word} is no word for {part}")


# -- acts ----------------------------------------------------------------------------------------------


def do_act(plant: Plant, state: State, act: Act, failed: bool) -> tuple[State, Broken]:
    """One act with its reports, and what is seen after it."""
    verb, what = act
    after, broken = effect(plant, state, verb, what)
    if failed and verb in NO_EFFECT_WHEN_FAILED:
        after = state
    after = st.settle(plant, after)
    return after, broken | compare(plant, state, after, verb, what)


def effect(plant: Plant, state: State, verb: str, what: Any) -> tuple[State, Broken]:
    """What an act changes and what is reported on it; ``state`` is that of before the act."""
    if verb in ("isolate", "throttle", "connect", "restore"):
        return _move(plant, state, verb, what)
    if verb == "lock":
        broken = {("energy/locked-not-off", what)} if what not in state.off else set()
        return replace(state, locked=state.locked | {what}), broken
    if verb == "unlock":
        return replace(state, locked=state.locked - {what}), set()
    if verb == "vent":
        return replace(state, vented=state.vented | {what}), set()
    if verb == "shut":
        return replace(state, vented=state.vented - {what}), set()
    if verb in ("discharge", "flush"):
        return _discharge(plant, state, what, chemicals_only=verb == "flush")
    if verb == "dose":
        return _dose(plant, state, what["part"], what["energy"]), set()
    if verb == "verify_zero":
        return _verify(plant, state, what["part"], what["by"])
    if verb == "open":
        return st.opened(plant, state, what), _opening(plant, state, what)
    if verb == "uncover":
        live = any(st.charge(plant, state, what, e) == "live" for e in plant.electricity(what))
        return (
            replace(state, uncovered=state.uncovered | {what}),
            {("energy/uncovered-live", what)} if live else set(),
        )
    if verb == "cover":
        return replace(state, uncovered=state.uncovered - {what}), set()
    if verb in ("inspect_seal", "new_seal"):
        return replace(state, unseen=state.unseen - {what}), set()
    if verb == "close":
        broken = (
            {("leak/seal-not-inspected", what)} if what in state.opened and what in state.unseen else set()
        )
        return replace(state, opened=state.opened - {what}), broken
    if verb == "leak_check":
        return _leak_check(plant, state, what)
    if verb == "bleed":
        live = any(st.charge(plant, state, what, e) == "live" for e in plant.fluids(what))
        return replace(state, air=state.air - {what}), set() if live else {("leak/bled-dry", what)}
    if verb in ("stop", "start", "try_start"):
        return _drive(plant, state, verb, what)
    if verb in ("tighten", "loosen", "adjust"):
        return _work_on(plant, state, verb, what)
    return state, set()  # prove_tester, tell, fit, remove, clean, lubricate


def _move(plant: Plant, state: State, verb: str, isolator: str) -> tuple[State, Broken]:
    position = {"isolate": "off", "throttle": "part", "connect": "on"}.get(verb) or plant.normal(isolator)
    broken: Broken = set()
    if verb != "isolate" and isolator in state.locked and position != state.position(isolator):
        broken.add(("energy/moved-locked", isolator))
    return state.moved(isolator, position), broken


def _discharge(plant: Plant, state: State, holder: str, chemicals_only: bool) -> tuple[State, Broken]:
    broken: Broken = set()
    gone: set[st.Pair] = set()
    for energy in plant.energies(holder):
        if not plant.keeps(holder, energy) or plant.by_exit(holder, energy):
            continue
        if chemicals_only and plant.forms[energy] != "chemical":
            continue
        if (holder, energy) in state.live:
            broken.add(("energy/discharged-live", holder))
            continue
        reached = plant.reach(energy, {holder}, state.off)
        gone |= {(h, energy) for h in plant.holders(energy) if h in reached}
    return replace(state, discharged=state.discharged | gone), broken


def _dose(plant: Plant, state: State, holder: str, energy: str) -> State:
    reached = plant.reach(energy, {holder}, state.off)
    charged = {(h, energy) for h in plant.holders(energy) if h in reached}
    return replace(
        state, trapped=state.trapped | (charged - state.live), discharged=state.discharged - charged
    )


def _verify(plant: Plant, state: State, holder: str, by: str) -> tuple[State, Broken]:
    broken: Broken = set()
    shown: set[st.Pair] = set()
    if plant.role(by) == "vent":
        energies = [e for e in plant.fluids(holder) if by in plant.next[e]]
        seen = {
            e: by in state.vented and by in plant.reach(e, {holder}, state.off, sure=True) for e in energies
        }
    else:
        energies = [plant.parts[by]["energy"]]
        seen = {e: _gauge_sees(plant, state, holder, by, e) for e in energies}
    if not energies:
        broken.add(("energy/verified-blind", holder))
    for energy in energies:
        if not seen[energy]:
            broken.add(("energy/verified-blind", holder))
        elif st.charge(plant, state, holder, energy) != "zero":
            broken.add(("energy/verified-charged", holder))
        else:
            shown.add((holder, energy))
    return replace(state, proven=state.proven | shown), broken


def _gauge_sees(plant: Plant, state: State, holder: str, gauge: str, energy: str) -> bool:
    if holder not in plant.next[energy]:
        return False
    at = plant.parts[gauge].get("at", "any")
    if at == "any":
        return not (plant.says(holder, "cover") and holder not in state.uncovered)
    return at in plant.reach(energy, {holder}, state.off, sure=True)


def _opening(plant: Plant, state: State, part: str) -> Broken:
    broken: Broken = set()
    for energy in plant.energies(part):
        charge = st.charge(plant, state, part, energy)
        if charge == "live":
            broken.add(("energy/opened-live", part))
        elif charge == "trapped":
            broken.add(("energy/opened-charged", part))
        elif not st.proven(plant, state, part, energy):
            broken.add(("energy/opened-unproven", part))
    if any(plant.forms[e] in ("liquid_pressure", "steam") for e in plant.energies(part)):
        for near in listed(plant.parts[part].get("near")):
            if any(st.charge(plant, state, near, e) != "zero" for e in plant.electricity(near)):
                broken.add(("energy/wet-near-live", near))
    return broken


def _leak_check(plant: Plant, state: State, holder: str) -> tuple[State, Broken]:
    fluids = st.feedable(plant, holder)
    if holder in state.opened:
        return state, {("leak/checked-open", holder)}
    for energy in fluids:
        away = plant.reach(energy, {holder}, state.off) & st.exits(plant, state, energy)
        if st.charge(plant, state, holder, energy) != "live" or away:
            return state, {("leak/checked-dry", holder)}
    if all(st.is_full(plant, state, holder, e) for e in fluids):
        state = replace(state, owed=state.owed - {holder})
    return state, set()


def _drive(plant: Plant, state: State, verb: str, part: str) -> tuple[State, Broken]:
    live = st.charge(plant, state, part, plant.parts[part]["runs"]) == "live"
    if verb == "stop":
        return replace(state, running=state.running - {part}), set()
    if verb == "start":
        return replace(state, running=state.running | {part}), set() if live else {
            ("energy/started-dead", part)
        }
    return state, {("energy/tried-live", part)} if live else set()


def _work_on(plant: Plant, state: State, verb: str, part: str) -> tuple[State, Broken]:
    shut = part not in state.opened
    pressed = any(st.charge(plant, state, part, e) != "zero" for e in plant.fluids(part))
    broken = {("leak/worked-under-pressure", part)} if shut and pressed else set()
    if verb == "tighten" and shut:
        state = replace(state, untight=state.untight - {part})
    if verb == "loosen" and "tighten" in plant.parts[part]:
        state = replace(state, untight=state.untight | {part})
    return state, broken


# -- what is seen after every act ----------------------------------------------------------------------


def compare(plant: Plant, before: State, after: State, verb: str, what: Any) -> Broken:
    """The rules that look at the unit before and after an act."""
    return (
        _risen(plant, before, after)
        | _filled(plant, before, after)
        | _unsecured(plant, before, after, verb, what)
    )


def _rose(plant: Plant, before: State, after: State, part: str, energy: str) -> bool:
    return (
        st.charge(plant, before, part, energy) == "zero" and st.charge(plant, after, part, energy) != "zero"
    )


def _became_live(plant: Plant, before: State, after: State, part: str, energy: str) -> bool:
    return (
        st.charge(plant, before, part, energy) != "live" and st.charge(plant, after, part, energy) == "live"
    )


def _let_in(plant: Plant, before: State, after: State, part: str, energy: str) -> bool:
    """Whether the act joined the part, at zero until then, to a holder that was charged before it."""
    if st.charge(plant, before, part, energy) != "zero":
        return False
    beforehand = plant.reach(energy, {part}, before.off)
    now = plant.reach(energy, {part}, after.off)
    holders = {h for h, e in before.live | before.trapped if e == energy}
    return any(h in now and h not in beforehand for h in holders)


def _risen(plant: Plant, before: State, after: State) -> Broken:
    broken: Broken = set()
    for part in after.opened:
        if any(_rose(plant, before, after, part, e) for e in plant.energies(part)):
            broken.add(("energy/energised-open", part))
        if part in before.opened and any(_let_in(plant, before, after, part, e) for e in plant.fluids(part)):
            broken.add(("energy/energised-open", part))
    for part in after.uncovered:
        if any(_rose(plant, before, after, part, e) for e in plant.electricity(part)):
            broken.add(("energy/energised-open", part))
    for part in after.running:
        drive = plant.parts[part]["runs"]
        if _became_live(plant, before, after, part, drive):
            broken.add(("energy/started-by-restoring", part))
        if _became_live(plant, after, before, part, drive):  # the other way round: it was live and is not
            broken.add(("energy/cut-while-running", part))
    for holder in after.owed:
        for near in listed(plant.parts[holder].get("near")):
            if any(_rose(plant, before, after, near, e) for e in plant.electricity(near)):
                broken.add(("leak/power-before-check", near))
    for part in after.untight - after.opened:
        if plant.is_holder(part) and any(_rose(plant, before, after, part, e) for e in plant.fluids(part)):
            broken.add(("leak/not-tightened", part))
    return broken


def _filled(plant: Plant, before: State, after: State) -> Broken:
    broken: Broken = set()
    for holder in after.owed:
        for energy in plant.fluids(holder):
            if (
                plant.throttled(energy)
                and _became_live(plant, before, after, holder, energy)
                and st.is_full(plant, after, holder, energy)
            ):
                broken.add(("leak/filled-at-once", holder))
    for holder in after.air - after.opened:
        for energy in plant.fluids(holder):
            if (
                plant.throttled(energy)
                and st.is_full(plant, after, holder, energy)
                and not st.is_full(plant, before, holder, energy)
            ):
                broken.add(("leak/full-before-bleed", holder))
    return broken


def _unsecured(plant: Plant, before: State, after: State, verb: str, what: Any) -> Broken:
    broken: Broken = set()
    for part in st.bare(after):
        for energy in plant.energies(part):
            if st.charge(plant, after, part, energy) == "live":
                continue  # not asked
            asked = part in st.bare(before) and st.charge(plant, before, part, energy) != "live"
            if not st.is_secured(plant, after, part, energy) and (
                not asked or st.is_secured(plant, before, part, energy)
            ):
                broken.add(
                    ("energy/unlocked-early", what) if verb == "unlock" else ("energy/opened-unlocked", part)
                )
            if not st.is_deep(plant, after, part, energy) and (
                not asked or st.is_deep(plant, before, part, energy)
            ):
                broken.add(("energy/isolation-too-thin", part))
    return broken


# -- the two ends --------------------------------------------------------------------------------------


def at_end(plant: Plant, state: State, leaves: dict[str, list[str]]) -> Broken:
    """What is wrong with the unit when the main list is complete."""
    broken: Broken = set()
    for part in plant.parts:
        words = leaves.get(part, [])
        if not as_expected(plant, state, part, words):
            broken.add(("energy/not-restored", part))
        if part in state.locked and "locked" not in words:
            broken.add(("energy/lock-left", part))
        if part in state.uncovered and "uncovered" not in words:
            broken.add(("energy/left-uncovered", part))
        open_allowed = "open" in words and plant.role(part) not in ("isolator", "vent")
        if part in state.opened:
            if not open_allowed:
                broken.add(("leak/left-open", part))
            if any(
                st.charge(plant, state, part, e) == "live"
                or not st.is_secured(plant, state, part, e, locks_alone=True)
                for e in plant.energies(part)
            ):
                broken.add(("energy/left-unlocked", part))
        if part in state.owed and not open_allowed and "unchecked" not in words:
            broken.add(("leak/unchecked", part))
        if any((part, e) in state.live | state.trapped for e in plant.brought):
            broken.add(("chemical/not-flushed", part))
    return broken


def as_expected(plant: Plant, state: State, part: str, words: list[str]) -> bool:
    """Whether the part is in its normal state, or as ``leaves`` says."""
    role = plant.role(part)
    if "locked" in words and part not in state.locked or "uncovered" in words and part not in state.uncovered:
        return False
    if role == "isolator":
        said = [p for p in (plant.position(part, w) for w in words) if p is not None]
        return all(state.position(part) == p for p in said or [plant.normal(part)])
    if role == "vent":
        said = [w for w in words if w in ("open", "shut")]
        normal = plant.parts[part].get("normal", "shut")
        return all((part in state.vented) == (w == "open") for w in said or [normal])
    if "open" in words and part not in state.opened or "shut" in words and part in state.opened:
        return False
    if "runs" in plant.parts[part]:
        should = [w == "running" for w in words if w in ("running", "stopped")]
        return all((part in state.running) == s for s in should or [st.normally_running(plant, part)])
    return True


def at_end_here(plant: Plant, state: State) -> Broken:
    """What is wrong with stopping in the middle."""
    broken: Broken = set()
    for part in st.bare(state):
        for energy in plant.energies(part):
            if st.charge(plant, state, part, energy) != "zero" or not st.is_secured(
                plant, state, part, energy, locks_alone=True
            ):
                broken.add(("graph/end-unsafe", part))
    for part in state.owed:
        if st.is_live(plant, state, part):
            broken.add(("graph/end-unsafe", part))
    return broken
