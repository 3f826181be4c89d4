"""The answers file of `adapt`: which procedure and unit it is for, and an answer for each question's name."""

from __future__ import annotations

from dataclasses import dataclass

from proctool.model.document import Mapping, Scalar
from proctool.model.finding import Finding, file_fault
from proctool.model.nearest import did_you_mean
from proctool.source.yamltree import parse

_KEYS = ("adapt", "to", "answers")


@dataclass(frozen=True, slots=True)
class Answers:
    """What an answers file says."""

    procedure: Scalar
    unit: Scalar
    answers: dict[str, str]
    """By the name of the question: `part second`, `number`, `time`, `tag P2`, `figure figures/ring.svg`."""


def read_answers(file: str, data: bytes) -> Answers | tuple[Finding, ...]:
    """An answers file, or its faults.

    Such as `{adapt: change-cartridges, to: KW-8, answers: {number: FP-KB-101, part first: pre_filter}}`.
    """
    root, findings = parse(file, data)
    if root is None or findings:
        return findings
    faults = [
        file_fault("file/schema", f"`{key.text}` is no key here.{did_you_mean(key.text, _KEYS)}", key.span)
        for key, _ in root
        if key.text not in _KEYS
    ]
    faults += (
        file_fault("file/schema", f"There is no `{key}`; expected {expected}.", root.entries[0][0].span)
        for key, expected in (
            ("adapt", "the procedure that the answers are for"),
            ("to", "the unit that the answers are for"),
            ("answers", "a map of answers by the names of the questions"),
        )
        if root.get(key) is None
    )
    procedure, unit, given = (root.get(key) for key in _KEYS)
    answers: dict[str, str] = {}
    if isinstance(given, Mapping):
        for key, value in given:
            if isinstance(value, Scalar) and value.text:
                answers[key.text] = value.text
            else:
                faults.append(file_fault("file/schema", f"The answer `{key.text}` is no text.", key.span))
    elif given is not None:
        faults.append(file_fault("file/schema", "`answers` is no map of answers by names.", given.span))
    if faults or not isinstance(procedure, Scalar) or not isinstance(unit, Scalar):
        what = file_fault("file/schema", "`adapt` and `to` are one name each.", root.entries[0][0].span)
        return tuple(faults) or (what,)
    return Answers(procedure, unit, answers)
