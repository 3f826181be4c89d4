# ruff: noqa: T201 - a command prints
"""Hold the package against the oracle: ``python -m tests.oracle [--cases N] [--first SEED] [--show SEED]``.

For each seed the case is written as YAML text and given to the package; the findings of the proof are
compared with those of the walker as sets of (rule, step, part).  Exits 1 if any case differs.
"""

from __future__ import annotations

import argparse
import sys
from typing import Any

from .cases import case
from .text import files
from .walker import Finding, Walker, walk


def of_the_proof(rule: str) -> bool:
    """Whether the verdict rests on this rule; of the others the walker knows nothing."""
    from proctool.rules.packs import RULES

    return rule in RULES and RULES[rule].of_proof


def by_package(unit: dict[str, Any], procedure: dict[str, Any]) -> tuple[set[Finding], str]:
    """What the package finds, and what is wrong with its verdict (else empty): none, or one that differs."""
    from proctool.api import Library

    result = Library.from_texts(files(unit, procedure)).check()
    proof = {(f.rule, f.step, f.part) for f in result.findings if of_the_proof(f.rule)}
    verdicts = [str(v.verdict) for v in result.verdicts]
    if verdicts in (["safe"], ["unsafe"]):
        # A finding below the level of an error, such as one that only harms a machine, leaves a case safe.
        errors = any(of_the_proof(f.rule) and str(f.level) == "error" for f in result.findings)
        agrees = verdicts == (["unsafe"] if errors else ["safe"])
        return proof, "" if agrees else f"the verdict is {verdicts[0]}"
    others = [f"{f.rule}: {f.message}" for f in result.findings if not of_the_proof(f.rule)]
    return proof, f"not judged ({', '.join(verdicts) or 'no verdict'}): " + "; ".join(others[:5])


def _key(finding: Finding) -> tuple[str, str, str]:
    return finding[0], finding[1] or "", finding[2] or ""


def compare(seed: int) -> tuple[bool, str]:
    """Whether the seed's case is safe, and how the two judges differ on it (empty if they agree)."""
    unit, procedure = case(seed)
    ours = walk(unit, procedure)
    theirs, trouble = by_package(unit, procedure)
    lines = [trouble] if trouble else []
    lines += [f"only the walker:  {f}" for f in sorted(ours - theirs, key=_key)]
    lines += [f"only the package: {f}" for f in sorted(theirs - ours, key=_key)]
    return not ours, "\n    ".join(lines)


def show(seed: int) -> None:
    """Print a case as files, and each finding of the walker with the first walk that leads to it."""
    unit, procedure = case(seed)
    for name, text in files(unit, procedure).items():
        print(f"# {name}\n{text}")
    for finding, trace in sorted(Walker(unit, procedure).run().items(), key=lambda item: _key(item[0])):
        print(finding, "after", ", ".join(step + (" (fails)" if failed else "") for step, failed in trace))


def main() -> int:
    """Run the comparison from the command line."""
    asked = argparse.ArgumentParser(
        prog="python -m tests.oracle", description="Hold the package against the oracle."
    )
    asked.add_argument("--cases", type=int, default=300, help="how many cases (300)")
    asked.add_argument("--first", type=int, default=0, help="the first seed (0)")
    asked.add_argument("--show", type=int, help="print the case of one seed and what the walker finds")
    said = asked.parse_args()
    if said.show is not None:
        show(said.show)
        return 0
    safe = 0
    differ: list[int] = []
    for seed in range(said.first, said.first + said.cases):
        is_safe, difference = compare(seed)
        safe += is_safe
        if difference:
            differ.append(seed)
            print(f"seed {seed}:\n    {difference}")
    print(
        f"{said.cases} cases, {safe} safe, {len(differ)} disagreements"
        + (f": seeds {differ}" if differ else "")
    )
    return 1 if differ else 0


if __name__ == "__main__":
    sys.exit(main())
