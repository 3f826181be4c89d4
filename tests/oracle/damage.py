"""Damage: what a careless writer does to a procedure."""

from __future__ import annotations

from collections.abc import Callable
from copy import deepcopy
from random import Random
from typing import Any

from .course import VERBS, Course, Recovery, Scope, Step
from .damage_unit import fitting
from .make_procedure import every_entry, every_place
from .make_unit import POSITION_OFF
from .plant import POSITIONS

Mapping = dict[str, Any]

KIN = {
    "isolate": ["throttle", "connect"],
    "lock": ["unlock"],
    "unlock": ["lock"],
    "vent": ["shut"],
    "shut": ["vent"],
    "throttle": ["connect"],
    "connect": ["isolate", "throttle"],
    "restore": ["isolate"],
    "stop": ["start", "try_start"],
    "start": ["stop"],
    "close": ["open"],
    "open": ["close"],
    "tighten": ["loosen", "adjust"],
    "inspect_seal": ["new_seal"],
    "uncover": ["cover"],
    "cover": ["uncover"],
}

SELDOM = ["dose", "try_start", "uncover", "flush", "loosen", "discharge"]  # few units have a use for these


# -- whether a procedure can be read at all -------------------------------------------------------------


def is_sound(unit: Mapping, procedure: Mapping) -> bool:
    """Whether every ``after`` and ``back_to`` names what it may, and every id is its own."""
    entries = every_entry(procedure["steps"])
    if len({e["id"] for e in entries}) < len(entries):
        return False
    if any(not e.get("steps", e.get("any_order", True)) for e in entries):
        return False
    if not procedure["steps"]:
        return False
    try:
        course = Course(unit, procedure)
        steps = [e for e in entries if "steps" not in e and "any_order" not in e]
        if any("otherwise" in step and not course.may_fail(step) for step in steps):
            return False
        return all(_leads_back(step, step.recovery, [step]) for step in course.main.steps)
    except KeyError:
        return False


def _leads_back(step: Step, recovery: Recovery, around: list[Step]) -> bool:
    """Whether this recovery, and those inside it, go back to something that always came before."""
    if recovery.ending == "back_to":
        scope: Scope | None = recovery.scope
        assert scope is not None
        plan, target = scope.find(recovery.target)
        anchor = next((s for s in around if s in plan.steps), None)
        if anchor is None or not (anchor.path in target or target <= plan.before[anchor.path]):
            return False
    if recovery.then is not None and not _leads_back(step, recovery.then, around):
        return False
    return all(_leads_back(s, s.recovery, [*around, s]) for s in recovery.plan.steps)


# -- the procedure -------------------------------------------------------------------------------------


def damage_procedure(rng: Random, unit: Mapping, procedure: Mapping) -> Mapping:
    """A copy with one thing done wrong."""
    worse = deepcopy(procedure)
    kinds: list[Callable[[Random, Mapping, Mapping], None]] = [
        _drop,
        _drop,
        _swap,
        _swap,
        _move,
        _move,
        _lose_act,
        _lose_act,
        _other_verb,
        _other_part,
        _insert,
        _insert,
        _insert,
        _free,
        _free,
        _unorder,
        _no_otherwise,
        _other_ending,
        _need,
        _word,
        _repeat,
        _cannot_fail,
        _forget,
        _forget,
        _forget,
        _forget_near,
    ]
    if any("flush" in step for step in _steps(worse)):
        kinds += [_forget_flush] * 4
    rng.choice(kinds)(rng, unit, worse)
    return worse


def _place(rng: Random, procedure: Mapping) -> tuple[list[Mapping], int]:
    return rng.choice(every_place(procedure["steps"]))


def _drop(rng: Random, unit: Mapping, procedure: Mapping) -> None:
    entries, index = _place(rng, procedure)
    del entries[index]


def _swap(rng: Random, unit: Mapping, procedure: Mapping) -> None:
    entries, index = _place(rng, procedure)
    if index:
        entries[index - 1], entries[index] = entries[index], entries[index - 1]


def _move(rng: Random, unit: Mapping, procedure: Mapping) -> None:
    entries, index = _place(rng, procedure)
    entry = entries.pop(index)
    others = [procedure["steps"], entries]
    to = rng.choice(others)
    to.insert(rng.randint(0, len(to)), entry)


