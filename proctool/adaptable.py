"""What an adaptation is asked for: its procedure, its units and its answers, each of which must fit."""

from __future__ import annotations

import re
from collections.abc import Iterable
from collections.abc import Mapping as ReadOnly
from dataclasses import replace
from pathlib import Path, PurePosixPath

from proctool.draft.adapt.carry import Carried, Task, carry
from proctool.draft.adapt.matching import NONE
from proctool.library import Library
from proctool.model.adapting import Match
from proctool.model.nearest import did_you_mean
from proctool.model.unit import Unit
from proctool.source.answers import Answers, read_answers
from proctool.source.yamltree import MAX_BYTES

_NAME = re.compile(r"[A-Za-z0-9][A-Za-z0-9_-]*")


class AdaptError(Exception):
    """What was asked to be adapted is not there, or an answer fits nothing. The text says what to do."""


def answers_in(file: Path, procedure: str, unit: str) -> dict[str, str]:
    """The answers in a file, by the names of the questions.

    Raises:
        AdaptError: it cannot be read, or is for another procedure or unit.
    """
    try:
        with file.open("rb") as stream:
            data = stream.read(MAX_BYTES + 1)  # one more than a file may have, which reading then refuses
    except OSError as error:
        raise AdaptError(f"{file} cannot be read: {error.strerror}.") from None
    found = read_answers(file.name, data)
    if not isinstance(found, Answers):
        said = "; ".join(f"{f.span}: {f.message}" for f in found[:3])
        raise AdaptError(f"{said} Such a file says `adapt: {procedure}`, `to: {unit}`, `answers: {{…}}`.")
    for scalar, asked in ((found.procedure, procedure), (found.unit, unit)):
        if scalar.text != asked:
            raise AdaptError(f"{scalar.span}: these answers are for {scalar.text}, not for {asked}.")
    return found.answers


def units_of(library: Library, procedure: str, to: str, source: str | None) -> tuple[Unit, Unit]:
    """The unit to adapt to, and the one to adapt from."""
    if procedure not in library.procedures:
        raise AdaptError(_missing("procedure", procedure, library.procedures, library.faulty_files))
    for unit in (to, *([source] if source else [])):
        if unit not in library.units.families:
            raise AdaptError(_missing("unit", unit, library.units.families, library.faulty_files))
    whole = library.units.whole
    if to not in whole:
        raise AdaptError(f"The file of unit `{to}` has errors. `proctool check` tells them.")
    fitting = [u for u in library.units.fitting(library.procedures[procedure])[0] if u in whole and u != to]
    if source is not None and source not in fitting:
        raise AdaptError(f"Procedure `{procedure}` is not for `{source}`; it is for {', '.join(fitting)}.")
    if not fitting:
        raise AdaptError(f"Procedure `{procedure}` is for no other unit that it could be adapted from.")

    def shared(unit: str) -> int:
        parts = whole[unit].parts
        return sum(name in parts and parts[name].role is part.role for name, part in whole[to].parts.items())

    return whole[to], whole[source or max(fitting, key=shared)]


def must_fit(
    opens: list[str], procedure: str, matches: ReadOnly[str, Match], source: Unit, target: Unit
) -> None:
    """Whether anything that is opened could be on the other unit."""
    parts = [part for name in opens if (part := source.parts.get(name) or source.tagged(name)) is not None]
    if parts and all(_none(matches[part.id]) for part in parts):
        names = ", ".join(part.label for part in parts)
        raise AdaptError(f"`{procedure}` opens {names}, and {target.id} has nothing for that: nothing fits.")


def _none(match: Match) -> bool:
    return match.to is None and (match.ground is not None or not match.candidates)


def free_name(library: Library, procedure: str, name: str, *, anew: bool) -> tuple[str, str]:
    """The draft's name and the path of its file, beside that of the procedure; neither is there already.

    With `anew` it may be a draft that stands in that file under that name.
    """
    if not _NAME.fullmatch(name):
        raise AdaptError(
            f"`{name}` is no name; expected letters, digits, `-` and `_`, such as {procedure}-2."
        )
    file = str(PurePosixPath(library.procedures[procedure].span.file).with_name(f"{name}.yaml"))
    there = library.procedures.get(name)
    if anew and there is not None and there.span.file == file and name != procedure:
        return name, file
    if there is not None:
        raise AdaptError(f"There is a procedure `{name}` already. Choose another --name.")
    if file in library.files:
        raise AdaptError(f"There is a file {file} already. Choose another --name.")
    return name, file


def _missing(what: str, name: str, names: Iterable[str], faulty: tuple[str, ...]) -> str:
    known = sorted(names)
    hint = did_you_mean(name, known) or f" There are {', '.join(known[:12])}."
    unread = f" {', '.join(faulty[:3])} could not be read: `proctool check` says why." if faulty else ""
    return f"There is no {what} `{name}` in this library.{hint}{unread}"


def part_answers(source: Unit, target: Unit, answers: ReadOnly[str, str]) -> dict[str, str]:
    """The answers about parts, by ids."""
    found: dict[str, str] = {}
    for key, value in answers.items():
        kind, _, name = key.partition(" ")
        if kind != "part":
            continue
        if name not in source.parts:
            hint = did_you_mean(name, source.parts)
            raise AdaptError(f"The answer `{key}`: {source.id} has no part `{name}`.{hint}")
        tagged = target.tagged(value)
        if value != NONE and value not in target.parts and tagged is None:
            hint = did_you_mean(value, target.parts) or f" `{NONE}` says that it has nothing for it."
            raise AdaptError(f"The answer `{key}: {value}`: {target.id} has no part `{value}`.{hint}")
        found[name] = tagged.id if tagged is not None and value not in target.parts else value
    twice = [name for name, to in found.items() if to != NONE and list(found.values()).count(to) > 1]
    if twice:
        both = " and for ".join(twice)
        raise AdaptError(f"The answers take {found[twice[0]]} for {both}; one part stands for one.")
    return found


def must_be_asked(answers: ReadOnly[str, str], task: Task, carried: Carried) -> None:
    """Every other answer is to a question that this procedure can ask."""
    every = carry(replace(task, answers={}))
    known = {q.name for q in (*every.questions, *carried.questions)} | {"revision why"}
    for key in answers:
        if key not in known and not key.startswith(("part ", "step ")):
            hint = did_you_mean(key, known) or f" It asks {', '.join(sorted(known)[:12])}."
            raise AdaptError(f"The answer `{key}` is to no question of this procedure.{hint}")
