"""The files of a library as they were at a revision that its git repository holds. Nothing is ever written.

git is called without a shell, and a revision is named after `--end-of-options`, so that none can become an
option. Objects are read as they are stored, by their hashes: no filter, hook, fetch or replacement. The
settings of a repository come with it and name programs: those that could be run here are overruled.
"""

from __future__ import annotations

import os
import posixpath
import re
import shlex
import subprocess
from collections.abc import Callable, Iterable, Iterator
from collections.abc import Mapping as ReadOnly
from dataclasses import dataclass, replace
from functools import cache
from pathlib import Path

from proctool.model.finding import Finding, file_fault
from proctool.model.span import Span
from proctool.source import figures
from proctool.source.figures import Refused, looked_through
from proctool.source.files import ENDINGS, MAX_FILES, MAX_TOTAL, SKIPPED, Collected
from proctool.source.text import ending
from proctool.source.yamltree import MAX_BYTES

_SECONDS = 60
"""After so long without an answer git is given up."""
_PLACES = (
    *("GIT_DIR", "GIT_WORK_TREE", "GIT_INDEX_FILE", "GIT_PREFIX", "GIT_OBJECT_DIRECTORY", "GIT_COMMON_DIR"),
    *("GIT_ALTERNATE_OBJECT_DIRECTORIES", "GIT_GRAFT_FILE", "GIT_SHALLOW_FILE", "GIT_NAMESPACE"),
)
"""What a hook sets; the repository is that of the library's folder, whoever calls."""
_SURROUNDINGS = {
    "LC_ALL": "C",
    "GIT_OPTIONAL_LOCKS": "0",
    "GIT_TERMINAL_PROMPT": "0",
    "GIT_NO_LAZY_FETCH": "1",
    "GIT_ALLOW_PROTOCOL": "none",  # what git before 2.45.1 goes by, where it would fetch what it lacks
    "GIT_NO_REPLACE_OBJECTS": "1",
}
_SETTINGS = ("core.fsmonitor=false", f"core.hooksPath={os.devnull}", "safe.bareRepository=explicit")
"""They overrule those of the repository. A folder of the library that is itself laid out like a repository is
none. The settings of the user and of the machine hold: they say whose repositories are trusted."""
_DUBIOUS = re.compile("dubious ownership in repository at '(.*)'")
_LINK = "120000"
"""The mode of a symbolic link; its content is where it leads."""
_HOPS = 40
"""So many links are followed one after the other."""
_NOTHING = "leads to nothing"
_OUT = "leads out of the library and is not followed"


class _GitError(Exception):
    """git could not answer; the text says what it said."""


@dataclass(frozen=True, slots=True)
class _Blob:
    file: str
    """Path in the library."""
    mode: str
    name: str
    size: int


def collect_revision(root: Path, revision: str) -> Collected:
    """The library at `root` as it was at a revision: any name git knows, such as `HEAD~1`, `v2`, a hash.

    With a `problem` there is no such library. Links that lead nowhere or out of the library are left out with
    a finding, like files too large. Never raises.
    """
    try:
        return _collect(root, revision)
    except _GitError as error:
        return Collected(root, {}, problem=str(error))


def _collect(root: Path, revision: str) -> Collected:
    try:
        _git(root, "rev-parse", "--git-dir")
    except _GitError as error:
        raise _GitError(f"{root} lies in no git repository that can be read: {error}") from None
    try:
        commit = _commit(root, revision)
    except _GitError:
        raise _GitError(
            f"There is no revision `{revision}` in the git repository of {root}. `git log` lists them."
        ) from None
    blobs = _listed(root, commit)
    if not any(map(_of_library, blobs)):
        raise _GitError(f"At `{revision}` there were no YAML files in {root}.")
    return _read(root, blobs)


def figures_at(root: Path, revision: str) -> Callable[[str], bytes | Refused]:
    """What reads a picture by its path in the library, as `read_figure` does, from a revision.

    git is asked once a picture is asked for. Never raises.
    """

    @cache
    def blobs() -> ReadOnly[str, _Blob]:
        return _listed(root, _commit(root, revision))

    def figure(file: str) -> bytes | Refused:
        shown = ending(file, 60)
        try:
            blob = _followed(root, blobs(), posixpath.normpath(file))
            if blob == _OUT:
                return Refused(f"`{shown}` {_OUT}.")
            if isinstance(blob, str):
                return Refused(f"There was no picture `{shown}` in the library at `{revision}`.")
            if blob.size > figures.MAX_BYTES:
                return Refused(f"`{shown}` has more than {figures.MAX_BYTES // 1024 // 1024} MiB.")
            ((_, content),) = _contents(root, [blob])
        except _GitError as error:
            return Refused(f"`{shown}` cannot be read at `{revision}`: {error}")
        return looked_through(content, file)

    return figure


def _commit(root: Path, revision: str) -> str:
    """The hash of a revision."""
    found = _git(root, "rev-parse", "--verify", "--quiet", "--end-of-options", revision + "^{commit}")
    return found.decode("ascii").strip()


