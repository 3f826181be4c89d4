"""The signal word fits what happens and how surely: DANGER, WARNING, CAUTION, NOTICE, and no other.

Why: A word that is too strong wears out, one that is too weak hides what can kill. DANGER is for what will
kill or seriously injure, WARNING for what could, CAUTION for what could injure a little, NOTICE for what
harms no one. Where the words of `harm` do not say how badly (`injure you`), WARNING and CAUTION both fit.
`It can kill you` is written of both, of what will if it is not avoided and of what might: DANGER and WARNING
fit. Of several harms the gravest counts.

Source: ANSI Z535.4-2007 4.14 as cited by a publisher of signs: DANGER will, WARNING could cause death or
serious injury, CAUTION could cause minor or moderate injury, NOTICE is not related to injury. That the word
follows from outcome and likelihood: a summary of ANSI Z535 and ISO 3864. Other trades use CAUTION for damage;
this rule does not.

Bad::

    unit:
      energies:
        mains:
          warning: {word: caution, hazard: Mains., harm: It can kill you., avoid: Keep the cover shut.}

Good::

    unit:
      energies:
        mains:
          warning: {word: warning, hazard: Mains., harm: It can kill you., avoid: Keep the cover shut.}
"""

from __future__ import annotations

from collections.abc import Iterator
from enum import IntEnum

from proctool.rules.language.orders import alert
from proctool.rules.language.sentences import Sentence, sentences
from proctool.rules.language.texts import Message, Text, TextKind, TextSubject
from proctool.rules.language.words import Words
from proctool.rules.rule import Rule, Seen


class _Outcome(IntEnum):
    """What happens to people, the gravest last."""

    UNSAID = 0
    DAMAGE = 1
    SLIGHT = 2
    INJURY = 3
    GRAVE = 4


def check(subject: TextSubject) -> Iterator[Seen]:
    """Each signal word that does not fit its harm, and each foreign one that opens a sentence of a step."""
    for message in subject.messages:
        yield from _message(message, subject.words)
    for text in subject.texts:
        if text.kind not in {TextKind.HAZARD, TextKind.HARM}:
            yield from _foreign(text, subject.words)


def _message(message: Message, words: Words) -> Iterator[Seen]:
    if message.word is None or message.harm is None:
        return
    said = sentences(message.harm.text, words)
    outcome = max((_outcome(sentence, words) for sentence in said), default=_Outcome.UNSAID)
    fitting = _fitting(outcome, said, words)
    if fitting and message.word.text not in fitting:
        right = " or ".join(word.upper() for word in fitting)
        yield Seen(
            message.word.span,
            f"{message.word.text.upper()} does not fit this harm: `{message.harm.text}`",
            f"Write {right}, or say the harm as it is: how grave, and whether it can or will happen.",
        )


def _outcome(sentence: Sentence, words: Words) -> _Outcome:
    tokens = sentence.tokens
    hurt = [start for start, end in words.find("people", tokens) if not words.has("finite", sentence[end])]
    maims = (end for _, end in words.find("grave_to_people", tokens))
    if words.any("grave", tokens) or any(start in {end, end + 1} for end in maims for start in hurt):
        return _Outcome.GRAVE
    if words.any("slight", tokens):
        return _Outcome.SLIGHT
    if words.any("injuring", tokens) or (hurt and words.any("injuring_people", tokens)):
        return _Outcome.INJURY
    return _Outcome.DAMAGE if words.any("damaging", tokens) else _Outcome.UNSAID


def _fitting(outcome: _Outcome, said: tuple[Sentence, ...], words: Words) -> tuple[str, ...]:
    """The words that fit; none where the harm says too little to tell."""
    if outcome is _Outcome.GRAVE:
        grave = [sentence for sentence in said if _outcome(sentence, words) is outcome]
        if any(words.any("certain", sentence.tokens) for sentence in grave):
            return ("danger",)
        return ("danger", "warning")
    fitting = {
        _Outcome.INJURY: ("warning", "caution"),
        _Outcome.SLIGHT: ("caution",),
        _Outcome.DAMAGE: ("notice",),
    }
    return fitting.get(outcome, ())


def _foreign(text: Text, words: Words) -> Iterator[Seen]:
    """A word such as `Attention:` that stands for a signal word."""
    for sentence in text.sentences:
        size = alert(sentence, words)
        if size and not words.starts("signal_words", sentence.tokens):
            place = text.place(sentence.tokens[0], sentence.tokens[size - 1])
            said = " ".join(token.word for token in sentence.tokens[:size])
            yield Seen(
                place,
                f"`{said}` is no signal word: DANGER, WARNING, CAUTION and NOTICE are.",
                "Write a safety message with word, hazard, harm and avoid, and name it in `warn`.",
            )


RULE = Rule("wording/signal-word", page=__doc__, text=check)
