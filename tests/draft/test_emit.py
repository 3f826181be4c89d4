"""What is emitted is read back as it was meant: texts, lists, acts, fallbacks."""

from __future__ import annotations

import yaml
from hypothesis import given
from hypothesis import strategies as st

from proctool.draft.writing.emit import WIDTH, entries, scalar
from proctool.draft.writing.written import Deed, Fallback, Group, Task

LINES = st.text(
    st.characters(
        min_codepoint=32, max_codepoint=0x2FF, exclude_categories=["Cc"], exclude_characters="\xa0"
    ),
    min_size=1,
)
"""Texts of one line."""


def read(*steps) -> list:
    """The steps as a parser without types of its own reads them."""
    return yaml.load("\n".join(entries(steps)), Loader=yaml.BaseLoader)  # noqa: S506 - texts only


@given(LINES)
def test_any_text_is_read_back_alone_and_in_a_list_or_map(text: str) -> None:
    assert yaml.load(f"key: {scalar(text)}", Loader=yaml.BaseLoader) == {"key": text}  # noqa: S506
    inline = scalar(text, inline=True)
    read_back = yaml.load(f"key: [{inline}, {{a: {inline}}}]", Loader=yaml.BaseLoader)  # noqa: S506
    assert read_back == {"key": [text, {"a": text}]}


@given(
    st.lists(
        st.text("ab<>.,:#-' ", min_size=1, max_size=12).map(str.strip).filter(bool), min_size=1, max_size=30
    )
)
def test_long_texts_are_folded_and_read_back(words: list[str]) -> None:
    text = " ".join(" ".join(words).split())
    task = Task(text=text, check=True, otherwise=Fallback(end_here=text))
    (step,) = read(task)
    assert (step["check"], step["otherwise"]["end_here"]) == (text, text)


def test_lines_keep_to_the_width() -> None:
    text = " ".join(["<inlet_valve>"] * 30)
    task = Task(text=text, why=(text, text), otherwise=Fallback((Task(text=text),), end_here=text))
    assert all(len(line) <= WIDTH for line in entries((Group("g", text, (task,)),), "  "))


def test_acts_are_keys_and_the_long_form_where_a_verb_comes_again() -> None:
    isolate, lock, other = Deed("isolate", "a"), Deed("lock", "a"), Deed("isolate", "b")
    assert read(Task((isolate, lock))) == [{"isolate": "a", "lock": "a"}]
    assert read(Task((isolate, other))) == [{"isolate": ["a", "b"]}]
    assert read(Task((isolate, lock, other))) == [
        {"acts": [{"isolate": "a"}, {"lock": "a"}, {"isolate": "b"}]}
    ]
    assert read(Task((Deed("verify_zero", "a", "g"),))) == [{"verify_zero": {"part": "a", "by": "g"}}]


def test_everything_a_step_can_say() -> None:
    task = Task(
        (Deed("discharge", "tank"),),
        id="settle",
        wait="2 min",
        until=("gauge", "40 °C or less, at both ends"),
        makes=(("supervisor", "knows_stop"), ("place", "clear")),
        using=("padlock",),
        lasts="3 min",
    )
    (step,) = read(task)
    assert step == {
        "wait": "2 min",
        "until": {"gauge": "gauge", "reads": "40 °C or less, at both ends"},
        "id": "settle",
        "discharge": "tank",
        "makes": {"supervisor": "knows_stop", "place": "clear"},
        "using": "padlock",
        "for": "3 min",
    }


def test_fallbacks_and_groups() -> None:
    then = Fallback((Task((Deed("stop", "pump"),)),), end_here="Call us.")
    back = Fallback((Group("safe", use="make-safe"),), back_to="work", at_most=2, then=then)
    (group,) = read(Group("back", "Back", (Task(text="Look.", check=True),), otherwise=back))
    assert group == {
        "id": "back",
        "title": "Back",
        "steps": [{"check": "Look."}],
        "otherwise": {
            "steps": [{"use": "make-safe", "id": "safe"}],
            "back_to": "work",
            "at_most": "2",
            "then": {"steps": [{"stop": "pump"}], "end_here": "Call us."},
        },
    }
    on = Fallback((Task(text="Mend it."),))
    assert read(Task(text="Look.", otherwise=on))[0]["otherwise"] == {
        "steps": [{"do": "Mend it."}],
        "continue": "true",
    }
