"""Things of the library that no procedure uses."""

from __future__ import annotations

from collections.abc import Collection, Iterator

from proctool.rules.rule import LibrarySubject, Seen


def unused(subject: LibrarySubject, names: Collection[str], kind: str) -> Iterator[Seen]:
    """Each of the library's things among `names` that no step of any procedure names.

    Nothing is told while some case could not be resolved, or no procedure is there yet: it may be used there.
    """
    if not subject.whole or not subject.cases:
        return
    used = {name for case in subject.cases for name in case.things}
    for thing in subject.library.things:
        if thing.key.text in names and thing.key.text not in used:
            yield Seen(
                thing.key.span,
                f"No step of any procedure uses the {kind} `{thing.key.text}` ({thing.name}).",
                f"Name it as `<{thing.key.text}>` in the step that uses it, or take it out of the library.",
            )
