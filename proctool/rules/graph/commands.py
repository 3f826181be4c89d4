"""What a text tells someone to move: its commands, and the parts they act on."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import lru_cache

from proctool.model.plan import Filled
from proctool.model.unit import Unit
from proctool.rules.graph.verbs import (
    ARTICLES,
    BREAKS,
    CLOSURES,
    CONDITIONS,
    JOINS,
    LEADS,
    MOVING,
    NOT,
    SWITCHES,
    Moving,
)
from proctool.rules.tokens import PartNames, Token, filled_tokens

_ENDS = frozenset(".;:!?")
_HEADS = frozenset(verb.partition(" ")[0] for verb in MOVING)


@dataclass(frozen=True, slots=True)
class Command:
    """A verb as written, what it means, and the parts it acts on."""

    verb: str
    moving: Moving
    parts: tuple[str, ...]


def commands(
    text: str, filled: tuple[Filled, ...], unit: Unit, acted_on: Iterable[str] = ()
) -> tuple[Command, ...]:
    """The commands of a text that move named parts.

    A command stands at the start of a sentence, after a comma or a joining word, after the `to` of a sentence
    that commands (`use the wrench to loosen …`), or after `by` (`by opening …`). What holds while something
    else is done, and what shall not be done, is no command. A part is named by `<name>`, or in plain words by
    its name or tag; where several parts have that name, one in `acted_on` is meant, else the first.
    """
    return _said(text, filled, PartNames.of(unit, acted_on))


@lru_cache(8192)
def _said(text: str, filled: tuple[Filled, ...], names: PartNames) -> tuple[Command, ...]:
    return tuple(_found(filled_tokens(text, filled, names)))


def _found(tokens: tuple[Token, ...]) -> Iterator[Command]:
    for place, token in enumerate(tokens):
        head = _ING.get(token.word) if _word(tokens, place - 1) == "by" else token.word
        if head in _HEADS and not _denied(tokens, place) and _commands(tokens, place):
            switch, parts = _objects(tokens, place + 1)
            verb = f"{head} {switch}" if f"{head} {switch}" in MOVING else head
            if verb in MOVING and parts:
                yield Command(verb, MOVING[verb], tuple(parts))


def _word(tokens: tuple[Token, ...], place: int) -> str:
    """The word at a place; a full stop before the first and after the last."""
    return tokens[place].word if 0 <= place < len(tokens) else "."


def _start(tokens: tuple[Token, ...], place: int, signs: Iterable[str]) -> int:
    """Where the stretch between some signs starts that holds a place."""
    while place > 0 and tokens[place - 1].word not in signs:
        place -= 1
    return place


def _denied(tokens: tuple[Token, ...], place: int) -> bool:
    """Whether what is said shall not be done: `do not … or …`, `never`, or a `not` in the same clause."""
    sentence = _start(tokens, place, _ENDS)
    clause = _start(tokens, place, _ENDS | {","})
    first = {_word(tokens, sentence), _word(tokens, sentence + 1)}
    return bool(first & NOT) or any(token.word in NOT for token in tokens[clause:place])


def _commands(tokens: tuple[Token, ...], place: int) -> bool:
    """Whether a verb at a place is a command."""
    clause = _start(tokens, place, _ENDS | {","})
    while place > clause and (_word(tokens, place - 1).endswith("ly") or _word(tokens, place - 1) in JOINS):
        place -= 1
        if _word(tokens, place) in {"and", "or"}:
            return _word(tokens, clause) not in CONDITIONS
    before = _word(tokens, place - 1)
    if before == "to":
        return bool(LEADS & {_word(tokens, clause), _word(tokens, place - 2)})
    return before == "by" or not before or not before[0].isalnum()


def _objects(tokens: tuple[Token, ...], place: int) -> tuple[str, list[str]]:
    """The second word of a verb, and the parts it acts on: up to a preposition or the end of the clause."""
    first, switch = place, ""
    parts: list[str] = []
    closure = False
    while place < len(tokens):
        word, part = tokens[place].word, tokens[place].part
        onward = place + 1 < len(tokens) and _names_thing(tokens[place + 1])
        if part is not None:
            parts.append(part)
        elif word in SWITCHES and (place == first or not onward or word == "off"):
            switch = switch or word
            if place != first and onward and not closure:
                break
        elif word in {",", "and", "or"}:
            # `close and lock the valve`, `take your lock and tag off` go on; `close it and open …` does not
            if not (onward or place == first or _word(tokens, place + 2) in SWITCHES):
                break
        elif closure and not parts and word in {"of", "on", "at"}:
            pass  # what closes a part: the part itself comes next
        elif word in BREAKS or (word and not word[0].isalnum()):
            break
        closure = closure or word.removesuffix("s") in CLOSURES
        place += 1
    return switch, parts


def _names_thing(token: Token) -> bool:
    return not token.word or token.word in ARTICLES


def _ing(verb: str) -> str:
    """The form after `by`: opening, closing, stopping."""
    if verb in {"stop", "shut", "cut", "plug", "unplug", "unclip"}:
        return f"{verb}{verb[-1]}ing"
    return f"{verb.removesuffix('e')}ing"


_ING = {_ing(head): head for head in sorted(_HEADS)}
