"""The steps of a manual, nested ones too where they are asked for."""

from __future__ import annotations

from proctool.render.item import Item, Section
from proctool.render.manual import Manual


def items(sections: tuple[Section, ...]) -> list[Item]:
    return [item for section in sections for item in section.items]


def step(view: Manual, number: str) -> Item:
    return next(item for item in items(view.sections) if item.number == number)
