"""What the proof's own machinery says of every row at every moment: charges, reach, locks, debts, proofs."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from proctool.draft.coverage.evidence import Barriers, keepers, owing, ways_out
from proctool.draft.coverage.exposures import EXPOSING, Key, at, standing
from proctool.draft.coverage.ledger import Thing
from proctool.draft.coverage.moments import Moment, Moments
from proctool.draft.coverage.tally import Tally
from proctool.model.coverage import Aspect, Deed
from proctool.model.plan import Act
from proctool.model.verdict import Charge
from proctool.model.words import Depth
from proctool.network.reach import Mask, bits
from proctool.prove.after import deep, firm, let_in, secured
from proctool.prove.charge import charge, proven
from proctool.prove.ends import at_end, at_stop

_EXPOSED = "not zero behind locks where the job stops"
_UNCHECKED = "fed and not leak-checked where the job stops"


class Survey:
    """A tally for each aspect of each row, filled moment by moment."""

    def __init__(self, moments: Moments, keys: Iterable[Key]) -> None:
        self.moments, self.keys = moments, tuple(keys)
        self.setup = moments.setup
        self.barriers = Barriers(moments.setup)
        self.tallies: dict[tuple[Key, Aspect], Tally] = {}
        self.first: dict[Key, Moment] = {}
        """The first moment at which each row's part is exposed."""
        self.devices: dict[Key, Mask] = {}
        """What was set to keep each row's energy away."""
        self.used = {
            ("proven", c.index, step.id, act.part): act.by or ""
            for step in moments.steps
            for act in step.acts
            if act.verb == "verify_zero"
            for c in self.setup.carriers
            if c.on_line >> self.setup.network.place[act.by or ""] & 1
        }
        """The gauge or vent with which a step verifies zero of an energy at a part."""
        self.emptied = {
            step.id: act.part
            for step in moments.steps
            for act in reversed(step.acts)
            if act.verb in {"discharge", "flush"}
        }
        """The part at which a step discharges, whatever else that empties."""

    def done(self) -> Survey:
        """The survey after all moments, ends and stops."""
        for moment in self.moments.each():
            self._at(moment)
        for end in self.moments.ends():
            self._in_the_end(end)
        for stop in self.moments.stops():
            self._stopped(stop)
        return self

    def tally(self, key: Key, aspect: Aspect) -> Tally:
        """The tally of an aspect of a row."""
        return self.tallies.setdefault((key, aspect), Tally())

    def _at(self, moment: Moment) -> None:
        act = moment.act
        if act is not None and act.verb in EXPOSING:
            for key in at(self.setup, self.setup.network.place[act.part], act.verb):
                self._exposed(key, act, moment)
        for key in standing(self.setup, moment.after):
            self._guarded(key, moment)

    def _exposed(self, key: Key, act: Act, moment: Moment) -> None:
        """What holds right before a part is exposed, and who brought it about."""
        self.first.setdefault(key, moment)
        carrier, state = self.setup.carriers[key.carrier], moment.before
        held = charge(self.setup, state, key.place, carrier)
        self.tally(key, Aspect.ISOLATED).note(held is not Charge.LIVE, moment)
        between = self.barriers.of(state, key.place, carrier)
        self._credit(key, Aspect.ISOLATED, moment, (("position", 0, i) for i in bits(between)))
        locked = between & state.locked
        self._credit(key, Aspect.SECURED, moment, (("locked", 0, i) for i in bits(locked)))
        out = ways_out(self.setup, state, key.place, carrier)
        self.devices[key] = self.devices.get(key, 0) | between | out & self.setup.network.vents
        if act.verb == "open":
            self._relieved(key, moment, held, out)
            self._verified(key, moment)

    def _relieved(self, key: Key, moment: Moment, held: Charge, out: Mask) -> None:
        carrier, state = self.setup.carriers[key.carrier], moment.before
        keeping = keepers(self.setup, state, key.place, carrier)
        tally = self.tally(key, Aspect.RELIEVED)
        if held is Charge.ZERO and not keeping:
            tally.spared = "nothing here keeps it: it is gone when nothing feeds it"
            return
        tally.note(held is Charge.ZERO, moment)
        let_out = ("vented" if self.setup.network.vents >> i & 1 else "opened" for i in bits(out))
        things: list[Thing] = [(name, 0, i) for name, i in zip(let_out, bits(out), strict=True)]
        emptied = keeping & carrier.discharged_only & state.discharged[carrier.index]
        things += (("discharged", carrier.index, i) for i in bits(emptied))
        self._credit(key, Aspect.RELIEVED, moment, things)

    def _verified(self, key: Key, moment: Moment) -> None:
        carrier, state = self.setup.carriers[key.carrier], moment.before
        tally = self.tally(key, Aspect.VERIFIED)
        seen = proven(self.setup, state, key.place, carrier)
        if key.beside >= 0 and not seen:
            tally.spared = "beside a wet part zero is asked for, not that somebody sees it"
            return
        tally.note(seen, moment)
        holders = 1 << key.place & carrier.holders
        holders = holders or self.setup.network.neighbours[carrier.id][key.place] & carrier.holders
        verified = holders & state.proven[carrier.index]
        self._credit(key, Aspect.VERIFIED, moment, (("proven", carrier.index, i) for i in bits(verified)))

    def _guarded(self, key: Key, moment: Moment) -> None:
        """What holds as long as a part stands open."""
        carrier, state = self.setup.carriers[key.carrier], moment.after
        now = charge(self.setup, state, key.place, carrier)
        thin = carrier.energy.depth is not Depth.SINGLE and not deep(self.setup, state, key.place, carrier)
        joined = let_in(self.setup, moment.before, state, key.place, carrier)
        why = f"it is cut off, but not by {carrier.energy.depth.replace('_', ' ')}" if thin else ""
        why = "what is full is joined to it while it stands open" if joined else why
        isolated = now is not Charge.LIVE and not thin and not joined
        self.tally(key, Aspect.ISOLATED).note(isolated, moment, "" if now is Charge.LIVE else why)
        if now is Charge.TRAPPED and state.opened >> key.place & 1:
            self.tally(key, Aspect.RELIEVED).note(holds=False, moment=moment)
        between = self.barriers.of(state, key.place, carrier)
        held = now is not Charge.LIVE and secured(self.setup, state, key.place, carrier)
        tally = self.tally(key, Aspect.SECURED)
        if held and not between:
            tally.spared = "nothing could feed it then"
            return
        tally.note(held, moment)
        if held and not secured(self.setup, state, key.place, carrier, excuses=False):
            excused = between & firm(self.setup, state) & ~state.locked
            for name in (self.setup.network.parts[i].label for i in bits(excused)):
                tally.words[f"exclusive control of the {name}"] = None

    def _stopped(self, stop: Moment) -> None:
        """Where a job stops, what stands open is zero behind locks, and what is unchecked is dead."""
        unsafe = {report.part for report in at_stop(self.setup, stop.before)}
        standing_open = self.setup.network.names(stop.before.exposed)
        for key in self.keys if unsafe else ():
            name = self.setup.network.ids[key.place]
            owing_check = set(self.setup.network.names(owing(self.setup, key.place) & stop.before.owed))
            if key.beside < 0 and name in unsafe.intersection(standing_open):
                self.tally(key, Aspect.SECURED).note(holds=False, moment=stop, why=_EXPOSED)
            elif key.beside < 0 and owing_check & unsafe and self.setup.carriers[key.carrier].energy.fluid:
                self.tally(key, Aspect.LEAK_CHECKED).note(holds=False, moment=stop, why=_UNCHECKED)

    def _in_the_end(self, end: Moment) -> None:
        """What holds when the procedure is over."""
        wrong: dict[str, set[str]] = {}
        for report in at_end(self.setup, end.before):
            wrong.setdefault(report.part, set()).add(report.rule)
        for key in self.keys:
            self._restored(key, end, wrong)
            if self.setup.carriers[key.carrier].energy.fluid and key.beside < 0:
                self._leak_checked(key, end, wrong)

    def _restored(self, key: Key, end: Moment, wrong: dict[str, set[str]]) -> None:
        net, tally = self.setup.network, self.tally(key, Aspect.RESTORED)
        devices = self.devices.get(key, 0) | (1 << key.place if key.beside < 0 else 0)
        names = net.names(devices)
        if not names:
            tally.spared = "nothing was set for it"
            return
        left = [net.parts[net.place[n]].label for n in names if wrong.get(n, set()) - {"leak/unchecked"}]
        tally.note(not left, end, f"not as it was at the end: {', '.join(left)}")
        if any(name in self.setup.plan.leaves for name in names):
            tally.words["`leaves` says how it is left"] = None
        self._credit(key, Aspect.RESTORED, end, self._given_back(devices), found=False)

    def _given_back(self, devices: Mask) -> Iterator[Thing]:
        for i in bits(devices):
            if self.setup.network.isolators >> i & 1:
                yield from (("position", 0, i), ("locked", 0, i))
            elif self.setup.network.vents >> i & 1:
                yield "vented", 0, i
            yield "opened", 0, i

    def _leak_checked(self, key: Key, end: Moment, wrong: dict[str, set[str]]) -> None:
        net = self.setup.network
        holders = owing(self.setup, key.place)
        tally = self.tally(key, Aspect.LEAK_CHECKED)
        if not holders:
            return
        tally.note(not any("leak/unchecked" in wrong.get(name, ()) for name in net.names(holders)), end)
        if end.before.owed & holders:
            tally.words["`leaves` lets it go unchecked"] = None
        self._credit(key, Aspect.LEAK_CHECKED, end, (("owed", 0, i) for i in bits(holders)), found=False)

    def _credit(
        self, key: Key, aspect: Aspect, moment: Moment, things: Iterable[Thing], *, found: bool = True
    ) -> None:
        """Note the steps that may have set some things last; with `found` also what is so as found."""
        by = self.tally(key, aspect).by
        for thing in things:
            for step in self.moments.ledgers.setters(moment.ledger, thing):
                if step is not None or found:
                    by[Deed(step, self._means(step, thing))] = None

    def _means(self, step: str | None, thing: Thing) -> str:
        """The device, gauge or part by which a step sets a thing."""
        name, carrier, place = thing
        part = self.setup.network.ids[place]
        if step is None or name not in {"proven", "discharged"}:
            return part
        return self.used.get((name, carrier, step, part)) or self.emptied.get(step, part)
