"""The steps of a manual: numbers, warnings, needs, what each leaves live, and what to do when one fails."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from proctool.model.plan import BackTo, Continue, Frame, Otherwise, Plan, Step, StepKind, every_step
from proctool.model.verdict import Charge, Proof, Snapshot
from proctool.network.reach import Network
from proctool.render import meeting, readings, words
from proctool.render.alike import Shared, States
from proctool.render.devices import Devices, after_frame, after_step, at_start, before_step
from proctool.render.layout import Layout, lay_out
from proctool.render.manual import Failure, Heading, Item, Section, State
from proctool.render.moments import Moments

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

    def __init__(self, plan: Plan, proof: Proof, network: Network, run: Sequence[Snapshot] = ()) -> None:
        """`run` is a run of the main steps, its start first."""
        self.plan = plan
        self.network = network
        self.parts = plan.unit.parts
        self.shows = plan.facts.shows if plan.facts else {}
        self.watched = meeting.met(network, meeting.exposed(plan))
        """(part, energy) whose state is told beside each step."""
        self.numbers: dict[str, str] = {}
        """The number of each step that is written out, or of the one that stands for it, by path id."""
        self._shared = Shared(plan, proof, self.watched)
        self.moments = Moments(plan, self._shared.worst, run)
        self._written: dict[object, tuple[str, str, Frame]] = {}

    def sections(self) -> tuple[Section, ...]:
        """The main steps."""
        around = _Around(self.plan.frame, lay_out(self.plan.frame, self.parts), "", at_start(self.plan), None)
        return self._sections(around, _TOP_LEVEL, None)

    def _sections(self, around: _Around, level: int, last: States | None) -> tuple[Section, ...]:
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
            worst = self._shared.worst(around.frame.steps[slot.place].id)
            item = self._item(
                around, slot.place, inner, last, around.ranges(slot.loose) if slot.loose else ""
            )
            last = worst if worst is not None else last
            if found and not new and found[-1].free == slot.free:
                found[-1] = replace(found[-1], items=(*found[-1].items, item))
            else:
                found.append(Section(new, "", slot.free, (item,)))
        return tuple(found)

    def _item(self, around: _Around, place: int, level: int, last: States | None, loose: str) -> Item:
        step = around.frame.steps[place]
        number = around.number(place)
        devices = before_step(around.frame, place, around.start, self.parts)
        left = after_step(step, devices, self.parts)
        failed = "If the reading is outside" if step.kind is StepKind.READ else "If not OK"
        self.numbers[step.id] = number
        return Item(
            anchor=words.anchor(number),
            number=number,
            label=_LABELS[step.kind],
            text=step.text,
            hazards=meeting.hazards(step, self.network),
            needs=meeting.needs(step, self.network, devices),
            notes=step.notes,
            figure=step.figure,
            facts=readings.facts(step, self.network, self.shows),
            blanks=readings.blanks(step, self.parts, self.shows),
            hold=step.hold or "",
            states=self._states(step, last),
            failure=(
                self._otherwise(around, place, step.otherwise, failed, level, left, 0)
                if step.otherwise
                else None
            ),
            order=f"Can be done before or after {loose}." if loose else "",
            moment=self.moments.moment(around.frame, place),
        )

    def _states(self, step: Step, last: States | None) -> tuple[State, ...]:
        """The worst charge of each watched part after the step, alike parts in one."""
        worst = self._shared.worst(step.id)
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
        """`devices` is how they stand then; `used` is how many numbers under this check are taken."""
        frame = otherwise.frame
        sections: tuple[Section, ...] = ()
        refers = ""
        if frame.steps:
            lead, sections, refers = self._instead(around, place, frame, lead, level, devices, used)
            used += 0 if refers else len(frame.steps)
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
            left = after_frame(frame, devices, self.parts)
            after = self._otherwise(around, place, ending.then, again, level, left, used)
        elif ending.at_most is not None:
            again = f"If it is still not OK after going back {_times(ending.at_most)}:"
            after = Failure(again, (), "Stop here.", "", "", stops=True)
        return Failure(
            lead,
            sections,
            words.capital(f"{then}go back to step {back.number(first)} and work on from there{times}."),
            words.anchor(back.number(first)),
            "",
            stops=False,
            refers=refers,
            again=_kept(back, ending),
            then=after,
            undone=_undone(back, ending),
        )

    def _instead(
        self, around: _Around, place: int, frame: Frame, lead: str, level: int, devices: Devices, used: int
    ) -> tuple[str, tuple[Section, ...], str]:
        """The lead of a failure that has steps, its steps, and the anchor of those that stand for them."""
        step = around.frame.steps[place]
        key = self._shared.signature(frame, step.id)
        if key in self._written:
            said, number, other = self._written[key]
            for one, same in zip(every_step(frame), every_step(other), strict=True):
                if same.id in self.numbers:
                    self.numbers.setdefault(one.id, self.numbers[same.id])
            lead = f"{lead}, do {said} now, as written out under step {number}."
            return lead, (), words.anchor(said.split()[1])
        layout = lay_out(frame, self.parts, first=used)
        start = self._shared.start(key, devices)
        inner = _Around(frame, layout, f"{around.number(place)}.", start, around, step.heading)
        said = inner.ranges(range(len(frame.steps)))
        self._written[key] = (said, around.number(place), frame)
        return f"{lead}, do {said}:", self._sections(inner, level, self._shared.last(key)), ""

    def _back(self, around: _Around, ending: BackTo) -> tuple[_Around, int]:
        """The frame gone back to, and its first step that is done again."""
        back = around.up(ending.levels)
        steps = back.frame.steps
        named = [i for i in back.layout.order if (steps[i].id + "/").startswith(ending.target + "/")]
        undone = [i for i in back.layout.order if ending.undone >> i & 1]
        return back, (named or undone or [0])[0]


def _times(count: int | None) -> str:
    return "once" if count == 1 else f"{count} times"


def _kept(back: _Around, ending: BackTo) -> str:
    """Which of the steps gone back over stay done."""
    kept = [i for i in back.layout.order if ending.undone >> i & 1 and back.frame.steps[i].once]
    if not kept:
        return ""
    verb = "is" if len(kept) == 1 else "are"
    return words.capital(f"{back.ranges(kept)} {verb} done once only: if done already, skip.")


def _undone(back: _Around, ending: BackTo) -> tuple[str, ...]:
    """The anchors of the steps gone back over that are done again."""
    again = (i for i in back.layout.order if ending.undone >> i & 1 and not back.frame.steps[i].once)
    return tuple(words.anchor(back.number(i)) for i in again)


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
