"""`show UNIT`: the network drawn, what each device reaches, the blind spots; and the same for programs."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator, Sequence

from proctool.model.survey import Reach, Survey
from proctool.model.unit import Part
from proctool.model.words import Control, Device, Lock, Position, Role
from proctool.report.columns import harmless, wrapped
from proctool.report.network import legend, network
from proctool.report.text import WIDTH, Paint, plain

_INDENT = "    "
_SPACES = str.maketrans("_", " ")


def to_text(survey: Survey, *, width: int = WIDTH, paint: Paint = plain) -> str:
    """The report for people, `width` columns wide."""
    unit = survey.unit
    lines = [*wrapped(f"{unit.id}: {unit.title}", width), *_checked(survey, width), ""]
    lines += [*legend(width), "", *network(unit, width)]
    lines += _energies(survey, width, paint)
    lines += _devices(survey, survey.isolators, "Isolators", _isolator, width, paint)
    lines += _devices(
        survey, survey.vents, "Vents: what they let out for sure, once it is isolated", _vent, width, paint
    )
    lines += _devices(
        survey, survey.gauges, "Gauges: what they show for sure, once it is isolated", _gauge, width, paint
    )
    lines += _blind(survey, width, paint)
    return "\n".join(lines) + "\n"


def _checked(survey: Survey, width: int) -> list[str]:
    """Who walked the unit with this file; a file that nobody walked is only as good as its author."""
    checked = survey.unit.checked
    if checked is None or not (checked.by and checked.date):
        return wrapped("Nobody has walked the unit with this file.", width)
    facts = (
        f"drawing {checked.drawing}" * bool(checked.drawing),
        f"serials {checked.serials}" * bool(checked.serials),
    )
    return wrapped(", ".join([f"walked by {checked.by} on {checked.date}", *filter(None, facts)]), width)


def _energies(survey: Survey, width: int, paint: Paint) -> Iterator[str]:
    yield paint("Energies", "place")
    for energy in survey.unit.energies.values():
        said = [energy.form.value.translate(_SPACES)]
        said += [f"{energy.normal} in normal service"] * bool(energy.normal)
        said += [f"zero is {energy.safe}"] * bool(energy.safe)
        said += [
            f"isolated by {energy.depth.value.translate(_SPACES)} block" * (energy.depth.value != "single")
        ]
        said += ["brought in by the technician"] * energy.brought
        yield from _paragraph(f"{energy.name}: {', '.join(filter(None, said))}", "  ", width)
    yield ""


def _devices(
    survey: Survey,
    reaches: Sequence[Reach],
    title: str,
    told: Callable[[Survey, Part, Reach, str], str],
    width: int,
    paint: Paint,
) -> Iterator[str]:
    yield paint(title, "place")
    last = ""
    for reach in reaches:
        part = survey.unit.parts[reach.device]
        if part.id != last:
            yield from _paragraph(", ".join((part.label, *_facts(survey, part))), "  ", width)
            needed = survey.needed.get(part.id, ())
            if needed:
                yield from _paragraph(f"off to open: {_names(survey, needed)}", _INDENT, width)
        last = part.id
        energy = survey.unit.energies[reach.energy].name
        yield from _paragraph(told(survey, part, reach, energy), _INDENT, width)
    if not reaches:
        yield "  none"
    yield ""


def _facts(survey: Survey, part: Part) -> Iterator[str]:
    """Where a device is, and how an isolator is locked."""
    place = part.text("place")
    if place:
        yield place
    if part.device is not None or part.id in {r.device for r in survey.isolators}:
        if part.lock is not Lock.NONE:
            yield f"lock: {part.lock.value}"
        else:
            alone = part.exclusive_control and part.device is Device.PLUG
            held = alone or survey.unit.control is Control.EXCLUSIVE
            yield "no lock, kept in view" if held else "CANNOT BE LOCKED"
        if part.site:
            yield "the site's"
    piped = "piped to" if part.piped else "to"
    if part.text("to"):
        yield f"{piped} {part.text('to')}"


def _isolator(survey: Survey, part: Part, reach: Reach, energy: str) -> str:
    named = _names(survey, reach.parts)
    if part.normal is Position.OFF:
        return f"on, it feeds {energy} to: {named or 'nothing more'}"
    return f"alone, takes {energy} from: {named}" if named else f"alone, cuts no {energy} off"


def _vent(survey: Survey, part: Part, reach: Reach, energy: str) -> str:
    return f"{energy} out of: {_names(survey, reach.parts) or 'nothing'}"


def _gauge(survey: Survey, part: Part, reach: Reach, energy: str) -> str:
    return f"{energy} in: {_names(survey, reach.parts) or 'nothing'}"


def _blind(survey: Survey, width: int, paint: Paint) -> Iterator[str]:
    yield paint("Blind spots", "place")
    for blind in survey.blind:
        yield from _paragraph(f"Not to be opened: {_names(survey, blind.parts)}.", "  ", width)
        for lack in blind.lacks:
            yield from _paragraph(lack, _INDENT, width)
    for energy in dict.fromkeys(energy for _, energy in survey.by_vent_only):
        parts = _names(survey, [part for part, its in survey.by_vent_only if its == energy])
        said = f"No gauge shows {survey.unit.energies[energy].name}, only an open vent does: {parts}."
        yield from _paragraph(said, "  ", width)
    if not survey.blind and not survey.by_vent_only:
        yield "  none: every part can be isolated, relieved and shown to be at zero"


def _names(survey: Survey, parts: Sequence[str]) -> str:
    return ", ".join(survey.unit.parts[part].label for part in parts)


def _paragraph(text: str, indent: str, width: int) -> list[str]:
    first, *more = wrapped(harmless(text), width - len(indent) - 2) or [""]
    return [indent + first, *(f"{indent}  {line}" for line in more)]


# ---------------------------------------------------------------------------- for programs


def to_json(survey: Survey) -> str:
    """A unit and what its devices reach; parts are ids, in file order.

    `{"unit", "title", "family", "checked": {"by", "date", "drawing", "serials"}, "energies": [{"energy",
    "name", "form", "normal", "safe", "isolation", "brought"}], "parts": [{"part", "name", "tag", "role",
    "device", "place", "lock"}], "lines": [{"line", "energies", "path"}], "isolators": [{"part", "energy",
    "parts", "needed_for"}], "vents": [{"part", "energy", "parts"}], "gauges": [as vents], "blind_spots":
    [{"parts", "lacks"}], "seen_by_vent_only": [{"part", "energy"}]}`. The `parts` of an isolator lose the
    energy when it alone is off, or get it when it is on, if it is off in normal service; those of a vent or
    gauge it lets out or shows for sure once they are isolated; `needed_for` are the parts for whose opening
    it is off among others. What a file does not say, and what does not apply, is null.
    """
    unit = survey.unit
    whole = {
        "unit": unit.id,
        "title": unit.title,
        "family": unit.family,
        "checked": _checked_data(survey),
        "energies": [
            {
                "energy": e.id,
                "name": e.name,
                "form": e.form.value,
                "normal": e.normal or None,
                "safe": e.safe or None,
                "isolation": e.depth.value,
                "brought": e.brought,
            }
            for e in unit.energies.values()
        ],
        "parts": [_part_data(part) for part in unit.parts.values()],
        "lines": [
            {"line": line.id, "energies": list(line.energies), "path": list(line.path)}
            for line in unit.lines.values()
        ],
        "isolators": [
            {**_reach(reach), "needed_for": list(survey.needed.get(reach.device, ()))}
            for reach in survey.isolators
        ],
        "vents": [_reach(reach) for reach in survey.vents],
        "gauges": [_reach(reach) for reach in survey.gauges],
        "blind_spots": [{"parts": list(b.parts), "lacks": list(b.lacks)} for b in survey.blind],
        "seen_by_vent_only": [{"part": part, "energy": energy} for part, energy in survey.by_vent_only],
    }
    return json.dumps(whole, indent=2, ensure_ascii=False) + "\n"


def _checked_data(survey: Survey) -> dict[str, str | None] | None:
    checked = survey.unit.checked
    if checked is None:
        return None
    said = {"by": checked.by, "date": checked.date, "drawing": checked.drawing, "serials": checked.serials}
    return {key: value or None for key, value in said.items()}


def _part_data(part: Part) -> dict[str, str | None]:
    isolator = part.role is Role.ISOLATOR
    return {
        "part": part.id,
        "name": part.name,
        "tag": part.tag,
        "role": part.role.value,
        "device": part.device.value if part.device is not None else None,
        "place": part.text("place") or None,
        "lock": part.lock.value if isolator else None,
    }


def _reach(reach: Reach) -> dict[str, object]:
    return {"part": reach.device, "energy": reach.energy, "parts": list(reach.parts)}
