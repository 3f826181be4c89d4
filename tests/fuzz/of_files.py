"""Ways in through files: those of a library, and those beside it."""

from __future__ import annotations

import tempfile
import unicodedata
from collections import Counter
from functools import cache
from pathlib import Path

from proctool.adaptable import AdaptError
from proctool.adapting import adapted
from proctool.api import OpenError, open_library
from proctool.kept.codec import DamagedError, decode, encode
from proctool.library import Library
from proctool.model.document import Kind
from proctool.report import baseline
from proctool.results import Outcome
from proctool.source.answers import Answers, read_answers
from proctool.source.yamltree import parse
from tests.fuzz.bounds import BUDGET, placed, told
from tests.fuzz.choices import Choices
from tests.fuzz.mutations import damaged, damaged_near, retold
from tests.fuzz.seeds import libraries, quoted, texts, with_line
from tests.fuzz.surface import Surface
from tests.fuzz.words import DRAWN, HIDDEN, JSON, TOKENS, WORDS


def _yaml(data: bytes) -> None:
    choices = Choices(data)
    content = damaged(choices.pick(texts()), choices) if choices.below(4) else choices.take(400)
    placed(parse("a.yaml", content)[1], {"a.yaml": content})


def _library(data: bytes) -> None:
    choices = Choices(data)
    files = {file: text.encode() for file, text in choices.pick(libraries()).items()}
    for _ in choices.times(2):
        file = choices.pick(sorted(files))
        files[file] = damaged(files[file].decode("utf-8", "replace"), choices) or b" "
    placed(Library(files).check(budget=BUDGET).findings, files)


# ---------------------------------------------------------------------------- beside a library

_ANSWERS = """\
adapt: change-cartridges
to: KW-9
answers:
  number: FP-1
  time: 20 min
  part first: first
  part second: second
  revision by: R. Imrie
  revision date: 2026-05-11
"""
_KW9 = "unit: KW-9\nbased_on: kw-base\ntitle: A skid of another make\nfamily: OTHER\n"


def _answers(data: bytes) -> None:
    given = retold(_ANSWERS, Choices(data)).encode("utf-8", "surrogatepass")
    found = read_answers("answers.yaml", given)
    if not isinstance(found, Answers):
        assert found
        placed(found, {"answers.yaml": given})
        return
    library = Library.from_texts(libraries()[2] | {"units/kw-9.yaml": _KW9})
    try:
        made = adapted(library, "change-cartridges", "KW-9", answers=found.answers, budget=BUDGET)
    except AdaptError as error:
        told(error)
        return
    root, faults = parse("draft.yaml", made.draft.text.encode())
    assert root is not None and not faults, faults
    keys = {key.text for key, _ in root}
    assert keys <= {"procedure", "title", "number", "units", "time", "people", "opens", "due", "steps"} | {
        *(
            "tables",
            "revisions",
            "inspections",
            "deviations",
            "conditions",
            "dangers",
            "starts",
            "leaves",
            "locks",
        )
    }


def _baseline(data: bytes) -> None:
    known = baseline.Baseline("L", Counter([("energy/charged", "error", "a.yaml", "p", "u", "s", None, "m")]))
    found = baseline.read(retold(known.to_text(), Choices(data), (*TOKENS, *JSON)))
    if isinstance(found, str):
        assert found
        return
    assert found == baseline.read(found.to_text())
    found.to_text().encode()


@cache
def _outcome() -> str:
    case = next(Library.from_texts(libraries()[0]).cases(budget=BUDGET))
    return encode(case.outcome).decode()


def _kept(data: bytes) -> None:
    try:
        decode(damaged_near(_outcome(), Choices(data)), Outcome)
    except DamagedError as error:
        told(error)


# ---------------------------------------------------------------------------- names of files

_DEVICES = {"CON", "PRN", "AUX", "NUL", *(f"{port}{n}" for port in ("COM", "LPT") for n in range(10))}


def _names(data: bytes) -> None:
    choices = Choices(data)
    files = libraries()[0]
    for file, key in (
        ("units/filter-1.yaml", "unit"),
        ("change-filter.yaml", "procedure"),
        ("library.yaml", "library"),
    ):
        name = choices.pick(
            (*WORDS, *HIDDEN, "A", choices.text(9), "A" * 64, "A" * 65, "A\n", "A\r\n", "KW-4", "kw-4")
        )
        files = with_line(files, file, key, quoted(name))
    given = {file: text.encode() for file, text in files.items()}
    library = Library(given)
    placed(library.check(budget=BUDGET).findings, given)
    for kind in (Kind.UNIT, Kind.PROCEDURE):
        for name in library.of_kind(kind):
            assert name.isascii() and len(name) <= 64 and all(sign.isalnum() or sign in "-_" for sign in name)
            assert name.upper() not in _DEVICES, name
    signs = (library.name or "").removesuffix("\n")
    assert not any(unicodedata.category(sign) in {"Cc", "Zl", "Zp", "Cs"} for sign in signs)


