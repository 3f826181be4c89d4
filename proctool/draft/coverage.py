"""The coverage of a plan: what keeps each energy from each opened part, and which step brings that about.

Every answer is the proof's own: charges, reach, locks and debts at every moment of every order (`moments`,
`evidence`). Nothing is taken from texts, titles or names of blocks. The facts asked for are those of 29 CFR
1910.147(d) and (e): isolated (d)(3), locked (d)(4), relieved (d)(5), verified (d)(6), given back (e).

Two readings are stricter than the verdict: electricity beside a wet part must be locked off too while that
part stands open, and whatever cannot be walked whole is unknown.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import NamedTuple

from proctool.draft.evidence import Barriers, keepers, owing, ways_out
from proctool.draft.ledger import Thing
from proctool.draft.moments import Moment, Moments
from proctool.draft.tally import NOT_FED, NOT_REACHED, NOT_WALKED, Tally
from proctool.model.coverage import Aspect, Cell, Coverage, Deed, Mark, Row
from proctool.model.plan import Act, Plan
from proctool.model.verdict import Charge
from proctool.network.reach import Mask, bits
from proctool.prove.after import firm, secured
from proctool.prove.charge import charge, proven
from proctool.prove.ends import at_end
from proctool.prove.setup import Setup
from proctool.prove.state import State

_EXPOSING = frozenset({"open", "uncover"})


class _Key(NamedTuple):
    """A row: where the part stands, its energy, and the wet part that it stands beside."""

    place: int
    carrier: int
    beside: int | None


def coverage(plan: Plan, *, budget: int) -> Coverage:
    """Every part that is opened or uncovered, and what stands beside it, with each of its energies.

    Cost: a plain walk over all pairs of (done steps, state), and a few reaches at each moment at which
    something stands open. Where more than `budget` pairs are met every cell is unknown.
    """
    return _Survey(Moments(plan, budget=budget)).coverage()


class _Survey:
    def __init__(self, moments: Moments) -> None:
        self.moments = moments
        self.setup: Setup = moments.setup
        self.barriers = Barriers(moments.setup)
        self.place = {step.id: i for i, step in enumerate(moments.steps)}
        self.tallies: dict[tuple[_Key, Aspect], Tally] = {}
        self.runs: dict[_Key, Moment] = {}
        """The first moment at which each row's part is exposed."""
        self.devices: dict[_Key, Mask] = {}
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

    def coverage(self) -> Coverage:
        """Walk all moments, then all ends, and put the rows together."""
        keys = self._keys()
        if self.moments.walked:
            for moment in self.moments.each():
                self._at(moment)
            for end in self.moments.ends():
                self._in_the_end(end, keys)
        rows = tuple(self._row(key, keys[key]) for key in sorted(keys, key=_order))
        return Coverage(rows, self.moments.walked)

    # ------------------------------------------------------------------------ rows

    def _keys(self) -> dict[_Key, list[str]]:
        """Every row, with the steps that expose its part."""
        found: dict[_Key, list[str]] = {}
        for part, words in self.setup.plan.starts.items():
            for verb in (v for v, word in (("open", "open"), ("uncover", "uncovered")) if word in words):
                if self.setup.network.parts[self.setup.network.place[part]].holder or verb == "uncover":
                    found.update((key, []) for key in self._of(self.setup.network.place[part], verb))
        for step in self.moments.steps:
            for act in step.acts:
                if act.verb in _EXPOSING:
                    for key in self._of(self.setup.network.place[act.part], act.verb):
                        found.setdefault(key, []).append(step.id)
        return found

    def _of(self, place: int, verb: str) -> Iterator[_Key]:
        """The rows that concern a part which an act exposes: a cover keeps electricity only."""
        for carrier in self.setup.of_part[place] if verb == "open" else self.setup.electric:
            if carrier.on_line >> place & 1:
                yield _Key(place, carrier.index, None)
        if verb == "open" and self.setup.wetting >> place & 1:
            for near in bits(self.setup.near[place]):
                for carrier in self.setup.electric:
                    if carrier.on_line >> near & 1:
                        yield _Key(near, carrier.index, place)

    def _standing(self, state: State) -> Iterator[_Key]:
        """The rows whose parts are exposed at a moment."""
        for place in bits(state.opened):
            yield from self._of(place, "open")
        for place in bits(state.uncovered & ~state.opened):
            yield from self._of(place, "uncover")

    def _tally(self, key: _Key, aspect: Aspect) -> Tally:
        return self.tallies.setdefault((key, aspect), Tally())

    # ------------------------------------------------------------------------ moments

    def _at(self, moment: Moment) -> None:
        act = moment.act
        if act is not None and act.verb in _EXPOSING:
            for key in self._of(self.setup.network.place[act.part], act.verb):
                self._exposed(key, act, moment)
        for key in self._standing(moment.after):
            self._guarded(key, moment)

    def _exposed(self, key: _Key, act: Act, moment: Moment) -> None:
        """What holds right before a part is exposed, and who brought it about."""
        self.runs.setdefault(key, moment)
        carrier, state = self.setup.carriers[key.carrier], moment.before
        held = charge(self.setup, state, key.place, carrier)
        self._tally(key, Aspect.ISOLATED).note(held is not Charge.LIVE, moment)
        between = self.barriers.of(state, key.place, carrier)
        self._credit(key, Aspect.ISOLATED, moment, (("position", 0, i) for i in bits(between)))
        locked = between & state.locked
        self._credit(key, Aspect.SECURED, moment, (("locked", 0, i) for i in bits(locked)))
        out = ways_out(self.setup, state, key.place, carrier)
        self.devices[key] = self.devices.get(key, 0) | between | out & self.setup.network.vents
        if act.verb == "open":
            self._relieved(key, moment, held, out)
            self._verified(key, moment)

    def _relieved(self, key: _Key, moment: Moment, held: Charge, out: Mask) -> None:
        carrier, state = self.setup.carriers[key.carrier], moment.before
        keeping = keepers(self.setup, state, key.place, carrier)
        tally = self._tally(key, Aspect.RELIEVED)
        if held is Charge.ZERO and not keeping:
            tally.why = "nothing here keeps it: it is gone when nothing feeds it"
            return
        tally.note(held is Charge.ZERO, moment)
        let_out = ("vented" if self.setup.network.vents >> i & 1 else "opened" for i in bits(out))
        things: list[Thing] = [(name, 0, i) for name, i in zip(let_out, bits(out), strict=True)]
        emptied = keeping & carrier.discharged_only & state.discharged[carrier.index]
        things += (("discharged", carrier.index, i) for i in bits(emptied))
        self._credit(key, Aspect.RELIEVED, moment, things)

    def _verified(self, key: _Key, moment: Moment) -> None:
        carrier, state = self.setup.carriers[key.carrier], moment.before
        tally = self._tally(key, Aspect.VERIFIED)
        seen = proven(self.setup, state, key.place, carrier)
        if key.beside is not None and not seen:
            tally.why = "beside a wet part zero is asked for, not that somebody sees it"
            return
        tally.note(seen, moment)
        holders = 1 << key.place & carrier.holders
        holders = holders or self.setup.network.neighbours[carrier.id][key.place] & carrier.holders
        verified = holders & state.proven[carrier.index]
        self._credit(key, Aspect.VERIFIED, moment, (("proven", carrier.index, i) for i in bits(verified)))

    def _guarded(self, key: _Key, moment: Moment) -> None:
        """What holds as long as a part stands open."""
        carrier, state = self.setup.carriers[key.carrier], moment.after
        live = charge(self.setup, state, key.place, carrier) is Charge.LIVE
        self._tally(key, Aspect.ISOLATED).note(not live, moment)
        between = self.barriers.of(state, key.place, carrier)
        held = not live and secured(self.setup, state, key.place, carrier)
        if held and not between:
            return
        tally = self._tally(key, Aspect.SECURED)
        tally.note(held, moment)
        if held and not secured(self.setup, state, key.place, carrier, excuses=False):
            excused = between & firm(self.setup, state) & ~state.locked
            for name in (self.setup.network.parts[i].label for i in bits(excused)):
                tally.words[f"exclusive control of the {name}"] = None

    def _in_the_end(self, end: Moment, keys: Iterable[_Key]) -> None:
        """What holds when the procedure is over."""
        state, net = end.before, self.setup.network
        wrong: dict[str, set[str]] = {}
        for report in at_end(self.setup, state):
            wrong.setdefault(report.part, set()).add(report.rule)
        for key in keys:
            devices = self.devices.get(key, 0) | (1 << key.place if key.beside is None else 0)
            names = net.names(devices)
            left = [net.parts[net.place[n]].label for n in names if wrong.get(n, set()) - {"leak/unchecked"}]
            tally = self._tally(key, Aspect.RESTORED)
            if names:
                tally.note(not left, end)
                tally.why = tally.why or (f"not as it was at the end: {', '.join(left)}" if left else "")
                if any(name in self.setup.plan.leaves for name in names):
                    tally.words["`leaves` says how it is left"] = None
                self._credit(key, Aspect.RESTORED, end, self._given_back(devices), found=False)
            else:
                tally.why = "nothing was set for it"
            if self.setup.carriers[key.carrier].energy.fluid and key.beside is None:
                self._leak_checked(key, end, wrong)

    def _given_back(self, devices: Mask) -> Iterator[Thing]:
        for i in bits(devices):
            if self.setup.network.isolators >> i & 1:
                yield from (("position", 0, i), ("locked", 0, i))
            elif self.setup.network.vents >> i & 1:
                yield "vented", 0, i
            yield "opened", 0, i

    def _leak_checked(self, key: _Key, end: Moment, wrong: dict[str, set[str]]) -> None:
        net = self.setup.network
        holders = owing(self.setup, key.place)
        tally = self._tally(key, Aspect.LEAK_CHECKED)
        if not holders:
            return
        tally.note(not any("leak/unchecked" in wrong.get(name, ()) for name in net.names(holders)), end)
        if end.before.owed & holders:
            tally.words["`leaves` lets it go unchecked"] = None
        self._credit(key, Aspect.LEAK_CHECKED, end, (("owed", 0, i) for i in bits(holders)), found=False)

    def _credit(
        self, key: _Key, aspect: Aspect, moment: Moment, things: Iterable[Thing], *, found: bool = True
    ) -> None:
        """Note the steps that may have set some things last; with `found` also what is so as found."""
        by = self._tally(key, aspect).by
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

    # ------------------------------------------------------------------------ putting together

    def _row(self, key: _Key, steps: list[str]) -> Row:
        net, moment = self.setup.network, self.runs.get(key)
        return Row(
            part=net.ids[key.place],
            energy=self.setup.carriers[key.carrier].id,
            beside=net.ids[key.beside] if key.beside is not None else None,
            exposed_by=tuple(dict.fromkeys(steps)),
            run=moment.run if moment is not None else (),
            cells=tuple(self._cell(key, aspect, steps) for aspect in Aspect),
        )

    def _cell(self, key: _Key, aspect: Aspect, steps: list[str]) -> Cell:
        if not self.moments.walked:
            return Cell(aspect, Mark.UNKNOWN, why=NOT_WALKED)
        if steps and key not in self.runs:
            return Cell(aspect, Mark.NOT_ASKED, why=NOT_REACHED)
        tally = self.tallies.get((key, aspect), Tally())
        return tally.cell(aspect, self._rank, self._reason(key, aspect))

    def _rank(self, deed: Deed) -> tuple[int, int]:
        return self.place.get(deed.step or "", -1), self.setup.network.place[deed.part]

    def _reason(self, key: _Key, aspect: Aspect) -> str:
        """Why an aspect was never asked."""
        match aspect:
            case Aspect.SECURED | Aspect.ISOLATED:
                return NOT_FED
            case Aspect.LEAK_CHECKED if not self.setup.carriers[key.carrier].energy.fluid:
                return "no fluid"
            case Aspect.LEAK_CHECKED if key.beside is not None:
                return "not opened here"
        return "found open" if not self.runs.get(key) else "only its cover comes off"


def _order(key: _Key) -> tuple[int, int, int]:
    return key.place, key.carrier, -1 if key.beside is None else key.beside
