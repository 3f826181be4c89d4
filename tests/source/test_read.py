"""Files to documents: order does not count, names are unique, a broken file is left out."""

from pathlib import Path

from proctool.model.document import Kind
from proctool.source import read

LIBRARY = Path(__file__).parent / "library"
BLOCK = b"block: b\nsteps: [{do: Go.}]\n"


def load():
    return {path.relative_to(LIBRARY).as_posix(): path.read_bytes() for path in LIBRARY.rglob("*.yaml")}


def messages(files):
    return [(f.file, f.message) for f in read(files)[1]]


def test_a_library_becomes_documents_by_path():
    documents, findings = read(load())
    assert findings == ()
    assert [(d.file, d.kind, d.name.text) for d in documents] == [
        ("blocks/make-safe.yaml", Kind.BLOCK, "make-safe"),
        ("change-cartridges.yaml", Kind.PROCEDURE, "change-cartridges"),
        ("library.yaml", Kind.LIBRARY, "Fellmoor Plant service procedures"),
        ("units/kw-4.yaml", Kind.UNIT, "KW-4"),
        ("units/kw-base.yaml", Kind.BASE, "kw-base"),
    ]


def test_the_order_of_files_does_not_count():
    files = load() | {"z.yaml": BLOCK, "a.yaml": BLOCK, "bad.yaml": b"a: [", "worse.yaml": b"\xff"}
    backwards = dict(reversed(list(files.items())))
    assert read(files) == read(backwards)


def test_two_of_a_name_are_told_at_the_second():
    documents, (finding,) = read({"z.yaml": BLOCK, "a.yaml": BLOCK})
    assert [d.file for d in documents] == ["a.yaml"]
    assert (finding.file, finding.rule, finding.message) == (
        "z.yaml",
        "file/schema",
        "The block `b` is in a.yaml already.",
    )
    assert [related.span.file for related in finding.related] == ["a.yaml"]


def test_names_that_differ_in_case_only_are_one():
    other = BLOCK.replace(b"block: b", b"block: B")
    assert messages({"a.yaml": BLOCK, "b.yaml": other}) == [
        ("b.yaml", "`B` and `b` (a.yaml) differ in case only.")
    ]


def test_a_name_may_be_used_by_two_kinds():
    procedure = b"procedure: b\ntitle: T\nunits: KW\nsteps: [{do: Go.}]\n"
    assert messages({"a.yaml": BLOCK, "b.yaml": procedure}) == []


def test_a_library_has_one_library_file():
    files = {"a/library.yaml": b"library: one\n", "library.yaml": b"library: two\n"}
    assert messages(files) == [
        ("library.yaml", "A library has one file with `library`; a/library.yaml is one already.")
    ]


def test_a_file_with_an_error_is_no_document():
    documents, findings = read(
        {"a.yaml": BLOCK, "b.yaml": b"block: c\nsteps: [{isolat: x}]\n", "c.yaml": b"a: [\n"}
    )
    assert [d.file for d in documents] == ["a.yaml"]
    assert [(f.file, f.rule) for f in findings] == [("b.yaml", "file/schema"), ("c.yaml", "file/yaml")]


def test_a_name_in_a_list_is_a_finding():
    documents, findings = read({"a.yaml": b"library: [x]\n"})
    assert documents == ()
    assert [f.message for f in findings] == ["`library` must be a text; found a list with 1 entry."]
