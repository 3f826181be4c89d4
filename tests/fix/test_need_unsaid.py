"""`proven` added to what a step needs of the part it opens."""

import pytest

from tests.fix.small import changed, fixed, said

OPENING = "    open: housing\n"


@pytest.mark.parametrize(
    ("needs", "right"),
    [
        ("{housing: relieved}", "{housing: [relieved, proven]}"),
        ("{housing: 'relieved'}", "{housing: ['relieved', proven]}"),
        ("{housing: [relieved]}", "{housing: [relieved, proven]}"),
        ("{housing: [ relieved, shut, ]}", "{housing: [ relieved, shut, proven, ]}"),
        ("\n      housing: relieved  # why", "\n      housing: [relieved, proven]  # why"),
        (
            "\n      housing:\n        - relieved\n        - shut # why",
            "\n      housing:\n        - relieved\n        - shut # why\n        - proven",
        ),
        ("\n      housing:\n      -   relieved", "\n      housing:\n      -   relieved\n      - proven"),
        (
            "\n      housing: [\n        relieved, # why\n        shut # so\n      ]",
            "\n      housing: [\n        relieved, # why\n        shut, proven # so\n      ]",
        ),
        (
            "{crew: told, housing: relieved, drain: open}",
            "{crew: told, housing: [relieved, proven], drain: open}",
        ),
    ],
)
def test_proven_is_added(needs, right):
    text = changed("procedure.yaml", OPENING, f"    needs: {needs}\n{OPENING}")
    result = fixed(procedure=text)
    assert said("procedure", result, procedure=text) == text.replace(needs, right)
    assert [note.rule for note in result.done] == ["graph/need-unsaid"]
    assert result.left == ()


def test_it_is_refused_where_it_does_not_hold():
    text = changed("procedure.yaml", OPENING, f"    needs: {{housing: shut}}\n{OPENING}")
    unsafe = {
        "make_safe": changed(
            "make-safe.yaml",
            "verify_zero: part\n        otherwise: {end_here: Leave the locks on and call for help.}\n",
            "do: See the <part>.\n",
        )
    }
    result = fixed(procedure=text, **unsafe)
    assert (dict(result.after), result.done) == ({}, ())
    assert ["it would bring graph/need-unmet" in note.told for note in result.left] == [True]