def _listed(root: Path, commit: str) -> ReadOnly[str, _Blob]:
    """All that lies in the library's folder, by path: git, called in it, lists what is below it."""
    return {blob.file: blob for blob in _blobs(_git(root, "ls-tree", "-r", "-l", "-z", commit, "--"))}


def _blobs(listing: bytes) -> list[_Blob]:
    """The entries of `ls-tree -r -l -z`; what is no blob (a repository inside) is left out."""
    found = []
    for entry in listing.split(b"\0"):
        head, _, name = entry.partition(b"\t")
        words = head.decode("ascii").split()
        if len(words) == 4 and words[1] == "blob":
            if not words[3].isdigit():  # the word of git for what it lists and has not
                raise _GitError(f"git does not hold the content of {name.decode('utf-8', 'replace')}.")
            found.append(_Blob(name.decode("utf-8", "replace"), words[0], words[2], int(words[3])))
    return found


def _of_library(file: str) -> bool:
    """Whether a path is one that a library in a folder would read."""
    *folders, name = file.split("/")
    hidden = any(part.startswith(".") for part in (*folders, name))
    return name.endswith(ENDINGS) and not hidden and not SKIPPED & set(folders)


def _read(root: Path, blobs: ReadOnly[str, _Blob]) -> Collected:
    findings: list[Finding] = []
    wanted: list[_Blob] = []
    files = tuple(filter(_of_library, blobs))
    if len(files) > MAX_FILES or sum(blobs[file].size for file in files) > MAX_TOTAL:
        most = f"{MAX_FILES:,} files or {MAX_TOTAL // MAX_BYTES} MiB"
        raise _GitError(f"The library had more than {most} then; nothing was read.")
    regular = {file for file in files if blobs[file].mode != _LINK}
    for file in files:
        blob = _followed(root, blobs, file)
        if isinstance(blob, str):
            findings.append(_refused(file, f"This link {blob}."))
        elif blob.size > MAX_BYTES:
            findings.append(_refused(file, f"Files may have {MAX_BYTES // 1024} KiB. Split it."))
        elif file in regular or blob.file not in regular:  # a link to what is read anyway is not read again
            wanted.append(replace(blob, file=file))
    return Collected(root, dict(_contents(root, wanted)), None, tuple(findings))


def _followed(root: Path, blobs: ReadOnly[str, _Blob], file: str) -> _Blob | str:
    """The file that a path leads to, over links if there are any; or in words where it leads to none."""
    for _ in range(_HOPS):
        blob = blobs.get(file)
        if blob is None or (blob.mode == _LINK and blob.size > MAX_BYTES):
            return _NOTHING
        if blob.mode != _LINK:
            return blob
        ((_, target),) = _contents(root, [blob])
        to = posixpath.join(posixpath.dirname(file), target.decode("utf-8", "replace"))
        file = posixpath.normpath(to)
        if file.startswith(("/", "../")) or file == "..":
            return _OUT
    return _NOTHING


def _contents(root: Path, blobs: Iterable[_Blob]) -> Iterator[tuple[str, bytes]]:
    """The bytes of each blob. `cat-file --batch` answers with a head, the bytes, a line break for each."""
    asked, at = tuple(blobs), 0
    answer = _git(root, "cat-file", "--batch", given="".join(f"{blob.name}\n" for blob in asked).encode())
    for blob in asked:
        start = answer.index(b"\n", at) + 1
        if answer[at:start].split() != [blob.name.encode(), b"blob", str(blob.size).encode()]:
            raise _GitError(f"git does not hold the content of {blob.file} as it was then.")
        yield blob.file, answer[start : start + blob.size]
        at = start + blob.size + 1


def _refused(file: str, message: str) -> Finding:
    return file_fault("file/limit", message, Span(file, 1, 1, 1, 1))


def _git(folder: Path, *words: str, given: bytes = b"") -> bytes:
    """What git says, called in a folder."""
    environment = {name: value for name, value in os.environ.items() if name not in _PLACES}
    environment |= _SURROUNDINGS
    settings = (word for setting in _SETTINGS for word in ("-c", setting))
    call = ["git", "--no-pager", *settings, "-C", os.fspath(folder), *words]
    try:
        done = subprocess.run(  # noqa: S603 - no shell, and no word of a person's can be an option
            call, input=given, capture_output=True, timeout=_SECONDS, env=environment, check=False
        )
    except FileNotFoundError:
        raise _GitError("git is not installed here.") from None
    except (OSError, ValueError) as error:
        raise _GitError(f"git cannot be called: {error}.") from None
    except subprocess.TimeoutExpired:
        raise _GitError(f"git gave no answer within {_SECONDS} seconds.") from None
    if done.returncode:
        said = done.stderr.decode("utf-8", "replace").strip().splitlines()
        if said and (place := _DUBIOUS.search(said[0])):
            raise _GitError(
                "it belongs to another user, so git does not trust it. Where you do: "
                f"git config --global --add safe.directory {shlex.quote(place[1])}"
            )
        raise _GitError(said[0] if said else "git said no more.")
    return done.stdout