def _steps(procedure: Mapping) -> list[Mapping]:
    return [e for e in every_entry(procedure["steps"]) if any(v in e for v in VERBS) or "acts" in e]


def _lose_act(rng: Random, unit: Mapping, procedure: Mapping) -> None:
    step = rng.choice(_steps(procedure) or [{}])
    verbs = [v for v in step if v in VERBS]
    if "acts" in step and len(step["acts"]) > 1:
        del step["acts"][rng.randrange(len(step["acts"]))]
    elif verbs:
        del step[rng.choice(verbs)]
        if not any(k in step for k in ("do", "check", "read", "wait", "acts", *VERBS)):
            step["do"] = "Do the work."


def _forget_near(rng: Random, unit: Mapping, procedure: Mapping) -> None:
    """Leave what is near under power."""
    for line in unit["lines"].values():
        if line["energy"] == "mains":
            for part in line["path"]:
                _leave_out(rng, part, procedure)


def _forget_flush(rng: Random, unit: Mapping, procedure: Mapping) -> None:
    step = rng.choice([s for s in _steps(procedure) if "flush" in s])
    del step["flush"]
    step.setdefault("do" if "wait" not in step else "note", "Do the work.")


def _forget(rng: Random, unit: Mapping, procedure: Mapping) -> None:
    part = rng.choice([p for p, d in unit["parts"].items() if d["role"] != "source"])
    _leave_out(rng, part, procedure)


def _leave_out(rng: Random, part: str, procedure: Mapping) -> None:
    """Leave out all acts on one part that are not about opening it."""
    verbs = [
        "isolate",
        "throttle",
        "connect",
        "restore",
        "lock",
        "unlock",
        "vent",
        "shut",
        "stop",
        "start",
        "uncover",
        "cover",
        "bleed",
        "tighten",
        "inspect_seal",
        "leak_check",
    ]
    verbs += rng.choice([["discharge"], ["flush"]])
    for step in _steps(procedure):
        for verb in [v for v in step if v in verbs]:
            what = step[verb]
            if isinstance(what, list) and part in what and len(what) > 1:
                what.remove(part)
            elif _first(what) == part:
                del step[verb]
        if "acts" in step:
            kept = [
                a for a in step["acts"] if not any(v in verbs and _first(w) == part for v, w in a.items())
            ]
            if kept:
                step["acts"] = kept
        if not any(k in step for k in ("do", "check", "read", "wait", "acts", *VERBS)):
            step["do"] = "Do the work."


def _other_verb(rng: Random, unit: Mapping, procedure: Mapping) -> None:
    step = rng.choice(_steps(procedure) or [{}])
    for verb in [v for v in step if v in KIN]:
        other = rng.choice(KIN[verb])
        if other not in step:
            step[other] = step.pop(verb)
            slow = unit["parts"].get(_first(step[other]), {}).get("throttles") == "true"
            if other == "throttle" and not slow:
                step["connect" if "connect" not in step else "isolate"] = step.pop(other)
        return


def _first(what: Any) -> str:
    return str(what[0] if isinstance(what, list) else what)


def _other_part(rng: Random, unit: Mapping, procedure: Mapping) -> None:
    step = rng.choice(_steps(procedure) or [{}])
    for verb in [v for v in step if v in VERBS]:
        what = fitting(rng, unit, verb)
        if what is not None:
            step[verb] = what
        return


def _insert(rng: Random, unit: Mapping, procedure: Mapping) -> None:
    verbs = [v for v in VERBS if v not in ("tell", "fit", "remove", "lubricate", "prove_tester", "clean")]
    rng.shuffle(verbs)
    if rng.random() < 0.4:
        verbs = [*rng.sample(SELDOM, len(SELDOM)), *verbs]
    for verb in verbs:
        what = fitting(rng, unit, verb)
        if what is not None:
            entries, index = _place(rng, procedure)
            number = len(every_entry(procedure["steps"]))
            kind = {"check": "All is well."} if rng.random() < 0.2 else {"do": "Do the work."}
            entries.insert(index + rng.randint(0, 1), {"id": f"x{number}", **kind, verb: what})
            return


def _free(rng: Random, unit: Mapping, procedure: Mapping) -> None:
    entries, index = _place(rng, procedure)
    above = [e["id"] for e in entries[:index]]
    entries[index]["after"] = [] if not above or rng.random() < 0.3 else [rng.choice(above)]


