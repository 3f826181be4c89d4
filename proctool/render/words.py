"""The fixed words of a manual, and how lists, positions and names are said.

What is said here is general. It orders nothing that a procedure does not also order as a step.
"""

from __future__ import annotations

from collections.abc import Iterable

from proctool.model.unit import Part
from proctool.model.verdict import Charge
from proctool.model.words import POSITION_WORDS, Form, Lock, Position

DRAFT_MARK = "DRAFT — NOT PROVEN"
DEVIATIONS_MARK = "PROVEN WITH DEVIATIONS"
RECORDED_MARK = "WITH RECORDED DEVIATIONS"
"""Where the proof itself needed none of them."""

COMPARE = "Compare the unit in front of you with this page. If it differs, stop."

CAUTIONS = (
    "Follow local codes and the site's own lockout programme. Where they ask for more, do more.",
    "Electrical, gas and pressure work that the law reserves for licensed people stays with them.",
    "The proof covers the modelled energies and steps only. It does not replace your own look at the unit.",
    "A push button, a selector switch, an emergency stop or a solenoid valve isolates nothing.",
)
"""What every manual carries. The last: 29 CFR 1910.147(b), energy isolating device; solenoid valves are
common practice, no source."""

NOT_ZERO = (
    "Open nothing, loosen nothing. Leave all locks and tags on, and leave the vents as they are.",
    "Treat the part as live. A gauge that does not fall may be stuck; a part may be blocked.",
    "Look along the isolation table: is each isolator fully off and locked, each way out open and clear?",
    "Look for a source that this page does not show: a second feed, flow back, a valve that leaks.",
    "If you cannot find the cause, stop, keep people away and call for help.",
    "Never open a part to find out what is in it.",
)
"""What to do when zero is not reached: common practice, no source."""

LIVE = {
    (True, True): "When the first part is opened:",
    (True, False): "When the first part is opened:",
    (False, True): "This procedure opens no part.",
    (False, False): "This procedure isolates nothing and opens no part: every energy of the unit stays.",
}
"""What stays live, by whether something does when a part is opened, and whether something is isolated."""

UNCOVERED = (
    "Energies and parts that the unit file does not name, and a unit that was changed since it was checked.",
    "Faults in the unit file: a proof is as good as the walk around the unit that it rests on.",
    "Loads that drop or move when their air or oil is let out.",
    "Liquid locked between two shut valves that warms up and builds pressure.",
    "A relief valve that a shut valve cuts off from the vessel it protects.",
    "The weight of liquid in pipes that stand higher than the open vent.",
    "Going into tanks and vessels.",
    "Work that must be done live.",
    "Tests with a part open.",
)
"""Bounds of the model that the proof rests on."""

FORMS = {
    Form.LIQUID_PRESSURE: "liquid under pressure",
    Form.GAS_PRESSURE: "gas under pressure",
    Form.STEAM: "steam",
    Form.VACUUM: "vacuum",
    Form.HEAT: "heat",
    Form.CHEMICAL: "chemical",
    Form.ELECTRICITY: "electricity",
    Form.MOTION: "motion",
    Form.RADIATION: "radiation",
    Form.GRAVITY: "raised load",
    Form.SPRING: "spring force",
}

LOCKS = {
    Lock.HASP: "your own lock through its hasp, and your tag",
    Lock.COVER: "in its cover, closed with your own lock and tag",
    Lock.CABLE: "your own lock on its cable, and your tag",
    Lock.NONE: "cannot be locked",
}

MARKS = {Charge.LIVE: "●", Charge.TRAPPED: "◐", Charge.ZERO: "○"}
"""Full, half and empty: the charge without colour."""

CHARGES = {
    Charge.LIVE: "fed by a source",
    Charge.TRAPPED: "cut off, but still in the part",
    Charge.ZERO: "none left",
}

FIXED = (
    *(DRAFT_MARK, DEVIATIONS_MARK, RECORDED_MARK, COMPARE),
    *CAUTIONS,
    *NOT_ZERO,
    *LIVE.values(),
    *UNCOVERED,
    *CHARGES.values(),
)
"""Those that stand alone, and are looked up in the catalogue when they are written."""

NEED_WORDS = {"relieved": "relieved", "proven": "relieved and verified", "leak_checked": "leak-checked"}


def listed(items: Iterable[str], last: str = "and") -> str:
    """Items in one phrase: `a`, `a and b`, `a, b and c`."""
    every = list(items)
    if len(every) < 2:
        return "".join(every)
    return f"{', '.join(every[:-1])} {last} {every[-1]}"


def times(number: int, name: str) -> str:
    """A thing and how many of it, where it is more than one."""
    return name if number == 1 else f"{number} \N{MULTIPLICATION SIGN} {name}"


def locks(said: str) -> tuple[str, ...]:
    """How several people lock, from `each` or the name of who answers for the group lock."""
    if not said:
        return ()
    if said == "each":
        return ("Each person puts an own lock and tag on every isolator, and takes off only that one.",)
    return (
        "Each person puts an own lock on the group lock before work, and takes off only that one.",
        f"Answers for the group lock, and knows who is still exposed: {said}.",
    )


def lock(part: Part, *, locked: bool) -> str:
    """How an isolator is secured for the job."""
    if part.exclusive_control and not locked:
        return "not locked: keep it in your own hands or sight"
    if not locked:
        return "NOT LOCKED in this procedure"
    text = LOCKS[part.lock]
    return f"{text}; the site operates it" if part.site else text


def capital(text: str) -> str:
    """The text with its first letter in upper case; the rest as it is."""
    return text[:1].upper() + text[1:]


def anchor(number: str) -> str:
    """Where the step of a number stands in the manual."""
    return "step-" + number.replace(".", "-")


def spaced(name: str) -> str:
    """A name of the file format as words."""
    return name.replace("_", " ")


def off_word(part: Part) -> str:
    """How the off position of an isolator is said."""
    words = POSITION_WORDS.get(part.device, {}) if part.device else {}
    return spaced(next((word for word, position in words.items() if position is Position.OFF), "off"))


def off_locked(part: Part, *, locked: bool) -> str:
    """An isolator that is off, and locked or not."""
    return f"{part.label} {off_word(part)}" + (" and locked" if locked else "")


def need(part: Part | None, name: str, word: str) -> str:
    """One need in words; `part` is None where the name is a condition."""
    if part is None:
        return f"{spaced(name)}: {spaced(word)}"
    return f"{part.label} {NEED_WORDS.get(word, spaced(word))}"


def ranges(places: Iterable[int], prefix: str = "") -> str:
    """Step numbers in words: `step 3`, `steps 3 to 5`, `steps 3, 5 and 8 to 10`."""
    every = sorted(set(places))
    runs: list[tuple[int, int]] = []
    for place in every:
        if runs and place == runs[-1][1] + 1:
            runs[-1] = (runs[-1][0], place)
        else:
            runs.append((place, place))
    said: list[str] = []
    for first, last in runs:
        if last - first < 2:
            said += [f"{prefix}{place}" for place in range(first, last + 1)]
        else:
            said.append(f"{prefix}{first} to {prefix}{last}")
    return ("step " if len(every) == 1 else "steps ") + listed(said)
