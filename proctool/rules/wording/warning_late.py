"""A warning stands before the step that it is for.

Why: A warning that is read after the act comes too late. A message named in `warn` is shown before its step,
the texts and notes of a step are not: what is dangerous there is read when it is done. A message that names a
part is wanted before that part is opened, vented or loosened, in every order of the steps.

Source: Good-practice notes on procedures and a second-hand summary of NUREG-0899: warnings directly before
the step; ANSI Z535.6: embedded messages before the action, from memory. The words that open a warning are a
list for each language; without one only the places of messages are looked at.

Bad::

    steps:
      - do: "Take the cartridge out of the bucket. Caution: its frame is sharp."

Good::

    dangers:
      frame:
        word: caution
        hazard: A sharp frame.
        harm: It can cut your fingers.
        avoid: Wear cut-resistant gloves.
    steps:
      - do: Take the cartridge out of the bucket.
        warn: frame
"""

from __future__ import annotations

from collections.abc import Iterator

from proctool.model.finding import Related
from proctool.model.plan import Step
from proctool.model.unit import Danger, Unit
from proctool.rules.language.orders import alert, orders
from proctool.rules.language.texts import Text, TextKind, TextSubject
from proctool.rules.language.words import Words
from proctool.rules.rule import PlanSubject, Rule, Seen
from proctool.rules.tokens import PartNames, Token, filled_tokens
from proctool.rules.wording.places import Place, places

_EXPOSING = frozenset({"open", "vent", "loosen"})
_STEP_TEXTS = frozenset({TextKind.INSTRUCTION, TextKind.CHECK, TextKind.STOP})
_HELP = "Write it under `dangers` with word, hazard, harm and avoid, and name it in `warn` of its step."


def check_texts(subject: TextSubject) -> Iterator[Seen]:
    """Each warning inside a text, behind what it warns of; one in a note is read after the step."""
    for text in subject.texts:
        place = _warned(text, subject.words)
        if place is not None:
            yield Seen(text.place(place), "This warning is read after what it warns of.", _HELP)


def _warned(text: Text, words: Words) -> Token | None:
    """The word that opens the first late warning of a text."""
    ordered = text.kind is TextKind.NOTE
    if not ordered and text.kind not in _STEP_TEXTS:
        return None
    for sentence in text.sentences:
        if ordered and alert(sentence, words):
            return sentence.tokens[0]
        first = next(iter(orders(sentence, words)), None)
        for place, _ in words.find("cautions", sentence.tokens):
            if ordered or (first is not None and first < place):
                return sentence.tokens[place]
        ordered = ordered or first is not None
    return None


def check_plan(subject: PlanSubject) -> Iterator[Seen]:
    """Each message that names a part which is opened, vented or loosened without it in some order before."""
    unit = subject.plan.unit
    told: set[Danger] = set()
    for place in places(subject.plan.frame):
        for danger in dict.fromkeys(place.step.dangers):
            for part in _named(danger, unit) if danger not in told else ():
                early = _exposed(place, danger, part)
                if early is not None:
                    yield _late(place.step, early, danger, unit.parts[part].label)
            told.add(danger)


def _named(danger: Danger, unit: Unit) -> tuple[str, ...]:
    names = PartNames.of(unit)
    said = [t.part for text in (danger.hazard, danger.avoid) for t in filled_tokens(text, (), names)]
    return tuple(dict.fromkeys(part for part in said if part is not None))


def _exposed(place: Place, danger: Danger, part: str) -> Step | None:
    """The first step that opens a part, may be done before a place, and has no such message before it."""
    frame = place.frame
    for other, step in enumerate(frame.steps):
        exposes = any(act.verb in _EXPOSING and act.part == part for act in step.acts)
        after = frame.before[other] >> place.number & 1
        if other == place.number or after or not exposes:
            continue
        told = (s for i, s in enumerate(frame.steps) if i == other or frame.before[other] >> i & 1)
        if not any(danger in s.dangers for s in told):
            return step
    return None


def _late(step: Step, early: Step, danger: Danger, label: str) -> Seen:
    return Seen(
        step.span,
        f"`{danger.hazard}` is told here; the {label} is opened or loosened before that.",
        "Name the message in `warn` of the earlier step.",
        step=step.id,
        related=(Related(early.span, "the step that comes first"),),
    )


RULE = Rule("wording/warning-late", page=__doc__, plan=check_plan, text=check_texts)
