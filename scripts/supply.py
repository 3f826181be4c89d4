"""Reads what scripts/supply gathered: a bill of materials, or what the advisory service said of packages."""

from __future__ import annotations

import json
import re
import sys
import tomllib
from pathlib import Path


def bill(sbom: Path, project: Path) -> int:
    """Hold a bill of materials against its schema and against what the project says it needs."""
    from cyclonedx.schema import SchemaVersion  # noqa: PLC0415 - only the environment that made it has this
    from cyclonedx.validation.json import JsonStrictValidator  # noqa: PLC0415

    text = sbom.read_text(encoding="utf-8")
    fault = JsonStrictValidator(SchemaVersion.V1_6).validate_str(text)
    if fault is not None:
        print(f"supply: the bill of materials does not follow its schema: {fault}", file=sys.stderr)
        return 2
    said = json.loads(text)
    held = {_plain(part["name"]): part["version"] for part in said["components"]}
    needed = tomllib.loads(project.read_text(encoding="utf-8"))["project"]["dependencies"]
    missing = sorted({_plain(re.split(r"[^\w.-]", need)[0]) for need in needed} - held.keys())
    if missing:
        print(f"supply: the bill of materials lacks {', '.join(missing)}", file=sys.stderr)
        return 2
    main = said["metadata"]["component"]
    print(f"supply: {main['name']} {main['version']} with {len(held)} packages; the bill follows its schema")
    return 0


def advisories(found: Path) -> int:
    """Tell known faults, and what could not be asked: silence of the service is no good news."""
    packages = json.loads(found.read_text(encoding="utf-8"))["dependencies"]
    unknown = [p for p in packages if "skip_reason" in p and _plain(p["name"]) != "proctool"]
    faulty = [p for p in packages if p.get("vulns")]
    for package in faulty:
        for fault in package["vulns"]:
            mended = ", ".join(fault["fix_versions"]) or "no version yet"
            print(f"supply: {package['name']} {package['version']}: {fault['id']}, mended in {mended}")
    if unknown:
        print(
            f"supply: the advisory service told nothing about {len(unknown)} of {len(packages)} packages. "
            "It is not reached from here, or does not know them: nobody knows whether they have faults.",
            file=sys.stderr,
        )
    if not faulty and not unknown:
        print(f"supply: no known faults in {len(packages)} packages")
    return 1 if faulty else 2 if unknown else 0


def _plain(name: str) -> str:
    """A package's name as indexes compare it."""
    return re.sub(r"[-_.]+", "-", name).lower()


if __name__ == "__main__":
    sys.exit(bill(*map(Path, sys.argv[2:])) if sys.argv[1] == "sbom" else advisories(Path(sys.argv[2])))
