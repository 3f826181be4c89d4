"""Units, plans and tables of any size, made from a seed."""

from __future__ import annotations

import random
from dataclasses import replace
from fractions import Fraction

from proctool.model.plan import Act, BackTo, Continue, EndHere, Frame, Otherwise, Plan, Step, StepKind
from proctool.model.rows import Amount, Due, Edges, ReadingCell, Row, Table, Way
from proctool.model.unit import Energy, Line, Part, Unit
from proctool.model.verdict import Charge, Proof
from proctool.model.words import Device, Form, Role
from tests.render import kw4, sheets
from tests.render.kw4 import AT

WORDS = (
    *("inlet", "outlet", "left", "right", "carbon", "sediment", "housing", "gauge", "Rückschlagventil"),
    *("Differenzdruckmanometer", "صمام", "الدخول", "שסתום", "入口弁", "клапан", "βαλβίδα", "<&>", "é́tape"),
    "Donaudampfschifffahrtselektrizitätenhauptbetriebswerkbauunterbeamtengesellschaft",
)
ROLES = (
    *(Role.COMPONENT,) * 6,
    *(Role.ISOLATOR,) * 5,
    *(Role.RESTRICTION,) * 3,
    *(Role.STORE, Role.STORE, Role.CHECK_VALVE, Role.CHECK_VALVE, Role.SOURCE, Role.OUTLET, Role.OUTLET),
    *(Role.VENT, Role.VENT, Role.VENT, Role.GAUGE, Role.GAUGE, Role.GAUGE),
)


def unit(seed: int, most: int = 60) -> Unit:
    """A unit of up to `most` parts: long names, circles, branches, several energies on one path."""
    pick = random.Random(seed)  # noqa: S311 - the same units each time
    energies = [
        Energy(f"e{n}", form, AT, name(pick, 2), f"{n}.0 bar", "0 bar")
        for n, form in enumerate(pick.sample(list(Form), pick.randint(1, 4)))
    ]
    parts: dict[str, Part] = {"p0": kw4.part("p0", Role.SOURCE, name(pick))}
    for n in range(1, pick.randint(2, most)):
        role = pick.choice(ROLES)
        holders = [part.id for part in parts.values() if part.holder]
        known: dict[str, object] = {}
        if role is Role.ISOLATOR:
            known = {"device": pick.choice([*Device, None])}
        elif role is Role.GAUGE:
            known = {"at": pick.choice([*holders[-6:], "any"]), "energy": pick.choice(energies).id}
        elif role is Role.OUTLET:
            known = {"feeds_back": pick.random() < 0.5}
        tag = f"T{n}" if pick.random() < 0.7 else None
        parts[f"p{n}"] = kw4.part(f"p{n}", role, name(pick), tag=tag, **known)  # type: ignore[arg-type] # known by name
    on_lines = [part.id for part in parts.values() if part.role is not Role.GAUGE]
    lines: dict[str, Line] = {}
    for n in range(pick.randint(1, 12)):
        length = min(len(on_lines), pick.randint(2, 12))
        if pick.random() < 0.6:
            start = pick.randint(0, len(on_lines) - length)
            way = on_lines[start : start + length]
        else:
            way = pick.sample(on_lines, length)
        among = tuple(e.id for e in pick.sample(energies, pick.randint(1, min(2, len(energies)))))
        lines[f"l{n}"] = Line(f"l{n}", among, tuple(way), AT)
    known_energies = {energy.id: energy for energy in energies}
    return Unit(f"U-{seed}", "A unit made up", "u.yaml", AT, known_energies, parts, lines, {})


def name(pick: random.Random, most: int = 5) -> str:
    """A few words of any script."""
    return " ".join(pick.choice(WORDS) for _ in range(pick.randint(1, most)))


def plan(seed: int, count: int) -> Plan:
    """A plan of `count` steps for the twin-cartridge skid, with free steps and checks that lead back."""
    pick = random.Random(seed)  # noqa: S311 - the same units each time
    before: list[int] = []
    steps: list[Step] = []
    headings = [(), *((name(pick, 3),) for _ in range(4))]
    parts = [part.id for part in kw4.unit().parts.values() if part.holder]
    for n in range(count):
        mask = (1 << n) - 1
        if pick.random() < 0.3:
            mask &= ~(0b111 << max(n - 3, 0))
        before.append(mask)
        acts = (Act("open", pick.choice(parts), AT),) if pick.random() < 0.2 else ()
        steps.append(
            Step(f"s{n}", StepKind.DO, f"Do *{name(pick)}*.", AT, acts, heading=headings[n * 5 // count])
        )
    before = closure(before)
    frame = Frame(tuple(steps), tuple(before))
    for n in range(1, count):
        if pick.random() < 0.3:
            earlier = [i for i in range(n) if before[n] >> i & 1]
            ends: list[Continue | EndHere | BackTo] = [Continue(), EndHere("Call service.", AT)]
            if earlier:
                first = pick.choice(earlier)
                undone = frame.followers(1 << first)
                then = Otherwise(Frame((), ()), EndHere("", AT)) if pick.random() < 0.5 else None
                ends.append(BackTo(f"s{first}", 0, undone, pick.choice([None, 1, 3]), then))
            otherwise = Otherwise(Frame((), ()), pick.choice(ends))
            steps[n] = Step(
                f"s{n}",
                StepKind.CHECK,
                f"Look at {name(pick)}.",
                AT,
                otherwise=otherwise,
                heading=steps[n].heading,
            )
    whole = Frame(tuple(steps), tuple(before))
    return Plan("made-up", name(pick), kw4.unit(), whole, AT, {}, {}, {})


def closure(before: list[int]) -> list[int]:
    """An order that holds what follows from it."""
    found: list[int] = []
    for mask in before:
        whole = mask
        for i, earlier in enumerate(found):
            if mask >> i & 1:
                whole |= earlier
        found.append(whole)
    return found


def proof(of: Plan, seed: int) -> Proof:
    """Some charge after each step; one step is never come to."""
    pick = random.Random(seed)  # noqa: S311 - the same units each time
    pairs = [("first", "water"), ("second", "water"), ("motor", "water"), ("motor", "mains")]
    worst = {step.id: {pair: pick.choice(list(Charge)) for pair in pairs} for step in of.frame.steps[:-1]}
    return Proof((), True, 1, None, worst)


def table(rows: int, *, due: Due = Due.OR_LESS, nearby: Way | None = Way.UP, known: bool = True) -> Table:
    """A due table of many rows."""
    model = sheets.change_point(due=due, known=known, nearby=nearby)
    pattern = model.rows[0].answers[0]
    made = []
    for n in range(rows):
        at = Fraction(n, 20)
        side = 1 if due is Due.OR_LESS else -1
        limit = 2 + Fraction(n, 30)
        sure, open_, soon = (limit + side * Fraction(k, 5) for k in range(3))
        edges = Edges(bar(sure), bar(open_) if known else None, bar(soon) if known else None)
        shown = bar(limit)
        cell = replace(pattern, value=shown, moved=shown, shown=shown, edges=edges)
        made.append(Row((ReadingCell(bar(at), (), None),), (cell,)))
    return replace(model, rows=tuple(made))


def bar(value: Fraction) -> Amount:
    return Amount(value, "bar", f"{float(value):.2f} bar")
