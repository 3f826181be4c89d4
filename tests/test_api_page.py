"""docs/api.md is made from the docstrings, and its example runs."""

from __future__ import annotations

import re
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
PAGE = ROOT / "docs" / "api.md"


def test_the_page_is_up_to_date() -> None:
    command = (sys.executable, "scripts/api_reference.py", "--check")
    done = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stdout + done.stderr


def test_the_example_runs(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    example = re.search(r"```python\n(.*?)```", PAGE.read_text(encoding="utf-8"), re.DOTALL)
    assert example is not None
    exec(compile(example[1], "docs/api.md", "exec"), {})  # noqa: S102 - the example is our own
    *verdicts, last = capsys.readouterr().out.splitlines()
    assert verdicts
    assert all(line.endswith(" safe") for line in verdicts)
    assert last.endswith("pages written, 0 cases refused")
    assert list(tmp_path.glob("pages/*.html"))


def test_every_public_name_says_what_it_is() -> None:
    names = PAGE.read_text(encoding="utf-8").partition("<!-- names -->")[2]
    entries = re.split(r"^### ", names, flags=re.MULTILINE)[1:]
    assert entries
    # Without its name, how it is called, and its members, a sentence must be left.
    rest = r"\A`\w+`$|^```[\s\S]*?^```$|^\|.*$|^##[\s\S]*"
    prose = {entry.splitlines()[0]: re.sub(rest, "", entry, flags=re.MULTILINE).strip() for entry in entries}
    assert [name for name, text in prose.items() if not text.endswith((".", "`"))] == []
