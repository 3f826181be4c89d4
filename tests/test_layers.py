"""The layers of proctool, kept by reading every import.

Each part (a folder or module right under `proctool/`) may import itself and what `ALLOWED` names for it. The
middle of the house is pure besides: the same plan gives the same verdict, on any machine, on any day.
"""

from __future__ import annotations

import ast
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest

PACKAGE = Path(__file__).parents[1] / "proctool"

ROOT = "proctool"
"""Stands for the package itself: its public names, which are those of `api`."""

LOWEST = frozenset({"model", "network"})
ALLOWED: dict[str, frozenset[str]] = {
    "model": frozenset(),
    "network": frozenset({"model"}),
    "source": LOWEST,
    "resolve": LOWEST,
    "prove": LOWEST,
    "rules": LOWEST,
    "tables": LOWEST,
    "render": LOWEST,
    "report": LOWEST,
    "draft": LOWEST | {"resolve", "prove"},
    "publish": frozenset({"api", "model", ROOT}),
    "editor": frozenset({"api", "model", ROOT}),
    "cli": frozenset({"api", "model", ROOT}),
    "fix": LOWEST | {"source", "results", "report", "publish"},
    "kept": LOWEST,
    "crew": frozenset(),
    "cluster": LOWEST | {"crew", "kept"},
    "watch": frozenset(),
    "results": LOWEST | {"prove", "report", "rules", "source"},
    "baseline": LOWEST | {"results", "report", "publish"},
    "casework": LOWEST | {"results", "source", "resolve", "prove", "rules", "tables", "render"},
    "focus": LOWEST,
    "around": LOWEST | {"focus", "results", "casework", "resolve", "rules"},
    "judging": LOWEST | {"casework", "results"},
    "slipping": LOWEST | {"draft", "results", "rules"},
    "printing": LOWEST | {"casework", "kept", "render", "results", "slipping"},
    "keeping": LOWEST | {"casework", "crew", "focus", "judging", "kept", "records", "results", "rules"},
    "sheets": LOWEST | {"crew", "keeping", "kept", "printing", "render", "source"},
    "manuals": LOWEST | {"results", "printing", "site", "render", "publish"},
    "building": LOWEST
    | {
        "casework",
        "keeping",
        "manuals",
        "printing",
        "records",
        "render",
        "results",
        "sheets",
        "site",
        "watch",
    },
    "site": LOWEST | {"draft", "render", "rules", "publish"},
    "records": LOWEST | {"around", "focus", "source", "resolve", "rules"},
    "library": LOWEST
    | {
        "records",
        "results",
        "casework",
        "around",
        "building",
        "keeping",
        "kept",
        "source",
        "resolve",
        "rules",
        "slipping",
        "watch",
    }
    | {"fix", "focus", "prove", "render", "report"},
    "auditing": LOWEST
    | {"focus", "library", "watch", "results", "draft", "rules", "render", "report", "publish"},
    "marking": LOWEST | {"draft", "fix"},
    "adaptable": LOWEST | {"library", "draft", "source"},
    "adapting": LOWEST
    | {
        "adaptable",
        "casework",
        "comparing",
        "marking",
        "library",
        "results",
        "draft",
        "fix",
        "report",
        "publish",
    },
    "comparing": LOWEST | {"library", "results", "draft", "source", "render", "report"},
    "surveying": LOWEST | {"library", "draft", "render", "report"},
    "starting": LOWEST | {"library", "draft", "drafting", "results"},
    "tabling": LOWEST | {"library", "render", "report", "rules", "tables"},
    "drafting": LOWEST | {"library", "results", "draft", "prove", "publish", "report", "rules"},
    "api": LOWEST
    | {"adaptable", "adapting", "auditing", "comparing", "draft", "drafting", "starting", "surveying"}
    | {"tables", "tabling", "library", "baseline", "fix", "results", "source", "rules", "report", "publish"}
    | {"cluster", "crew", "keeping", "kept", "watch"},
    ROOT: frozenset({"api", "model"}),
    "start": frozenset(),
    "__main__": frozenset({"cli"}),
}

