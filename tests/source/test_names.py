"""Names, tags, titles and signs: what is refused in them, where, and what is not."""

import pytest

from proctool.source import read
from proctool.source.files import collect
from tests.fuzz.seeds import libraries

START = libraries()[0]
UNIT = "units/filter-1.yaml"


def told(files):
    """File, column and message of each finding of reading."""
    found = read({file: text.encode() for file, text in files.items()})[1]
    return [(f.file, f.span.line, f.span.column, f.message) for f in found]


def changed(file, old, new):
    assert old in START[file], old
    return told(START | {file: START[file].replace(old, new, 1)})


def test_the_library_of_a_beginner_is_clean():
    assert told(START) == []


@pytest.mark.parametrize("name", ["con", "AUX", "nul", "Com1", "LPT9"])
def test_a_name_that_is_a_device_is_refused(name):
    """A manual would be written to a device, and a folder of that name cannot be copied to such a machine."""
    ((file, _, column, message),) = changed(UNIT, "unit: filter-1", f"unit: {name}")
    assert (file, column) == (UNIT, 7)
    assert (
        message == f"No file on Windows can be called `{name}`: it is the name of a device. Choose another."
    )


@pytest.mark.parametrize("name", ["con-1", "console", "com10", "aux_pump"])
def test_a_name_that_begins_like_a_device_is_one_like_any_other(name):
    assert changed(UNIT, "unit: filter-1", f"unit: {name}") == []


@pytest.mark.parametrize(
    "name", ['"filter-1\\n"', '"filter-1\\n\\n"', '"\\nfilter-1"', "'filter 1'", "../filter", "-x"]
)
def test_a_name_is_letters_digits_and_two_signs_to_its_very_end(name):
    """A line break at the end once passed: `$` matches before it."""
    ((file, _, column, message),) = changed(UNIT, "unit: filter-1", f"unit: {name}")
    assert (file, column) == (UNIT, 7) and "must be a name (letters, digits, `-` and `_`)" in message


def test_a_name_has_at_most_64_characters():
    assert changed(UNIT, "unit: filter-1", f"unit: {'A' * 64}") == []
    assert len(changed(UNIT, "unit: filter-1", f"unit: {'A' * 65}")) == 1


HIDDEN = [
    ("\u202e", "RIGHT-TO-LEFT OVERRIDE, U+202E"),
    ("\u2066", "LEFT-TO-RIGHT ISOLATE, U+2066"),
    ("\u200f", "RIGHT-TO-LEFT MARK, U+200F"),
    ("\u061c", "ARABIC LETTER MARK, U+061C"),
    ("\u200b", "ZERO WIDTH SPACE, U+200B"),
    ("\U000e0041", "TAG LATIN CAPITAL LETTER A, U+E0041"),
    ("\x1b", "a control character, U+001B"),
    ("\x85", "a control character, U+0085"),
]


@pytest.mark.parametrize(("sign", "name"), HIDDEN)
def test_a_sign_that_no_editor_shows_is_refused_by_its_name(sign, name):
    """CVE-2021-42574: a text that looks unlike what it says. As the sign itself, and as an escape."""
    ((*place, message),) = changed(UNIT, "title: Water", f"title: a{sign}b")
    assert place == [UNIT, 2, 9]
    assert message == f"There is a sign here that no editor shows ({name}); delete it."
    ((*place, message),) = changed(UNIT, "title: Water filter with pump", f'title: "a\\U{ord(sign):08X}b"')
    assert place == [UNIT, 2, 8]
    assert message == f"This text holds a sign that no editor shows ({name})."


@pytest.mark.parametrize(
    "text", ["מסנן מים", "مرشح ماء", "نمی\u200cشود", "क्\u200dष", "水フィルター", "🔧\ufe0f", "a\u0301"]
)
def test_letters_of_every_language_are_texts(text):
    """Written from right to left, or with joiners that their spelling asks for."""
    assert changed(UNIT, "title: Water filter with pump", f"title: {text}") == []


@pytest.mark.parametrize(
    ("sign", "name"),
    [
        ("\u200d", "ZERO WIDTH JOINER, U+200D"),
        ("\xad", "SOFT HYPHEN, U+00AD"),
        ("\ufe0f", "VARIATION SELECTOR-16, U+FE0F"),
    ],
)
def test_in_a_tag_nothing_is_invisible(sign, name):
    """Two tags that look alike would be two valves."""
    ((file, *_, message),) = changed(UNIT, "tag: V1", f"tag: V1{sign}")
    assert (file, message) == (UNIT, f"The tag `V1{sign}` holds a sign that nobody sees ({name}); delete it.")


@pytest.mark.parametrize(
    ("file", "old", "new", "key"),
    [
        (UNIT, "title: Water filter with pump", '"title": "Water\\nfilter"', "title"),
        (UNIT, "title: Water filter with pump", "title: |\n  Water\n  filter", "title"),
        (UNIT, "name: water main", '"name": "water\\tmain"', "name"),
        (UNIT, "tag: V1", '"tag": "V1\\nV2"', "tag"),
        ("library.yaml", None, '"library": "A\\rB"', "library"),
    ],
)
def test_what_stands_in_a_head_or_a_row_is_one_line(file, old, new, key):
    old = old or START[file].split("\n")[0]
    ((*_, message),) = changed(file, old, new)
    assert message == f"`{key}` is one line; found a line break or a tab in it. Write the text without it."


def test_a_title_below_its_key_is_one_line():
    assert changed(UNIT, "title: Water filter with pump", "title: >\n  Water filter\n  with pump") == []


@pytest.mark.parametrize(
    ("name", "said"),
    [
        ("a\u202eb.yaml", "RIGHT-TO-LEFT OVERRIDE, U+202E"),
        ("a\x1b[2Jb.yaml", "a control character, U+001B"),
        ("a\nb.yaml", "a control character, U+000A"),
    ],
)
def test_a_file_whose_name_would_steer_a_terminal_is_not_read(tmp_path, name, said):
    (tmp_path / "library.yaml").write_text("library: L\n")
    (tmp_path / name).write_text("unit: u\n")
    found = collect(tmp_path)
    assert set(found.files) == {"library.yaml"}
    (finding,) = found.findings
    assert finding.message == f"The name of this file holds a sign that no editor shows ({said}); rename it."
