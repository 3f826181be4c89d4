"""Damage to texts: to their bytes, to their tokens, to the tree they hold."""

from __future__ import annotations

import re
from typing import Any

import yaml

from tests.fuzz.choices import Choices
from tests.fuzz.words import BYTES, HIDDEN, JSON, NUMBERS, TOKENS, WORDS

_TOKEN = re.compile(r"\w+|[^\S\n]+|\n|.", re.DOTALL)
_DEEPEST = 60
Tree = Any


def damaged(text: str, choices: Choices) -> bytes:
    """A file after a few changes of one sort."""
    sort = choices.below(4)
    if sort == 0:
        return _bytes(text.encode("utf-8", "surrogatepass"), choices)
    if sort == 1:
        return retold(text, choices).encode("utf-8", "surrogatepass")
    return _regrown(text, choices).encode("utf-8", "surrogatepass")


def retold(text: str, choices: Choices, tokens: tuple[str, ...] = TOKENS) -> str:
    """A text with a few of its words and signs changed, taken away, doubled or moved."""
    pieces = _TOKEN.findall(text)
    for _ in choices.times(6):
        at, how = choices.below(len(pieces) + 1), choices.below(5)
        if how == 0:
            pieces[at:at] = [choices.pick(tokens)]
        elif how == 1:
            pieces[at : at + 1] = [choices.pick(tokens)]
        elif how == 2:
            del pieces[at : at + 1 + choices.below(8)]
        elif how == 3:
            other = choices.below(len(pieces) + 1)
            pieces[at:at] = pieces[other : other + 1 + choices.below(20)]
        else:
            pieces[at:at] = [choices.text(12)]
    return "".join(pieces)


def damaged_near(text: str, choices: Choices) -> bytes:
    """A long text after a few changes near one place."""
    at = choices.below(len(text))
    piece = retold(text[at : at + 80], choices, (*TOKENS, *JSON))
    return (text[:at] + piece + text[at + 80 :]).encode("utf-8", "surrogatepass")


def _bytes(data: bytes, choices: Choices) -> bytes:
    made = bytearray(data)
    for _ in choices.times(4):
        at, how = choices.below(len(made) + 1), choices.below(4)
        if how == 0:
            made[at:at] = choices.pick(BYTES)
        elif how == 1 and at < len(made):
            made[at] ^= 1 << choices.below(8)
        elif how == 2:
            del made[at : at + 1 + choices.below(40)]
        else:
            made[at:at] = choices.take(8)
    if choices.below(8) == 7:
        return bytes(made).replace(b"\n", choices.pick((b"\r\n", b"\r", b"\n\n")))
    return bytes(made)


def _regrown(text: str, choices: Choices) -> str:
    """The tree of a file, its nodes swapped, renamed, replaced, buried or taken away."""
    try:
        tree = yaml.load(text, Loader=yaml.CBaseLoader)  # noqa: S506 - it makes texts, lists and maps only
    except yaml.YAMLError:
        return retold(text, choices)  # it is damaged already
    for _ in choices.times(5):
        places = list(_places(tree))
        if not places:
            break
        home, key = choices.pick(places)
        how = choices.below(7)
        if how == 0:
            other, there = choices.pick(places)
            home[key], other[there] = _copied(other[there]), _copied(home[key])
        elif how == 1:
            home[key] = choices.pick((*NUMBERS, *WORDS, *HIDDEN))
        elif how == 2:
            del home[key]
        elif how == 3 and isinstance(home, dict):
            home[choices.pick((*WORDS, *NUMBERS, *_keys(tree)))] = _copied(home[key])
        elif how == 4:
            home[key] = retold(home[key], choices) if isinstance(home[key], str) else [home[key]]
        elif how == 5:
            home[key] = _buried(home[key], 1 + choices.below(_DEEPEST), choices.below(2) == 1)
        elif isinstance(home, list):
            home[key:key] = [_copied(home[key])] * (
                1 + choices.below(60 if isinstance(home[key], str) else 3)
            )
    return yaml.dump(_spelt(tree), Dumper=yaml.CDumper, allow_unicode=True, sort_keys=False)


def _places(tree: Tree) -> list[tuple[Tree, Any]]:
    """Each node but the root, as its home and its key there."""
    found: list[tuple[Tree, Any]] = []
    waiting = [tree]
    while waiting and len(found) < 5_000:
        node = waiting.pop()
        keys = list(node) if isinstance(node, dict) else range(len(node)) if isinstance(node, list) else ()
        found += ((node, key) for key in keys)
        waiting += (node[key] for key in keys)
    return found


def _keys(tree: Tree) -> list[str]:
    return sorted({key for home, key in _places(tree) if isinstance(home, dict)})


def _copied(node: Tree) -> Tree:
    """A copy, so that what is written out again holds no alias."""
    if isinstance(node, dict):
        return {key: _copied(value) for key, value in node.items()}
    return [_copied(item) for item in node] if isinstance(node, list) else node


def _spelt(node: Tree) -> Tree:
    """The tree with texts that can be written: half a surrogate pair is none."""
    if isinstance(node, dict):
        return {_spelt(key): _spelt(value) for key, value in node.items()}
    if isinstance(node, list):
        return [_spelt(item) for item in node]
    return node.encode("utf-8", "replace").decode()


def _buried(node: Tree, depth: int, maps: bool) -> Tree:
    for _ in range(depth):
        node = {"steps": node} if maps else [node]
    return node
