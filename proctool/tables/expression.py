"""Formulas as trees, each piece with its place in the text. Places count from 0; the end is exclusive."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TypeAlias

from proctool.model.quantity import Quantity


@dataclass(frozen=True, slots=True)
class Literal:
    """A number, with its measure if it has one."""

    at: int
    end: int
    quantity: Quantity


@dataclass(frozen=True, slots=True)
class Name:
    """The name of a reading, a fixed value, a fact or a property of a part."""

    at: int
    end: int
    name: str


@dataclass(frozen=True, slots=True)
class Negative:
    """A value with its sign turned."""

    at: int
    end: int
    operand: Expression


@dataclass(frozen=True, slots=True)
class Operation:
    """Two values and one of `+ - * / **` between them."""

    at: int
    end: int
    sign: str
    left: Expression
    right: Expression


@dataclass(frozen=True, slots=True)
class Call:
    """A function and its arguments."""

    at: int
    end: int
    function: str
    arguments: tuple[Expression, ...]


Expression: TypeAlias = Literal | Name | Negative | Operation | Call


def pieces(node: Negative | Operation | Call) -> tuple[Expression, ...]:
    """What a piece of a formula is made of."""
    match node:
        case Negative():
            return (node.operand,)
        case Operation():
            return node.left, node.right
        case Call():
            return node.arguments


@dataclass(frozen=True, slots=True)
class FormulaFault:
    """What is wrong with a formula: the id of the rule that asks, and from where to where in its text."""

    kind: str
    message: str
    at: int
    end: int


@dataclass(frozen=True, slots=True)
class Formula:
    """A formula that could be read."""

    text: str
    root: Expression
    names: frozenset[str]
    """The names in it."""
