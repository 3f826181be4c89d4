"""What guards every edit, whatever a fix makes of a finding."""

import pytest

from proctool.fix.edit import Edit, apart, sound
from tests.fix.small import sheet_of


class TestSound:
    """An edit changes its value and nothing else."""

    TEXT = "a: one  # why\nb: {c: two, d: three}\n"

    def edit(self, old, value, text):
        start = self.TEXT.index(old)
        return Edit(start, start + len(old), value, text, "")

    def test_a_value_alone(self):
        sheet = sheet_of(self.TEXT)
        assert sound(sheet, [self.edit("two", "zwei", "zwei"), self.edit("one", ("1", "2"), "[1, 2]")])

    @pytest.mark.parametrize(
        ("old", "value", "text"),
        [
            ("two", "zwei", "drei"),
            ("two", "a, b", "a, b"),
            ("two, d: three", "zwei", "zwei"),
            ("tw", "zwei", "zwei"),
            ("one  # why\nb: {c: two, d: three}", "eins", "eins"),
            ("two", "zwei", "[zwei"),
            ("c", "e", "e"),
        ],
    )
    def test_more_than_a_value(self, old, value, text):
        sheet = sheet_of(self.TEXT)
        assert not sound(sheet, [self.edit(old, value, text)])


def test_of_edits_that_overlap_the_first_is_made():
    edits = [Edit(start, end, "", "", "") for start, end in ((4, 6), (0, 3), (2, 5), (3, 4), (0, 3))]
    assert [(edit.start, edit.end) for edit in apart(edits)] == [(0, 3), (3, 4), (4, 6)]
