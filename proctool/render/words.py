"""The fixed words of a manual, and how lists, positions and names are said.

What is said here is general. It orders nothing that a procedure does not also order as a step. The tables
hold English words, which are looked up by `say` when they are written.
"""

from __future__ import annotations

from collections.abc import Iterable

from proctool.model.audit import Due
from proctool.model.coverage import Aspect, Mark
from proctool.model.plan import StepKind
from proctool.model.unit import Checked, Part
from proctool.model.verdict import Charge
from proctool.model.words import POSITION_WORDS, Device, Form, Lock, Position, Role
from proctool.render.speech import counted, fixed, say

DRAFT_MARK = fixed("DRAFT — NOT PROVEN")
DEVIATIONS_MARK = fixed("PROVEN WITH DEVIATIONS")
RECORDED_MARK = fixed("WITH RECORDED DEVIATIONS")
"""Where the proof itself needed none of them."""

COMPARE = fixed("Compare the unit in front of you with this page. If it differs, stop.")

CAUTIONS = (
    fixed("Follow local codes and the site's own lockout programme. Where they ask for more, do more."),
    fixed("Electrical, gas and pressure work that the law reserves for licensed people stays with them."),
    fixed(
        "The proof covers the modelled energies and steps only. "
        "It does not replace your own look at the unit."
    ),
    fixed("A push button, a selector switch, an emergency stop or a solenoid valve isolates nothing."),
)
"""What every manual carries. The last: 29 CFR 1910.147(b), energy isolating device; solenoid valves are
common practice, no source."""

NOT_ZERO = (
    fixed("Open nothing, loosen nothing. Leave all locks and tags on, and leave the vents as they are."),
    fixed("Treat the part as live. A gauge that does not fall may be stuck; a part may be blocked."),
    fixed(
        "Look along the isolation table: is each isolator fully off and locked, each way out open and clear?"
    ),
    fixed("Look for a source that this page does not show: a second feed, flow back, a valve that leaks."),
    fixed("If you cannot find the cause, stop, keep people away and call for help."),
    fixed("Never open a part to find out what is in it."),
)
"""What to do when zero is not reached: common practice, no source."""

LIVE = {
    (True, True): fixed("When the first part is opened:"),
    (True, False): fixed("When the first part is opened:"),
    (False, True): fixed("This procedure opens no part."),
    (False, False): fixed(
        "This procedure isolates nothing and opens no part: every energy of the unit stays."
    ),
}
"""What stays live, by whether something does when a part is opened, and whether something is isolated."""

UNCOVERED = (
    fixed(
        "Energies and parts that the unit file does not name, "
        "and a unit that was changed since it was checked."
    ),
    fixed("Faults in the unit file: a proof is as good as the walk around the unit that it rests on."),
    fixed("Loads that drop or move when their air or oil is let out."),
    fixed("Liquid locked between two shut valves that warms up and builds pressure."),
    fixed("A relief valve that a shut valve cuts off from the vessel it protects."),
    fixed("The weight of liquid in pipes that stand higher than the open vent."),
    fixed("Going into tanks and vessels."),
    fixed("Work that must be done live."),
    fixed("Tests with a part open."),
)
"""Bounds of the model that the proof rests on."""

FORMS = {
    Form.LIQUID_PRESSURE: fixed("liquid under pressure"),
    Form.GAS_PRESSURE: fixed("gas under pressure"),
    Form.STEAM: fixed("steam"),
    Form.VACUUM: fixed("vacuum"),
    Form.HEAT: fixed("heat"),
    Form.CHEMICAL: fixed("chemical"),
    Form.ELECTRICITY: fixed("electricity"),
    Form.MOTION: fixed("motion"),
    Form.RADIATION: fixed("radiation"),
    Form.GRAVITY: fixed("raised load"),
    Form.SPRING: fixed("spring force"),
}

LOCKS = {
    Lock.HASP: fixed("your own lock through its hasp, and your tag"),
    Lock.COVER: fixed("in its cover, closed with your own lock and tag"),
    Lock.CABLE: fixed("your own lock on its cable, and your tag"),
    Lock.NONE: fixed("cannot be locked"),
}

MARKS = {Charge.LIVE: "●", Charge.TRAPPED: "◐", Charge.ZERO: "○"}
"""Full, half and empty: the charge without colour."""

CHARGES = {
    Charge.LIVE: fixed("fed by a source"),
    Charge.TRAPPED: fixed("cut off, but still in the part"),
    Charge.ZERO: fixed("none left"),
}

NEED_WORDS = {
    "relieved": fixed("relieved"),
    "proven": fixed("relieved and verified"),
    "leak_checked": fixed("leak-checked"),
}

KINDS = {
    StepKind.CHECK: fixed("Check"),
    StepKind.READ: fixed("Read"),
    StepKind.WAIT: fixed("Wait"),
}
"""Kinds of steps that are named; a step that does something is not."""

