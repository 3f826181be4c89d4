"""What stands in a text for a `<name>`, and which parts a text names."""

from tests.resolve.small import run


def filled(step, **more):
    """The stretches of the one step: what stands there, and the part it names."""
    (found,) = run(f"- {step}", **more).steps
    assert found.names == tuple(dict.fromkeys(f.part for f in found.filled if f.part))
    return [(found.text[f.start : f.end], f.part) for f in found.filled]


def test_parts_by_id_and_tag():
    assert filled("do: Look at the <first> and at <V1>.") == [
        ("first housing H1", "first"),
        ("inlet V1", "inlet"),
    ]


def test_what_is_no_part():
    said = filled("do: Put the <first.cartridge> in with the <wrench> after <restart>.")
    assert said == [("5 micron cartridge", None), ("strap wrench", None), ("10 s", None)]


def test_a_name_for_several_parts():
    (found,) = run("- do: Wipe the <opens>.", head="opens: [first, second]\n").steps
    assert found.names == ("first", "second")
    assert [found.text[f.start : f.end] for f in found.filled] == ["first housing H1", "second housing H2"]


def test_sentences_of_acts_one_after_the_other():
    said = filled("{isolate: inlet, lock: inlet}")
    assert said == [("inlet V1", "inlet"), ("inlet V1", "inlet")]


def test_plain_words_name_nothing_here():
    assert filled("do: Look at the first housing.") == []
