"""The seeded cases: that they are what the comparison with the package needs."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
import yaml

from . import course, plant, state, walker
from .cases import MOST_WALKS, case
from .text import files
from .walker import count_walks, walk

# fmt: off
RULES = {
    "energy/moved-locked", "energy/locked-not-off", "energy/discharged-live", "energy/verified-blind",
    "energy/verified-charged", "energy/opened-live", "energy/opened-charged", "energy/opened-unproven",
    "energy/wet-near-live", "energy/uncovered-live", "energy/started-dead", "energy/tried-live",
    "energy/energised-open", "energy/cut-while-running", "energy/started-by-restoring",
    "energy/unlocked-early", "energy/opened-unlocked", "energy/isolation-too-thin", "energy/not-restored",
    "energy/lock-left", "energy/left-uncovered", "energy/left-unlocked", "leak/seal-not-inspected",
    "leak/checked-open", "leak/checked-dry", "leak/bled-dry", "leak/worked-under-pressure",
    "leak/power-before-check", "leak/not-tightened", "leak/filled-at-once", "leak/full-before-bleed",
    "leak/left-open", "leak/unchecked", "chemical/not-flushed", "graph/need-unmet", "graph/end-unsafe"}
# fmt: on


def test_a_case_depends_on_its_seed_alone() -> None:
    for seed in range(30):
        assert case(seed) == case(seed)
    assert len({repr(case(seed)) for seed in range(100)}) == 100


def test_a_case_as_text_reads_back_the_same() -> None:
    bodies = 0
    for seed in range(200):
        unit, procedure = case(seed)
        texts = files(unit, procedure)
        bodies += "dismantle: " in texts["p.yaml"]
        plain = texts["p.yaml"].replace("dismantle: ", "open: ").replace("reassemble: ", "close: ")
        assert yaml.load(texts["units/u.yaml"], yaml.BaseLoader) == unit  # noqa: S506 - reads text only
        assert yaml.load(plain, yaml.BaseLoader) == procedure  # noqa: S506
    assert bodies > 0


def test_nothing_of_the_package_is_used() -> None:
    for file in Path(__file__).parent.glob("*.py"):
        if file.name not in ("__main__.py", Path(__file__).name):
            assert "import proctool" not in (text := file.read_text("utf-8")), file.name
            assert "from proctool" not in text, file.name


def test_share_of_safe_cases() -> None:
    safe = sum(1 for seed in range(300) if not walk(*case(seed)))
    assert 100 <= safe <= 200


def test_every_rule_breaks_somewhere() -> None:
    broken = {rule for seed in range(2000) for rule, _, _ in walk(*case(seed))}
    assert broken == RULES


def test_pruning_loses_nothing() -> None:
    tried = 0
    for seed in range(250):
        unit, procedure = case(seed)
        assert count_walks(unit, procedure) <= MOST_WALKS
        if count_walks(unit, procedure) <= 400:
            tried += 1
            assert walk(unit, procedure, prune=True) == walk(unit, procedure, prune=False), seed
    assert tried > 200


# What a package might get wrong.  Each of these faults, put into the walker, must show in some case.
FAULTS: dict[str, tuple[Any, str, Callable[..., Any]]] = {
    "check valves and restrictions pass for sure": (
        plant.Plant,
        "_stops",
        lambda self, part, off, sure: self.role(part) in ("vent", "gauge") or part in off,
    ),
    "nothing rebuilds": (plant.Plant, "rebuilds", lambda self, holder, energy: False),
    "nothing is kept": (
        plant.Plant,
        "by_exit",
        lambda self, holder, energy: self.forms[energy] in plant.FLUIDS,
    ),
    "no isolator is excused": (plant.Plant, "excused", lambda self, isolator: False),
    "outlets never feed": (
        plant.Plant,
        "sources",
        lambda self, energy: {p for p in self.next[energy] if self.role(p) == "source"},
    ),
    "only sources are origins": (state, "origins", lambda plant, state, part, energy: plant.sources(energy)),
    "a single isolation always does": (state, "is_deep", lambda plant, state, part, energy: True),
    "devices are always proven": (
        state,
        "proven",
        lambda plant, state, part, energy: not plant.is_holder(part) or (part, energy) in state.proven,
    ),
    "part open is open": (
        state,
        "is_full",
        lambda plant, state, holder, energy: holder in plant.reach(energy, plant.sources(energy), state.off),
    ),
    "every fluid must be live at the check": (state, "feedable", lambda plant, holder: plant.fluids(holder)),
    "a failed act counts": (walker, "NO_EFFECT_WHEN_FAILED", ()),  # type: ignore[dict-item]
    "a check fails once only": (
        course.Course,
        "max_failures",
        property(lambda self: 1, lambda self, value: None),
    ),  # type: ignore[dict-item]
}


@pytest.mark.parametrize("fault", FAULTS)
def test_a_fault_shows(fault: str, monkeypatch: pytest.MonkeyPatch) -> None:
    where, name, wrong = FAULTS[fault]
    for seed in range(2000):
        unit, procedure = case(seed)
        right = walk(unit, procedure)
        with monkeypatch.context() as patch:
            patch.setattr(where, name, wrong, raising=False)
            if walk(unit, procedure) != right:
                return
    pytest.fail("no case tells the difference")


def test_once_shows() -> None:
    """If `once` steps were done again, some case would differ."""
    for seed in range(2000):
        unit, procedure = case(seed)
        plain = yaml.load(
            files(unit, procedure)["p.yaml"]
            .replace("once: 'true'", "once: 'false'")
            .replace("dismantle: ", "open: ")
            .replace("reassemble: ", "close: "),
            yaml.BaseLoader,  # noqa: S506 - the safest of them: all scalars stay text
        )
        if walk(unit, plain) != walk(unit, procedure):
            return
    pytest.fail("no case tells the difference")
