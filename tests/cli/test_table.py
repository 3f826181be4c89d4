"""`proctool table`: the tables of a procedure for a unit, and one given on the command line."""

import csv
import io

import pytest

from proctool.report.grid import Column, to_csv, to_text
from tests.cli.plant import DEMO, call, written

GIVEN = (
    "--formula", "inlet * (1 - limit)", "--reading", "inlet=2.0 to 6.0 bar by 0.5 bar",
    "--fixed", "limit=25 %", "--while", "water runs at normal flow",
)  # fmt: skip
DUE = ("--round", "up to 0.1 bar", "--due", "or_less")


def rows(text):
    return list(csv.reader(io.StringIO(text)))


class TestOfAProcedure:
    def test_text_values_and_sheets(self, tmp_path):
        values, sheets = tmp_path / "a.csv", tmp_path / "a.pdf"
        said = call("table", "change-cartridges:change_point", "KW-4", "--library", DEMO,
                    "--csv", values, "--pdf", sheets)  # fmt: skip
        assert (said.code, said.err) == (0, f"written  {values}\nwritten  {sheets}\n")
        assert all(len(line) <= 80 for line in said.out.splitlines())
        # 4.0 bar less 25 % is 3.0 bar, moved by 0.21 bar of P2 and three quarters of that of P1, rounded up.
        assert "\n4.0   58  3.79 to 4.21  3.4   49  3.19 to 3.61\n" in said.out
        head, *body = rows(values.read_text(encoding="utf-8"))
        assert head[:2] == ["Inlet gauge P1 [bar]", "Inlet gauge P1 [psi]"]
        assert [row[0] for row in body] == ["2.0", "2.5", "3.0", "3.5", "4.0", "4.5", "5.0", "5.5", "6.0"]
        assert body[4][3] == "3.4"
        assert sheets.read_bytes().startswith(b"%PDF")

    def test_every_table_of_the_demo_library_is_given_out(self):
        for procedure, unit in (("sanitise-skid", "KW-2"), ("replace-plate-gaskets", "HX-9")):
            said = call("table", procedure, unit, "--library", DEMO)
            assert (said.code, said.err) == (0, "")
            assert all(len(line) <= 80 for line in said.out.splitlines())

    @pytest.mark.parametrize(
        ("names", "told"),
        [
            (("change-cartridges:change_pint", "KW-4"), "There is no table `change_pint`"),
            (("change-cartridges", "HX-9"), "Procedure `change-cartridges` is not for unit `HX-9`."),
            (("change-cartridges", "KW-44"), "Did you mean `KW-4`?"),
            (("change-cartridges",), "Expected a procedure and a unit, or a table given with --formula."),
            (("change-cartridges", "KW-4", "--due", "or_less"), "--due is for a table given with --formula."),
        ],
    )
    def test_wrong_calls(self, names, told):
        said = call("table", *names, "--library", DEMO)
        assert (said.code, said.out) == (2, "")
        assert told in said.err

    def test_one_without_tables(self, tmp_path):
        said = call("table", "change-filter", "F-1", "--library", written(tmp_path))
        assert (said.code, said.err) == (1, "proctool: Procedure `change-filter` has no table.\n")


