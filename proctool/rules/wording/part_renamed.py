"""A part has one name: that of the unit file, which is also on its label.

Why: Who reads `shut-off valve` after `inlet valve` looks for a second valve. A text that acts on a part calls
it by no other name; before a tag stands its name and nothing else. The cap, the bolts and what else closes a
part may be named for it. Which words stand before a name without being part of it is a list for each
language; languages without a list are not read.

Source: ASD-STE100 and DOE-STD-1029, from memory: one thing, one name, and the one on its label.

Bad::

    steps:
      - do: Close the supply valve V1.
        isolate: inlet_valve

Good::

    steps:
      - do: Close the <inlet_valve>.
        isolate: inlet_valve
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from proctool.model.finding import Level
from proctool.model.plan import Step, every_step
from proctool.model.unit import Part, Unit
from proctool.rules.graph.verbs import ARTICLES, BREAKS, CLOSURES, MOVING, SWITCHES
from proctool.rules.language.words import Words, words
from proctool.rules.rule import PlanSubject, Rule, Seen
from proctool.rules.tokens import PartNames, Token, filled_tokens
from proctool.rules.wording.act_unsaid import MOVING_ACTS

_NO_NOUN = BREAKS | SWITCHES | ARTICLES | {"and", "or", "is", "has", "reads"}
_VERBS = frozenset(verb.partition(" ")[0] for verb in MOVING) | {"lock", "tighten", "adjust"}


def check(subject: PlanSubject) -> Iterator[Seen]:
    """Each other name of a part that a step acts on, or that has a tag behind it."""
    plan = subject.plan
    known = words(plan.facts.language) if plan.facts is not None else None
    if known is None:
        return
    for step in every_step(plan.frame):
        found = {part: said for said, part in _renamed(step, plan.unit, known)}
        for part, said in found.items():
            yield Seen(
                step.span,
                f"`{said}` is another name for the {plan.unit.parts[part].label}.",
                f"Call it by its name: write `<{part}>`, or the name that the `each` around gives it.",
                step=step.id,
                part=part,
            )


def _renamed(step: Step, unit: Unit, known: Words) -> Iterator[tuple[str, str]]:
    """Names in plain words that are not right, each with the part that is meant."""
    acted = [part for act in step.acts for part in (act.part, act.by or "") if part in unit.parts]
    tokens = list(filled_tokens(step.text, step.filled, PartNames.of(unit, acted)))
    named = {token.part for token in tokens}
    left = [unit.parts[part] for part in dict.fromkeys(acted) if part not in named]
    moved = {act.part for act in step.acts if act.verb in MOVING_ACTS}
    media = {word for energy in unit.energies.values() for word in energy.name.lower().split()}
    for start, end in _nouns(tokens, known):
        said = [token.word for token in tokens[start:end]]
        if end < len(tokens) and (tagged := tokens[end].part) is not None:
            if not _is_end_of_name(said, unit.parts[tagged]):
                yield " ".join(said), tagged
        elif said[-1] not in media and not known.has("media", said[-1]):
            for part in left:
                if _means(said, part, tokens, start, moves=part.id in moved):
                    yield " ".join(said), part.id
                    break


def _nouns(tokens: Sequence[Token], known: Words) -> Iterator[tuple[int, int]]:
    """What stands behind an article in plain words, without `old`, `left` and the like before it."""
    for place, token in enumerate(tokens):
        if token.word not in ARTICLES:
            continue
        start = place + 1
        while start < len(tokens) and known.has("qualifiers", tokens[start].word):
            start += 1
        end = start
        while end < len(tokens) and _of_noun(tokens[end]):
            end += 1
        if end > start:
            yield start, end


def _of_noun(token: Token) -> bool:
    return token.word[:1].isalpha() and not token.adverb and token.word not in _NO_NOUN


def _means(said: list[str], part: Part, tokens: Sequence[Token], start: int, *, moves: bool) -> bool:
    """Whether a plain name is meant for a part that its text does not name."""
    name = part.name.lower().split()
    alike = said[-1] == name[-1] or not set(said).isdisjoint(name)
    if _is_end_of_name(said, part):
        return False
    before = [token.word for token in tokens[max(0, start - 3) : start - 1]]
    if moves and before and (before[-1] in _VERBS or (before[-1] in SWITCHES and before[0] in _VERBS)):
        return alike or said[-1].removesuffix("s") not in CLOSURES
    return alike and not before  # what a check begins with


def _is_end_of_name(said: list[str], part: Part) -> bool:
    """Whether it is the name or a short form of it: `valve`, `inlet valve`."""
    return part.name.lower().split()[-len(said) :] == said


RULE = Rule("wording/part-renamed", page=__doc__, level=Level.WARNING, plan=check)
