"""An instruction starts with its command verb, or with the condition for it.

Why: `Close the valve` leaves no doubt about who does what. `The valve is closed` may say what was done, what
will be done, or what shall be done by someone else. A tool (`with the wrench, …`), a manner (`slowly …`) and
`please`, `next` or `then` stand behind the verb or are left out. Which verbs are known, and which words open
a condition, is a list for each language; a library adds its own with `words: {commands: […]}`. Languages
without a list are not read.

Source: ASD-STE100 rules 5.3 and 5.4 (imperative; a leading condition is split off with a comma), from a
summary; DOE-STD-1029 (imperative verb first), from memory and a course on technical writing.

Bad::

    steps:
      - do: The drain valve must be wiped clean.

Good::

    steps:
      - do: Wipe the drain valve clean.
      - do: If water drips from the <drain>, put a bucket under it.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from proctool.model.finding import Level
from proctool.rules.language.orders import alert, demands, forbids, main_clause, orders
from proctool.rules.language.sentences import Sentence
from proctool.rules.language.texts import Text, TextKind, TextSubject
from proctool.rules.language.words import Words
from proctool.rules.rule import Rule, Seen

_HELP = "Start with what to do, as `Close the …`; a condition stands before it, up to a comma."


def check(subject: TextSubject) -> Iterator[Seen]:
    """Each instruction that does not command, and each sentence of one that demands by `must` or `shall`."""
    for text in subject.texts:
        if text.kind in {TextKind.INSTRUCTION, TextKind.STOP} and text.sentences:
            yield from _text(text, subject.words)


def _text(text: Text, words: Words) -> Iterator[Seen]:
    commanding = [_commands(sentence, words) for sentence in text.sentences]
    # Where a job stops, the reason may stand before what to do.
    begins = any(commanding) if text.kind is TextKind.STOP else _begins(text.sentences[0], words)
    if not (begins or alert(text.sentences[0], words)):
        first, last = text.sentences[0].tokens[0], text.sentences[0].tokens[-1]
        yield Seen(text.place(first, last), "This instruction does not start with a command verb.", _HELP)
    elif text.kind is TextKind.INSTRUCTION:
        yield from _demands(text, commanding, words)


def _demands(text: Text, commanding: Sequence[bool], words: Words) -> Iterator[Seen]:
    for sentence, commands in zip(text.sentences, commanding, strict=True):
        place = None if commands else demands(sentence, words)
        if place is not None:
            token = sentence.tokens[place]
            message = f"`{sentence[place]}` says what must be, and not who does what."
            yield Seen(text.place(token), message, _HELP)


def _begins(sentence: Sentence, words: Words) -> bool:
    """Whether a sentence begins with its command, or with a condition and then its command."""
    conditional = words.has("conditions", sentence[0]) and not _names_tool(sentence, words)
    return _commands(sentence, words) and (conditional or main_clause(sentence, words) == 0)


def _names_tool(sentence: Sentence, words: Words) -> bool:
    """Whether a sentence opens with a tool: `with the wrench`, and not `with the pump running`."""
    if sentence[0] != "with":
        return False
    head = sentence.tokens[: main_clause(sentence, words)]
    return not any(t.word.endswith(("ing", "ed")) or words.has("states_of", t.word) for t in head)


def _commands(sentence: Sentence, words: Words) -> bool:
    return bool(orders(sentence, words)) or forbids(sentence, main_clause(sentence, words), words)


RULE = Rule("wording/not-imperative", page=__doc__, level=Level.WARNING, text=check)
