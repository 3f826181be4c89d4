"""The two demonstration libraries: proven, complete, and not proven by luck."""

from __future__ import annotations

import re
from datetime import date
from functools import cache
from pathlib import Path

import pytest

from proctool.api import Library, open_library
from proctool.model.finding import Finding
from proctool.model.plan import every_step
from proctool.model.unit import Unit
from proctool.model.verdict import Verdict
from proctool.model.words import Device, Form, Role

ROOT = Path(__file__).parent.parent
TODAY = date(2026, 11, 25)
"""The yearly inspection of each procedure is not due yet."""
KW = ("KW-2", "KW-4", "KW-4T", "KW-6")
AD, HX, UV = ("AD-10", "AD-20"), ("HX-5", "HX-9"), ("UV-1", "UV-3")
MODELS = (*KW, *AD, *HX, *UV)
FITS = {
    "change-cartridges": KW,
    "clean-inlet-strainer": KW,
    "replace-pump-seal": ("KW-4", "KW-4T", "KW-6"),
    "replace-tank-bladder": ("KW-4T",),
    "sanitise-skid": KW,
    "replace-coalescing-element": AD,
    "replace-desiccant": AD,
    "replace-plate-gaskets": HX,
    "replace-lamp-and-sleeve": UV,
    "weekly-round": MODELS,
}
"""The procedures of the company, each with every model it fits."""
CASES = {
    "procedures": [(procedure, unit) for procedure, units in FITS.items() for unit in units],
    "household": [("change-drive-belt", "PS-2")],
}
OPENING = ("change-cartridges", "clean-inlet-strainer")


@cache
def _library(name: str) -> Library:
    return open_library(ROOT / name)


def _texts(library: str) -> dict[str, str]:
    root = ROOT / library
    return {
        path.relative_to(root).as_posix(): path.read_text(encoding="utf-8")
        for path in sorted(root.rglob("*.yaml"))
    }


def _edited(library: str, file: str, old: str, new: str) -> Library:
    texts = _texts(library)
    assert texts[file].count(old) == 1, f"{file} no longer holds the text once: {old}"
    return Library.from_texts({**texts, file: texts[file].replace(old, new)})


def _told(findings: tuple[Finding, ...]) -> list[str]:
    return [f"{f.level} {f.rule} {f.file} {f.unit} {f.step}: {f.message}" for f in findings]


@pytest.fixture(scope="module")
def units() -> dict[str, Unit]:
    return dict(_library("procedures").units.whole)


# ---------------------------------------------------------------------------- clean


@pytest.mark.parametrize("name", CASES)
def test_every_procedure_is_safe_on_every_unit_without_a_finding(name):
    check = _library(name).check(today=TODAY)
    assert _told(check.findings) == []
    assert sorted((v.procedure, v.unit) for v in check.verdicts) == sorted(CASES[name])
    assert {v.verdict for v in check.verdicts} == {Verdict.SAFE}
    assert max(v.states for v in check.verdicts) < 20_000


def test_one_set_of_files_serves_a_family():
    """Only the head and the inspections of a procedure name models; what differs is in the unit files."""
    model = re.compile(r"\b(?:KW|AD|HX|UV)-\d+T?\b")
    for file, text in _texts("procedures").items():
        if file != "library.yaml" and not file.startswith("units/"):
            below = re.sub(r"(?m)^(?:number: |units: |  - {date: ).*$", "", text).replace("FP-", "")
            assert not model.search(re.sub(r"KW-101|AD-201", "", below)), file


# ---------------------------------------------------------------------------- what each unit has


def _tags(unit: Unit, *roles: Role) -> set[str | None]:
    return {part.tag for part in unit.parts.values() if part.role in roles}


