"""A part has one name: that of the unit file, which is also on its label.

Why: Who reads `shut-off valve` after `inlet valve` looks for a second valve. A text that acts on a part calls
it by no other name; before a tag stands its name and nothing else. The cap, the bolts, the handle and what
else closes or moves a part may be named for it. Other words for one kind of part (`bowl` for `housing`), and
those that stand before a name without being part of it, are lists for each language; languages without lists
are not read.

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
from itertools import pairwise

from proctool.model.finding import Level
from proctool.model.plan import Step, every_step
from proctool.model.unit import Part, Unit
from proctool.rules.graph.verbs import ARTICLES, BREAKS, CLOSURES, MOVING, SWITCHES
from proctool.rules.language.orders import is_finite
from proctool.rules.language.words import Words, words
from proctool.rules.rule import PlanSubject, Rule, Seen
from proctool.rules.tokens import PartNames, Token, filled_tokens
from proctool.rules.wording.act_unsaid import MOVING_ACTS

_NO_NOUN = BREAKS | SWITCHES | ARTICLES | {"and", "or"}
_VERBS = frozenset(verb.partition(" ")[0] for verb in MOVING) | {"lock", "tighten", "adjust"}


def check(subject: PlanSubject) -> Iterator[Seen]:
    """Each other name of a part, once for each step."""
    plan = subject.plan
    known = words(plan.facts.language) if plan.facts is not None else None
    if known is None:
        return
    alike: dict[tuple[object, ...], dict[str, str]] = {}
    for step in every_step(plan.frame):
        asked = step.text, step.filled, step.notes, step.acts  # steps of a block come again and again
        if asked not in alike:
            alike[asked] = {part: said for said, part in _renamed(step, plan.unit, known)}
        for part, said in alike[asked].items():
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
    names = PartNames.of(unit, acted)
    for text, filled in ((step.text, step.filled), *((note, ()) for note in step.notes)):
        tokens = filled_tokens(text, filled, names)
        yield from _mistagged(tokens, unit)
        reader = _Reader(tokens, unit, known, step if text is step.text else None)
        for start, end in _nouns(tokens, known):
            part = reader.meant(start, end)
            if part is not None:
                yield " ".join(token.word for token in tokens[start:end]), part


def _mistagged(tokens: Sequence[Token], unit: Unit) -> Iterator[tuple[str, str]]:
    """The name of one part with the tag of another behind it."""
    for name, tag in pairwise(tokens):
        wrong = name.part is not None and name.part != tag.part and not _is_tag(name, unit)
        if name.part is not None and wrong and _is_tag(tag, unit) and tag.start == name.end + 1:
            found = unit.parts[tag.part or ""]
            yield f"{unit.parts[name.part].name} {found.tag}", found.id


class _Reader:
    """One text: its tokens, and the parts that its step acts on and does not name in it."""

    def __init__(self, tokens: Sequence[Token], unit: Unit, known: Words, step: Step | None) -> None:
        self.tokens, self.unit, self.known = tokens, unit, known
        acts = step.acts if step is not None else ()
        acted = dict.fromkeys(part for act in acts for part in (act.part, act.by or "") if part in unit.parts)
        named = {token.part for token in tokens}
        self.acted = [unit.parts[part] for part in acted]
        self.unnamed = [part for part in self.acted if part.id not in named]
        self.moved = {act.part for act in acts if act.verb in MOVING_ACTS}

    def meant(self, start: int, end: int) -> str | None:
        """The part that a noun is another name for."""
        said = [token.word for token in self.tokens[start:end]]
        behind = self.tokens[end] if end < len(self.tokens) else None
        if behind is not None and behind.part is not None:
            part = self.unit.parts[behind.part]
            return part.id if _is_tag(behind, self.unit) and not _is_end_of_name(said, part) else None
        if behind is not None and (behind.word == "of" or not behind.word):
            return None
        unnamed = () if self._is_other(said[-1]) else self.unnamed
        found = (
            *(part for part in self.acted if self._alike(said[-1], part)),
            *(part for part in unnamed if self._means(said, part, start)),
            *self._sharing(said),
        )
        return next((part.id for part in found if not _is_end_of_name(said, part)), None)

    def _is_other(self, head: str) -> bool:
        """Whether a noun is what flows, or a piece of a part."""
        media = {word for energy in self.unit.energies.values() for word in energy.name.lower().split()}
        return head in media or self.known.has("media", head) or self.known.has("pieces", head)

    def _alike(self, head: str, part: Part) -> bool:
        """Whether it is another word for the kind of a part: `bowl` for `housing`."""
        own = part.name.lower().split()[-1]
        return head != own and any(head in group and own in group for group in self.known["alike"])

    def _means(self, said: list[str], part: Part, start: int) -> bool:
        """Whether a noun stands where the text should name a part that its step acts on."""
        name = part.name.lower().split()
        alike = said[-1] == name[-1] or not set(said).isdisjoint(name)
        before = [token.word for token in self.tokens[max(0, start - 3) : start - 1]]
        commanded = before and (before[-1] in _VERBS or (before[-1] in SWITCHES and before[0] in _VERBS))
        if part.id in self.moved and commanded:
            return alike or said[-1].removesuffix("s") not in CLOSURES
        return alike and not before  # what a check begins with

    def _sharing(self, said: list[str]) -> Iterator[Part]:
        """The one part whose name begins alike and ends in another word for the same: `sediment bowl`."""
        heads = {part.name.lower().split()[-1] for part in self.unit.parts.values()}
        first = set(said[:-1]) - heads
        sharing = [
            part for part in self.unit.parts.values() if not first.isdisjoint(part.name.lower().split()[:-1])
        ]
        if len(sharing) == 1 and (self.known.has("whole", said[-1]) or self._alike(said[-1], sharing[0])):
            yield sharing[0]


def _nouns(tokens: Sequence[Token], known: Words) -> Iterator[tuple[int, int]]:
    """What stands behind an article in plain words, without `old`, `left` and the like before it."""
    for place, token in enumerate(tokens):
        if token.word not in ARTICLES:
            continue
        start = place + 1
        while start < len(tokens) and known.has("qualifiers", tokens[start].word):
            start += 1
        end = start
        while (
            end < len(tokens)
            and _of_noun(tokens[end])
            and not (end > start and is_finite(tokens[end].word, known))
        ):
            end += 1
        if end > start:
            yield start, end


def _of_noun(token: Token) -> bool:
    return token.word[:1].isalpha() and not token.adverb and token.word not in _NO_NOUN


def _is_tag(token: Token, unit: Unit) -> bool:
    """Whether a part stands there by its tag alone."""
    tag = unit.parts[token.part].tag if token.part is not None else None
    return tag is not None and token.end - token.start == len(tag)


def _is_end_of_name(said: list[str], part: Part) -> bool:
    """Whether it is the name or a short form of it: `valve`, `inlet valve`."""
    return part.name.lower().split()[-len(said) :] == said


RULE = Rule("wording/part-renamed", page=__doc__, level=Level.WARNING, plan=check)