def _unorder(rng: Random, unit: Mapping, procedure: Mapping) -> None:
    groups = [e for e in every_entry(procedure["steps"]) if "steps" in e and len(e["steps"]) <= 4]
    if groups:
        group = rng.choice(groups)
        group["any_order"] = group.pop("steps")
        for entry in group["any_order"]:
            entry.pop("after", None)


def _no_otherwise(rng: Random, unit: Mapping, procedure: Mapping) -> None:
    said = [e for e in every_entry(procedure["steps"]) if "otherwise" in e]
    if said:
        del rng.choice(said)["otherwise"]


def _other_ending(rng: Random, unit: Mapping, procedure: Mapping) -> None:
    """Another way on for a check or a group."""
    entries = every_entry(procedure["steps"])
    some = [e for e in entries if "check" in e or "read" in e or "otherwise" in e or "steps" in e]
    if not some:
        return
    entry = rng.choice(some)
    ids = [e["id"] for e in entries]
    said: Mapping = {"steps": list(entry.get("otherwise", {}).get("steps", []))}
    ending = rng.random()
    if ending < 0.4:
        said["continue"] = "true"
    elif ending < 0.8:
        said["back_to"] = rng.choice(ids)
        if rng.random() < 0.5:
            said["at_most"] = "1"
            said["then"] = {"continue": "true"} if rng.random() < 0.5 else {"end_here": "Call service."}
            if rng.random() < 0.5:
                said["then"] = {"back_to": rng.choice(ids), "at_most": "1", "then": said["then"]}
    else:
        said["end_here"] = "Call service."
    entry["otherwise"] = said


def _need(rng: Random, unit: Mapping, procedure: Mapping) -> None:
    step = rng.choice(_steps(procedure) or [{}])
    part = rng.choice([p for p, d in unit["parts"].items() if d["role"] != "source"])
    said = unit["parts"][part]
    if said["role"] == "isolator":
        words = [*POSITIONS[said["device"]], "locked"]
        if said["device"] == "valve" and said.get("throttles") != "true":
            words.remove("part_open")
    elif said["role"] == "vent":
        words = ["open", "shut"]
    else:
        words = ["open", "shut"]
        if said["role"] in ("component", "store"):
            words += ["live", "relieved", "proven", "leak_checked"]
        if "runs" in said:
            words += ["running", "stopped"]
    step.setdefault("needs", {})[part] = rng.choice(words)


def _word(rng: Random, unit: Mapping, procedure: Mapping) -> None:
    """A word too many or too few in ``starts`` or ``leaves``."""
    said = procedure.get(rng.choice(["starts", "leaves"]))
    if said:
        part = rng.choice(list(said))
        if isinstance(said[part], list) and rng.random() < 0.5:
            said[part] = said[part][0]
        else:
            del said[part]
            for key in ("starts", "leaves"):
                if procedure.get(key) == {}:
                    del procedure[key]
        return
    kind = "starts" if rng.random() < 0.5 else "leaves"
    part = rng.choice([p for p, d in unit["parts"].items() if d["role"] in ("isolator", "vent", "component")])
    d = unit["parts"][part]
    word: Any = "open"
    if d["role"] == "isolator":
        word = POSITION_OFF[d["device"]]
        if rng.random() < 0.5:
            word = [word, "locked"]
    elif kind == "leaves" and d["role"] == "component" and rng.random() < 0.5:
        word = "unchecked"
    elif "runs" in d and rng.random() < 0.6:
        word = "stopped"
    procedure.setdefault(kind, {})[part] = word


def _repeat(rng: Random, unit: Mapping, procedure: Mapping) -> None:
    entries, index = _place(rng, procedure)
    entry = deepcopy(entries[index])
    if "steps" in entry or "any_order" in entry or "otherwise" in entry:
        return
    entry["id"] = f"y{len(every_entry(procedure['steps']))}"
    entry.pop("after", None)
    entries.insert(rng.randint(index + 1, len(entries)), entry)


def _cannot_fail(rng: Random, unit: Mapping, procedure: Mapping) -> None:
    """A check becomes an action, or the other way round."""
    step = rng.choice(_steps(procedure) or [{}])
    if "check" in step:
        step.pop("otherwise", None)
        step["do"] = step.pop("check")
    elif "do" in step and "once" not in step:
        step["check"] = step.pop("do")