DATA = "schemas"
"""Holds no code, so every part may read it."""

PURE = frozenset({"model", "network", "resolve", "prove", "rules", "tables"})
OUTSIDE_WORLD = frozenset(
    {
        *("asyncio", "multiprocessing", "signal", "socket", "subprocess", "urllib", "http"),
        *("glob", "io", "os", "pathlib", "shutil", "tempfile"),
        *("locale", "random", "time", "uuid"),
    }
)
OUTSIDE_CALLS = frozenset({"open", "print", "input", "exec", "eval", "compile"})
CLOCK_CALLS = frozenset({"today", "now", "utcnow"})


@dataclass(frozen=True, slots=True)
class Breach:
    """An import or a call that a layer may not make."""

    file: str
    line: int
    what: str

    def __str__(self) -> str:
        return f"{self.file}:{self.line}: {self.what}"


def part_of(file: str) -> str:
    """The part that a file, named from the package's folder, belongs to."""
    first = file.split("/", maxsplit=1)[0].removesuffix(".py")
    return ROOT if first == "__init__" else first


def imported(tree: ast.Module, file: str) -> Iterator[tuple[int, str]]:
    """Line and full name of all that is imported: at the top, inside, and through `import_module("...")`."""
    package = ["proctool", *file.split("/")[:-1]]
    for node in ast.walk(tree):
        match node:
            case ast.Import(names=names):
                yield from ((node.lineno, alias.name) for alias in names)
            case ast.ImportFrom(module=module, names=names, level=level):
                base = package[: len(package) - level + 1] if level else []
                stem = ".".join([*base, *([module] if module else [])])
                yield from ((node.lineno, f"{stem}.{alias.name}") for alias in names)
            case ast.Call(
                func=ast.Name(id="import_module" | "__import__") | ast.Attribute(attr="import_module"),
                args=[ast.Constant(value=str(name)), *_],
            ):
                yield node.lineno, name


def target_of(name: str) -> str | None:
    """The part of ours that an imported name belongs to; None for what is not ours."""
    ours, _, rest = name.partition(".")
    if ours != "proctool":
        return None
    first = rest.partition(".")[0]
    return first if first in ALLOWED or first == DATA else ROOT


def layer_breaches(file: str, text: str) -> list[Breach]:
    """What `text`, as the content of proctool/`file`, imports against the table."""
    part = part_of(file)
    if part not in ALLOWED:
        return [
            Breach(file, 1, f"'{part}' is no part of the house: give it a row in ALLOWED, or another home")
        ]
    found = []
    for line, name in imported(ast.parse(text), file):
        target = target_of(name)
        if target not in {None, part, DATA, *ALLOWED[part]}:
            may = ", ".join(sorted(ALLOWED[part])) or "nothing of ours"
            found.append(Breach(file, line, f"{part} imports {name} ({target}); it may import: {may}"))
    return sorted(found, key=lambda breach: (breach.line, breach.what))


def purity_breaches(file: str, text: str) -> list[Breach]:
    """Where `text`, as the content of proctool/`file`, reaches for files, clock or environment."""
    if part_of(file) not in PURE:
        return []
    tree = ast.parse(text)
    found = [
        Breach(file, line, f"imports {name}")
        for line, name in imported(tree, file)
        if name.partition(".")[0] in OUTSIDE_WORLD
    ]
    for node in ast.walk(tree):
        match node:
            case ast.Call(func=ast.Name(id=called)) if called in OUTSIDE_CALLS:
                found.append(Breach(file, node.lineno, f"calls {called}()"))
            case ast.Call(func=ast.Attribute(attr=called)) if called in CLOCK_CALLS:
                found.append(Breach(file, node.lineno, f"asks the clock: .{called}()"))
    return sorted(found, key=lambda breach: (breach.line, breach.what))


