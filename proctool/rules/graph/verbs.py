"""Verbs that tell someone to move a part, and the acts that say the same to the proof. In English."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Moving:
    """What a verb may mean: any one of `acts` on the part named after it says so."""

    acts: frozenset[str]
    anywhere: bool = False
    """The act may be on another part: one drains a housing by opening its drain."""


def _moving(*acts: str, anywhere: bool = False) -> Moving:
    return Moving(frozenset(acts), anywhere)


_OPENED = _moving("open", "vent", "connect", "restore", "throttle", "uncover", "bleed")
_CLOSED = _moving("close", "shut", "isolate", "restore", "throttle", "cover")
_UNDONE = _moving("open", "loosen", "vent", "uncover", "remove")
_TAKEN_OFF = _moving("open", "loosen", "uncover", "unlock", "isolate", "remove")
_LET_OUT = _moving("vent", "open", "bleed", "discharge", "flush", "loosen", anywhere=True)
_ON = _moving("start", "try_start", "connect", "restore", "throttle")
_OFF = _moving("stop", "isolate", "shut")

MOVING: dict[str, Moving] = {
    "open": _OPENED,
    "reopen": _OPENED,
    "close": _CLOSED,
    "shut": _CLOSED,
    "loosen": _UNDONE,
    "slacken": _UNDONE,
    "unscrew": _UNDONE,
    "unbolt": _UNDONE,
    "unclamp": _UNDONE,
    "unclip": _UNDONE,
    "undo": _UNDONE,
    "unfasten": _UNDONE,
    "dismantle": _UNDONE,
    "disassemble": _UNDONE,
    "disconnect": _TAKEN_OFF,
    "detach": _TAKEN_OFF,
    "take off": _TAKEN_OFF,
    "lift off": _TAKEN_OFF,
    "pull off": _TAKEN_OFF,
    "screw off": _TAKEN_OFF,
    "uncover": _moving("uncover", "open"),
    "drain": _LET_OUT,
    "empty": _LET_OUT,
    "vent": _LET_OUT,
    "bleed": _LET_OUT,
    "depressurise": _LET_OUT,
    "depressurize": _LET_OUT,
    "switch on": _ON,
    "turn on": _ON,
    "switch off": _OFF,
    "turn off": _OFF,
    "shut off": _OFF,
    "cut off": _OFF,
    "shut down": _OFF,
    "start": _moving("start", "try_start"),
    "restart": _moving("start"),
    "stop": _moving("stop", "isolate"),
    "halt": _moving("stop", "isolate"),
    "pull": _moving("isolate"),
    "pull out": _moving("isolate"),
    "unplug": _moving("isolate"),
    "plug in": _moving("connect", "restore"),
    "unlock": _moving("unlock"),
}
"""Verbs by their plain form. Those of two words may have what they act on between them."""

SWITCHES = frozenset({"on", "off", "in", "out", "down"})
"""Second words of verbs."""
CLOSURES = frozenset(
    {"bolt", "bonnet", "bowl", "cap", "clamp", "cover", "flange", "guard", "head", "joint", "lid", "lock"}
    | {"nut", "panel", "plate", "plug", "screw", "union"}
)
"""What closes a part: who loosens the nuts of a housing opens the housing."""
ARTICLES = frozenset(
    {"the", "a", "an", "both", "each", "every", "all", "your", "its", "their", "this", "that"}
)
NOT = frozenset({"not", "never", "don't", "cannot", "without", "avoid"})
CONDITIONS = frozenset({"if", "when", "whenever", "while", "once", "before", "after", "unless", "as"})
"""First words of what holds while something else is done."""
JOINS = frozenset({"and", "or", "then", "also", "now", "first", "next", "finally", "again"})
"""Words before a command that are no part of it."""
LEADS = frozenset(
    {
        "apply",
        "ask",
        "instruct",
        "move",
        "order",
        "press",
        "pull",
        "push",
        "remember",
        "rotate",
        "set",
        "sure",
    }
    | {"tell", "try", "turn", "use"}
)
"""Words with which a sentence still commands what comes after its `to`."""
BREAKS = frozenset(
    {"about", "above", "after", "against", "as", "at", "before", "behind", "below", "beside", "between", "by"}
    | {
        "during",
        "for",
        "from",
        "if",
        "in",
        "inside",
        "into",
        "near",
        "next",
        "of",
        "on",
        "onto",
        "over",
        "so",
    }
    | {
        "that",
        "through",
        "to",
        "towards",
        "under",
        "unless",
        "until",
        "up",
        "when",
        "where",
        "which",
        "while",
    }
    | {"with", "within", "without"}
)
"""Words at which what a verb acts on ends."""
