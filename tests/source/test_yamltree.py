"""Text to tree: what is kept, where it stands, and what is refused."""

import time

import pytest
import yaml
from hypothesis import given
from hypothesis import strategies as st

from proctool.model.document import Mapping, Scalar, Sequence, plain_data
from proctool.model.span import Span
from proctool.source import yamltree
from proctool.source.yamltree import MAX_BYTES, MAX_DEPTH, parse

MEND = "write the text on the next line after `>-`"


def faults(data, file="f.yaml"):
    """Findings as (line:column, rule, message); each is short and has a place in the file."""
    _, findings = parse(file, data if isinstance(data, bytes) else data.encode())
    for finding in findings:
        assert len(finding.message) < 200
        assert finding.span is not None
        assert finding.span.file == finding.file == file
        assert finding.span.line >= 1 <= finding.span.column
    return [(f"{f.span.line}:{f.span.column}", f.rule, f.message) for f in findings if f.span]


def tree(text):
    root, findings = parse("f.yaml", text.encode())
    assert findings == ()
    assert root is not None
    return root


def test_scalars_keep_what_was_written():
    text = "a: off\nb: 010\nc: 1:30\nd: 2026-05-11\ne: 3.10\nf: ~\ng: NO\nh: 1_000\ni: 1e3\nj: 'x # y'\nk:\n"
    assert plain_data(tree(text)) == {
        "a": "off", "b": "010", "c": "1:30", "d": "2026-05-11", "e": "3.10", "f": "~", "g": "NO",
        "h": "1_000", "i": "1e3", "j": "x # y", "k": "",
    }  # fmt: skip


def test_only_unquoted_scalars_are_plain():
    root = tree("a: x\nb: 'x'\nc: \"x\"\nd: |\n  x\ne: >-\n  x\n")
    assert [value.plain for _, value in root if isinstance(value, Scalar)] == [
        True,
        False,
        False,
        False,
        False,
    ]


@pytest.mark.parametrize(
    ("text", "path", "place"),
    [
        ("é: ü x\nb: [c, dé, e]\n", ("é",), (1, 4, 1, 7)),
        ("é: ü x\nb: [c, dé, e]\n", ("b", 2), (2, 12, 2, 13)),
        ("\ufeffa: b\nc: d\n", ("a",), (1, 4, 1, 5)),
        ("a: b\r\nc: d\r\n", ("c",), (2, 4, 2, 5)),
        ("a: b\rc: d\r", ("c",), (2, 4, 2, 5)),
        ("a:\n  b: c\n  d: e\n\n# end\nf: g\n", ("a",), (2, 3, 3, 7)),
        ("a:\n- b\n- c\n\n\nf: g\n", ("a",), (2, 1, 3, 4)),
        ("a: {b: c}\n", ("a",), (1, 4, 1, 10)),
        ("😀: x\n", ("😀",), (1, 4, 1, 5)),
    ],
)
def test_places_count_from_one_in_characters(text, path, place):
    node = tree(text)
    for step in path:
        node = node.get(step) if isinstance(node, Mapping) else node.items[step]
    assert node.span == Span("f.yaml", *place)


def test_keys_have_places_of_their_own():
    key = tree("a: 1\n  \nlong key: 2\n").key("long key")
    assert key == Scalar("long key", Span("f.yaml", 3, 1, 3, 9))


