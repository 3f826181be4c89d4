"""From plan and proof to what the manual shows."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import replace

from proctool.model.plan import Facts, Plan, Revision, every_step
from proctool.model.rows import Table
from proctool.model.unit import Unit
from proctool.model.verdict import Charge, Judgement, Proof, Snapshot, Verdict
from proctool.network.reach import Network
from proctool.render import words
from proctool.render.card import card
from proctool.render.departures import departures, named
from proctool.render.grid import Pair, Sheet
from proctool.render.isolation import at_zero, isolation, still_live, untouched
from proctool.render.manual import Deviated, Hazard, Held, Listing, Manual, Screen, Trust
from proctool.render.meeting import hazard, touched, unique
from proctool.render.moments import Moments
from proctool.render.pictures.diagram import energy_diagram
from proctool.render.pictures.figure import Figure, figure
from proctool.render.pictures.overlay import Overlay
from proctool.render.pictures.picture import PHONE
from proctool.render.pictures.plot import table_plots
from proctool.render.pictures.state_band import state_band
from proctool.render.pictures.step_graph import step_graph
from proctool.render.record import record
from proctool.render.steps import StepWriter
from proctool.render.tables import anchor, due, sheets

_SUPERSCRIPT = str.maketrans("0123456789", "⁰¹²³⁴⁵⁶⁷⁸⁹")
_EXACT = 10**9
"""Counts from here on are told by their power of ten."""


def manual(
    plan: Plan,
    proof: Proof,
    judgement: Judgement,
    network: Network,
    *,
    draft: bool,
    digest: str,
    tables: tuple[Table, ...] = (),
    deviations: tuple[Deviated, ...] = (),
    lowered: tuple[str, ...] = (),
    run: Sequence[Snapshot] = (),
) -> Manual:
    """All that the manual of a procedure for a unit shows, in the reader's words.

    `digest` stands for plan and verdict, `draft` marks a manual that must not be worked from. What was not
    proven safe is marked as a draft whatever `draft` says. `tables` are those of the procedure for this unit,
    `deviations` those that cover something here, `lowered` the rules whose level the library lowered. `run`
    is a run of the main steps in which every check passes, its start first: what is not live there, but is in
    another order, the diagram beside the steps calls *may be live*.
    """
    unit, facts = plan.unit, plan.facts
    shows = facts.shows if facts else {}
    trust = _trust(judgement.verdict, draft=draft)
    revision = _latest(facts)
    said = f"{revision.number} of {revision.date}" if revision else "not stated"
    met = touched(plan, network)
    hazards, unwarned = _safety(plan, met)
    live = still_live(plan, proof, network)
    rows = isolation(plan, network, shows)
    when = due(facts.due if facts else (), tables)
    writer = StepWriter(plan, proof, network, run)
    sections = writer.sections()
    return Manual(
        language=(facts.language if facts else "") or "en",
        name=" · ".join(filter(None, (plan.title, unit.id, facts.number if facts else ""))),
        title=plan.title,
        unit=unit.id,
        unit_title=unit.title,
        document=(facts.number if facts else "") or f"{plan.procedure}/{unit.id}",
        revision=said,
        library=(facts.library if facts else "") or "not stated",
        trust=trust,
        mark=_mark(trust, deviations),
        named=named(deviations, writer.numbers),
        verdict=_verdict(judgement, trust, said),
        compare=words.COMPARE,
        identity=_identity(plan, said, digest),
        hazards=hazards,
        unwarned=unwarned,
        untouched=untouched(network, met, shows),
        departures=departures(deviations, writer.numbers),
        isolation=rows,
        live=live,
        live_lead=words.LIVE[bool(live), bool(rows)],
        diagram=figure(lambda width: energy_diagram(unit, width=width)),
        overview=_overview(plan, proof),
        found=_devices(unit, plan, "starts"),
        left=_devices(unit, plan, "leaves"),
        due=when,
        sheets=with_plots(sheets(tables, when), tables),
        wanted=_wanted(facts),
        legend=tuple(Pair(f"{words.MARKS[c]} {c.value}", words.CHARGES[c]) for c in Charge),
        sections=sections,
        not_zero=words.NOT_ZERO if at_zero(plan) else (),
        cautions=words.CAUTIONS,
        uncovered=words.UNCOVERED,
        lowered=lowered,
        record=record(plan, shows),
        revisions=facts.revisions if facts else (),
        screen=_screen(plan, digest, writer.moments),
        card=card(plan, network, rows, writer.numbers),
    )


def _screen(plan: Plan, digest: str, moments: Moments) -> Screen:
    """What scripts need, with the diagram narrow enough to stand beside a step."""
    unit = plan.unit
    shows = plan.facts.shows if plan.facts else {}
    return Screen(
        procedure=plan.procedure,
        digest=digest,
        measures=tuple(measures for measures in shows.values() if len(measures) > 1),
        diagram=energy_diagram(unit, overlay=Overlay(), width=PHONE),
        held=tuple(
            Held(part, energy, unit.parts[part].label, unit.energies[energy].name)
            for part, energy in moments.pairs
        ),
    )


def _overview(plan: Plan, proof: Proof) -> tuple[Figure, ...]:
    """The steps at a glance. Their graph has the steps themselves as its words."""
    if not plan.frame.steps:
        return ()
    return (
        figure(lambda width: step_graph(plan, width=width), listed=False),
        figure(lambda width: state_band(plan, proof, width=width)),
    )


def with_plots(sheets: tuple[Sheet, ...], tables: Sequence[Table]) -> tuple[Sheet, ...]:
    """The tables with their plots, whose words are the bands that stand beside them."""
    plots = {
        anchor(table.name): tuple(
            Figure(wide, narrow, listed=False)
            for wide, narrow in zip(table_plots(table), table_plots(table, width=PHONE), strict=True)
        )
        for table in tables
    }
    return tuple(replace(sheet, plots=plots[sheet.anchor]) for sheet in sheets)


def _mark(trust: Trust, deviations: Sequence[Deviated]) -> str:
    if trust is Trust.PROVEN:
        return words.RECORDED_MARK if deviations else ""
    return words.DRAFT_MARK if trust is Trust.DRAFT else words.DEVIATIONS_MARK


def _trust(verdict: Verdict, *, draft: bool) -> Trust:
    if draft or verdict not in {Verdict.SAFE, Verdict.SAFE_WITH_DEVIATIONS}:
        return Trust.DRAFT
    return Trust.DEVIATIONS if verdict is Verdict.SAFE_WITH_DEVIATIONS else Trust.PROVEN


def _latest(facts: Facts | None) -> Revision | None:
    """The revision with the latest date; of equal ones the last in the list."""
    every = facts.revisions if facts else ()
    return max(enumerate(every), key=lambda pair: (pair[1].date, pair[0]))[1] if every else None


def _count(number: int) -> str:
    """A count in words: exact while it can be read."""
    if number < _EXACT:
        return f"{number:,}"
    return "more than 10" + str(len(str(number)) - 1).translate(_SUPERSCRIPT)


def _verdict(judgement: Judgement, trust: Trust, revision: str) -> str:
    """The verdict with what was looked at to find it."""
    states = f"{_count(judgement.states)} states of work and unit looked at"
    if judgement.orders is None:
        orders = "in every order that the steps allow"
    elif judgement.orders == 1:
        orders = "in the one order that the steps allow"
    else:
        orders = f"in each of the {_count(judgement.orders)} orders that the steps allow"
    proven = f"{orders}, no part is opened live, charged, unverified or unlocked"
    basis = f"{states}; revision {revision}"
    if judgement.verdict is Verdict.UNSAFE:
        return f"Not safe: the proof found a way in which these steps can hurt someone ({basis}). Do not use."
    if judgement.verdict is Verdict.UNPROVEN:
        return (
            f"Not proven: not every order of these steps could be followed to its end ({basis}). Do not use."
        )
    if trust is Trust.DRAFT:
        return f"Draft: not released for work, whatever the proof of its steps says ({basis}). Do not use."
    if trust is Trust.DEVIATIONS:
        return f"Proven with recorded deviations: {orders}, only what they record was broken ({basis})."
    return f"Proven: {proven} ({basis})."


def _identity(plan: Plan, revision: str, digest: str) -> tuple[Pair, ...]:
    unit, checked = plan.unit, plan.unit.checked
    walked = ""
    if checked and (checked.by or checked.date):
        walked = " on ".join(text for text in (checked.by, checked.date) if text)
    rows = [
        Pair("Unit", f"{unit.id} · {unit.title}"),
        Pair("Family", unit.family or ""),
        Pair("Serial numbers", checked.serials if checked else ""),
        Pair("Drawing", checked.drawing if checked else ""),
        Pair("Unit checked by", walked),
        Pair("Document number", plan.facts.number if plan.facts else ""),
        Pair("Procedure", f"{plan.procedure}/{unit.id}"),
        Pair("Revision", revision),
        Pair("Library", plan.facts.library if plan.facts else ""),
        Pair("Digest", digest),
    ]
    return tuple(Pair(row.label, row.value or "not stated") for row in rows)


def _safety(plan: Plan, met: frozenset[str]) -> tuple[tuple[Hazard, ...], str]:
    """The safety messages of the energies that are met and of the steps; which energies have none."""
    energies = plan.unit.energies.values()
    dangers = [energy.warning for energy in energies if energy.warning and energy.id in met]
    dangers += [danger for step in every_step(plan.frame) for danger in step.dangers]
    silent = [energy.name for energy in energies if not energy.warning]
    unwarned = f"No warning is written for {words.listed(silent)}: treat as able to kill." if silent else ""
    return unique([hazard(danger) for danger in dangers]), unwarned


def _devices(unit: Unit, plan: Plan, which: str) -> tuple[str, ...]:
    """Parts found or left in another than their normal state, in words."""
    named = plan.starts if which == "starts" else plan.leaves
    return tuple(
        f"{unit.parts[name].label if name in unit.parts else words.spaced(name)}: "
        f"{words.listed(words.spaced(word) for word in said)}"
        for name, said in named.items()
    )


def _wanted(facts: Facts | None) -> tuple[Listing, ...]:
    """People, time and things, each named even where nothing is needed or said."""
    none = "None." if facts else "Not stated."
    people = Counter(facts.people if facts else ())
    wanted = (
        Listing("People", tuple(words.times(n, name) for name, n in people.items()), "Not stated."),
        Listing("Time", (facts.time,) if facts and facts.time else (), "Not stated."),
        Listing("Wear", facts.ppe if facts else (), none),
        Listing("Tools", facts.tools if facts else (), none),
        Listing("Supplies and spares", facts.supplies if facts else (), none),
    )
    if facts is None:
        return wanted
    more = (Listing("Locks", words.locks(facts.locks), ""), Listing("Disposal", facts.disposal, ""))
    return (*wanted, *(listing for listing in more if listing.items))
