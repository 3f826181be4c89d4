"""Baselines as files: read beside a library, written whole."""

from __future__ import annotations

from pathlib import Path

from proctool.publish.atomic import write
from proctool.report.baseline import Baseline, read
from proctool.results import Check

MAX_BYTES = 64 * 1024 * 1024
"""Most bytes of a baseline: some hundred thousand findings."""
_NAMELESS = "The name of the library cannot be read: mend its library.yaml first."


class BaselineError(Exception):
    """A baseline that cannot be used or written. The text says what to do."""


def read_baseline(path: Path, library: str | None) -> Baseline:
    """The baseline in a file; `library` is the name of the library it is to be held against.

    Raises:
        BaselineError: there is none, or it is of another library, or the library's name is not known.
    """
    baseline = _read(path)
    if isinstance(baseline, str):
        raise BaselineError(f"{path} cannot be used: {baseline}. `--write-baseline {path}` writes one.")
    if library is None:
        raise BaselineError(f"{_NAMELESS} `proctool check` without a baseline says what is wrong with it.")
    if baseline.library != library:
        names = f"`{baseline.library}`, and this is `{library}`"
        raise BaselineError(f"{path} is the baseline of another library: {names}. Give the file of this one.")
    return baseline


def write_baseline(path: Path, check: Check) -> Baseline:
    """Write what a check found, but what no baseline may hold.

    Raises:
        BaselineError: the check is of a part of the library, or the library has no name that can be read;
            the file is no baseline, or would be taken for a file of the library.
        OSError: the file cannot be written; one that was there stays whole.
    """
    if path.suffix in {".yaml", ".yml"}:
        raise BaselineError(f"A baseline is no YAML: a name such as {path.with_suffix('.json')} fits.")
    if not check.whole:
        raise BaselineError("A baseline is of a whole library: name its folder, no procedure and no unit.")
    if check.library is None:
        raise BaselineError(_NAMELESS)
    if path.exists() and isinstance(_read(path), str):
        raise BaselineError(f"{path} is there already and is no baseline: choose another name.")
    baseline = check.baseline(check.library)
    write(path, baseline.to_text().encode())
    return baseline


def _read(path: Path) -> Baseline | str:
    """The baseline in a file, or what is wrong with it."""
    try:
        if path.is_file() and path.stat().st_size > MAX_BYTES:
            return f"it has more than {MAX_BYTES // 1024**2} MiB"
        return read(path.read_text(encoding="utf-8"))
    except OSError as error:
        return (error.strerror or "it cannot be read").lower()
    except UnicodeDecodeError:
        return "it is no text"
