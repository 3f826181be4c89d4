"""Procedures that mean well: isolate, lock, vent, verify, open, look, close, fill slowly, check, restore."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

from .course import VERBS
from .make_unit import POSITION_OFF, UnitMaker, add_what_proves
from .plant import Plant

Entry = dict[str, Any]


@dataclass
class Writer:
    """Writes the procedure for opening ``targets`` on one unit."""

    make: UnitMaker
    freedom: int
    targets: list[str]
    proofs: dict[str, list[tuple[str, str]]] = field(default_factory=dict)
    number: int = 0

    def __post_init__(self) -> None:
        self.rng = self.make.rng
        self.isolators = [p for p, d in self.make.parts.items() if d["role"] == "isolator"]
        for target in self.targets:
            self.proofs[target] = add_what_proves(self.make, target, frozenset(self.isolators))
        self.parts = self.make.parts
        self.plant = Plant(self.make.unit())
        if self.make.chance(0.3):  # only what stands on the targets' energies, and what is near them
            near = [n for t in self.targets for n in self.parts[t].get("near", [])]
            lines = {e for t in self.targets for e in self.plant.energies(t)}
            lines |= {e for n in near for e in self.plant.electricity(n)}
            self.isolators = [i for i in self.isolators if lines & set(self.plant.energies(i))]
        cut = {e for i in self.isolators for e in self.plant.energies(i)}
        self.runners = [
            p for p, d in self.parts.items() if d.get("runs") in cut and d.get("normal") != "stopped"
        ]
        fluids = {e for t in self.targets for e in self.plant.fluids(t)}
        self.vents = [v for v in self.plant.of_role("vent") if fluids & set(self.plant.energies(v))]
        self.covered = [
            h
            for h in dict.fromkeys(
                h for t in self.targets for h, by in self.proofs[t] if self.parts[by].get("at") == "any"
            )
            if self.parts[h].get("cover") == "true"
        ]
        self.owing = list(
            dict.fromkeys(
                h
                for t in self.targets
                for h in (
                    [t]
                    if self.plant.is_holder(t)
                    else [b for e in self.plant.fluids(t) for b in self.plant.holders_beside(t, e)]
                )
                if self.plant.fluids(h)
            )
        )
        self.slow = [
            i
            for i in self.isolators
            if self.parts[i].get("throttles") == "true" and self.plant.normal(i) == "on"
        ]

    # -- small things --------------------------------------------------------------------------------

    def chance(self, share: float) -> bool:
        """True in this share of the cases."""
        return self.make.chance(share)

    def _id(self, letter: str) -> str:
        self.number += 1
        return f"{letter}{self.number}"

    def do(self, **said: Any) -> Entry:
        """A step that cannot fail."""
        if self.chance(0.3) and not {"verify_zero", "leak_check"} & set(said) and set(VERBS) & set(said):
            return {"id": self._id("s"), **said}
        return {"id": self._id("s"), "do": "Do the work.", **said}

    def check(self, **said: Any) -> Entry:
        """A step that may fail."""
        verbs = set(said) - {"otherwise", "needs", "makes"}
        if verbs and verbs <= {"verify_zero", "leak_check"} and self.chance(0.4):
            return {"id": self._id("s"), **said}
        return {"id": self._id("s"), "check": "All is well.", **said}

    def group(self, entries: list[Entry], free: bool = False, **said: Any) -> Entry:
        """Entries under one id, in order or free."""
        free = free and self.freedom > 0 and 1 < len(entries) <= (4 if self.freedom > 1 else 2)
        return {"id": self._id("g"), **said, "any_order" if free else "steps": entries}

    def bundle(self, entries: list[Entry], free: float) -> list[Entry]:
        """The entries as they are, or as a group without order."""
        if len(entries) > 1 and self.chance(free):
            return [self.group(entries, free=True)]
        return entries

    # -- make safe -----------------------------------------------------------------------------------

    def needs_lock(self, isolator: str) -> bool:
        """Whether the isolator gets a lock; an excused one need not."""
        return not self.plant.excused(isolator) or self.chance(0.4)

    def make_safe(self) -> list[Entry]:
        """Stop, isolate and lock, vent, discharge, verify."""
        out: list[Entry] = []
        if self.chance(0.3):
            out.append(self.do(tell="crew", makes={"crew_state": "told"}))
            if self.chance(0.6):  # told only once, or the crew would be told what it knows
                out[-1].update(once="true", needs={"crew_state": "unaware"})
        if self.runners:
            out.append(self.do(stop=self.runners if len(self.runners) > 1 else self.runners[0]))
        offs = []
        self.locks = [i for i in self.isolators if self.needs_lock(i)]
        for isolator in self.isolators:
            acts = {"isolate": isolator, **({"lock": isolator} if isolator in self.locks else {})}
            if isolator in self.locks and self.chance(0.2):
                offs.append(self.group([self.do(isolate=isolator), self.do(lock=isolator)]))
            elif isolator in self.locks and self.chance(0.2):
                offs.append(self.do(acts=[{"isolate": isolator}, {"lock": isolator}]))
            else:
                offs.append(self.do(**acts))
        tries = [self.do(try_start=self.runners[0])] if self.runners and self.chance(0.4) else []
        vents = [self.do(vent=v) for v in self.vents if self.parts[v].get("normal") != "open"]
        wet = [e for i, e in zip(self.isolators, offs, strict=True) if self.plant.fluids(i)]
        dry = [e for e in offs if e not in wet]
        if wet and dry and self.freedom > 1 and self.chance(0.4):
            out.append(self.group([self.group(wet + vents), self.group(dry + tries)], free=True))
        else:
            out += self.bundle(offs, 0.8) + tries + self.bundle(vents, 0.7)
        out += self.discharges()
        if self.covered:
            out.append(self.do(uncover=self.covered))
        return out + self.verifies()

    def discharges(self) -> list[Entry]:
        """One step for each holder that keeps what only a discharge relieves."""
        lines = {e for t in self.targets for e in self.plant.energies(t)}
        lines |= {
            e for t in self.targets for n in self.parts[t].get("near", []) for e in self.plant.electricity(n)
        }
        out = []
        for holder in [p for p in self.parts if self.plant.is_holder(p)]:
            kept = [
                e
                for e in self.plant.energies(holder)
                if self.plant.keeps(holder, e)
                and not self.plant.by_exit(holder, e)
                and e not in self.plant.brought
                and e in lines
            ]
            if kept and all(self.plant.forms[e] == "chemical" for e in kept) and self.chance(0.5):
                out.append(self.do(flush=holder))
            elif kept:
                out.append(
                    {"id": self._id("s"), "wait": "5 min", "discharge": holder}
                    if self.chance(0.4)
                    else self.do(discharge=holder)
                )
        return out

    def verifies(self) -> list[Entry]:
        """A check for each thing that must be proven."""
        pairs = list(dict.fromkeys(pair for t in self.targets for pair in self.proofs[t]))
        checks = []
        for holder, by in pairs:
            if self.parts[by].get("at") == "any" and self.chance(0.2):
                checks.append(self.do(prove_tester=by))
            kind = self.check if self.chance(0.8) else self.do
            checks.append(kind(verify_zero={"part": holder, "by": by}))
        if self.freedom and len(checks) <= 3 and self.chance(0.25):
            return [self.group(checks, free=True)]
        return checks

    # -- the work ------------------------------------------------------------------------------------

    def open_up(self, target: str) -> list[Entry]:
        """Open one part, work on it, look at its seal, close it."""
        said = self.parts[target]
        opening = self.do(open=target)
        if self.plant.is_holder(target) and self.chance(0.4):
            opening["needs"] = {target: "proven"}
        elif self.locks and self.chance(0.2):
            lock = self.rng.choice(self.locks)
            opening["needs"] = {lock: [POSITION_OFF[self.parts[lock]["device"]], "locked"]}
        out = [opening]
        if self.chance(0.3):
            out.append({"id": self._id("s"), "do": "Clean it.", "clean": target, "once": "true"})
        if "seal" in said:
            out.append(self.look(target))
        if "cartridge" in said and self.chance(0.5):
            out.append(
                {
                    "id": self._id("s"),
                    "do": "Fit the filter.",
                    "fit": {"part": target, "what": "cartridge"},
                    **({"once": "true"} if self.chance(0.6) else {}),
                }
            )
        out.append(self.do(close=target))
        if "tighten" in said:
            out.append(self.do(tighten=target))
        return out

    def look(self, target: str) -> Entry:
        """The check of a seal, with one of several ways on when it is bad."""
        mend = self.do(new_seal=target)
        step = self.check(inspect_seal=target)
        kind = self.rng.random()
        if kind < 0.4:
            step["otherwise"] = {"steps": [mend], "continue": "true"}
        elif kind < 0.5 and self.freedom:
            again = self.check(
                otherwise={"steps": [], "end_here": "Call service."}
                if self.chance(0.5)
                else {"steps": [], "continue": "true"}
            )
            step["otherwise"] = {"steps": [mend, again], "continue": "true"}
        elif kind < 0.65 and self.freedom:
            step["otherwise"] = {
                "steps": [mend],
                "back_to": step["id"],
                "at_most": "2",
                "then": {"end_here": "Call service."},
            }
        elif kind < 0.75:
            step["otherwise"] = {"end_here": "Call service."}
        elif kind < 0.85:
            return self.do(inspect_seal=target)
        return step

    def hands_on(self) -> list[Entry]:
        """The work on all targets."""
        groups = [self.group(self.open_up(t)) for t in self.targets]
        if len(groups) > 1 and self.freedom and self.chance(0.5):
            return [self.group(groups, free=True)]
        return groups if self.chance(0.5) else [entry for g in groups for entry in g["steps"]]

    # -- return to service ---------------------------------------------------------------------------

    def give_back(self, back_to: list[str]) -> list[Entry]:
        """Shut, unlock, fill slowly, let the air out, check for leaks, give power, start."""
        out: list[Entry] = []
        if self.covered:
            out.append(self.do(cover=self.covered))
        out += self.bundle(
            [self.do(shut=v) for v in self.vents if self.parts[v].get("normal") != "open"], 0.6
        )
        fluid = [i for i in self.isolators if self.plant.fluids(i)]
        other = [i for i in self.isolators if i not in fluid]
        fills = [i for i in fluid if i not in self.slow] + self.slow
        unlocks = [self.do(unlock=i) for i in fluid if i in self.locks]
        out += self.bundle(unlocks, 0.6)
        out += [
            self.do(restore=i) if self.chance(0.4) or self.plant.normal(i) != "on" else self.do(connect=i)
            for i in fills
            if i not in self.slow
        ]
        out += [self.do(throttle=i) for i in self.slow]
        airy = [h for h in self.owing if self.parts[h].get("traps_air") == "true" and h in self.targets]
        out += self.bundle([self.do(bleed=h) for h in airy], 0.4)
        out += [self.do(connect=i) for i in self.slow]
        checks = self.leak_checks(back_to)
        power = []
        for isolator in other:
            acts = {"unlock": isolator} if isolator in self.locks else {}
            power.append(self.do(**acts, restore=isolator))
        starts = [self.do(start=runner) for runner in self.runners]
        if starts and self.chance(0.15):
            starts[0]["needs"] = {self.runners[0]: "live"}
        near = [n for h in self.owing for n in self.parts[h].get("near", [])]
        if not near and power and out and self.freedom > 1 and self.chance(0.4):
            return [
                self.group([self.group(out + checks), self.group(power)], free=True),
                *starts,
                *self.readings(),
            ]
        out += checks + self.bundle(power, 0.7) + starts
        return out + self.readings()

    def leak_checks(self, back_to: list[str]) -> list[Entry]:
        """One for each holder that owes one."""
        steps = []
        for holder in self.owing:
            kind = self.rng.random()
            if kind < 0.4:
                steps.append(self.do(leak_check=holder))
                continue
            step = self.check(leak_check=holder)
            if kind < 0.9:
                step["otherwise"] = self.on_leak(back_to)
            steps.append(step)
        if len(steps) > 1 and self.chance(0.3):
            said = next((s.pop("otherwise") for s in steps if "otherwise" in s), None)
            return [self.group(steps, free=self.chance(0.3), **({"otherwise": said} if said else {}))]
        return steps

    def on_leak(self, back_to: list[str]) -> Entry:
        """Make safe again, then end or go back."""
        acts = [
            {verb: i}
            for i in self.isolators
            if self.plant.fluids(i)
            for verb in (["isolate", "lock"] if i in self.locks else ["isolate"])
        ]
        safe = [self.do(acts=acts)] if acts else []
        if back_to and self.freedom and self.chance(0.45):
            said: Entry = {"steps": safe if self.chance(0.4) else [], "back_to": self.rng.choice(back_to)}
            if self.chance(0.25):  # a second leak is not provided for
                said["steps"].insert(0, self.do(needs={"leaks": "none_seen"}, makes={"leaks": "one_seen"}))
            if self.chance(0.5):
                again = [] if said["steps"] else [self.do(acts=acts)] if acts else []
                said.update(at_most="1", then={"steps": again, "end_here": "Call service."})
            return said
        if self.chance(0.1):
            return {"steps": [self.do(leak_check=self.owing[0])], "continue": "true"}
        return {"steps": safe, "end_here": "Call service."}

    def readings(self) -> list[Entry]:
        """Perhaps a reading at the end."""
        gauges = [g for g in self.plant.of_role("gauge") if self.parts[g]["at"] != "any"]
        if not gauges or self.chance(0.75):
            return []
        step: Entry = {"id": self._id("s"), "read": self.rng.choice(gauges)}
        if self.chance(0.4):
            step["within"] = "1 to 3 bar"
        if self.chance(0.5) and ("within" in step or "usual" in self.parts[step["read"]]):
            step["otherwise"] = {"continue": "true"}
        return [step]

    # -- the whole -----------------------------------------------------------------------------------

    def state_words(self) -> dict[str, Any]:
        """How the unit stands between making safe and giving back, the targets open."""
        words: dict[str, Any] = {}
        for i in self.isolators:
            off = POSITION_OFF[self.parts[i]["device"]]
            words[i] = [off, "locked"] if i in self.locks else off
        words.update(dict.fromkeys(self.vents, "open"))
        words.update(dict.fromkeys(self.runners, "stopped"))
        words.update(dict.fromkeys(self.covered, "uncovered"))
        for target in self.targets:
            if self.plant.is_holder(target) or self.parts[target]["role"] not in ("isolator", "vent"):
                told = words.get(target, [])
                words[target] = [*([told] if isinstance(told, str) else told), "open"]
        return words

    def procedure(self) -> Entry:
        """The procedure file."""
        said: Entry = {"procedure": "p", "title": "Case procedure", "units": ["U"]}
        safe = self.make_safe() or [self.do(tell="crew")]
        kind = self.rng.random()
        if self.chance(0.3):
            said["conditions"] = {"crew_state": ["unaware", "told"]}
        if kind < 0.76 or not all(self.plant.is_holder(t) for t in self.targets):
            first, work = self.group(safe), self.hands_on()
            steps = [first] if self.chance(0.6) else list(safe)
            back_to = [first["id"]] if steps == [first] else []
            steps += work
            give = self.give_back(back_to + [safe[0]["id"]] * (not back_to))
            steps += [self.group(give)] if self.chance(0.3) else give
        elif kind < 0.88:
            steps = safe + [self.do(open=t) for t in self.targets]
            said["leaves"] = self.state_words()
        else:
            said["starts"] = self.state_words()
            steps = []
            for target in self.targets:
                steps += self.open_up(target)[1:]
            steps += self.give_back([])
        self.loosen_up(steps)
        self.mention(said, steps)
        said["steps"] = steps
        return said

    def loosen_up(self, steps: list[Entry]) -> None:
        """Perhaps a chore that is free of all others, or a treatment with a brought chemical."""
        if self.freedom and self.chance(0.3):
            place = self.rng.randint(1, len(steps))
            steps.insert(
                place,
                {
                    "id": self._id("s"),
                    "do": "Write it down.",
                    "tell": "crew",
                    "after": [steps[self.rng.randrange(place)]["id"]] if self.chance(0.8) else [],
                },
            )
        holders = [h for e in self.plant.brought for h in self.plant.holders(e)]
        if holders and self.chance(0.8):
            holder = self.rng.choice(holders)
            energy = next(e for e in self.plant.brought if holder in self.plant.holders(e))
            steps.append(
                self.group(
                    [
                        self.do(dose={"part": holder, "energy": energy}),
                        {"id": self._id("s"), "wait": "20 min"},
                        self.do(flush=holder),
                    ]
                )
            )

    def mention(self, said: Entry, steps: list[Entry]) -> None:
        """Declare the condition if a step makes it, and perhaps need it."""
        if any("makes" in e for e in every_entry(steps)):
            said["conditions"] = {"crew_state": ["unaware", "told"], "leaks": ["none_seen", "one_seen"]}
            if (
                "id" in steps[-1]
                and self.chance(0.5)
                and "steps" not in steps[-1]
                and "any_order" not in steps[-1]
            ):
                steps[-1].setdefault("needs", {})["crew_state"] = "told"


def every_entry(steps: list[Entry]) -> list[Entry]:
    """All entries of a list, at any depth, those of an otherwise or then included."""
    return [entries[index] for entries, index in every_place(steps)]


def every_place(steps: list[Entry]) -> list[tuple[list[Entry], int]]:
    """Every (list, index) where an entry stands."""
    out: list[tuple[list[Entry], int]] = []
    for index, entry in enumerate(steps):
        out.append((steps, index))
        for key in ("steps", "any_order"):
            out += every_place(entry.get(key, []))
        said = entry.get("otherwise")
        while said:
            out += every_place(said.get("steps", []))
            said = said.get("then")
    return out
