"""Files of a library to documents: text to tree, tree against its schema. Only `files` touches the disk."""

from __future__ import annotations

from collections.abc import Mapping

from proctool.model.document import Document, Kind, Scalar
from proctool.model.finding import Finding, Level, Related, file_fault
from proctool.source.schema import validate
from proctool.source.text import shortened
from proctool.source.yamltree import parse


def read(files: Mapping[str, bytes]) -> tuple[tuple[Document, ...], tuple[Finding, ...]]:
    """The documents of a library, by path, and what is wrong with its files.

    `files` maps paths relative to the library to their content; their order does not count. A file with an
    error is no document, so that nothing is said about what it leaves out.
    """
    documents: list[Document] = []
    findings: list[Finding] = []
    for file in sorted(files):
        document, faults = _document(file, files[file])
        findings.extend(faults)
        if document is not None:
            documents.append(document)
    kept, doubled = _distinct(documents)
    return kept, tuple(sorted([*findings, *doubled], key=lambda finding: finding.sort_key))


def _document(file: str, data: bytes) -> tuple[Document | None, tuple[Finding, ...]]:
    root, findings = parse(file, data)
    if root is None or findings:
        return None, findings
    kind, findings = validate(file, root)
    name = root.entries[0][1] if root.entries else None
    if kind is None or not isinstance(name, Scalar) or any(f.level is Level.ERROR for f in findings):
        return None, findings
    return Document(file, kind, name, root), findings


def _distinct(documents: list[Document]) -> tuple[tuple[Document, ...], list[Finding]]:
    """Documents with a name of their own among their kind; of two with one name the first by path is kept.

    Case does not count, since both would write one output file on some machines. There is one library file.
    """
    kept: dict[tuple[Kind, str], Document] = {}
    findings = []
    for document in documents:
        name = "" if document.kind is Kind.LIBRARY else document.name.text.casefold()
        first = kept.setdefault((document.kind, name), document)
        if first is document:
            continue
        if document.kind is Kind.LIBRARY:
            message = f"A library has one file with `library`; {first.file} is one already."
        elif first.name.text == document.name.text:
            message = f"The {document.kind} `{shortened(document.name.text)}` is in {first.file} already."
        else:
            names = f"`{shortened(document.name.text)}` and `{shortened(first.name.text)}`"
            message = f"{names} ({first.file}) differ in case only."
        related = (Related(first.name.span, "the first one"),)
        findings.append(file_fault("file/schema", message, document.name.span, related=related))
    return tuple(kept.values()), findings
