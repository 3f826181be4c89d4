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
from proctool.render.item import Hazard
from proctool.render.manual import Deviated, Held, Listing, Manual, Screen, Trust
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
from proctool.render.speech import say, speaking
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
    language = (facts.language if facts else "") or "en"
    with speaking(language):
        shows = facts.shows if facts else {}
        trust = _trust(judgement.verdict, draft=draft)
        revision = _latest(facts)
        said = (
            say("{number} of {date}", number=revision.number, date=revision.date)
            if revision
            else say("not stated")
        )
        met = touched(plan, network)
        hazards, unwarned = _safety(plan, met)
        live = still_live(plan, proof, network)
        rows = isolation(plan, network, shows)
        when = due(facts.due if facts else (), tables)
        writer = StepWriter(plan, proof, network, run)
        sections = writer.sections()
        return Manual(
            language=language,
            name=" · ".join(filter(None, (plan.title, unit.id, facts.number if facts else ""))),
            title=plan.title,
            unit=unit.id,
            unit_title=unit.title,
            document=(facts.number if facts else "") or f"{plan.procedure}/{unit.id}",
            revision=said,
            library=(facts.library if facts else "") or say("not stated"),
            trust=trust,
            mark=_mark(trust, deviations),
            named=named(deviations, writer.numbers),
            verdict=_verdict(judgement, trust, said),
            compare=say(words.COMPARE),
            identity=_identity(plan, said, digest),
            hazards=hazards,
            unwarned=unwarned,
            untouched=untouched(network, met, shows),
            departures=departures(deviations, writer.numbers),
            isolation=rows,
            live=live,
            live_lead=say(words.LIVE[bool(live), bool(rows)]),
            diagram=figure(lambda width: energy_diagram(unit, width=width)),
            overview=_overview(plan, proof),
            found=_devices(unit, plan, "starts"),
            left=_devices(unit, plan, "leaves"),
            due=when,
            sheets=with_plots(sheets(tables, when), tables),
            wanted=_wanted(facts),
            legend=tuple(Pair(f"{words.MARKS[c]} {words.term(c)}", say(words.CHARGES[c])) for c in Charge),
            sections=sections,
            not_zero=tuple(map(say, words.NOT_ZERO)) if at_zero(plan) else (),
            cautions=tuple(map(say, words.CAUTIONS)),
            uncovered=tuple(map(say, words.UNCOVERED)),
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
        return say(words.RECORDED_MARK) if deviations else ""
    return say(words.DRAFT_MARK if trust is Trust.DRAFT else words.DEVIATIONS_MARK)


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
    power = "10" + str(len(str(number)) - 1).translate(_SUPERSCRIPT)
    return say("more than {number}", number=power)


def _verdict(judgement: Judgement, trust: Trust, revision: str) -> str:
    """The verdict with what was looked at to find it."""
    looked = {"states": _count(judgement.states), "revision": revision}
    if judgement.verdict is Verdict.UNSAFE:
        return say(
            "Not safe: the proof found a way in which these steps can hurt someone "
            "({states} states of work and unit looked at; revision {revision}). Do not use.",
            **looked,
        )
    if judgement.verdict is Verdict.UNPROVEN:
        return say(
            "Not proven: not every order of these steps could be followed to its end "
            "({states} states of work and unit looked at; revision {revision}). Do not use.",
            **looked,
        )
    if trust is Trust.DRAFT:
        return say(
            "Draft: not released for work, whatever the proof of its steps says "
            "({states} states of work and unit looked at; revision {revision}). Do not use.",
            **looked,
        )
    if judgement.orders is None:
        orders = say("in every order that the steps allow")
    elif judgement.orders == 1:
        orders = say("in the one order that the steps allow")
    else:
        orders = say("in each of the {number} orders that the steps allow", number=_count(judgement.orders))
    if trust is Trust.DEVIATIONS:
        return say(
            "Proven with recorded deviations: {orders}, only what they record was broken "
            "({states} states of work and unit looked at; revision {revision}).",
            orders=orders,
            **looked,
        )
    return say(
        "Proven: {orders}, no part is opened live, charged, unverified or unlocked "
        "({states} states of work and unit looked at; revision {revision}).",
        orders=orders,
        **looked,
    )


def _identity(plan: Plan, revision: str, digest: str) -> tuple[Pair, ...]:
    unit, checked = plan.unit, plan.unit.checked
    walked = ""
    if checked and (checked.by or checked.date):
        walked = words.walked(checked)
    rows = [
        Pair(say("Unit"), f"{unit.id} · {unit.title}"),
        Pair(say("Family"), unit.family or ""),
        Pair(say("Serial numbers"), checked.serials if checked else ""),
        Pair(say("Drawing"), checked.drawing if checked else ""),
        Pair(say("Unit checked by"), walked),
        Pair(say("Document number"), plan.facts.number if plan.facts else ""),
        Pair(say("Procedure"), f"{plan.procedure}/{unit.id}"),
        Pair(say("Revision"), revision),
        Pair(say("Library"), plan.facts.library if plan.facts else ""),
        Pair(say("Digest"), digest),
    ]
    return tuple(Pair(row.label, row.value or say("not stated")) for row in rows)


def _safety(plan: Plan, met: frozenset[str]) -> tuple[tuple[Hazard, ...], str]:
    """The safety messages of the energies that are met and of the steps; which energies have none."""
    energies = plan.unit.energies.values()
    dangers = [energy.warning for energy in energies if energy.warning and energy.id in met]
    dangers += [danger for step in every_step(plan.frame) for danger in step.dangers]
    silent = [energy.name for energy in energies if not energy.warning]
    unwarned = ""
    if silent:
        unwarned = say(
            "No warning is written for {energies}: treat as able to kill.", energies=words.listed(silent)
        )
    return unique([hazard(danger) for danger in dangers]), unwarned


def _devices(unit: Unit, plan: Plan, which: str) -> tuple[str, ...]:
    """Parts found or left in another than their normal state, in words."""
    named = plan.starts if which == "starts" else plan.leaves
    return tuple(
        f"{unit.parts[name].label if name in unit.parts else words.spaced(name)}: "
        f"{words.listed(words.term(word) for word in said)}"
        for name, said in named.items()
    )


def _wanted(facts: Facts | None) -> tuple[Listing, ...]:
    """People, time and things, each named even where nothing is needed or said."""
    unsaid = say("Not stated.")
    none = say("None.") if facts else unsaid
    people = Counter(facts.people if facts else ())
    wanted = (
        Listing(say("People"), tuple(words.times(n, name) for name, n in people.items()), unsaid),
        Listing(say("Time"), (facts.time,) if facts and facts.time else (), unsaid),
        Listing(say("Wear"), facts.ppe if facts else (), none),
        Listing(say("Tools"), facts.tools if facts else (), none),
        Listing(say("Supplies and spares"), facts.supplies if facts else (), none),
    )
    if facts is None:
        return wanted
    more = (Listing(say("Locks"), words.locks(facts.locks), ""), Listing(say("Disposal"), facts.disposal, ""))
    return (*wanted, *(listing for listing in more if listing.items))
