"""A safety message names the hazard, the harm and the way to avoid it.

Why: `Danger!` and `Be careful` tell nobody what to look at, what it does, and what to do about it. A NOTICE
may do without the harm. A signal word inside a step's text is such a thin message too.

Source: A summary of the ANSI Z535 standards for product safety messages (nature of the hazard, consequence,
how to avoid it), as read; `messagepanel` of DITA has the same three parts.

Bad::

    dangers:
      plates:
        word: warning
        hazard: Danger.
        harm: It can injure you.
        avoid: Be careful.
    steps:
      - do: Wipe the housing.
        warn: plates

Good::

    dangers:
      plates:
        word: warning
        hazard: Sharp edges at the frame.
        harm: They can cut your hands.
        avoid: Wear cut-resistant gloves.
    steps:
      - do: Wipe the housing.
        warn: plates
"""

from __future__ import annotations

from collections.abc import Iterator

from proctool.model.document import Scalar
from proctool.rules.language.orders import alert
from proctool.rules.language.sentences import sentences
from proctool.rules.language.texts import Message, Text, TextKind, TextSubject
from proctool.rules.language.words import Words
from proctool.rules.rule import Rule, Seen

_HELP = {
    "hazard": "Say what is dangerous: `Water under pressure.`",
    "harm": "Say what it does to whom: `It can burn your hands.`",
    "avoid": "Say what keeps people from harm: `Open it only after its zero is verified.`",
}


def check(subject: TextSubject) -> Iterator[Seen]:
    """Each field of a message that is missing or says nothing, and each message in a step's text."""
    for message in subject.messages:
        yield from _message(message, subject.words)
    for text in subject.texts:
        if text.kind in {TextKind.INSTRUCTION, TextKind.CHECK, TextKind.STOP}:
            yield from _inside(text, subject.words)


def _message(message: Message, words: Words) -> Iterator[Seen]:
    fields = {"hazard": message.hazard, "harm": message.harm, "avoid": message.avoid}
    notice = message.word is not None and message.word.text == "notice"
    for name, field in fields.items():
        if field is None:
            if not (notice and name == "harm"):
                yield Seen(message.span, f"This message has no `{name}`.", _HELP[name])
        elif _says_nothing(name, field, words):
            yield Seen(field.span, f"This `{name}` says nothing: `{field.text}`", _HELP[name])
    if message.hazard is not None and message.harm is not None and message.hazard.text == message.harm.text:
        yield Seen(message.harm.span, "This `harm` only repeats the hazard.", _HELP["harm"])


def _says_nothing(name: str, field: Scalar, words: Words) -> bool:
    """Whether a field has only words that go with every danger."""
    said = [token for sentence in sentences(field.text, words) for token in sentence.tokens]
    if name == "avoid" and all(
        words.starts("idle", sentence.tokens) for sentence in sentences(field.text, words)
    ):
        return True
    return not any(token.spoken and not words.has("empty", token.word) for token in said)


def _inside(text: Text, words: Words) -> Iterator[Seen]:
    """A signal word that opens a text."""
    sentence = text.sentences[0] if text.sentences else None
    if sentence is not None and alert(sentence, words) and words.starts("signal_words", sentence.tokens):
        message = "A safety message stands in this text without its hazard, harm and way out."
        help_ = "Write it under `dangers` with word, hazard, harm and avoid, and name it in `warn`."
        yield Seen(text.place(sentence.tokens[0]), message, help_)


RULE = Rule("wording/warning-thin", page=__doc__, text=check)