@pytest.mark.parametrize(
    ("data", "place", "words"),
    [
        (b"", "1:1", "The file is empty"),
        (b"# only a comment\n", "1:1", "The file is empty"),
        (b"--- ''\n", "1:5", "found nothing"),
        (b"hello\n", "1:1", "found a text"),
        (b"- a\n- b\n", "1:1", "found a list"),
        (b"a: b\n\x00\x01", "2:1", "not a text file"),
        (b"\x89PNG\r\n\x1a\n", "1:1", "0x89 here is not UTF-8"),
        (b"unit: a\ntitle: Pumpe f\xfcr Wasser\n", "2:15", "0xFC here is not UTF-8 (`\xfc` in an older"),
        ("título: é".encode() + b"\xe9", "1:10", "0xE9 here is not UTF-8"),
        ("a: b".encode("utf-16"), "1:1", "UTF-16; save it as UTF-8"),
        ("a: b\u202ec".encode(), "1:5", "no editor shows (RIGHT-TO-LEFT OVERRIDE, U+202E)"),
        ("a: b\u2028c: d".encode(), "1:5", "no editor shows (LINE SEPARATOR, U+2028)"),
        (b'a: "x\\0y"\n', "1:4", "no editor shows (a control character, U+0000)"),
        (b"a:\n\tb: c\n", "2:1", "a tab here; indent with blanks"),
        (b"a:\n  b: c\n \td: e\n", "3:2", "a tab here; indent with blanks"),
        (b"a: 1\nb: 2\na: 3\n", "3:1", "`a` stands twice in this map"),
        (b"x: {a: 1, 'a': 2}\n", "1:11", "`a` stands twice in this map"),
        (b"a: [b, c\n", "1:4", "`[` here is not closed: expected `]`"),
        (b"a: {b: [c}\n", "1:10", "Expected `,` or `]` here"),
        (b"a: {b: c\nd: e\n", "1:4", "`{` here is not closed"),
        (b"a: 'b\nc: d\n", "1:4", "The quote that starts here is not closed"),
        (b'a: "b\nc: d\n', "1:4", "The quote that starts here is not closed"),
        (b'a: "b\\qc"\n', "1:4", "Use single quotes"),
        (b"a:\n  b: c\n d: e\n", "3:2", "Check the indentation"),
        (b"a: b\n  c: d\n", "2:4", "Check the indentation"),
        (b"do:Close it\nb: c\n", "2:2", "a blank follows each colon"),
        (b"a: b\n  c\nd\n", "3:1", "no `key: value`"),
        (b"a: - b\n", "1:4", "put each `- ` on a line of its own"),
        (b"a: [}\n", "1:5", "A value is missing here"),
        (b"{a: b}}\n", "1:7", "nothing may follow it"),
        (b"a: b\n---\nc: d\n", "2:1", "A second document"),
        (b"%TAG ! x\n---\na: b\n", "1:1", "Tags are not used"),
        (b"%YAML 2.0\n---\na: b\n", "1:1", "take it away"),
        (b"a: &x b\nc: *x\n", "1:4", "`&x` (an anchor) is not used"),
        (b"a: *x\n", "1:4", "`*x` (an alias) is not used"),
        (b"a: !!python/object/apply:os.system [ls]\n", "1:4", "`!!python/object/apply:os.system` (a tag)"),
        (b"a: !!str b\n", "1:4", "`!!str` (a tag) is not used"),
        (b"a: ! b\n", "1:4", "`!` (a tag) is not used"),
        (b"<<: {a: b}\n", "1:1", "`<<` (merging another map) is not used"),
        (b"? [a]\n: b\n", "1:3", "A key must be a word"),
        (b"{a: b}: c\n", "1:1", "A key must be a word"),
        (b"a: {: b}\n", "1:5", "a value here without a key"),
    ],
)
def test_what_is_refused_says_where_and_why(data, place, words):
    found = faults(data)
    assert found[0][:2] == (place, "file/yaml")
    assert words in found[0][2]


def test_a_repeated_key_shows_the_first():
    _, (finding,) = parse("f.yaml", b"a: 1\nb: 2\na: 3\n")
    assert [related.span for related in finding.related] == [Span("f.yaml", 1, 1, 1, 2)]


def test_a_quoted_merge_sign_is_a_key_like_any_other():
    assert plain_data(tree("'<<': b")) == {"<<": "b"}


@pytest.mark.parametrize(
    ("text", "place", "words"),
    [
        ("do: Close bolt #3 and go\n", "1:5", "of `do` is cut after `Close bolt`: ` #` starts a comment"),
        ("title: Make safe  # todo\n", "1:8", "of `title` is cut after `Make safe`"),
        ("do: #3 valve\nb: c\n", "1:4", "of `do` is cut at its start"),
        ("place: left of bolt #3\n", "1:8", "of `place` is cut after `left of bolt`"),
        ("do: Close bolt #3 and\n  go on\n", "1:5", "cut after `Close bolt`"),
        ("do: {part} is shut\n", "1:12", "goes on after the closing brace"),
        ("note: [Start] then go\n", "1:15", "goes on after the closing brace"),
        ('do: "Close" the valve\n', "1:13", "goes on after the closing quote"),
        ("do: Warning: open it\n", "1:12", "A colon cuts the text after `Warning`"),
        ("a: {do: Note: open it}\n", "1:13", "A colon cuts the text after `Note`"),
        ("do: @home\n", "1:5", "cannot start with `@`"),
        ("do: `x`\n", "1:5", "cannot start with ```"),
        ("do: %x\n", "1:5", "cannot start with `%`"),
        ("do: *Close* it\n", "1:5", "cannot start with `*`"),
        (
            "a: {do: Close the valve, and lock it}\n",
            "1:26",
            "A comma cuts the text of `do` before `and lock it`",
        ),
        ("a: {word: warning, harm: It burns, blinds}\n", "1:36", "of `harm` before `blinds`"),
    ],
)
def test_a_cut_text_shows_its_mend(text, place, words):
    (found,) = faults(text)
    assert found[:2] == (place, "wording/cut-text")
    assert words in found[2]
    assert MEND in found[2]


@pytest.mark.parametrize(
    "text",
    [
        "do: Close it.  # a comment\n",
        "do: 'Close it'  # a comment\n",
        "do: Is it shut?  # a comment\n",
        "unit: KW-4  # a comment\n",
        "while: water runs at normal flow    # a comment\n",
        "take: [first, second]  # a comment\n",
        "steps:  # a comment\n  - do: Close it.\n",
        "note: Press [Start] then {Stop}, and wait: no more.\n" .replace("wait: ", "wait "),
        "a: {isolate: V1, lock: V1}\n",
        "do: >-\n  Close bolt #3: it is near, {see} it\n",
    ],
)  # fmt: skip
def test_a_whole_text_is_no_cut_text(text):
    assert faults(text) == []


