"""How many single damages to the demonstration procedures are caught, and by which rule.

`python -m benchmarks.mutation` damages every procedure on every unit in all single ways (`damage`), one at a
time, and asks the proof and every rule over plans and runs. A damage is

- *refused*: an error that the clean procedure has not, so no manual is built;
- *told*: warnings or advice only;
- *harmless* or *beyond the model*: nothing is found, and `harmless.yaml` says why that is right, or why no
  rule could know;
- *missed*: nothing is found and nothing explains it. That is a bug of a rule, and the exit code is 1, as it
  is for an explanation that no damage needs any more.

`--procedure NAME` and `--unit NAME` keep to some.
"""

from __future__ import annotations

import argparse
import sys
import time
from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from fnmatch import fnmatchcase
from pathlib import Path

import yaml

from benchmarks.damage import KINDS, Damage, damages
from proctool.api import Library, open_library
from proctool.casework import Bench, examined
from proctool.model.finding import Finding, Level
from proctool.model.verdict import DEFAULT_BUDGET

ROOT = Path(__file__).parent.parent
LIBRARIES = ("household", "procedures")
EXPLANATIONS = Path(__file__).with_name("harmless.yaml")
OUTCOMES = ("refused", "told", "harmless", "beyond", "missed")


@dataclass(frozen=True, slots=True)
class Explanation:
    """Why nothing is found of some damages."""

    outcome: str
    """`harmless` or `beyond`."""
    why: str
    kinds: tuple[str, ...]
    damages: tuple[str, ...]
    """Patterns over `STEP` or `STEP (WHAT)`; `*` stands for anything."""
    cases: tuple[str, ...]
    """Patterns over `PROCEDURE/UNIT`."""

    def fits(self, case: str, damage: Damage) -> bool:
        """Whether it speaks of this damage."""
        said = str(damage).removeprefix(f"{damage.kind} ")
        return (
            damage.kind in self.kinds
            and any(fnmatchcase(case, pattern) for pattern in self.cases)
            and any(fnmatchcase(said, pattern) for pattern in self.damages)
        )


@dataclass(frozen=True, slots=True)
class Result:
    """What came of one damage."""

    case: str
    damage: Damage
    outcome: str
    rules: tuple[str, ...]
    """Those that found it, errors alone where there are any."""
    explained: Explanation | None = None


def explanations(file: Path = EXPLANATIONS) -> tuple[Explanation, ...]:
    """The checked-in list."""
    said = yaml.safe_load(file.read_text(encoding="utf-8"))
    return tuple(
        Explanation(
            outcome,
            " ".join(entry["why"].split()),
            tuple(entry["kinds"]),
            tuple(entry["damages"]),
            tuple(entry.get("cases", ["*"])),
        )
        for outcome in ("harmless", "beyond")
        for entry in said[outcome]
    )


def run(
    library: Library,
    explained: Sequence[Explanation],
    *,
    procedure: str | None = None,
    unit: str | None = None,
) -> Iterator[Result]:
    """Every damage to the procedures of a library, one after the other."""
    bench = _bench(library)
    for case in library.cases(procedure=procedure, unit=unit):
        if case.plan is None or case.faulty:
            raise ValueError(
                f"{case.procedure} on {case.unit} is not clean: a damage to it would tell nothing"
            )
        name = f"{case.procedure}/{case.unit}"
        clean = {_key(finding) for finding in case.findings}
        for damage in damages(case.plan):
            _, broken, others = examined(bench, damage.plan)
            news = [finding for finding in (*broken, *others) if _key(finding) not in clean]
            yield _result(name, damage, news, explained)


def _bench(library: Library) -> Bench:
    """What the library's own cases are carried on."""
    if library.file is None:
        raise ValueError("the library has no library.yaml")
    return Bench(
        library.file,
        library.blocks,
        library.units.known,
        library.levels[0],
        library.watchlist,
        DEFAULT_BUDGET,
    )


def _key(finding: Finding) -> tuple[str, str | None, str | None, str]:
    return finding.rule, finding.step, finding.part, finding.message


def _result(case: str, damage: Damage, news: Iterable[Finding], explained: Sequence[Explanation]) -> Result:
    errors = {finding.rule for finding in news if finding.level is Level.ERROR}
    if errors:
        return Result(case, damage, "refused", tuple(sorted(errors)))
    if rules := {finding.rule for finding in news}:
        return Result(case, damage, "told", tuple(sorted(rules)))
    why = next((entry for entry in explained if entry.fits(case, damage)), None)
    return Result(case, damage, why.outcome if why else "missed", (), why)


def table(results: Sequence[Result]) -> str:
    """Damages by kind and outcome, as a Markdown table."""
    counts = Counter((result.damage.kind, result.outcome) for result in results)
    lines = [f"| damage | {' | '.join(OUTCOMES)} | all |", "| --- |" + " ---: |" * (len(OUTCOMES) + 1)]
    for kind in (*KINDS, "all"):
        row = [sum(n for (k, o), n in counts.items() if kind in {k, "all"} and o == out) for out in OUTCOMES]
        lines.append(f"| {kind} | {' | '.join(f'{n:,}' for n in row)} | {sum(row):,} |")
    return "\n".join(lines) + "\n"


def by_rule(results: Sequence[Result]) -> str:
    """How many damages each rule finds, errors before warnings and advice, as a Markdown table."""
    lines = ["| rule | refused | told |", "| --- | ---: | ---: |"]
    counts = Counter((rule, result.outcome) for result in results for rule in result.rules)
    rules = {rule for rule, _ in counts}
    ranked = sorted(rules, key=lambda rule: (-counts[rule, "refused"], -counts[rule, "told"], rule))
    lines += [f"| {rule} | {counts[rule, 'refused']:,} | {counts[rule, 'told']:,} |" for rule in ranked]
    return "\n".join(lines) + "\n"


def main(arguments: Sequence[str] | None = None) -> int:
    """Run it and print the tables, then what is missed and which explanations nothing needs."""
    parser = argparse.ArgumentParser(prog="benchmarks.mutation", description=__doc__)
    parser.add_argument("--procedure")
    parser.add_argument("--unit")
    asked = parser.parse_args(arguments)
    explained, began = explanations(), time.perf_counter()
    results: list[Result] = []
    for name in LIBRARIES:
        library = open_library(ROOT / name)
        for result in run(library, explained, procedure=asked.procedure, unit=asked.unit):
            results.append(result)
            if sys.stderr.isatty() and len(results) % 50 == 0:
                print(f"\r{len(results)} damages", end="", file=sys.stderr)  # noqa: T201 - a command
    missed = [f"{result.case}: {result.damage}" for result in results if result.outcome == "missed"]
    whole = asked.procedure is None and asked.unit is None
    used = {result.explained for result in results}
    idle = [entry.why for entry in explained if whole and entry not in used]
    seconds = time.perf_counter() - began
    told = [f"{len(results):,} damages, {seconds:.0f} s\n", table(results), by_rule(results)]
    told += [f"Missed: {len(missed)}\n" + "".join(f"  {line}\n" for line in missed)]
    told += [f"Explanations that nothing needs: {len(idle)}\n" + "".join(f"  {why}\n" for why in idle)]
    print("\n".join(told), end="")  # noqa: T201 - a command
    return 1 if missed or idle else 0


if __name__ == "__main__":
    sys.exit(main())
