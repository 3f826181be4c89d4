"""What a sentence orders: its verbs of command, and what stands before them."""

from __future__ import annotations

from collections.abc import Iterator

from proctool.rules.language.sentences import Sentence
from proctool.rules.language.words import Words

_LINKS = frozenset({"and", "then", ",", ";", "but", ":"})
_MODAL = frozenset({"can", "cannot", "could", "may", "must", "shall", "should", "will"})
_INFINITE = _MODAL | {"to", "not"}


def alert(sentence: Sentence, words: Words) -> int:
    """How many words open a sentence as a warning: `Caution:`; 0 where none do."""
    size = words.starts("alerts", sentence.tokens)
    return size if sentence[size] in {":", "-", "."} else 0


def main_clause(sentence: Sentence, words: Words) -> int:
    """Where what is said begins: behind a condition, its comma, and words such as `then` or `slowly`."""
    size = alert(sentence, words)
    start = _skip_joins(sentence, size + 1 if size else 0, words)
    if not words.has("conditions", sentence[start]):
        return start
    for place in range(start + 1, len(sentence.tokens)):
        if sentence[place - 1] == "," or sentence[place - 1] == "then":
            behind = _skip_joins(sentence, place, words)
            if forbids(sentence, behind, words) or _opens_clause(sentence, behind, words):
                return behind
    for place in range(start + 2, len(sentence.tokens)):
        before = sentence[place - 1]
        hangs = before in _INFINITE or any(words.has(name, before) for name in ("articles", "pronouns"))
        if not hangs and _is_again(sentence, place, words):
            return place  # the comma was left out
    return start


def orders(sentence: Sentence, words: Words) -> tuple[int, ...]:
    """Places of the verbs with which a sentence commands. A prohibition orders nothing."""
    start = main_clause(sentence, words)
    if forbids(sentence, start, words) or not _verb(sentence, start, words):
        return ()
    return (start, *_more(sentence, start, words))


def forbids(sentence: Sentence, place: int, words: Words) -> bool:
    """Whether a sentence forbids at a place: `do not`, `never`."""
    return bool(words.starts("prohibitions", sentence.tokens[place:]))


def demands(sentence: Sentence, words: Words) -> int | None:
    """Where a main clause says that something must be done by a modal verb; None where none does."""
    for place in range(main_clause(sentence, words), len(sentence.tokens)):
        if words.starts("modals", sentence.tokens[place:]):
            return place
        if words.has("subordinate", sentence[place]):
            return None
    return None


def is_finite(word: str, words: Words) -> bool:
    """Whether a word has the form of what something does or is: `is`, `stops`, `flushes`."""
    stems = {word.removesuffix("s"), word.removesuffix("es")} - {word}
    does = any(words.has(name, stem) for stem in stems for name in ("commands", "happens"))
    return does or words.has("finite", word)


def _more(sentence: Sentence, start: int, words: Words) -> Iterator[int]:
    """Further commands behind the first: each stands behind `and`, `then` or a comma."""
    for place in range(start + 1, len(sentence.tokens)):
        if (
            _is_linked(sentence, place, words)
            and _is_again(sentence, place, words)
            and not _is_governed(sentence, place, words)
        ):
            yield place


def _is_linked(sentence: Sentence, place: int, words: Words) -> bool:
    """Whether a linking word stands before, perhaps with `then` or `slowly` between."""
    while sentence[place - 1] not in _LINKS and _skip_joins(sentence, place - 1, words) == place:
        place -= 1
    return sentence[place - 1] in _LINKS


def _is_governed(sentence: Sentence, place: int, words: Words) -> bool:
    """Whether a verb hangs on an earlier word: `to loosen and remove`, `so that you can lift … and turn`."""
    if sentence[place - 1] != "and":
        return False
    clause = place - 1
    while sentence[clause - 1] not in {".", ",", ";"}:
        clause -= 1
    modal = any(sentence[p] in _MODAL for p in range(clause, place))
    return modal or (sentence[place - 3] in _INFINITE and words.has("commands", sentence[place - 2]))


def _skip_joins(sentence: Sentence, place: int, words: Words) -> int:
    """Behind words such as `then`, `always`, `slowly`, and their comma."""
    while place < len(sentence.tokens):
        if not (words.has("joins", sentence[place]) or sentence.tokens[place].adverb):
            break
        place += 2 if sentence[place + 1] == "," else 1
    return place


def _verb(sentence: Sentence, place: int, words: Words) -> bool:
    """Whether the word at the head of a clause is a verb of command."""
    word = sentence[place]
    if not words.has("commands", word):
        return _unknown_verb(sentence, place, words)
    return not (words.has("nouns", word) and _is_subject(sentence, place, words))


def _opens_clause(sentence: Sentence, place: int, words: Words) -> bool:
    """Whether a command stands behind a comma, and not one more noun of a list."""
    if not _verb(sentence, place, words):
        return False
    after = sentence[place + 1]
    alone = after == "." or words.has("particles", after)
    return alone or not words.has("nouns", sentence[place]) or acts_on(sentence, place, words)


def _unknown_verb(sentence: Sentence, place: int, words: Words) -> bool:
    """Whether a word that no list has is a verb: an article follows it, and it has the form of none other."""
    word = sentence[place]
    known = any(words.has(name, word) for name in ("articles", "pronouns", "others", "conditions", "joins"))
    formed = word.endswith(("ing", "ed", "ly", "s", "er"))
    behind = place + (2 if words.has("particles", sentence[place + 1]) else 1)
    return (
        word.replace("-", "").isalpha()
        and not known
        and not formed
        and words.has("articles", sentence[behind])
    )


def _is_subject(sentence: Sentence, place: int, words: Words) -> bool:
    """Whether a noun at the head has a verb of its own: `Pump plug is out`, `Grease or a scratch …`."""
    if sentence[place + 1] in {"and", "or"} and words.has("articles", sentence[place + 2]):
        return True
    if words.has("articles", sentence[place + 1]) or words.has("particles", sentence[place + 1]):
        return False
    for token in sentence.tokens[place + 1 :]:
        if words.has("finite", token.word):
            return True
        if words.has("subordinate", token.word) or not token.spoken:
            return False
    return False


def _is_again(sentence: Sentence, place: int, words: Words) -> bool:
    """Whether a word in the middle of a sentence is one more command."""
    word = sentence[place]
    if not words.has("commands", word):
        return False
    return not words.has("nouns", word) or acts_on(sentence, place, words)


def acts_on(sentence: Sentence, place: int, words: Words) -> bool:
    """Whether what a verb acts on stands right behind it, which makes a verb of a word that is a noun too."""
    after = sentence.tokens[place + 1] if place + 1 < len(sentence.tokens) else None
    return after is not None and (
        after.name is not None
        or any(sign.isdigit() for sign in after.word)
        or words.has("articles", after.word)
        or after.word in {"it", "them", "that", "for", "if", "whether"}
    )