def test_each_model_has_the_devices_that_set_it_apart(units):
    assert set(units) == set(MODELS)
    isolators = {name: _tags(unit, Role.ISOLATOR) for name, unit in units.items()}
    assert isolators == {
        "KW-2": {"V1"},
        "KW-4": {"V1", "X1"},
        "KW-4T": {"V1", "X1", "V3"},
        "KW-6": {"V1", "V6", "Q1"},
        "AD-10": {"V1", "V2", "X1"},
        "AD-20": {"V1", "V2", "Q1"},
        "HX-5": {"V1", "V2", "V3", "X1"},
        "HX-9": {"V1", "V2", "V3", "V4", "Q1"},
        "UV-1": {"V1", "X1"},
        "UV-3": {"V1", "V2", "Q1"},
    }
    assert {n for n, u in units.items() if any(p.runs for p in u.parts.values())} == set(MODELS) - {"KW-2"}


def test_together_the_families_need_every_part_of_the_energy_model(units):
    """Forms that are kept and leave in different ways, and every role that a part can have."""
    assert {e.form for u in units.values() for e in u.energies.values()} == {
        *(Form.LIQUID_PRESSURE, Form.GAS_PRESSURE, Form.HEAT),
        *(Form.CHEMICAL, Form.ELECTRICITY, Form.RADIATION),
    }
    assert {p.role for u in units.values() for p in u.parts.values()} == set(Role)


def test_the_tank_keeps_water_and_an_air_charge_of_its_own(units):
    unit = units["KW-4T"]
    tank = unit.parts["tank"]
    assert tank.role is Role.STORE
    assert unit.energies["air"].form is Form.GAS_PRESSURE
    lines = {e for line in unit.lines.values() if "tank" in line.path for e in line.energies}
    assert lines == {"water", "air"}
    assert not any("air" in line.energies for line in unit.lines.values() if "tank_valve" in line.path)


def test_the_well_is_a_second_source_and_its_check_valve_no_isolator(units):
    unit = units["KW-6"]
    water = [line.path for line in unit.lines.values() if "water" in line.energies]
    assert {p for path in water for p in path if unit.parts[p].role is Role.SOURCE} == {"supply", "well"}
    assert unit.parts["well_check"].role is Role.CHECK_VALVE
    assert unit.parts["disconnector"].device is Device.DISCONNECTOR
    assert not {"socket", "pump_plug"} & unit.parts.keys()


@pytest.mark.parametrize("name", MODELS)
def test_unit_files_are_complete(units, name):
    unit = units[name]
    assert unit.checked is not None
    assert all((unit.checked.by, unit.checked.date, unit.checked.drawing, unit.checked.serials))
    for energy in unit.energies.values():
        assert (energy.normal or energy.brought) and energy.safe and energy.warning, energy.id
        assert all((energy.warning.hazard, energy.warning.harm, energy.warning.avoid)), energy.id
    for part in unit.parts.values():
        if part.role is Role.ISOLATOR:
            assert part.tag and part.text("place") and part.text("lock"), part.id
        if part.role is Role.GAUGE and part.at != "any":
            wanted = ("tag", "span", "accuracy", "division", "usual")
            assert all(part.text(key) for key in wanted), part.id


@pytest.mark.parametrize("name", KW)
def test_the_skids_say_what_is_beside_what_is_opened(units, name):
    unit = units[name]
    for opened in ("strainer", "first", "second"):
        assert unit.parts[opened].seal and unit.parts[opened].tighten, opened
    beside = ("motor",) if "motor" in unit.parts else ()
    for opened in ("strainer", "strainer_screen", "first", "first_insert", "second", "second_insert"):
        assert unit.parts[opened].near == beside, opened
        assert "near" in unit.parts[opened].properties, opened


# ---------------------------------------------------------------------------- what each procedure does

LOCKED = {"KW-2": {"V1"}, "KW-4": {"V1", "X1"}, "KW-4T": {"V1", "V3", "X1"}, "KW-6": {"V1", "V6", "Q1"}}


