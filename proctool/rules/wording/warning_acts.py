"""A warning orders only what an earlier step orders too, or what one wears; a note orders nothing.

Why: What only a warning or a note orders has no box to tick and no act for the proof; it is left out, and all
else still looks done. `Do not …`, `Open it only after …`, `Wear gloves` and `Keep away` order no act.

Source: ASD-STE100 rule 5.5 (notes give information), from a summary. Sources disagree on warnings: DOE and
NUREG guides want no action in them, ANSI Z535 and DITA want the way out. Our reading keeps both: a message
may forbid or ask for protective equipment, and any act in it is also a step before it.

Bad::

    steps:
      - do: Wipe the housing.
        note: Empty the bucket afterwards.

Good::

    steps:
      - do: Wipe the housing.
        note: The bucket holds 10 L.
      - do: Empty the bucket.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from proctool.model.plan import Step
from proctool.model.unit import Danger, Unit
from proctool.model.words import VERBS
from proctool.rules.energy.no_warning import met
from proctool.rules.graph.commands import commands
from proctool.rules.graph.verbs import MOVING
from proctool.rules.language.orders import acts_on, demands, forbids, main_clause, orders
from proctool.rules.language.sentences import Sentence, sentences
from proctool.rules.language.texts import TextKind, TextSubject
from proctool.rules.language.words import Words, words
from proctool.rules.rule import PlanSubject, Rule, Seen
from proctool.rules.wording.places import places

_NO_OBJECT = ("articles", "joins", "media", "particles", "prepositions")
_VERIFYING = frozenset({"verify_zero", "prove_tester", "try_start", "leak_check"})


def check_texts(subject: TextSubject) -> Iterator[Seen]:
    """Each sentence of a note that orders or forbids."""
    for text in subject.texts:
        if text.kind is TextKind.NOTE:
            for clause in (clause for sentence in text.sentences for clause in sentence.clauses):
                place = _ordering(clause, subject.words)
                if place is not None:
                    message = f"This note orders something: `{clause[place]}`. Notes are not followed."
                    help_ = "Make a step of it, or a safety message if it keeps people from harm."
                    yield Seen(text.place(clause.tokens[place]), message, help_)


def _ordering(sentence: Sentence, words: Words) -> int | None:
    place = next(iter(orders(sentence, words)), None)
    if place is not None:
        noun = words.has("nouns", sentence[place]) and not acts_on(sentence, place, words)
        return None if noun or words.has("pointers", sentence[place]) else place
    place = main_clause(sentence, words)
    return place if forbids(sentence, place, words) else demands(sentence, words)


def check_plan(subject: PlanSubject) -> Iterator[Seen]:
    """Each act that a safety message orders and no step before it does."""
    facts = subject.plan.facts
    known = words(facts.language) if facts is not None else None
    if known is None:
        return
    for place in places(subject.plan.frame):
        for danger in _shown(place.step, subject):
            for sentence in sentences(danger.avoid, known):
                verb = _unordered(sentence, place.earlier, danger, subject.plan.unit, known)
                if verb is not None:
                    message = f"This message orders what no step before it orders: `{verb}`."
                    help_ = "Make a step of it that comes first, or say what shall not be done."
                    yield Seen(danger.avoid_span or danger.span, message, help_, step=place.step.id)


def _shown(step: Step, subject: PlanSubject) -> Iterator[Danger]:
    """The messages right before a step: its own, and those of each energy that it brings a person to."""
    yield from step.dangers
    energies = dict.fromkeys(energy for act in step.acts for energy, _ in met(subject.network, act))
    for energy in energies:
        warning = subject.plan.unit.energies[energy].warning
        if warning is not None:
            yield warning


def _unordered(
    sentence: Sentence, earlier: Iterable[Step], danger: Danger, unit: Unit, known: Words
) -> str | None:
    """The first verb of a sentence that nothing earlier orders."""
    if known.starts("idle", sentence.tokens):
        return None  # that this orders nothing is told by another rule
    if any(token.word in {"only", "nothing"} for token in sentence.tokens):
        return None  # `open it only after …`, `mix it with nothing but …` forbid
    parts = {c.verb.partition(" ")[0]: c.parts for c in commands(danger.avoid, (), unit)}
    for place in orders(sentence, known):
        verb = sentence[place]
        if known.has("permitted", verb):
            continue
        acts, objects = _acts(sentence, place, known), _objects(sentence, place, known)
        said = _Said(verb, acts, parts.get(verb, ()), objects, unit)
        if not any(said.by(step, known) for step in earlier):
            return verb
    return None


@dataclass(frozen=True, slots=True)
class _Said:
    """What a message orders: a verb, the acts that do it, the parts that it names, what else it acts on."""

    verb: str
    acts: frozenset[str]
    parts: tuple[str, ...]
    objects: frozenset[str]
    unit: Unit

    def by(self, step: Step, known: Words) -> bool:
        """Whether a step orders it too, by an act or in its text."""
        if any(act.verb in self.acts and self._means(act.part) for act in step.acts):
            return True
        return any(
            sentence[place] == self.verb and self._shares(sentence)
            for sentence in sentences(step.text, known)
            for place in orders(sentence, known)
        )

    def _means(self, part: str) -> bool:
        """Whether a part is meant: by its name or a word of it, or because no part is named."""
        if self.parts:
            return part in self.parts
        known = self.unit.parts.get(part)
        return not self.objects or (
            known is not None and not self.objects.isdisjoint(known.name.lower().split())
        )

    def _shares(self, sentence: Sentence) -> bool:
        return not self.objects or bool(self.objects & {token.word for token in sentence.tokens})


def _acts(sentence: Sentence, place: int, known: Words) -> frozenset[str]:
    """The acts that do what a verb says."""
    verb = sentence[place]
    if known.has("verifying", verb):
        return _VERIFYING
    behind = (f"{verb} {token.word}" for token in sentence.tokens[place + 1 :])
    moving = next((MOVING[said] for said in (*behind, verb) if said in MOVING), None)
    own = frozenset({verb} & VERBS.keys())
    return own | moving.acts if moving is not None else own


def _objects(sentence: Sentence, place: int, known: Words) -> frozenset[str]:
    """The words behind a verb that say what it acts on, without those for what flows."""
    found: set[str] = set()
    for token in sentence.tokens[place + 1 :]:
        if not token.spoken or known.has("subordinate", token.word):
            break
        if not any(known.has(name, token.word) for name in _NO_OBJECT):
            found.add(token.word)
    return frozenset(found)


RULE = Rule("wording/warning-acts", page=__doc__, plan=check_plan, text=check_texts)