FILES = sorted(path.relative_to(PACKAGE).as_posix() for path in PACKAGE.rglob("*.py"))


def test_the_walk_finds_the_house() -> None:
    assert {"__init__.py", "model/__init__.py", "model/finding.py"} <= set(FILES)


@pytest.mark.parametrize("file", FILES)
def test_no_file_imports_against_the_layers(file: str) -> None:
    assert [str(breach) for breach in layer_breaches(file, (PACKAGE / file).read_text("utf-8"))] == []


@pytest.mark.parametrize("file", [file for file in FILES if part_of(file) in PURE])
def test_the_middle_touches_no_file_clock_or_environment(file: str) -> None:
    assert [str(breach) for breach in purity_breaches(file, (PACKAGE / file).read_text("utf-8"))] == []


@pytest.mark.parametrize(
    ("file", "text", "line"),
    [
        ("model/unit.py", "from proctool.network import reach", 1),
        ("model/deep/unit.py", "import proctool.prove.explore", 1),
        ("network/reach.py", "import ast\nfrom proctool.resolve.plan import resolve", 2),
        ("prove/explore.py", "from proctool.resolve import names", 1),
        ("prove/explore.py", "from proctool import resolve", 1),
        ("prove/explore.py", "from ..resolve import names", 1),
        ("prove/explore.py", "from .. import resolve", 1),
        ("prove/explore.py", "from proctool import open_library", 1),
        ("prove/explore.py", "import proctool", 1),
        ("prove/explore.py", "from proctool import *", 1),
        ("rules/energy/open_live.py", "from ...prove.explore import explore", 1),
        ("rules/run.py", "def run():\n    from proctool.prove import explore", 2),
        ("source/schema.py", "if TYPE_CHECKING:\n    from proctool.report import text", 2),
        ("render/html.py", "import importlib\nimportlib.import_module('proctool.tables.rows')", 2),
        ("draft/isolate.py", "from proctool.rules import run", 1),
        ("cli/check.py", "from proctool.report import text", 1),
        ("cli/check.py", "from proctool.network import reach", 1),
        ("api.py", "from proctool.cli import main", 1),
        ("__init__.py", "from proctool.source import files", 1),
        ("helpers/misc.py", "", 1),
        ("helpers.py", "", 1),
    ],
)
def test_a_forbidden_import_is_found(file: str, text: str, line: int) -> None:
    assert [(breach.file, breach.line) for breach in layer_breaches(file, text)] == [(file, line)]


@pytest.mark.parametrize(
    ("file", "text"),
    [
        ("model/plan.py", "from proctool.model.unit import Unit\nimport enum"),
        ("model/plan.py", "from . import unit\nfrom .unit import Unit"),
        ("network/reach.py", "from proctool.model.unit import Unit\nfrom proctool.model import words"),
        ("source/schema.py", "import proctool.schemas\nfrom proctool import schemas"),
        ("draft/isolate.py", "from proctool.resolve import plan\nfrom proctool.prove import explore"),
        ("cli/check.py", "from proctool import __version__, open_library\nfrom proctool.api import Library"),
        ("library.py", "from proctool.report import text\nfrom .prove import explore"),
        ("__init__.py", "from proctool.api import open_library\nfrom .model.finding import Finding"),
        ("__main__.py", "from proctool.cli.main import main"),
    ],
)
def test_an_allowed_import_is_let_through(file: str, text: str) -> None:
    assert layer_breaches(file, text) == []


@pytest.mark.parametrize(
    ("text", "what"),
    [
        ("import os", "imports os"),
        ("from pathlib import Path", "imports pathlib.Path"),
        ("def age():\n    return date.today()", "asks the clock: .today()"),
        ("text = open('x').read()", "calls open()"),
    ],
)
def test_reaching_outside_is_found_in_the_middle_only(text: str, what: str) -> None:
    assert [breach.what for breach in purity_breaches("prove/explore.py", text)] == [what]
    assert purity_breaches("publish/workers.py", text) == []