OUTSIDE = "what lies outside of the library"


def _folder(data: bytes) -> None:
    """A folder with links, odd names, pictures and hostile files: checked, built, its pages looked at."""
    choices = Choices(data)
    with tempfile.TemporaryDirectory(prefix="fuzz-") as name:
        home = Path(name)
        (home / "outside").mkdir()
        (home / "outside" / "secret.yaml").write_text(f"unit: secret\ntitle: {OUTSIDE}\n")
        (home / "outside" / "secret.svg").write_text(
            f'<svg xmlns="http://www.w3.org/2000/svg"><text>{OUTSIDE}</text></svg>'
        )
        library, out = home / "library", home / "out"
        figure = choices.pick(_FIGURES)
        files = with_line(libraries()[0], "change-filter.yaml", "title", "T")
        text = files["change-filter.yaml"].replace(
            "  - do:", f"  - figure: {{file: {figure!r}, alt: A}}\n    do:", 1
        )
        for file, content in (files | {"change-filter.yaml": text}).items():
            path = library / file
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_text(content)
        (library / "figures").mkdir()
        (library / "figures" / "a.svg").write_text(retold(_SVG, choices, DRAWN), "utf-8", "replace")
        for _ in choices.times(4):
            _dressed(library, home / "outside", choices)
        _opened(library, out)


_SVG = '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 9 9"><path d="M0 0h9"/></svg>'
_FIGURES = (
    *(
        "figures/a.svg",
        "../outside/secret.svg",
        "figures/../../outside/secret.svg",
        "figures/link.svg",
        "figures",
    ),
    *(
        "link.yaml",
        "/etc/passwd",
        "C:\\a.svg",
        "file:///etc/passwd",
        "http://x/a.svg",
        "a" * 300,
        "figures/a.svg/b",
    ),
)
_ENTRIES = (
    *(
        "link.yaml",
        "units/link.yaml",
        "figures/link.svg",
        "blocks/link",
        "a\u202eb.yaml",
        "a\x1b[2J.yaml",
        "CON.yaml",
    ),
    *(
        "-c.yaml",
        "$(id).yaml",
        "x" * 240 + ".yaml",
        ".hidden.yaml",
        "build",
        "a b.yml",
        "library.yml",
        "a\udcff.yaml",
    ),
)


def _dressed(library: Path, outside: Path, choices: Choices) -> None:
    """One more thing in the folder: a link, a file, a folder."""
    place = library / choices.pick(_ENTRIES)
    if place.is_symlink() or place.exists():
        return
    how = choices.below(6)
    if how == 0:
        place.symlink_to(outside / choices.pick(("secret.yaml", "secret.svg", "nothing")))
    elif how == 1:
        place.symlink_to(choices.pick((".", "..", "link.yaml", "/", str(outside))))
    elif how == 2:
        place.mkdir()
    else:
        place.write_bytes(damaged(choices.pick(tuple(libraries()[0].values())), choices))


def _opened(library: Path, out: Path) -> None:
    try:
        found = open_library(library)
    except OpenError as error:
        told(error)
        return
    findings = found.check(budget=BUDGET).findings
    assert not any(OUTSIDE in finding.message for finding in findings)
    if found.file is None:
        return
    written = found.build(out, formats=frozenset({"html"}), draft=True, budget=BUDGET).written
    assert {path.resolve() for path in written} <= {path.resolve() for path in out.rglob("*.html")}
    assert all(OUTSIDE not in path.read_text(encoding="utf-8") for path in out.rglob("*.html"))


FILES = {
    "yaml": Surface("the bytes of a library file", _yaml, 3, 120),
    "library": Surface("whole libraries, checked", _library, 10, 40),
    "answers": Surface("answers files of `adapt`", _answers, 10, 20),
    "baseline": Surface("baseline files", _baseline, 2, 100),
    "kept": Surface("results of earlier runs", _kept, 2, 100),
    "names": Surface("names that become names of files", _names, 5, 40),
    "folder": Surface("folders with links, odd names and pictures", _folder, 20, 4),
}
