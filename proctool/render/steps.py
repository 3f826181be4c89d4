"""The steps of a manual: numbers, warnings, needs, what each leaves live, and what to do when one fails."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from proctool.model.plan import BackTo, Continue, Frame, Otherwise, Plan, Step, StepKind
from proctool.model.verdict import Charge, Proof
from proctool.network.reach import Network
from proctool.render import alike, meeting, words
from proctool.render.devices import Devices, after_step, at_start, before_step
from proctool.render.layout import Layout, lay_out
from proctool.render.manual import Failure, Heading, Item, Pair, Section, State

_LABELS = {StepKind.DO: "", StepKind.CHECK: "Check", StepKind.READ: "Read", StepKind.WAIT: "Wait"}
_TOP_LEVEL = 3
_LOWEST_LEVEL = 6


@dataclass(frozen=True, slots=True)
class _Around:
    """A frame that is being written, and those around it."""

    frame: Frame
    layout: Layout
    prefix: str
    start: Devices
    outer: _Around | None
    titles: tuple[str, ...] = ()
    """Headings that stand above the whole frame already."""

    def number(self, place: int) -> str:
        return f"{self.prefix}{self.layout.rank[place] + 1}"

    def ranges(self, places: Sequence[int]) -> str:
        return words.ranges((self.layout.rank[i] + 1 for i in places), self.prefix)

    def up(self, levels: int) -> _Around:
        around = self
        for _ in range(levels):
            around = around.outer or around
        return around


class StepWriter:
    """Writes the steps of one plan. Steps that several failures share are written out once."""

    def __init__(self, plan: Plan, proof: Proof, network: Network) -> None:
        self.plan = plan
        self.proof = proof
        self.network = network
        self.parts = plan.unit.parts
        self.watched = meeting.met(network, meeting.exposed(plan))
        """(part, energy) whose state is told beside each step."""
        self._written: dict[object, str] = {}

    def _held(self, step: str) -> object:
        """The states told beside a step."""
        worst = self.proof.worst.get(step)
        return None if worst is None else tuple(worst.get(pair) for pair in self.watched)

    def sections(self) -> tuple[Section, ...]:
        """The main steps."""
        around = _Around(self.plan.frame, lay_out(self.plan.frame, self.parts), "", at_start(self.plan), None)
        return self._sections(around, _TOP_LEVEL, None)

    def _sections(
        self, around: _Around, level: int, last: Mapping[tuple[str, str], Charge] | None
    ) -> tuple[Section, ...]:
        found: list[Section] = []
        titles: tuple[str, ...] = ()
        for slot in around.layout.slots:
            own = _without(around.titles, slot.titles)
            for note in slot.notes:
                above = own[: max(note.depth - (len(slot.titles) - len(own)), 0)]
                order = note.said(around.ranges)
                found.append(Section(_new_headings(titles, above, level), order, slot.free, ()))
                titles = above
            new = _new_headings(titles, own, level)
            titles = own
            inner = min(level + len(titles), _LOWEST_LEVEL)
            worst = self.proof.worst.get(around.frame.steps[slot.place].id)
            item = self._item(
                around, slot.place, inner, last, around.ranges(slot.loose) if slot.loose else ""
            )
            last = worst if worst is not None else last
            if found and not new and found[-1].free == slot.free:
                found[-1] = replace(found[-1], items=(*found[-1].items, item))
            else:
                found.append(Section(new, "", slot.free, (item,)))
        return tuple(found)

    def _item(
        self,
        around: _Around,
        place: int,
        level: int,
        last: Mapping[tuple[str, str], Charge] | None,
        loose: str,
    ) -> Item:
        step = around.frame.steps[place]
        number = around.number(place)
        devices = before_step(around.frame, place, around.start, self.parts)
        failed = "If the reading is outside" if step.kind is StepKind.READ else "If not OK"
        record = {StepKind.READ: ("Reading",), StepKind.WAIT: ("Start", "End")}.get(step.kind, ())
        return Item(
            anchor=_anchor(number),
            number=number,
            label=_LABELS[step.kind],
            text=step.text,
            hazards=meeting.hazards(step, self.network),
            needs=meeting.needs(step, self.network, devices),
            notes=step.notes,
            figure=step.figure,
            facts=self._facts(step),
            blanks=record,
            hold=step.hold or "",
            states=self._states(step, last),
            failure=(
                self._otherwise(around, place, step.otherwise, failed, level, devices, 0)
                if step.otherwise
                else None
            ),
            order=f"Can be done before or after {loose}." if loose else "",
        )

    def _facts(self, step: Step) -> tuple[Pair, ...]:
        found: list[Pair] = []
        gauge = self.parts.get(step.gauge or "")
        if step.lasts:
            found.append(
                Pair("Duration", step.lasts if step.kind is not StepKind.WAIT else f"at least {step.lasts}")
            )
        limits = step.limits or (gauge.usual if gauge and step.kind is StepKind.READ else None)
        if gauge and step.kind is StepKind.WAIT:
            found.append(Pair("Until", f"{gauge.label} reads {limits or 'the value above'}"))
        elif gauge and limits:
            found.append(Pair("Must be", f"{limits} on {gauge.label}"))
        elif limits:
            found.append(Pair("Must be", limits))
        return tuple(found)

    def _states(self, step: Step, last: Mapping[tuple[str, str], Charge] | None) -> tuple[State, ...]:
        """The worst charge of each watched part after the step, alike parts in one."""
        worst = self.proof.worst.get(step.id)
        if worst is None:
            return ()
        found: list[State] = []
        for energy in self.plan.unit.energies.values():
            here = [pair for pair in self.watched if pair[1] == energy.id and pair in worst]
            present = {worst[pair] for pair in here}
            for charge in (Charge.LIVE, Charge.TRAPPED, Charge.ZERO):
                alike = [pair for pair in here if worst[pair] is charge]
                if not alike:
                    continue
                where = words.listed(self.parts[part].name for part, _ in alike) if len(present) > 1 else ""
                changed = last is not None and any(last.get(pair) is not charge for pair in alike)
                found.append(State(energy.name, charge.value, words.MARKS[charge], where, changed))
        return tuple(found)

    def _otherwise(
        self,
        around: _Around,
        place: int,
        otherwise: Otherwise,
        lead: str,
        level: int,
        devices: Devices,
        used: int,
    ) -> Failure:
        """`used` is how many numbers under this check the steps before took."""
        step, frame = around.frame.steps[place], otherwise.frame
        sections: tuple[Section, ...] = ()
        refers = ""
        if frame.steps:
            layout = lay_out(frame, self.parts, first=used)
            prefix = f"{around.number(place)}."
            start = after_step(step, devices, self.parts)
            inner = _Around(frame, layout, prefix, start, around, step.heading)
            said = inner.ranges(range(len(frame.steps)))
            same = alike.signature(frame, step.id, self._held)
            if same in self._written:
                said, number = self._written[same].split("|")
                lead = f"{lead}, do {said} now, as written out under step {number}."
                refers = _anchor(said.split()[1])
            else:
                self._written[same] = f"{said}|{around.number(place)}"
                lead = f"{lead}, do {said}:"
                sections = self._sections(inner, level, self.proof.worst.get(step.id))
                used += len(frame.steps)
        else:
            lead = f"{lead}:"
        ending = otherwise.ending
        then = "Then " if frame.steps else ""
        if isinstance(ending, Continue):
            return Failure(
                lead,
                sections,
                words.capital(f"{then}go on after this step."),
                "",
                "",
                stops=False,
                refers=refers,
            )
        if not isinstance(ending, BackTo):
            return Failure(
                lead, sections, words.capital(f"{then}stop here."), "", ending.text, stops=True, refers=refers
            )
        back, first = self._back(around, ending)
        times = f", at most {_times(ending.at_most)}" if ending.at_most is not None else ""
        after: Failure | None = None
        if ending.then is not None:
            again = (
                f"If it is still not OK after going back {_times(ending.at_most)}"
                if ending.at_most
                else "If that does not help"
            )
            after = self._otherwise(around, place, ending.then, again, level, devices, used)
        elif ending.at_most is not None:
            again = f"If it is still not OK after going back {_times(ending.at_most)}:"
            after = Failure(again, (), "Stop here.", "", "", stops=True)
        return Failure(
            lead,
            sections,
            words.capital(f"{then}go back to step {back.number(first)} and work on from there{times}."),
            _anchor(back.number(first)),
            "",
            stops=False,
            refers=refers,
            again=_kept(back, ending),
            then=after,
        )

    def _back(self, around: _Around, ending: BackTo) -> tuple[_Around, int]:
        """The frame gone back to, and its first step that is done again."""
        back = around.up(ending.levels)
        steps = back.frame.steps
        named = [i for i in back.layout.order if (steps[i].id + "/").startswith(ending.target + "/")]
        undone = [i for i in back.layout.order if ending.undone >> i & 1]
        return back, (named or undone or [0])[0]


def _anchor(number: str) -> str:
    return "step-" + number.replace(".", "-")


def _times(count: int | None) -> str:
    return "once" if count == 1 else f"{count} times"


def _kept(back: _Around, ending: BackTo) -> str:
    """Which of the steps gone back over stay done."""
    kept = [i for i in back.layout.order if ending.undone >> i & 1 and back.frame.steps[i].once]
    if not kept:
        return ""
    verb = "is" if len(kept) == 1 else "are"
    return words.capital(f"{back.ranges(kept)} {verb} done once only: if done already, skip.")


def _without(above: tuple[str, ...], titles: tuple[str, ...]) -> tuple[str, ...]:
    return titles[len(above) :] if titles[: len(above)] == above else titles


def _new_headings(last: tuple[str, ...], titles: tuple[str, ...], level: int) -> tuple[Heading, ...]:
    same = 0
    while same < min(len(last), len(titles)) and last[same] == titles[same]:
        same += 1
    return tuple(
        Heading(min(level + depth, _LOWEST_LEVEL), title)
        for depth, title in enumerate(titles)
        if depth >= same
    )