@pytest.mark.parametrize("procedure", OPENING)
@pytest.mark.parametrize("unit", KW)
def test_every_way_in_is_locked_and_every_room_relieved(procedure, unit):
    (case,) = _library("procedures").cases(procedure=procedure, unit=unit)
    acts = [act for step in case.plan.frame.steps for act in step.acts]
    tagged = {part.id: part.tag for part in case.plan.unit.parts.values()}
    assert {tagged[a.part] for a in acts if a.verb == "lock"} == LOCKED[unit]
    first = next(i for i, act in enumerate(acts) if act.verb == "open")
    assert {tagged[a.part] for a in acts[:first] if a.verb == "vent"} == {"V2", "V4", "V5", "V7"}


@pytest.mark.parametrize("procedure", OPENING)
@pytest.mark.parametrize("unit", KW)
def test_people_are_told_and_what_runs_is_tried(procedure, unit):
    (case,) = _library("procedures").cases(procedure=procedure, unit=unit)
    verbs = [act.verb for step in case.plan.frame.steps for act in step.acts]
    told = [i for i, verb in enumerate(verbs) if verb == "tell"]
    assert told[0] < verbs.index("isolate")
    assert told[-1] == len(verbs) - 1
    assert ("try_start" in verbs) is ("start" in verbs) is (unit != "KW-2")
    if "start" in verbs:
        unlocked = max(i for i, verb in enumerate(verbs) if verb == "unlock")
        assert any(unlocked < i < verbs.index("start") for i in told)


def test_the_tester_is_proved_before_and_after_it_is_trusted():
    (case,) = _library("procedures").cases(procedure="change-cartridges", unit="KW-6")
    by_tester = [
        act.verb
        for step in case.plan.frame.steps
        for act in step.acts
        if act.part == "meter" or act.by == "meter"
    ]
    assert by_tester == ["prove_tester", "verify_zero", "prove_tester"]


def test_the_weekly_round_opens_and_isolates_nothing():
    for case in _library("procedures").cases(procedure="weekly-round"):
        acts = {act.verb for step in case.plan.frame.steps for act in step.acts}
        assert acts == ({"vent", "shut"} if case.unit in KW else set()), "the sample tap, so that water flows"
        read = {step.gauge for step in case.plan.frame.steps if step.gauge}
        fixed = {p.id for p in case.plan.unit.parts.values() if p.role is Role.GAUGE and p.at != "any"}
        assert read == fixed - {"left_gauge", "right_gauge"}, "towers take turns: their gauges tell nothing"
        assert all(step.limits and step.otherwise for step in case.plan.frame.steps if step.gauge)


def _verbs(procedure: str, unit: str) -> list[tuple[str, str]]:
    """The acts of a procedure on a unit, each with the part it is done to."""
    (case,) = _library("procedures").cases(procedure=procedure, unit=unit)
    return [(act.verb, act.part) for step in case.plan.frame.steps for act in step.acts]


def _in_order(acts: list[tuple[str, str]], *wanted: tuple[str, str]) -> bool:
    places = [acts.index(act) for act in wanted]
    return places == sorted(places)


@pytest.mark.parametrize("unit", HX)
def test_the_plates_cool_before_they_are_drained(unit):
    acts = _verbs("replace-plate-gaskets", unit)
    assert _in_order(
        acts,
        ("lock", "flow_valve"),
        ("discharge", "hot_side"),
        ("vent", "hot_drain"),
        ("verify_zero", "hot_side"),
        ("open", "hot_side"),
    )
    assert ("lock", "return_valve") in acts, "the boiler return feeds back"
    assert (("lock", "warm_valve") in acts) is (unit == "HX-9"), "so does its storage tank"


@pytest.mark.parametrize("unit", UV)
def test_the_lamp_is_tested_bare_and_by_a_tester_that_works(unit):
    acts = _verbs("replace-lamp-and-sleeve", unit)
    proved = [i for i, act in enumerate(acts) if act == ("prove_tester", "meter")]
    tested = acts.index(("verify_zero", "lamp"))
    assert acts.index(("discharge", "lamp")) < acts.index(("uncover", "lamp")) < proved[0]
    assert proved[0] < tested < proved[1] < acts.index(("open", "lamp"))
    assert acts.index(("cover", "lamp")) < acts.index(("unlock", "inlet_valve"))


