"""Texts with their names filled, and sentences for steps that have none."""

import pytest

from tests.resolve.small import LIBRARY, UNIT, at, run


def said(text, quote="'", **more):
    """A `do` with this text, filled."""
    (filled,) = run(f"- do: {quote}{text}{quote}\n  id: s\n", **more).texts
    return filled


@pytest.mark.parametrize(
    ("text", "filled"),
    [
        ("Open the <first>.", "Open the first housing H1."),
        ("Open the <H1>.", "Open the first housing H1."),
        ("Open the <pump>.", "Open the pump."),
        ("Use the <wrench>.", "Use the strap wrench."),
        ("Fit a new <o_ring>.", "Fit a new housing O-ring FM-204."),
        ("Put on the <glasses>.", "Put on the safety glasses."),
        ("Wait <restart>.", "Wait 10 s."),
        ("See the <towel>.", "See the towel."),
        ("Put in a <first.cartridge>.", "Put in a 5 micron cartridge."),
        ("Torque: <first.tighten>.", "Torque: 22 N·m (16.2 lbf·ft)."),
        ("It is <first.seal> and <second.cartridge>.", "It is O-ring and carbon cartridge."),
        (r"The sign \<first>.", r"The sign \<first>."),
        ("It reads < 5 bar.", "It reads < 5 bar."),
        ("It reads <5 bar.", "It reads <5 bar."),
        ("It reads <= 5 bar.", "It reads <= 5 bar."),
        ("It is <", "It is <"),
        ("No > names", "No > names"),
        ("**Strong** and *slanted*", "**Strong** and *slanted*"),
    ],
)
def test_names_are_filled(text, filled):
    assert said(text) == filled


def test_the_name_of_an_each_is_the_part_it_stands_for():
    steps = "- each: {x: [first, second]}\n  steps: [{do: 'Open <x>, <x.tighten>.'}]\n"
    assert run(steps).texts == [
        "Open first housing H1, 22 N·m (16.2 lbf·ft).",
        "Open second housing H2, 30 N·m (22.1 lbf·ft).",
    ]


def test_a_name_of_several_parts_names_them_all():
    assert said("Open <opens>.", head="opens: [first, second]\n") == (
        "Open first housing H1 and second housing H2."
    )


def test_measures_are_those_that_the_library_shows():
    unit = UNIT.replace("restart: 10 s", "restart: 2 bar")
    assert said("At <restart>.", unit=unit) == "At 2 bar (29 psi)."
    plain = LIBRARY.replace("shows:", "# shows:")
    assert said("At <restart>.", unit=unit, library=plain) == "At 2 bar."


def test_filled_texts_are_never_filled_again():
    unit = UNIT.replace("name: first housing", "name: '<second> \\<x>'")
    assert said("Open the <first>.", unit=unit) == r"Open the \<second\> \\\<x\> H1."


def test_markup_in_names_stays_plain():
    unit = UNIT.replace("name: first housing", "name: 'a*b*_c_`d`[e](f)&lt;<i>'")
    filled = said("<first>", unit=unit)
    assert filled == r"a\*b\*\_c\_\`d\`\[e\](f)\&lt;\<i\> H1"


def test_markup_in_names_shows_as_it_is_written():
    from proctool.render.prose import inline

    name = "a*b*_c_`d`[e](f)&lt;<i>\\"
    unit = UNIT.replace("name: first housing", f"name: '{name}'")
    shown = str(inline(said("<first>", unit=unit)))
    assert shown == "a*b*_c_`d`[e](f)&amp;lt;&lt;i&gt;\\ H1"


class TestFaults:
    @pytest.mark.parametrize(
        ("text", "column", "message"),
        [
            ("A <frist> now.", 11, "`frist` is no name that can stand in a text. Did you mean `first`?"),
            ("Use the <wrenc>.", 17, "`wrenc` is no name that can stand in a text. Did you mean `wrench`?"),
            ("A <first.cartrige>.", 11, "`first` has no `cartrige`. Did you mean `cartridge`?"),
            ("A <pump.tighten>.", 11, "`pump` has no `tighten`."),
            ("A <first", 11, r"`<first` has no `>`. Close the name, or write `\<` where the sign is meant."),
            ("Say <>.", 13, r"`<>` names nothing. Write `\<` where the sign is meant."),
            ("A <b> tag", 11, "`b` is no name that can stand in a text."),
        ],
    )  # fmt: skip
    def test_what_stands_for_nothing_is_told_where_it_stands(self, text, column, message):
        fault = run(f"- do: {text}\n").only
        assert (fault.rule, fault.message) == ("graph/unknown-name", message)
        assert str(fault.span) == f"p.yaml:5:{column}"

    def test_in_quotes_the_place_is_right_too(self):
        assert str(run('- do: "A <frist>: b"\n').only.span) == "p.yaml:5:12"

    @pytest.mark.parametrize("text", [">-\n    Open the\n    <frist>.", "Open the\n    <frist>."])
    def test_over_several_lines_it_is_the_place_of_the_text(self, text):
        assert str(run(f"- do: {text}\n").only.span) == "p.yaml:5:9"

    def test_each_wrong_name_is_told(self):
        found = run("- do: The <frist> and the <secnod>.\n").findings
        assert [str(f.span) for f in found] == ["p.yaml:5:13", "p.yaml:5:29"]

    @pytest.mark.parametrize("key", ["note", "check"])
    def test_in_other_texts_too(self, key):
        text = f"- {key}: See <frist>.\n" + ("" if key == "check" else "  do: So.\n")
        assert "`frist`" in run(text).only.message

    def test_in_an_end_and_a_title(self):
        steps = (
            "- {title: The <frist>, id: g, steps: [{check: So?, otherwise: {end_here: 'Shut <secnod>.'}}]}\n"
        )
        assert [f.message.split()[0] for f in run(steps).findings] == ["`frist`", "`secnod`"]


