"""Fixes over odd layouts: every sign outside the values that change stays, whatever the file looks like."""

import re

import yaml
from hypothesis import given, settings
from hypothesis import strategies as st

from proctool.fix.fixes import READING
from proctool.fix.reading import readable
from proctool.fix.sheet import read
from tests.fix.small import fixed
from tests.rules import example


def plain(text):
    """What a second reader of YAML finds in a text; that of C, which takes a tab before a comment."""
    return yaml.load(text.removeprefix("\ufeff"), getattr(yaml, "CBaseLoader", yaml.BaseLoader))  # noqa: S506


BLANKS = st.sampled_from(["", " ", "  ", "\t"])
COMMENT = st.sampled_from(["", "", " # why", "  #\tso it is: {not, cut}", " # needs: [proven]", "\t# 22Nm"])
OWN_LINE = st.sampled_from(["", "# a line of its own", "   # 20min, [relieved]", " "])
QUOTED = st.sampled_from(["{}", "'{}'", '"{}"'])

TIMES = {"20min": "20 min", "20 min": "20 min", "1.5h": "1.5 h", "90minutes": "90 min"}
WORDS = st.sampled_from([["relieved"], ["relieved", "shut"], ["shut"]])
CUT = {
    "Note: lift it #3": True,
    "80: lift it": True,
    "Lift it.": False,
    "`Lift` it": True,
    "Lift bolt #3": True,
}


def flow_list(words):
    """A list of words as text, and the same with `proven`; comments and breaks may stand in it."""
    joints = st.lists(
        st.sampled_from([", ", ",  ", " , ", ", # so\n        "]), min_size=len(words), max_size=len(words)
    )

    def written(parts):
        joint, before, after, trailing = parts
        body = words[0] + "".join(j + w for j, w in zip(joint, words[1:], strict=False))
        return f"[{before}{body}{trailing}{after}]", f"[{before}{body}, proven{trailing}{after}]"

    around = st.sampled_from(["", " ", "\n        ", " # first\n        "])
    return st.tuples(joints, around, around, st.sampled_from(["", ","])).map(written)


@st.composite
def needs(draw):
    """The `needs` of a step, and the same with `proven`."""
    words = draw(WORDS)
    shape = draw(st.sampled_from(["word", "flow map", "flow list", "dashes"]))
    comment = draw(COMMENT)
    if shape == "word":
        quoted = draw(QUOTED).format(words[0])
        return f"\n      housing: {quoted}{comment}", f"\n      housing: [{quoted}, proven]{comment}"
    if shape == "flow map":
        bad, good = draw(flow_list(words))
        return f" {{ housing: {bad} }}{comment}", f" {{ housing: {good} }}{comment}"
    if shape == "flow list":
        bad, good = draw(flow_list(words))
        return f"\n      housing:   {bad}{comment}", f"\n      housing:   {good}{comment}"
    indent = " " * draw(st.integers(6, 9))
    items = "".join(f"\n{indent}-{' ' * draw(st.integers(1, 3))}{word}{draw(COMMENT)}" for word in words)
    return f"\n      housing:{comment}{items}", f"\n      housing:{comment}{items}\n{indent}- proven"