@pytest.mark.parametrize("unit", AD)
@pytest.mark.parametrize("procedure", ["replace-coalescing-element", "replace-desiccant"])
def test_the_dryer_is_cut_from_both_headers_and_its_timer_is_dead(procedure, unit):
    acts = _verbs(procedure, unit)
    locked = {part for verb, part in acts if verb == "lock"}
    power = "timer_plug" if unit == "AD-10" else "disconnector"
    assert locked == {"inlet_valve", "outlet_valve", power}
    assert _in_order(acts, ("stop", "timer"), ("lock", power), ("vent", "left_vent"), ("try_start", "timer"))


def test_the_tank_is_let_out_of_air_and_filled_with_air_again():
    acts = _verbs("replace-tank-bladder", "KW-4T")
    assert _in_order(
        acts,
        *(("lock", "tank_valve"), ("vent", "air_valve"), ("discharge", "tank"), ("open", "tank")),
        *(("shut", "air_valve"), ("dose", "tank"), ("throttle", "tank_valve"), ("leak_check", "tank")),
    )


@pytest.mark.parametrize("unit", KW)
def test_nothing_is_open_while_disinfectant_is_in_the_skid(unit):
    acts = _verbs("sanitise-skid", unit)
    dosed, flushed = acts.index(("dose", "dosing_port")), acts.index(("flush", "dosing_port"))
    opened = {i for i, (verb, _) in enumerate(acts) if verb == "open"}
    assert dosed < flushed and not opened & set(range(dosed, flushed))
    assert min(opened) < dosed and max(opened) > flushed, "cartridges out before, in after"


def test_every_picture_is_shown_and_needs_nothing_from_outside():
    pictures = {path.name for path in (ROOT / "procedures/figures").iterdir()}
    shown = {
        Path(step.figure.file).name
        for case in _library("procedures").cases()
        for step in every_step(case.plan.frame)
        if step.figure
    }
    assert shown == pictures
    for name in pictures:
        text = (ROOT / "procedures/figures" / name).read_text(encoding="utf-8")
        outside = text.replace("http://www.w3.org/2000/svg", "")
        assert not re.search(r"<script|https?:|href|url\((?!#)", outside), name
        assert len(text) < 4_000, name


def test_the_shredder_stays_in_the_hands_of_one_person():
    (case,) = _library("household").cases()
    unit = case.plan.unit
    assert [p.id for p in unit.parts.values() if p.role is Role.SOURCE] == ["socket"]
    assert not any(p.role is Role.STORE for p in unit.parts.values())
    assert unit.control == "exclusive_control"
    acts = [act.verb for step in case.plan.frame.steps for act in step.acts]
    assert "lock" not in acts
    assert acts.index("isolate") < acts.index("verify_zero") < acts.index("open")


# ---------------------------------------------------------------------------- one edit away from it

Found = set[tuple[str, str | None]]


def _left_alone(isolator: str, unit: str, procedure: str) -> tuple[Verdict, Found]:
    """What is found where one isolator of a unit is neither turned off nor locked."""
    parts = _library("procedures").units.whole[unit].parts.values()
    others = [p.id for p in parts if p.role is Role.ISOLATOR and p.id != isolator]
    assert len(others) == len(LOCKED[unit]) - 1
    library = _edited(
        "procedures",
        "blocks/make-safe.yaml",
        "  - each: {device: {isolators_of: opens}}\n",
        f"  - each: {{device: [{', '.join(others)}]}}\n",
    )
    check = library.check(procedure=procedure, unit=unit)
    return check.verdicts[0].verdict, {(f.rule, f.part) for f in check.findings}