SENTENCES = """\
sentences:
  isolate:
    valve: Close the <part>.
    isolator: Cut off the <part>.
  open: {component: Take the <part> apart.}
  lock: Lock the <part>.
  verify_zero: The <by> reads <safe>.
  tighten: Tighten the <part> to <part.tighten> with the <wrench>.
  tell: Say it to <what>.
"""


class TestSentences:
    def said(self, step, sentences=SENTENCES, **more):
        (text,) = run(f"- {step}\n", library=LIBRARY + sentences, **more).texts
        return text

    @pytest.mark.parametrize(
        ("step", "sentence"),
        [
            ("isolate: inlet", "Close the inlet V1."),
            ("isolate: plug", "Cut off the plug X1."),
            ("open: pump", "Take the pump apart."),
            ("open: insert", "Open the insert."),
            ("lock: inlet", "Lock the inlet V1."),
            ("close: inlet", "Close the inlet V1."),
            ("verify_zero: {part: first, by: gauge1}", "The inlet gauge P1 reads 0 bar (0 psi)."),
            ("verify_zero: {part: first, by: button1}", "The relief button reads zero."),
            ("tighten: first", "Tighten the first housing H1 to 22 N·m (16.2 lbf·ft) with the strap wrench."),
            ("tell: crew", "Say it to crew."),
            ("stop: pump", "Stop the pump."),
            ("{isolate: inlet, lock: inlet}", "Close the inlet V1. Lock the inlet V1."),
            ("isolate: [inlet, plug]", "Close the inlet V1. Cut off the plug X1."),
            ("{do: Turn it., isolate: inlet}", "Turn it."),
        ],
    )
    def test_by_device_then_role_then_the_plain_one(self, step, sentence):
        assert self.said(step) == sentence

    @pytest.mark.parametrize(
        ("step", "sentence"),
        [
            ("isolate: inlet", "Isolate the inlet V1."),
            ("tell: crew", "Tell the crew."),
            ("tell: the line supervisor", "Tell the line supervisor."),
            ("clean: first", "Clean the first housing H1."),
            ("remove: cartridge", "Take the cartridge out."),
            ("fit: {part: first, what: cartridge}", "Fit the cartridge of the first housing H1."),
            ("clean: {part: first, what: the bowl}", "Clean the bowl of the first housing H1."),
            ("read: gauge1", "Read the inlet gauge P1."),
            ("wait: 40 min", "Wait 40 min."),
            (
                "{wait: 40 min, until: {gauge: gauge1, reads: 1 bar or less}}",
                "Wait 40 min, until the inlet gauge P1 reads 1 bar or less (14 psi or less).",
            ),
        ],
    )
    def test_without_a_sentence_of_the_library(self, step, sentence):
        assert self.said(step, sentences="") == sentence

    def test_a_sentence_lists_the_tools_it_names(self):
        found = run("- tighten: first\n", library=LIBRARY + SENTENCES)
        assert found.facts.tools == ("strap wrench",)

    def test_what_a_sentence_needs_and_the_part_lacks_is_told_with_the_step(self):
        fault = run("- tighten: pump\n", library=LIBRARY + SENTENCES).only
        assert fault.message == "`pump` has no `tighten`."
        assert at(fault).file == "library.yaml"
        assert [(str(r.span), r.label) for r in fault.related] == [("p.yaml:5:5", "the step that says so")]

    def test_a_sentence_does_not_see_the_names_of_a_step(self):
        steps = "- each: {x: [first]}\n  steps: [{open: x}]\n"
        fault = run(steps, library=LIBRARY + "sentences: {open: Open <x>.}\n").only
        assert fault.message == "`x` is no name that can stand in a text."


def test_tools_and_supplies_are_listed_as_used():
    found = run("- do: Use the <wrench>.\n- {do: See., using: [o_ring, glasses]}\n")
    assert found.facts.tools == ("strap wrench",)
    assert found.facts.supplies == ("housing O-ring FM-204",)


def test_using_an_unknown_tool():
    fault = run("- {do: See., using: wrenhc}\n").only
    assert fault.message == "`wrenhc` is no tool or supply of the library. Did you mean `wrench`?"
