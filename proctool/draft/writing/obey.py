"""What a library asks by its own rules is put before the steps that would break them.

Rules are asked about as (which acts, which values of which conditions): where a condition does not hold, the
library's own step that makes it so is put in. What no step of the library makes so is left, for the check to
tell. Only the main steps are looked at, every check passing.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Sequence
from collections.abc import Mapping as ReadOnly
from collections.abc import Set as AbstractSet
from dataclasses import dataclass, replace

from proctool.draft.writing.phrasebook import Phrases
from proctool.draft.writing.written import Deed, Entry, Group, Task

NAMED = re.compile(r"<([^<>.\s]+)")
"""Names in a text."""

Wanted = tuple[str, frozenset[str]]
"""A condition, and the values that will do."""


@dataclass(frozen=True, slots=True)
class Asked:
    """One rule of the library: conditions that must hold before some acts, or come to hold after them."""

    meant: Callable[[Deed], bool]
    wanted: tuple[Wanted, ...]
    after: bool = False
    name: str = ""


def obeying(
    entries: Sequence[Entry],
    rules: Sequence[Asked],
    phrases: Phrases,
    start: ReadOnly[str, str],
    parts: AbstractSet[str],
) -> tuple[Entry, ...]:
    """The entries with what the rules ask for put in.

    What is put on or laid out before the unit is back goes to the front: there it serves every step. A step
    that names one of the unit's `parts` stays where it is.
    """
    first = _Walk(rules, phrases, start)
    tuple(first.entries(entries[:-1]))
    early = tuple(task for task in first.put if not task.deeds and not parts & set(NAMED.findall(task.text)))
    walk = _Walk(rules, phrases, start)
    return (*walk.entries((*early, *entries)), *walk.owed())


class _Walk:
    """The steps gone through in order, the values of conditions followed."""

    def __init__(self, rules: Sequence[Asked], phrases: Phrases, start: ReadOnly[str, str]) -> None:
        self.rules, self.phrases = rules, phrases
        self.now = dict(start)
        self.put: list[Task] = []
        self.due: dict[Wanted, Asked] = {}

    def entries(self, entries: Sequence[Entry]) -> Iterator[Entry]:
        """The entries, each with what must stand before it."""
        for entry in entries:
            if isinstance(entry, Group):
                yield replace(entry, steps=tuple(self.entries(entry.steps)))
            else:
                yield from self._before(entry)
                yield self._done(entry)

    def _before(self, task: Task) -> Iterator[Task]:
        for rule in self.rules:
            if not any(rule.meant(deed) for deed in task.deeds):
                continue
            if rule.after:
                self.due |= dict.fromkeys(rule.wanted, rule)
                continue
            yield from self._made(rule)

    def _made(self, rule: Asked, *, anew: bool = False) -> Iterator[Task]:
        for name, values in rule.wanted:
            if anew or self.now.get(name) not in values:
                making = (
                    self.phrases.made[name, v] for v in sorted(values) if (name, v) in self.phrases.made
                )
                for task in list(making)[:1]:
                    put = replace(
                        task, id=task.id or name, why=(f"Asked by the library's rule `{rule.name}`.",)
                    )
                    self.put.append(put)
                    yield self._done(put)

    def _done(self, task: Task) -> Task:
        self.now |= dict(task.makes)
        for wanted in [
            w for w in self.due if (w[0], self.now.get(w[0])) in task.makes and self.now[w[0]] in w[1]
        ]:
            del self.due[wanted]
        return task

    def owed(self) -> Iterator[Task]:
        """What is still to be done at the end."""
        for rule in dict.fromkeys(self.due.values()):
            yield from self._made(rule, anew=True)