@pytest.mark.parametrize("procedure", OPENING)
@pytest.mark.parametrize("isolator", ["inlet_valve", "well_valve"])
def test_two_feeds_need_both_valves(isolator, procedure):
    verdict, found = _left_alone(isolator, "KW-6", procedure)
    assert verdict is Verdict.UNSAFE
    opened = "first" if procedure == "change-cartridges" else "strainer"
    assert ("energy/opened-live", opened) in found


@pytest.mark.parametrize("procedure", OPENING)
def test_the_tank_needs_its_valve(procedure):
    verdict, found = _left_alone("tank_valve", "KW-4T", procedure)
    assert verdict is Verdict.UNSAFE
    opened = "second_insert" if procedure == "change-cartridges" else "strainer_screen"
    assert ("energy/opened-charged", opened) in found


@pytest.mark.parametrize("unit", ["KW-4", "KW-4T", "KW-6"])
def test_the_pump_needs_to_be_dead_before_water_comes_near(unit):
    isolator = "disconnector" if unit == "KW-6" else "pump_plug"
    verdict, found = _left_alone(isolator, unit, "change-cartridges")
    assert verdict is Verdict.UNSAFE
    assert ("energy/wet-near-live", "motor") in found
    assert ("energy/tried-live", "motor") in found


@pytest.mark.parametrize(
    ("vent", "procedure", "opened"),
    [
        ("strainer_drain", "clean-inlet-strainer", "strainer"),
        ("first_button", "clean-inlet-strainer", "strainer_screen"),
        ("first_button", "change-cartridges", "first"),
        ("second_button", "change-cartridges", "second"),
        ("sample_tap", "change-cartridges", "second_insert"),
    ],
)
def test_a_room_behind_a_mesh_or_cartridge_is_not_relieved_through_it(vent, procedure, opened):
    ways = [v for v in ("strainer_drain", "first_button", "second_button", "sample_tap") if v != vent]
    library = _edited(
        "procedures",
        "blocks/make-safe.yaml",
        "  - each: {way_out: {vents_of: opens}}\n",
        f"  - each: {{way_out: [{', '.join(ways)}]}}\n",
    )
    check = library.check(procedure=procedure, unit="KW-2")
    assert check.verdicts[0].verdict is Verdict.UNSAFE
    assert ("energy/opened-charged", opened) in {(f.rule, f.part) for f in check.findings}


@pytest.mark.parametrize(
    ("old", "new", "rule"),
    [
        (
            "      - isolate: plug\n      - do: Lay the <plug> in your sight for",
            "      - do: Lay the <plug> in your sight for",
            "energy/opened-live",
        ),
        ("        verify_zero: {part: drive, by: lamp}\n", "", "energy/opened-unproven"),
    ],
)
def test_the_shredder_is_opened_only_unplugged_and_dark(old, new, rule):
    check = _edited("household", "change-drive-belt.yaml", old, new).check()
    assert check.verdicts[0].verdict is Verdict.UNSAFE
    assert (rule, "drive") in {(f.rule, f.part) for f in check.findings}


# ---------------------------------------------------------------------------- how it reads


def test_a_gauge_and_an_open_vent_show_zero_each_in_its_own_words():
    (case,) = _library("procedures").cases(procedure="clean-inlet-strainer", unit="KW-2")
    shown = {
        act.part: step.text
        for step in case.plan.frame.steps
        for act in step.acts
        if act.verb == "verify_zero"
    }
    assert shown == {
        "strainer": "No water comes out of the open strainer drain V2.",
        "suction": "The supply gauge P3 reads 0 bar (0 psi).",
    }


@pytest.mark.parametrize("name", CASES)
def test_no_sentence_of_a_step_is_longer_than_twenty_words(name):
    """ASD-STE100, rule 5.1: at most 20 words in a sentence of a procedure."""
    long = {
        sentence
        for case in _library(name).cases()
        for step in every_step(case.plan.frame)
        for sentence in re.split(r"(?<=[.!?]) ", step.text)
        if len(sentence.split()) > 20
    }
    assert long == set()