@st.composite
def procedures(draw):
    """A procedure's file with faults, and the same put right."""
    time = draw(st.sampled_from(sorted(TIMES)))
    quote = draw(QUOTED)
    bad_needs, good_needs = draw(needs())
    sentence = draw(st.sampled_from(sorted(CUT)))
    whole = f">-\n      {sentence}" if CUT[sentence] else sentence
    comment = draw(COMMENT)
    after_text = "" if CUT[sentence] else draw(COMMENT)
    head = draw(OWN_LINE)
    text = (
        f"{head}\nprocedure: example{comment}\ntitle:   Change the cartridge\nunits: [EX-1]\n"
        f"time:{draw(BLANKS).replace(chr(9), ' ')} \0{comment}\npeople: [technician]\nopens: [housing]\n"
        "due: [{every: 6 months}]\nsteps:\n  - use: make-safe\n\n"
        "  - do: Unscrew the <housing> with the <wrench>.\n"
        f"    needs:\0\n    open: housing\n{draw(OWN_LINE)}\n  - do: \0{after_text}\n    remove: cartridge\n"
        "  - check: The seal of the <housing> has no cut.\n    inspect_seal: housing\n    otherwise:\n"
        "      steps:\n        - do: Fit a new <o_ring> to the <housing>.\n          new_seal: housing\n"
        "      continue: true\n  - do: Put a <new_cartridge> into the <housing>.\n    fit: cartridge\n"
        "  - do: Screw the <housing> on.\n    close: housing\n  - tighten: housing\n  - use: restore\n"
        "revisions: [{number: 1, date: 2026-01-12, by: A. Example, why: First issue}]"
    )
    text += draw(st.sampled_from(["", "\n", "\n\n", "\n# the end", "\n...\n"]))
    pieces = text.split("\0")

    def filled(*values):
        return "".join(piece + value for piece, value in zip(pieces, (*values, ""), strict=True))

    bad = filled(quote.format(time), bad_needs, sentence)
    good = filled(quote.format(TIMES[time]), good_needs, whole)
    line_break, mark = draw(st.sampled_from(["\n", "\r\n"])), draw(st.sampled_from(["", "\ufeff"]))
    return tuple(mark + said.replace("\n", line_break) for said in (bad, good))


@settings(max_examples=25)
@given(procedures())
def test_only_the_values_change(pair):
    bad, good = pair
    result = fixed(procedure=bad)
    assert result.left == ()
    text = result.after.get("procedure.yaml", bad.encode()).decode()
    assert text == good
    # another reader of YAML finds in it what was meant
    assert plain(text)["time"] in TIMES.values()
    assert dict(fixed(procedure=text).after) == {}


TIGHT = re.compile(r"(?<=[0-9]) (?=(?:bar|V|%|N·m|min|months)\b|%)")


@settings(max_examples=10)
@given(st.data())
def test_blanks_taken_out_come_back(data):
    """The example library, any blanks between number and measure taken out: fixed, it is what it was."""
    was = example.clean()
    changed = {}
    for file in ("unit.yaml", "procedure.yaml", "restore.yaml"):
        changed[file] = TIGHT.sub(lambda _: data.draw(st.sampled_from([" ", ""])), was[file])
    result = fixed(**{file.removesuffix(".yaml"): text for file, text in changed.items()})
    assert {**changed, **{file: text.decode() for file, text in result.after.items()}} == {
        file: was[file] for file in changed
    }
    assert len(result.done) <= sum(text.count(" ") for text in was.values())


SNIPPETS = st.sampled_from(
    [
        *("do: Note: x", "- {do: A, b c}", " #3", "word: Warning", "20Nm", "needs: {housing: relieved}"),
        *(
            ">-\n",
            "|",
            "'",
            '"',
            "{",
            "}",
            "[",
            ",",
            ": ",
            "&a ",
            "*a",
            "---\n",
            "\t",
            "\n",
            "\x00",
            "\u2028",
        ),
    ]
)


@settings(max_examples=150)
@given(
    st.sampled_from(sorted(example.clean())), st.lists(st.tuples(st.integers(0, 5000), SNIPPETS), max_size=3)
)
def test_no_file_is_too_odd_to_be_left_alone(file, put_in):
    text = example.clean()[file]
    for place, snippet in put_in:
        at = place % (len(text) + 1)
        text = text[:at] + snippet + text[at:]
    sheet = read(file, text.encode(), {})
    if sheet is None:
        return
    fixed, made, left = readable(sheet)
    assert fixed.whole or fixed.text == text
    assert (fixed.text != text) == bool(made)
    for proposal in (*made, *left):
        assert proposal.finding.rule in READING
