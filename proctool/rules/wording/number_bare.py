"""A number carries its measure.

Why: `Set the regulator to 4` is 4 bar for one reader and 4 psi for the next. Tags, sizes of threads and
pipes, counts (`4 bolts`), parts of a turn, and numbers that are names (`step 3`) need none. Behind which
words a number is a name is a list for each language; a library adds its own with `words: {labels: […]}`.
Languages without a list are not read.

Source: DOE-STD-1029 (values with the units on the instrument), from memory; what is excepted is common
practice, no source.

Bad::

    steps:
      - do: Wait until the pressure is below 2.

Good::

    steps:
      - do: Wait until the pressure is below 2 bar.
      - do: Put 4 bolts M8 into the bucket.
"""

from __future__ import annotations

from collections.abc import Iterator

from proctool.rules.language.amounts import bare
from proctool.rules.language.texts import TextSubject
from proctool.rules.rule import Rule, Seen


def check(subject: TextSubject) -> Iterator[Seen]:
    """Each number without a measure that is no count, size or name."""
    for text in subject.texts:
        for sentence in text.sentences:
            for first, last in bare(sentence, subject.words):
                tokens = sentence.tokens[first], sentence.tokens[last]
                said = text.written.text[tokens[0].start : tokens[1].end]
                help_ = "Write the measure behind it. If it is a name, say of what: `step 3`, `position 2`."
                yield Seen(text.place(*tokens), f"`{said}` has no measure.", help_)


RULE = Rule("wording/number-bare", page=__doc__, text=check)
