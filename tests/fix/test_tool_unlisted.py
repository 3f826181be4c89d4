"""A tool named in the very words of the library."""

import pytest

from tests.fix.small import changed, fixed, said


@pytest.mark.parametrize("quoted", ["{}", "'{}'", '"{}"', ">-\n      {}", "|\n      {}", ">-\n\n      {}\n"])
def test_in_every_kind_of_text(quoted):
    sentence = "Unscrew the <housing> with the {}."
    old = f"  - do: {sentence.format('<wrench>')}\n"
    bad, good = (f"  - do: {quoted.format(sentence.format(tool))}\n" for tool in ("strap wrench", "<wrench>"))
    text = changed("procedure.yaml", old, bad)
    result = fixed(procedure=text)
    assert said("procedure", result, procedure=text) == text.replace(bad, good)
    assert {note.rule for note in result.done} == {"content/tool-unlisted"}


@pytest.mark.parametrize(
    "words",
    [
        "pipe wrench",
        "wrench",
        "strap wrench, not with a strap wrench",
        "strap wrenches",
        "big strap wrench",
        "strap wrench set",
    ],
)
def test_other_words_are_told(words):
    text = changed("procedure.yaml", "with the <wrench>", f"with the {words}")
    result = fixed(procedure=text)
    assert dict(result.after) == {}
    assert [note.rule for note in result.left] == ["content/tool-unlisted"]


def test_two_tools_in_one_sentence():
    library = changed(
        "library.yaml", "tools: {wrench: strap wrench}", "tools: {wrench: strap wrench, key: hex key}"
    )
    text = changed("procedure.yaml", "with the <wrench>", "with the strap wrench and a hex key")
    result = fixed(procedure=text, library=library)
    right = text.replace("the strap wrench and a hex key", "the <wrench> and a <key>")
    assert said("procedure", result, procedure=text) == right
    assert len(result.done) == 2


def test_two_tools_of_one_name():
    library = changed("library.yaml", "wrench: strap wrench", "wrench: strap wrench, other: strap wrench")
    text = changed("procedure.yaml", "with the <wrench>", "with the strap wrench")
    assert dict(fixed(procedure=text, library=library).after) == {}
