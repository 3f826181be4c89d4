"""The fixed words of the file format: forms of energy, roles of parts, devices, positions, acts."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


class Form(StrEnum):
    """The physical form of an energy: it says how the energy is kept and how it leaves."""

    LIQUID_PRESSURE = "liquid_pressure"
    GAS_PRESSURE = "gas_pressure"
    STEAM = "steam"
    VACUUM = "vacuum"
    HEAT = "heat"
    CHEMICAL = "chemical"
    ELECTRICITY = "electricity"
    MOTION = "motion"
    RADIATION = "radiation"
    GRAVITY = "gravity"
    SPRING = "spring"


FLUIDS = frozenset({Form.LIQUID_PRESSURE, Form.GAS_PRESSURE, Form.STEAM, Form.VACUUM})
"""Forms that leave through a way out."""
WETTING = frozenset({Form.LIQUID_PRESSURE, Form.STEAM})
"""Fluids that wet what is near when a part is opened."""
KEPT_BY_ALL = FLUIDS | {Form.HEAT, Form.CHEMICAL}
"""Forms that every holder keeps when cut off; the others are kept by stores only."""

FORM_GROUPS: dict[str, frozenset[Form]] = {"fluid": FLUIDS}
"""Words for groups of forms, as filters name them."""


class Role(StrEnum):
    """What a part does in the energy network."""

    SOURCE = "source"
    OUTLET = "outlet"
    ISOLATOR = "isolator"
    CHECK_VALVE = "check_valve"
    RESTRICTION = "restriction"
    COMPONENT = "component"
    STORE = "store"
    VENT = "vent"
    GAUGE = "gauge"


HOLDERS = frozenset({Role.COMPONENT, Role.STORE})
"""Roles that hold energy."""


class Device(StrEnum):
    """What kind of device an isolator is."""

    VALVE = "valve"
    PLUG = "plug"
    BREAKER = "breaker"
    DISCONNECTOR = "disconnector"
    BLIND = "blind"


class Position(StrEnum):
    """Position of an isolator: it passes its energy, passes some of it, or none."""

    ON = "on"
    PART = "part"
    OFF = "off"


POSITION_WORDS: dict[Device, dict[str, Position]] = {
    Device.VALVE: {"open": Position.ON, "part_open": Position.PART, "closed": Position.OFF},
    Device.PLUG: {"plugged_in": Position.ON, "unplugged": Position.OFF},
    Device.BREAKER: {"on": Position.ON, "off": Position.OFF},
    Device.DISCONNECTOR: {"on": Position.ON, "off": Position.OFF},
    Device.BLIND: {"removed": Position.ON, "fitted": Position.OFF},
}
"""How `normal`, `starts`, `leaves` and `needs` say the position of each device."""


def position_word(device: Device | None, word: str) -> Position | None:
    """The position that a word says of a device; an isolator of no stated kind takes the words of all."""
    devices = POSITION_WORDS if device is None else (device,)
    return next((POSITION_WORDS[d][word] for d in devices if word in POSITION_WORDS[d]), None)


class Depth(StrEnum):
    """How deep an energy must be isolated."""

    SINGLE = "single"
    DOUBLE = "double"
    DOUBLE_BLOCK_AND_BLEED = "double_block_and_bleed"


class Lock(StrEnum):
    """How an isolator is secured."""

    HASP = "hasp"
    COVER = "cover"
    CABLE = "cable"
    NONE = "none"


class Control(StrEnum):
    """Whether a unit is worked on under lockout, or under the exclusive control of its one plug."""

    REQUIRED = "required"
    EXCLUSIVE = "exclusive_control"


@dataclass(frozen=True, slots=True)
class Verb:
    """A plain act: the roles it may be done to, and how a person says it."""

    name: str
    roles: frozenset[Role]
    phrase: str
    """Command with `<part>`, used where neither step nor library has a text."""


_ISOLATOR = frozenset({Role.ISOLATOR})
_VENT = frozenset({Role.VENT})
_OPENABLE = frozenset(Role) - {Role.SOURCE}

VERBS: dict[str, Verb] = {
    verb.name: verb
    for verb in (
        Verb("isolate", _ISOLATOR, "Isolate the <part>."),
        Verb("throttle", _ISOLATOR, "Open the <part> a little."),
        Verb("connect", _ISOLATOR, "Reconnect the <part>."),
        Verb("restore", _ISOLATOR, "Put the <part> back to its normal position."),
        Verb("lock", _ISOLATOR, "Put your lock and tag on the <part>."),
        Verb("unlock", _ISOLATOR, "Take your lock and tag off the <part>."),
        Verb("vent", _VENT, "Open the <part>."),
        Verb("shut", _VENT, "Shut the <part>."),
        Verb("discharge", HOLDERS, "Discharge the <part>."),
        Verb("dose", HOLDERS, "Dose the <part>."),
        Verb("flush", HOLDERS, "Flush the <part>."),
        Verb("verify_zero", HOLDERS, "The <by> shows <safe> at the <part>."),
        Verb("open", _OPENABLE, "Open the <part>."),
        Verb("uncover", HOLDERS, "Take the cover off the <part>."),
        Verb("cover", HOLDERS, "Put the cover on the <part>."),
        Verb("inspect_seal", _OPENABLE, "The seal of the <part> is sound."),
        Verb("new_seal", _OPENABLE, "Fit a new seal to the <part>."),
        Verb("close", _OPENABLE, "Close the <part>."),
        Verb("leak_check", HOLDERS, "Nothing leaks at the <part>."),
        Verb("bleed", HOLDERS, "Let the air out of the <part>."),
        Verb("stop", HOLDERS, "Stop the <part>."),
        Verb("start", HOLDERS, "Start the <part>."),
        Verb("try_start", HOLDERS, "Try to start the <part>, then put its control back to off."),
        Verb("tighten", _OPENABLE, "Tighten the <part>."),
        Verb("loosen", _OPENABLE, "Loosen the <part>."),
        Verb("adjust", _OPENABLE, "Adjust the <part>."),
        Verb("prove_tester", frozenset({Role.GAUGE}), "Prove the <part> on a known live source."),
        Verb("tell", frozenset(), "Tell the people concerned."),
        Verb("fit", _OPENABLE, "Fit the part."),
        Verb("remove", _OPENABLE, "Take the part out."),
        Verb("clean", _OPENABLE, "Clean the part."),
        Verb("lubricate", _OPENABLE, "Lubricate the part."),
    )
}
"""Every plain act by name."""

FREE_TEXT_ACTS = frozenset({"tell"})
"""Acts on people, not on a part."""
THING_ACTS = frozenset({"fit", "remove", "clean", "lubricate"})
"""Acts on something in or of a part; they change no energy."""
ONCE_ACTS = THING_ACTS | {"tell"}
"""The only acts of a step marked `once`."""
CHECK_ACTS = frozenset({"verify_zero", "leak_check"})
"""A step with these acts and no text is a check."""


def plain_verb(word: str, role: Role, device: Device | None, runs: bool) -> str | None:
    """The plain act that `word` means for a part, or None where the word does not fit it.

    `close` shuts a valve off (isolate), shuts a vent, and closes a housing; and so on for each device.
    """
    if role is Role.ISOLATOR:
        by_device = {
            Device.VALVE: {"close": "isolate", "open": "connect"},
            Device.PLUG: {"unplug": "isolate", "plug_in": "connect"},
            Device.BREAKER: {"switch_off": "isolate", "switch_on": "connect"},
            Device.DISCONNECTOR: {"switch_off": "isolate", "switch_on": "connect"},
        }
        words = {"dismantle": "open", "reassemble": "close"} | by_device.get(device or Device.BLIND, {})
        if word in {"open", "close"} and device is not Device.VALVE:
            return None
    elif role is Role.VENT:
        words = {"open": "vent", "close": "shut", "dismantle": "open", "reassemble": "close"}
    elif runs:
        words = {"switch_off": "stop", "switch_on": "start"}
    else:
        words = {}
    if word in words:
        return words[word]
    if word in VERBS:
        return word
    return None


DEVICE_WORDS = frozenset(
    {"close", "open", "unplug", "plug_in", "switch_off", "switch_on", "dismantle", "reassemble"}
)
"""Words of the trade that stand for plain acts."""
ACT_WORDS = frozenset(VERBS) | DEVICE_WORDS
"""Every key of a step that is an act."""
