"""Brute force as the oracle: every subset of isolators, with reaches of its own.

Shares no code with proctool.network. Written from the definitions, as plainly as can be: sets of names, one
loop per condition.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import combinations

from proctool.model.unit import Unit

FLUID_FORMS = {"liquid_pressure", "gas_pressure", "steam", "vacuum"}


class Brute:
    """One unit, looked at naively."""

    def __init__(self, unit: Unit) -> None:
        self.unit = unit
        self.order = list(unit.parts)
        self.isolators = {n for n, p in unit.parts.items() if p.role == "isolator"}
        self.normally_off = {n for n in self.isolators if unit.parts[n].normal == "off"}
        self.next: dict[str, dict[str, set[str]]] = {e: {n: set() for n in unit.parts} for e in unit.energies}
        for line in unit.lines.values():
            for e in line.energies:
                for a, b in zip(line.path, line.path[1:], strict=False):
                    self.next[e][a].add(b)
                    self.next[e][b].add(a)
        for n, p in unit.parts.items():
            if p.role == "gauge" and p.energy and p.at in unit.parts:
                self.next[p.energy][n].add(str(p.at))
                self.next[p.energy][str(p.at)].add(n)

    def on(self, energy: str) -> set[str]:
        lines = {n for line in self.unit.lines.values() if energy in line.energies for n in line.path}
        return lines | {n for n, p in self.unit.parts.items() if p.role == "gauge" and p.energy == energy}

    def reach(
        self, energy: str, start: set[str], off: set[str], sure: bool = False, barred: Sequence[str] = ()
    ):
        """Name -> lines away."""
        away = dict.fromkeys(start, 0)
        queue = list(start)
        for name in queue:
            role = self.unit.parts[name].role
            stops = role in {"vent", "gauge"} or (role == "isolator" and name in off)
            stops = stops or (sure and role in {"check_valve", "restriction"})
            if stops and name not in start:
                continue
            for other in self.next[energy][name]:
                if other not in away and other not in barred:
                    away[other] = away[name] + 1
                    queue.append(other)
        return away

    def sources(self, energy: str) -> set[str]:
        return {
            n
            for n in self.on(energy)
            if self.unit.parts[n].role == "source"
            or (self.unit.parts[n].role == "outlet" and self.unit.parts[n].feeds_back)
        }

    def stubborn_stores(self, energy: str) -> set[str]:
        found = set()
        for n in self.on(energy):
            p = self.unit.parts[n]
            if p.role == "store":
                leaves = self.unit.energies[energy].form in FLUID_FORMS and energy not in p.keeps
                reached = self.reach(energy, {n}, self.isolators, sure=True)
                if not (leaves and any(self.unit.parts[m].role == "vent" for m in reached)):
                    found.add(n)
        return found

    def targets(self, parts: Sequence[str], also_off: Sequence[str]) -> set[tuple[str, str]]:
        """(energy, part) to be cut."""
        electric = {e for e, x in self.unit.energies.items() if x.form == "electricity"}
        found = {(e, n) for n in parts for e in self.unit.energies if n in self.on(e)}
        found |= {(e, m) for n in parts for m in self.unit.parts[n].near for e in electric if m in self.on(e)}
        for n in also_off:
            dead = {e for e in electric if n in self.on(e)} | ({self.unit.parts[n].runs} - {None})
            found |= {(str(e), n) for e in dead or {e for e in self.unit.energies if n in self.on(e)}}
        return found

    # -------------------------------------------------------------- the answer

    def cut(self, parts: Sequence[str], also_off: Sequence[str] = ()):
        """(isolators, stay_off, uncut) as sets, uncut as {(part, energy, origin): depth had}."""
        targets = self.targets(parts, also_off)
        usable = self.isolators - set(parts)
        pairs = []  # (energy, origin, target, how many must be off on each path)
        uncut: dict[tuple[str, str, str], str | None] = {}
        bleeds: dict[tuple[str, str], set[str]] = {}
        for e, t in targets:
            depth = self.unit.energies[e].depth
            for o in self.sources(e) | (self.stubborn_stores(e) - {t}):
                if not self.apart(e, o, t, usable, 1):
                    uncut[t, e, o] = None
                elif depth == "single":
                    pairs.append((e, o, t, 1))
                elif not self.apart(e, o, t, usable, 2):
                    uncut[t, e, o] = "single"
                    pairs.append((e, o, t, 1))
                else:
                    pairs.append((e, o, t, 2))
                    if depth == "double_block_and_bleed":
                        bleeds.setdefault((e, t), set()).add(o)

        normally_off = self.normally_off & usable
        cuts = [
            chosen
            for chosen in subsets(usable - normally_off)
            if all(self.apart(e, o, t, chosen | normally_off, n) for e, o, t, n in pairs)
        ]

        def bled(chosen: set[str], which) -> bool:
            return all(self.bled(e, bleeds[e, t], t, chosen | normally_off) for e, t in which)

        alone = [
            (e, t)
            for e, t in bleeds
            if any(
                bled(chosen, [(e, t)])
                and all(self.apart(e, o, t, chosen | normally_off, 2) for o in bleeds[e, t])
                for chosen in subsets(usable - normally_off)
            )
        ]
        for kept in (list(bleeds), alone, []):
            if good := [chosen for chosen in cuts if bled(chosen, kept)]:
                break
        else:
            raise AssertionError("all off is a cut")
        for e, t in bleeds.keys() - set(kept):
            uncut |= {(t, e, o): "double" for o in bleeds[e, t] if t in self.reach(e, {o}, set())}
        chosen = min(good, key=lambda c: self.rank(c, targets))
        leans = [
            more
            for more in subsets(normally_off)
            if all(self.apart(e, o, t, chosen | more, n) for e, o, t, n in pairs)
        ]
        stay_off = min(leans, key=lambda c: self.rank(c, targets))
        return chosen | stay_off, stay_off, uncut

    def apart(self, energy: str, origin: str, target: str, off: set[str], need: int) -> bool:
        if target in self.reach(energy, {origin}, off):
            return False
        return need == 1 or all(target not in self.reach(energy, {origin}, off - {i}) for i in off)

    def bled(self, energy: str, origins: set[str], target: str, off: set[str]) -> bool:
        regions = self.regions(energy, origins, target, off)
        return regions is not None and all(
            any(self.unit.parts[n].role == "vent" for n in region) for region in regions
        )

    def regions(self, energy: str, origins: set[str], target: str, off: set[str]) -> list[set[str]] | None:
        """What each leaking block newly reaches; None if it reaches the target."""
        now = set(self.reach(energy, origins, off))
        found = []
        for i in off & self.on(energy):
            if target in self.reach(energy, {i}, set(), barred=tuple(now)):
                then = set(self.reach(energy, origins, off - {i}))
                if target in then:
                    return None
                if then - now:
                    found.append(then - now)
        return found

    def rank(self, chosen: set[str], targets: set[tuple[str, str]]):
        parts = self.unit.parts
        away: dict[str, int] = {}
        for e in self.unit.energies:
            start = {t for f, t in targets if f == e}
            for n, lines in self.reach(e, start, set()).items():
                away[n] = min(lines, away.get(n, lines))
        lost = set()
        for e in self.unit.energies:
            before = self.reach(e, self.sources(e), self.normally_off)
            after = self.reach(e, self.sources(e), self.normally_off | chosen)
            lost |= {n for n in before.keys() - after.keys() if parts[n].role in {"component", "store"}}
        return (
            sum(parts[n].lock == "none" for n in chosen),
            sum(parts[n].site for n in chosen),
            len(chosen),
            len(lost),
            sum(away.get(n, 0) for n in chosen),
            sorted(self.order.index(n) for n in chosen),
        )

    def relief(self, parts: Sequence[str], off: set[str]):
        """(vents, unrelieved) with the isolators in `off` off."""
        wanted = []
        unrelieved = set()
        for n in parts:
            for e, x in self.unit.energies.items():
                if n not in self.on(e) or x.form not in FLUID_FORMS:
                    continue
                holder = self.unit.parts[n].role in {"component", "store"}
                for m in [n] if holder else self.reach(e, {n}, off):
                    p = self.unit.parts[m]
                    if p.role not in {"component", "store"} or e in p.keeps:
                        continue
                    away = self.reach(e, {m}, off, sure=True)
                    vents = {v: d for v, d in away.items() if self.unit.parts[v].role == "vent"}
                    if not vents:
                        unrelieved.add((n, e))
                    elif not any(self.unit.parts[v].normally_open for v in vents):
                        wanted.append(vents)

        def rank(chosen: set[str]):
            away = [min(w[v] for w in wanted if v in w) for v in chosen]
            return len(chosen), sum(away), sorted(self.order.index(v) for v in chosen)

        every = {v for vents in wanted for v in vents}
        good = [chosen for chosen in subsets(every) if all(chosen & vents.keys() for vents in wanted)]
        return min(good, key=rank), unrelieved


def subsets(names: set[str]) -> Iterator[set[str]]:
    for size in range(len(names) + 1):
        for some in combinations(sorted(names), size):
            yield set(some)