STATED = ("live", "relieved", "running", "stopped", "locked", "open", "shut")
"""What else the file format says of the state of a part."""


def terms() -> tuple[str, ...]:
    """The words of the file format and of audits that pages show as words: see `term`."""
    positions = (word for words in POSITION_WORDS.values() for word in words)
    every = (*Role, *Device, *positions, *Charge, *STATED, *Mark, *Aspect, *Due)
    signals = ("DANGER", "WARNING", "CAUTION", "NOTICE")
    return (*dict.fromkeys(spaced(str(word)) for word in every), *signals)


def term(name: str) -> str:
    """A word of the file format or of an audit, as it is said."""
    return say(spaced(name))


def listed(items: Iterable[str], together: str = fixed("{some} and {last}")) -> str:
    """Items in one phrase: `a`, `a and b`, `a, b and c`; `together` joins the last one to those before."""
    every = list(items)
    if len(every) < 2:
        return "".join(every)
    return say(together, some=commas(every[:-1]), last=every[-1])


def either(items: Iterable[str]) -> str:
    """Items of which one is enough: `a, b or c`."""
    return listed(items, fixed("{some} or {last}"))


def commas(items: Iterable[str]) -> str:
    """Items one after the other."""
    return say(", ").join(items)


def clauses(items: Iterable[str]) -> str:
    """Parts of a sentence, each of which may hold commas."""
    return say("; ").join(items)


def times(number: int, name: str) -> str:
    """A thing and how many of it, where it is more than one."""
    return name if number == 1 else f"{number} \N{MULTIPLICATION SIGN} {name}"


def repeated(number: int) -> str:
    """How often: `once`, `3 times`."""
    return counted("once", "{n} times", number)


def locks(said: str) -> tuple[str, ...]:
    """How several people lock, from `each` or the name of who answers for the group lock."""
    if not said:
        return ()
    if said == "each":
        return (say("Each person puts an own lock and tag on every isolator, and takes off only that one."),)
    return (
        say("Each person puts an own lock on the group lock before work, and takes off only that one."),
        say("Answers for the group lock, and knows who is still exposed: {who}.", who=said),
    )


def lock(part: Part, *, locked: bool) -> str:
    """How an isolator is secured for the job."""
    if part.exclusive_control and not locked:
        return say("not locked: keep it in your own hands or sight")
    if not locked:
        return say("NOT LOCKED in this procedure")
    return operated(part, say(LOCKS[part.lock]))


def operated(part: Part, lock: str) -> str:
    """How an isolator is secured, and whose it is where it is not the unit's."""
    return say("{lock}; the site operates it", lock=lock) if part.site else lock


def walked(checked: Checked) -> str:
    """Who went round a unit with its file, and when, as far as it is said."""
    if checked.by and checked.date:
        return say("{who} on {date}", who=checked.by, date=checked.date)
    return checked.by or checked.date or ""


def capital(text: str) -> str:
    """The text with its first letter in upper case; the rest as it is."""
    return text[:1].upper() + text[1:]


def anchor(number: str) -> str:
    """Where the step of a number stands in the manual."""
    return "step-" + number.replace(".", "-")


def spaced(name: str) -> str:
    """A name of the file format as words."""
    return name.replace("_", " ")


def off_name(part: Part) -> str:
    """How the file format calls the off position of an isolator."""
    words = POSITION_WORDS.get(part.device, {}) if part.device else {}
    return next((word for word, position in words.items() if position is Position.OFF), "off")


def off_word(part: Part) -> str:
    """How the off position of an isolator is said."""
    return term(off_name(part))


def off_locked(part: Part, *, locked: bool) -> str:
    """An isolator that is off, and locked or not."""
    if locked:
        return say("{part} {how} and locked", part=part.label, how=off_word(part))
    return stands(part, off_word(part))


def stands(part: Part, how: str) -> str:
    """A part and how it stands."""
    return say("{part} {how}", part=part.label, how=how)


def need(part: Part | None, name: str, word: str) -> str:
    """One need in words; `part` is None where the name is a condition."""
    if part is None:
        return f"{spaced(name)}: {term(word)}"
    return stands(part, say(NEED_WORDS[word]) if word in NEED_WORDS else term(word))


def ranges(places: Iterable[int], prefix: str = "") -> str:
    """Step numbers in words: `step 3`, `steps 3 to 5`, `steps 3, 5 and 8 to 10`."""
    every = set(places)
    return counted("step {numbers}", "steps {numbers}", len(every), numbers=numbers(every, prefix))


def numbers(places: Iterable[int], prefix: str = "") -> str:
    """Step numbers, those in a row drawn together: `3 to 5`, `3, 5 and 8 to 10`."""
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
            said.append(say("{first} to {last}", first=f"{prefix}{first}", last=f"{prefix}{last}"))
    return listed(said)
