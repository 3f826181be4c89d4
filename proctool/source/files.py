"""Which files make a library, and their bytes: the only place that reads a library from the disk."""

from __future__ import annotations

import os
import re
import stat
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from pathlib import Path

from proctool.model.document import Kind
from proctool.model.finding import Finding, Level, file_fault
from proctool.model.span import Span
from proctool.source.text import hidden_in_path
from proctool.source.yamltree import MAX_BYTES

MAX_FILES = 5_000
"""Most files of a library."""
MAX_TOTAL = 64 * MAX_BYTES
"""Most bytes of a library."""
SKIPPED = frozenset({"build", "figures"})
"""Folders without library files: what is built, and pictures. What is hidden is skipped too."""
ENDINGS = (".yaml", ".yml")
"""How the names of library files end."""
_HEAD = 65_536
"""So much of a file is looked at to find its first key."""
_FIRST_KEY = re.compile(rb"""(?:\s|\#[^\n\r]*|%[^\n\r]*|---(?=\s))*["']?([A-Za-z_]+)["']?[ \t]*:""")


@dataclass(frozen=True, slots=True)
class Collected:
    """The files of one library. With a `problem` there is no library to speak of, and nothing else is set."""

    root: Path
    files: Mapping[str, bytes]
    """Content by path relative to `root`, with forward slashes."""
    focus: str | None = None
    """The one file that was asked for."""
    findings: tuple[Finding, ...] = ()
    """Files that were not read, and why."""
    problem: str | None = None
    """Why the library cannot be opened, and what to do."""


@dataclass(slots=True)
class _Reader:
    """What has been read so far."""

    root: Path
    files: dict[str, bytes] = field(default_factory=dict)
    findings: list[Finding] = field(default_factory=list)
    total: int = 0
    full: bool = False

    def refuse(self, file: str, message: str, rule: str = "file/limit") -> None:
        self.findings.append(file_fault(rule, message, Span(file, 1, 1, 1, 1)))

    def stop(self, message: str) -> None:
        self.findings.append(Finding("file/limit", Level.ERROR, message, "."))
        self.full = True

    def read(self, path: Path) -> None:
        """One file, its size looked at before it is read."""
        file = _relative(path, self.root)
        if len(self.files) >= MAX_FILES:
            self.stop(f"The library has more than {MAX_FILES:,} files; the rest was not read. Split it.")
            return
        try:
            status = path.stat()
            if not stat.S_ISREG(status.st_mode):
                self.refuse(file, "This is no file that can be read (a pipe or device).")
                return
            if status.st_size > MAX_BYTES:
                size = f"{status.st_size / MAX_BYTES:,.1f} MiB"
                self.refuse(file, f"The file has {size}; files may have {MAX_BYTES // 1024} KiB. Split it.")
                return
            with path.open("rb") as stream:
                data = stream.read(MAX_BYTES + 1)
        except OSError as error:
            self.refuse(file, f"The file cannot be read: {_reason(error)}.", "file/yaml")
            return
        self.total += len(data)
        if self.total > MAX_TOTAL:
            self.stop(
                f"The library has more than {MAX_TOTAL // MAX_BYTES} MiB; the rest was not read. Split it."
            )
            return
        self.files[file] = data


def collect(path: Path) -> Collected:
    """The library that `path` belongs to: its folder, a folder in it, or one of its files.

    The library is the nearest folder, from `path` upwards, with a file whose first key is `library`. Links
    that lead out of it, files too large and files that cannot be read are findings. Never raises.
    """
    try:
        return _collect(path)
    except OSError as error:
        return _problem(path, f"{path} cannot be read: {_reason(error)}.")


def _collect(path: Path) -> Collected:
    if not path.exists():
        return _problem(path, f"There is nothing at {path}. Give the folder that holds library.yaml.")
    asked = path.resolve()
    folder = asked if asked.is_dir() else asked.parent
    if asked.is_file() and asked.suffix not in ENDINGS:
        return _problem(
            path, f"{path} is no YAML file. Give the folder that holds library.yaml, or a file in it."
        )
    root = next((place for place in (folder, *folder.parents) if _has_library(place)), None)
    if root is None:
        return _problem(path, _missing(path, folder))
    reader = _Reader(root)
    regular, links = _candidates(reader)
    for file in regular:
        if not reader.full:
            reader.read(file)
    known = {file.resolve() for file in regular}
    for link in links:
        if not reader.full and _target(link) not in known:
            reader.read(link)
    focus = None
    if asked.is_file():
        focus = _relative(asked, root)
        if focus not in reader.files and not any(f.file == focus for f in reader.findings):
            return _problem(
                path, f"{path} is in a folder that is no part of the library (hidden, build, figures)."
            )
    return Collected(root, reader.files, focus, tuple(sorted(reader.findings, key=lambda f: f.sort_key)))