class TestGiven:
    def test_worked_out_by_hand(self):
        said = call("table", *GIVEN, *DUE)
        assert (said.code, said.err) == (0, "")
        lines = said.out.splitlines()
        # Three quarters of each reading, to the next tenth above.
        wanted = ["1.5", "1.9", "2.3", "2.7", "3.0", "3.4", "3.8", "4.2", "4.5"]
        assert [
            line.split()[1] for line in lines if line.split()[:1] and line.split()[0][0] in "23456"
        ] == wanted

    def test_without_gauges_nothing_is_said_to_be_surely_not_due(self):
        out = call("table", *GIVEN, *DUE).out
        assert "Not due" not in out
        assert "true" not in out
        assert "How far off the readings can be is not known here" in out

    def test_with_the_gauges_of_a_unit(self):
        gauges = ("--gauge", "inlet=P1", "--gauge", "answer=P2", "--guard")
        said = call("table", "KW-4", *GIVEN, *DUE, *gauges, "--library", DEMO)
        assert said.code == 0
        assert "Not due" in said.out
        assert "  3.4   49  3.19 to 3.61" in said.out

    @pytest.mark.parametrize(
        ("more", "told"),
        [
            (("--round", "down to 0.1 bar", "--due", "or_less"), "error tables/unsafe-side --round: "),
            (("--round", "up to 0.1 bar"), "Say with `--due` when work is due, or with `--safe-side`"),
        ],
    )
    def test_no_unsafe_table_is_given_out(self, tmp_path, more, told):
        values = tmp_path / "a.csv"
        said = call("table", *GIVEN, *more, "--csv", values)
        assert (said.code, said.out) == (1, "")
        assert told in said.err
        assert not values.exists()

    @pytest.mark.parametrize(
        ("call_", "told"),
        [
            (("--formula", "inlt * 2 ", *GIVEN[2:4]), "--formula: At character 1, `inlt`"),
            (
                ("--formula", "a", "--reading", "a=2 to 6 bar by 0.7 bar"),
                "--reading a: `6 bar` is off the step",
            ),
            (("--formula", "a", "--reading", "a"), "--reading: found `a`; expected a name, `=`"),
            (("--formula", "a", "--reading", "a=1 bar", "--reading", "a=2 bar"), "`a` is given twice"),
            (("--formula", "a", "--reading", "1a=1 bar"), "`1a` is no name"),
            (("--formula", "a", "--reading", "a=1 bar", "--gauge", "b=P1"), "`b` is neither a reading nor"),
            (("--formula", "a", "--reading", "a=1 bar", "--round", "up to 1 brr"), "--round: "),
            (("--formula", "(", *GIVEN[2:4]), "--formula: "),
        ],
    )
    def test_wrong_calls(self, call_, told):
        said = call("table", *call_)
        assert (said.code, said.out) == (2, "")
        assert told in said.err
        assert "Traceback" not in said.err


def column(title, *cells, measure="bar", lead=False, words=False):
    return Column(title, measure, cells, lead, words)


def test_a_wide_table_is_told_in_pieces_that_name_their_rows():
    wide = [
        column("Reading", "1.0", "2.0", lead=True),
        *(column(f"Answer number {n}", "10.0", "20.0") for n in range(9)),
    ]
    lines = to_text(wide, 60)
    assert all(len(line) <= 60 for line in lines)
    assert sum("Reading" in line for line in lines) == 3
    assert all(any(f"number {n}" in line for line in lines) for n in range(9))


def test_a_quotation_mark_stays_with_its_word():
    out = call("table", "replace-plate-gaskets", "HX-9", "--library", DEMO).out
    assert "“Torque" in out
    assert "“\n" not in out


def test_cells_that_a_spreadsheet_would_run_are_made_harmless():
    cells = [column("=cmd()", "\N{MINUS SIGN}1.5", "@x"), column('a, "b"', "+1", "1.5", measure="")]
    assert to_csv(cells).split("\r\n") == ['\'=cmd() [bar],"a, ""b"""', "-1.5,'+1", "'@x,1.5", ""]


@pytest.mark.parametrize("option", ["--title", "--while", "--formula"])
def test_a_text_that_is_not_utf_8_is_refused(option, tmp_path):
    """Python keeps its bytes as half characters, and no PDF can hold one."""
    said = call("table", *GIVEN, *DUE, option, "a\udcff", "--pdf", tmp_path / "a.pdf")
    assert (said.code, said.err) == (2, f"proctool: {option}: this text is not in UTF-8.\n")
    assert not (tmp_path / "a.pdf").exists()