def test_an_alias_bomb_is_refused_at_once():
    lines = ["a0: &a0 [x, x]"] + [f"a{n}: &a{n} [*a{n - 1}, *a{n - 1}]" for n in range(1, 60)]
    start = time.process_time()
    found = faults("\n".join(lines))
    assert time.process_time() - start < 15
    assert found[0] == ("1:5", "file/yaml", "`&a0` (an anchor) is not used here.")
    assert len(found) <= yamltree.MAX_FINDINGS


@pytest.mark.parametrize(
    "data",
    [
        b"[" * 50_000,
        b"{a: " * 50_000,
        b"- " * 50_000,
        b"a: " + b"[" * 50_000 + b"]" * 50_000,
        b"? " * 50_000,
        b"".join(b" " * n + b"a:\n" for n in range(500)),
    ],
    ids=["lists", "maps", "dashes", "closed", "keys", "block"],
)
def test_deep_nesting_is_a_limit(data):
    start = time.process_time()
    (found,) = faults(data)
    assert time.process_time() - start < 15
    assert found[1] in {"file/limit", "file/yaml"}
    assert "nested" in found[2] or "A key must be a word" in found[2]


def test_the_deepest_that_is_allowed_is_read():
    assert faults("a: " + "[" * (MAX_DEPTH - 1) + "]" * (MAX_DEPTH - 1)) == []
    assert faults("a: " + "[" * MAX_DEPTH + "]" * MAX_DEPTH)[0][1] == "file/limit"


@pytest.mark.parametrize(
    "data", [b"a: [" + b"x," * 500_000 + b"]", b"- x\n" * 250_000], ids=["flow", "block"]
)
def test_too_many_values_are_a_limit(data):
    start = time.process_time()
    (found,) = faults(data)
    assert time.process_time() - start < 15
    assert found[1:] == ("file/limit", "The file holds more than 50,000 values; split it.")


@pytest.mark.parametrize("data", ["a: {}\n", "{}: a\n", "a: [b, {}]\n", 'a: "{}"\n', "a: >-\n  {}\n"])
def test_a_text_too_long_is_a_limit(data):
    """A rule that reads sentences took 37 s over 160,000 characters, four times that over twice as many."""
    assert "file/limit" not in {found[1] for found in faults(data.format("b " * 4_999 + "bb").encode())}
    (found,) = faults(data.format("b " * 5_000 + "b").encode())
    assert found[1:] == ("file/limit", "This text has more than 10,000 characters. Say it in several.")


def test_a_file_too_large_is_a_limit():
    (found,) = faults(b"#" * (MAX_BYTES + 1))
    assert found[1:] == ("file/limit", "The file is larger than 1024 KiB; split it.")


@given(
    st.one_of(
        st.binary(max_size=200), st.text(max_size=200).map(lambda text: text.encode("utf-8", "replace"))
    )
)
def test_parse_never_raises(data):
    root, findings = parse("f.yaml", data)
    assert root is not None or findings
    faults(data)


PIECES = [
    *("a", "do", ": ", ":", "- ", "-", "[", "]", "{", "}", ", ", "\n", "\n  ", " #", "#", "'", '"'),
    *("&x ", "*x", "!t ", "|", ">-", "? ", "---", "%", "@", "\t", "é", "<<", "text", "."),
]


@given(st.lists(st.sampled_from(PIECES), max_size=30).map("".join))
def test_parse_never_raises_on_what_looks_like_yaml(text):
    root, findings = parse("f.yaml", text.encode())
    assert root is not None or findings
    faults(text)


@given(st.lists(st.sampled_from(PIECES), max_size=20).map("".join))
def test_what_is_read_is_what_the_library_reads(text):
    """PyYAML's own tree is the oracle for keys, values and their order."""
    root, findings = parse("f.yaml", text.encode())
    if findings or root is None:
        return

    def plain(node):
        if isinstance(node, yaml.ScalarNode):
            return node.value
        if isinstance(node, yaml.SequenceNode):
            return [plain(item) for item in node.value]
        return {plain(key): plain(value) for key, value in node.value}

    assert plain_data(root) == plain(yaml.compose(text, Loader=getattr(yaml, "CBaseLoader", yaml.BaseLoader)))


@pytest.mark.parametrize(
    "text",
    [
        "é: ü\nb: [c, {d: e}]\nf: |\n  g\n",
        "do: Warning: open\n",
        "a: [b\n",
        "a:\n\tb: c\n",
        "a: 'b\n",
        "a: *x\n",
        "do: {part} is\n",
        "a: b\n---\nc: d\n",
        "do: Close #3\n  more\n",
        "a: 1\na: 2\n",
        "a:\n  b: c\n d: e\n",
    ],
)
def test_both_parsers_say_the_same(text, monkeypatch):
    with_libyaml = parse("f.yaml", text.encode())
    monkeypatch.setattr(yamltree, "Loader", yaml.Loader)
    assert parse("f.yaml", text.encode()) == with_libyaml


def test_a_list_knows_its_items():
    node = tree("a: [x, y]\n").get("a")
    assert isinstance(node, Sequence)
    assert [plain_data(item) for item in node.items] == ["x", "y"]
