"""Every rule that the proof can find broken, and how a finding of it is worded.

`{part}` is the part's name and tag, `{energies}` the names of the energies concerned, joined by "and".
"""

from __future__ import annotations

from dataclasses import dataclass

from proctool.model.finding import Level


@dataclass(frozen=True, slots=True)
class Rule:
    """One rule of the proof. A `never` rule takes no deviation and no lower level."""

    id: str
    message: str
    help: str
    level: Level = Level.ERROR
    never: bool = False


RULES: dict[str, Rule] = {
    rule.id: rule
    for rule in (
        Rule(
            "energy/opened-live",
            "The {part} is opened while {energies} still feeds it.",
            "Isolate every source of it first; a check valve or a full cartridge is no isolator.",
            never=True,
        ),
        Rule(
            "energy/opened-charged",
            "The {part} is opened with {energies} still trapped in it.",
            "Let it out through a vent with a sure way to the part, or discharge it, after isolating.",
            never=True,
        ),
        Rule(
            "energy/energised-open",
            "This sends {energies} into the {part} while it stands open.",
            "Close the part before anything is reconnected.",
            never=True,
        ),
        Rule(
            "energy/opened-unproven",
            "The {part} is opened before zero of {energies} is verified, or after it could come back.",
            "Verify zero with a gauge, a tester or an open vent, and leave the way out open until then.",
        ),
        Rule(
            "energy/opened-unlocked",
            "The {part} stands open while nothing secures what keeps {energies} away.",
            "Lock each isolator between it and a source before it is opened, and keep the locks on.",
        ),
        Rule(
            "energy/unlocked-early",
            "The lock comes off the {part} while a part behind it stands open to {energies}.",
            "Close what stands open first.",
        ),
        Rule(
            "energy/left-unlocked",
            "The {part} is left open and no lock keeps {energies} away.",
            "Close it, or leave the isolators locked.",
        ),
        Rule(
            "energy/isolation-too-thin",
            "The {part} stands open behind less isolation than {energies} asks for.",
            "Isolate twice; for double block and bleed open the vent between the two.",
        ),
        Rule(
            "energy/moved-locked",
            "The {part} is moved while a lock is on it.",
            "Take the lock off first.",
        ),
        Rule(
            "energy/locked-not-off",
            "A lock is put on the {part} before it is off.",
            "Turn it off, then lock it.",
        ),
        Rule(
            "energy/verified-blind",
            "What is looked at cannot show zero of {energies} at the {part}.",
            "Use a gauge or an open vent that nothing can block off from the part.",
        ),
        Rule(
            "energy/verified-charged",
            "Zero of {energies} is verified at the {part} while it cannot be zero.",
            "Isolate and relieve the part first.",
        ),
        Rule(
            "energy/discharged-live",
            "The {part} is discharged while {energies} still feeds it.",
            "Isolate it first: what is fed fills up again.",
        ),
        Rule(
            "energy/uncovered-live",
            "The cover of the {part} comes off while {energies} is live behind it.",
            "Isolate and lock first; a charge that is left is tested for behind the cover.",
        ),
        Rule(
            "energy/tried-live",
            "The start of the {part} is tried while {energies} still drives it.",
            "Isolate it first: the try shall show that nothing starts.",
        ),
        Rule(
            "energy/started-dead",
            "The {part} is started while nothing drives it.",
            "Restore {energies} first.",
        ),
        Rule(
            "energy/cut-while-running",
            "{energies} is cut while the {part} runs.",
            "Stop the machine before its energy is cut.",
            level=Level.WARNING,
        ),
        Rule(
            "energy/started-by-restoring",
            "The {part} starts by itself when {energies} comes back.",
            "Stop it before its energy is cut, and start it by its own control at the end.",
        ),
        Rule(
            "energy/wet-near-live",
            "A wet part is opened beside the {part}, whose {energies} is not dead.",
            "Isolate the electricity of what stands near first.",
        ),
        Rule(
            "energy/not-restored",
            "At the end the {part} is not as it was, and not as `leaves` says.",
            "Put it back to its normal state, or say in `leaves` how it is left.",
        ),
        Rule(
            "energy/lock-left",
            "At the end a lock is still on the {part}.",
            "Take it off, or say in `leaves` that it stays.",
        ),
        Rule(
            "energy/left-uncovered",
            "At the end the cover of the {part} is still off.",
            "Put it on, or say in `leaves` that it stays off.",
        ),
        Rule(
            "leak/left-open",
            "At the end the {part} still stands open.",
            "Close it, or say in `leaves` that it stays open.",
        ),
        Rule(
            "leak/unchecked",
            "The {part} was opened and is never leak-checked at full pressure.",
            "After refilling to full pressure, with vents shut, look at it: `leak_check`.",
        ),
        Rule(
            "leak/checked-open",
            "The {part} is leak-checked while it stands open.",
            "Close it first.",
        ),
        Rule(
            "leak/checked-dry",
            "The {part} is leak-checked without pressure of {energies}, or with a way out open.",
            "Shut the vents and restore full pressure first.",
        ),
        Rule(
            "leak/power-before-check",
            "Electricity of the {part} comes back before the wet part beside it is leak-checked.",
            "Do the leak check first.",
        ),
        Rule(
            "leak/bled-dry",
            "Air is let out of the {part} while no fluid feeds it.",
            "Let it fill first, slowly.",
        ),
        Rule(
            "leak/worked-under-pressure",
            "A joint of the {part} is worked on with {energies} in it.",
            "Isolate and relieve the part first; never tighten under pressure.",
        ),
        Rule(
            "leak/not-tightened",
            "{energies} comes to the {part} before it is tight.",
            "Tighten it to its value before refilling.",
        ),
        Rule(
            "leak/seal-not-inspected",
            "The {part} is closed and its seal was not looked at.",
            "Inspect the seal or fit a new one while the part stands open.",
        ),
        Rule(
            "leak/filled-at-once",
            "{energies} comes to the {part} at full flow, before its leak check.",
            "Open the isolator a little first: `throttle`.",
        ),
        Rule(
            "leak/full-before-bleed",
            "The {part} comes to full pressure of {energies} with air trapped in it.",
            "Fill slowly, let the air out, then open fully.",
        ),
        Rule(
            "chemical/not-flushed",
            "At the end {energies} that was brought in is still in the {part}.",
            "Flush it.",
        ),
        Rule(
            "graph/need-unmet",
            "What this step needs of the {part} does not hold in every order.",
            "Do what brings it about before this step, or order the steps.",
        ),
        Rule(
            "graph/end-unsafe",
            "When the job stops here, the {part} is left open, charged or unsecured ({energies}).",
            "Make it safe before stopping: close, or isolate, lock and relieve.",
            never=True,
        ),
        Rule(
            "graph/too-free",
            "Too many orders to explore: nothing is proven. {part} costs most.",
            "Give these steps an order, or split the procedure.",
            never=True,
        ),
    )
}
"""Rules of the proof by id."""