def _candidates(reader: _Reader) -> tuple[list[Path], list[Path]]:
    """The YAML files below the root and the links to some, each by path; links that lead out are findings."""
    regular: list[Path] = []
    links: list[Path] = []
    for entry in _walk(reader.root):
        path = Path(entry.path)
        file = _relative(path, reader.root)
        if entry.is_symlink():
            target = _target(path)
            if target is None:
                reader.refuse(file, "This link leads to nothing. Mend it, or take it away.")
            elif not target.is_relative_to(reader.root):
                reader.refuse(
                    file, "This link leads out of the library and is not followed. Copy the file here."
                )
            elif target.is_file():
                links.append(path)
        elif "\ufffd" in file:
            reader.refuse(file, "The name of this file is not UTF-8; rename it.")
        elif hidden := hidden_in_path(file):
            reader.refuse(
                file, f"The name of this file holds a sign that no editor shows ({hidden}); rename it."
            )
        else:
            regular.append(path)
        if len(regular) + len(links) > MAX_FILES:
            break
    return regular, links


def _walk(root: Path) -> Iterator[os.DirEntry[str]]:
    """YAML files, and links that may be such files or folders, by path. Linked folders are not entered."""
    waiting = [root]
    while waiting:
        with os.scandir(waiting.pop()) as entries:
            ordered = sorted(entries, key=lambda entry: entry.name)
        folders = []
        for entry in ordered:
            if entry.name.startswith("."):
                continue
            if entry.is_dir(follow_symlinks=False):
                if entry.name not in SKIPPED:
                    folders.append(Path(entry.path))
            elif entry.name.endswith(ENDINGS) or (entry.is_symlink() and Path(entry.path).is_dir()):
                yield entry
        waiting += reversed(folders)


def _target(link: Path) -> Path | None:
    """Where a link leads; None where that is nothing, or back to itself."""
    try:
        return link.resolve(strict=True)
    except (OSError, RuntimeError):  # the latter is what Python before 3.13 says of a circle of links
        return None


def _has_library(folder: Path) -> bool:
    return any(_is_library(path) for path in _yaml_files(folder))


def _is_library(path: Path) -> bool:
    """Whether a file is the library file: by its first key, or, where it has none, by its name."""
    key = _first_key(path)
    return key == Kind.LIBRARY or (key not in set(Kind) and path.stem == "library")


def _yaml_files(folder: Path) -> list[Path]:
    try:
        return sorted(path for path in folder.iterdir() if path.suffix in ENDINGS and path.is_file())
    except PermissionError:
        return []


def _first_key(path: Path) -> str | None:
    try:
        with path.open("rb") as stream:
            head = stream.read(_HEAD)
    except OSError:
        return None
    return _key_of(head)


def _key_of(data: bytes) -> str | None:
    found = _FIRST_KEY.match(data.removeprefix(b"\xef\xbb\xbf"))
    return found[1].decode() if found else None


def bearing_on(focus: str | None, files: Mapping[str, bytes]) -> Mapping[str, bytes]:
    """The files that bear on one of them: where that is a procedure, all but the other procedures."""
    if focus is None or focus not in files or _key_of(files[focus]) != Kind.PROCEDURE:
        return files
    return {f: data for f, data in files.items() if f == focus or _key_of(data) != Kind.PROCEDURE}


def _missing(path: Path, folder: Path) -> str:
    """What to say where no library file is at or above a folder."""
    below = next((p for p in sorted(folder.iterdir()) if p.is_dir() and _has_library(p)), None)
    if below is not None:
        return f"{path} has no library.yaml, but {path / below.name} has. Give that folder."
    what = "holds no YAML files" if not _yaml_files(folder) else "has no file that starts with `library:`"
    return f"{path} {what}, nor has a folder above it. proctool wants a folder with a library.yaml."


def _problem(path: Path, message: str) -> Collected:
    return Collected(path, {}, problem=message)


def _relative(path: Path, root: Path) -> str:
    """The path in the library; what is not UTF-8 in it is shown by a replacement sign."""
    return path.relative_to(root).as_posix().encode("utf-8", "surrogateescape").decode("utf-8", "replace")


def _reason(error: OSError) -> str:
    return (error.strerror or "unknown reason").lower()
