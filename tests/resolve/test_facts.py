"""What a plan says for its manual besides the steps."""

from tests.resolve.small import LIBRARY, run

MORE = LIBRARY.replace("{glasses: safety glasses}", "{glasses: safety glasses, gloves: rubber gloves}")


def test_only_the_equipment_that_steps_name_is_worn():
    assert run("- do: Put on your <gloves>.\n", library=MORE).facts.ppe == ("rubber gloves",)


def test_using_names_it_too():
    assert run("- {do: Look., using: glasses}\n", library=MORE).facts.ppe == ("safety glasses",)


def test_where_no_step_names_any_all_of_it_is_worn():
    assert run("- do: Look at it.\n", library=MORE).facts.ppe == ("safety glasses", "rubber gloves")


def test_the_document_number_and_the_measures_go_along():
    facts = run("- do: Look at it.\n", head="number: FP-7\n").facts
    assert facts.number == "FP-7"
    assert facts.shows == {"pressure": ("bar", "psi"), "torque": ("N·m", "lbf·ft")}
    assert run("- do: Look at it.\n").facts.number == ""


def test_a_range_in_a_text_stands_in_the_measures_of_the_library():
    assert run("- do: Usual is <gauge1.usual>.\n").texts == ["Usual is 2 to 6 bar (30 to 87 psi)."]
