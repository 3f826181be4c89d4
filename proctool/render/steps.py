"""The steps of a manual: numbers, warnings, needs, what each leaves live, and what to do when one fails."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from proctool.model.plan import BackTo, Continue, Frame, Otherwise, Plan, Step, StepKind, every_step
from proctool.model.verdict import Charge, Proof, Snapshot
from proctool.network.reach import Network
from proctool.render import meeting, readings, words, zeros
from proctool.render.alike import Shared, States
from proctool.render.devices import Devices, after_frame, after_step, at_start, before_step
from proctool.render.failing import NO_HELP, NOT_OK, READING, STILL, Lead, goes_back
from proctool.render.item import Failure, Heading, Item, Section, State
from proctool.render.layout import Layout, lay_out
from proctool.render.moments import Moments
from proctool.render.speech import counted, say

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

    def anchor(self, place: int) -> str:
        return words.anchor(self.number(place))

    def up(self, levels: int) -> _Around:
        around = self
        for _ in range(levels):
            around = around.outer or around
        return around


@dataclass(frozen=True, slots=True)
class _Written:
    """Steps that are written out already: their numbers in words, the first of them, the check above them."""

    ranges: str
    target: str
    number: str
    frame: Frame


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
        self._written: dict[object, _Written] = {}

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
        failed = READING if step.kind is StepKind.READ else NOT_OK
        self.numbers[step.id] = number
        return Item(
            anchor=words.anchor(number),
            number=number,
            label=say(words.KINDS[step.kind]) if step.kind in words.KINDS else "",
            text=step.text,
            hazards=meeting.hazards(step, self.network),
            needs=meeting.needs(step, self.network, devices),
            notes=step.notes,
            figure=step.figure,
            facts=(
                *readings.facts(step, self.network, self.shows),
                *zeros.facts(step, self.plan.unit, self.shows),
            ),
            blanks=(
                *readings.blanks(step, self.parts, self.shows),
                *zeros.blanks(step, self.plan.unit, self.shows),
            ),
            hold=step.hold or "",
            states=self._states(step, last),
            failure=(
                self._otherwise(around, place, step.otherwise, failed, level, left, 0)
                if step.otherwise
                else None
            ),
            order=say("Can be done before or after {steps}.", steps=loose) if loose else "",
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
        lead: Lead,
        level: int,
        devices: Devices,
        used: int,
    ) -> Failure:
        """`devices` is how they stand then; `used` is how many numbers under this check are taken."""
        frame = otherwise.frame
        sections: tuple[Section, ...] = ()
        refers = ""
        said = say(lead.alone, times=lead.times)
        if frame.steps:
            said, sections, refers = self._instead(around, place, frame, lead, level, devices, used)
            used += 0 if refers else len(frame.steps)
        ending = otherwise.ending
        failure = Failure(
            said,
            sections,
            say("Then stop here.") if frame.steps else say("Stop here."),
            target="",
            text="",
            stops=True,
            refers=refers,
        )
        if isinstance(ending, Continue):
            goes_on = say("Then go on after this step.") if frame.steps else say("Go on after this step.")
            return replace(failure, ending=goes_on, stops=False)
        if not isinstance(ending, BackTo):
            return replace(failure, text=ending.text)
        back, first = self._back(around, ending)
        after: Failure | None = None
        often = words.repeated(ending.at_most) if ending.at_most is not None else ""
        if ending.then is not None:
            again = replace(STILL, times=often) if often else NO_HELP
            left = after_frame(frame, devices, self.parts)
            after = self._otherwise(around, place, ending.then, again, level, left, used)
        elif often:
            after = Failure(say(STILL.alone, times=often), (), say("Stop here."), "", "", stops=True)
        return replace(
            failure,
            ending=goes_back(back.number(first), often, after=bool(frame.steps)),
            target=back.anchor(first),
            stops=False,
            again=_kept(back, ending),
            then=after,
            undone=_undone(back, ending),
        )

    def _instead(
        self, around: _Around, place: int, frame: Frame, lead: Lead, level: int, devices: Devices, used: int
    ) -> tuple[str, tuple[Section, ...], str]:
        """The lead of a failure that has steps, its steps, and the anchor of those that stand for them."""
        step = around.frame.steps[place]
        key = self._shared.signature(frame, step.id)
        written = self._written.get(key)
        if written is not None:
            for one, same in zip(every_step(frame), every_step(written.frame), strict=True):
                if same.id in self.numbers:
                    self.numbers.setdefault(one.id, self.numbers[same.id])
            said = say(lead.elsewhere, times=lead.times, steps=written.ranges, number=written.number)
            return said, (), written.target
        layout = lay_out(frame, self.parts, first=used)
        start = self._shared.start(key, devices)
        inner = _Around(frame, layout, f"{around.number(place)}.", start, around, step.heading)
        steps = inner.ranges(range(len(frame.steps)))
        self._written[key] = _Written(steps, inner.anchor(layout.order[0]), around.number(place), frame)
        sections = self._sections(inner, level, self._shared.last(key))
        return say(lead.steps, times=lead.times, steps=steps), sections, ""

    def _back(self, around: _Around, ending: BackTo) -> tuple[_Around, int]:
        """The frame gone back to, and its first step that is done again."""
        back = around.up(ending.levels)
        steps = back.frame.steps
        named = [i for i in back.layout.order if (steps[i].id + "/").startswith(ending.target + "/")]
        undone = [i for i in back.layout.order if ending.undone >> i & 1]
        return back, (named or undone or [0])[0]


def _kept(back: _Around, ending: BackTo) -> str:
    """Which of the steps gone back over stay done."""
    kept = [i for i in back.layout.order if ending.undone >> i & 1 and back.frame.steps[i].once]
    if not kept:
        return ""
    said = counted(
        "{steps} is done once only: if done already, skip.",
        "{steps} are done once only: if done already, skip.",
        len(kept),
        steps=back.ranges(kept),
    )
    return words.capital(said)


def _undone(back: _Around, ending: BackTo) -> tuple[str, ...]:
    """The anchors of the steps gone back over that are done again."""
    again = (i for i in back.layout.order if ending.undone >> i & 1 and not back.frame.steps[i].once)
    return tuple(back.anchor(i) for i in again)


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
