"""The report for people: file by file, faults told once with their units, in 80 columns, and counted."""

from dataclasses import replace

import pytest

from proctool.model.finding import Level, Move
from proctool.model.verdict import Verdict
from proctool.report.columns import columns
from proctool.report.text import WIDTH, Style, report, unmarked
from tests.report.things import BARE, FULL, fault, judged

HINT = "`--explain` tells every step, `proctool explain RULE` why a rule asks that.\n\n"
LINES = {("p.yaml", 3): "  - open: first"}
ALL = Style(everything=True)
EXPLAIN = Style(explain=True)


def traced(ids, step=None, **more):
    moves = tuple(Move(i, None) for i in ids)
    return fault(unit="U-1", step=step or ids[-1], trace=moves, told=tuple(f"Do {i}." for i in ids), **more)


def row(said, label):
    (found,) = [line for line in said.splitlines() if line.startswith(f"  {label} ")]
    return found.removeprefix(f"  {label}").strip()


def test_a_finding_with_all_that_it_says():
    assert report([FULL], [judged(verdict=Verdict.UNSAFE)], Style(lines=LINES)) == (
        "p.yaml\n"
        "  error     The „Größe“ is opened.\n"
        "  line 3    - open: first\n"
        "              ^\n"
        "  do        Write it so.\n"
        "  see       q.yaml:7:1, the first one\n"
        "  on        U-1 · open-up/first/open\n"
        "  how       in 3 steps: a → b (not so) → open\n"
        "  rule      energy/opened-live · p.yaml:3:5\n"
        "\n" + HINT + "p  U-1  UNSAFE        all orders: 1, states looked at: 12\n"
        "\n"
        "1 error; 0 of 1 proven safe.\n"
    )


def test_a_finding_explained():
    said = report([FULL], [], EXPLAIN)
    assert (
        "  how       in 3 steps:\n"
        "          1 Close it.\n"
        "          2 It is <dry>. (not so)\n"
        "       >  3 Open it.\n"
        "  rule      energy/opened-live · p.yaml:3:5\n"
    ) in said
    assert "--explain" not in said


def test_a_finding_without_a_place_is_told_at_its_file():
    assert report([BARE], []).startswith(
        "the library\n  error     Too many files.\n  rule      file/limit · .\n"
    )


class TestTheLine:
    def test_long_ones_are_cut_around_the_place(self):
        line = "x" * 200 + "@" + "y" * 200
        finding = replace(fault(), span=replace(fault().span, column=201))
        _, _, text, mark, *_ = report([finding], [], Style(lines={("p.yaml", 3): line})).split("\n")
        assert columns(text) <= WIDTH and text.index("@") == mark.index("^")

    def test_wide_signs_take_two_columns(self):
        lines = {("p.yaml", 3): "弁弁弁弁@"}
        said = report([fault()], [], Style(lines=lines))
        assert f"\n  line 3    弁弁弁弁@\n{' ' * (12 + 8)}^\n" in said

    def test_what_would_steer_the_terminal_is_taken_out(self):
        said = report(
            [fault(message="\x1b[2J", file="\x1b[1m.yaml")], [], Style(lines={("p.yaml", 3): "\x1b"})
        )
        assert "\x1b" not in said

    def test_an_unknown_line_is_told_by_its_number(self):
        assert "\n  line 3\n  rule " in report([fault()], [])

    def test_the_mark_is_painted_as_the_level(self):
        said = report([fault()], [], Style(lines=LINES, paint=lambda text, kind: f"<{kind}:{text}>"))
        assert "  <error:error    > `x` is no part.\n" in said and "<error:^>" in said
        assert said.startswith("<place:p.yaml>\n")


class TestMerged:
    def test_one_fault_on_several_units_is_told_once(self):
        said = report([fault(unit=unit) for unit in ("U-2", "U-1", "U-3")], [])
        assert said.count("`x` is no part.") == 1
        assert row(said, "on") == "U-1, U-2, U-3"
        assert said.endswith("1 error; nothing to prove.\n")

    def test_where_a_check_leads_back_to_the_same_steps(self):
        first = fault(unit="U-1", step="a/b", trace=(Move("a/b", None),), told=("So.",))
        longer = replace(
            first, step="c/otherwise/a/b", trace=(Move("c", False), Move("c/otherwise/a/b", None))
        )
        said = report([replace(longer, told=("Look.", "So.")), first], [])
        assert row(said, "on") == "U-1 · a/b and 1 more like it"
        assert row(said, "how") == "in 1 step: b"

    @pytest.mark.parametrize(
        "other", [fault(4), fault(file="q.yaml"), fault(rule="graph/act-unfit"), fault(message="`y`.")]
    )
    def test_other_faults_are_told_apart(self, other):
        assert report([fault(), other], []).endswith("2 errors; nothing to prove.\n")

    def test_a_fault_at_the_end_of_a_procedure_says_so(self):
        said = report([fault(unit="U-1", trace=(Move("a", None),), told=("So.",))], [])
        assert row(said, "on") == "U-1 · at the end"


class TestFolded:
    def test_steps_are_named_by_what_tells_them_apart(self):
        said = report([traced(["make-safe/v1/lock", "make-safe/v2/lock", "open-up/open"])], [])
        assert row(said, "how") == "in 3 steps: v1/lock → v2/lock → open"

    def test_an_id_that_ends_another_is_told_whole(self):
        assert row(report([traced(["open", "b/open"])], []), "how") == "in 2 steps: open → b/open"

    def test_a_step_passed_twice_keeps_its_name(self):
        assert row(report([traced(["a/b", "a/c", "a/b"])], []), "how") == "in 3 steps: b → c → b"

    @pytest.mark.parametrize("width", [50, 60, 80])
    def test_long_ones_keep_their_ends_on_one_line(self, width):
        finding = traced([f"step-{i}" for i in range(30)])
        said = report([finding], [], Style(width=width))
        how = row(said, "how")
        assert how.startswith("in 30 steps: ") and " → … → " in how
        assert how.endswith("step-29")
        assert all(columns(line) <= width for line in said.split("\n\n")[0].splitlines())

    def test_and_tell_every_step_when_explained(self):
        finding = traced([f"s{i}" for i in range(30)])
        said = report([finding], [], EXPLAIN)
        assert [f"{i + 1} Do s{i}." in said for i in range(30)] == [True] * 30


class TestWhatIsShown:
    def test_the_first_ones_unless_all_are_asked_for(self):
        findings = [fault(file=f"p{i:02}.yaml") for i in range(12)]
        few, everything = report(findings, []), report(findings, [], ALL)
        assert few.count("  error  ") == 8 and "\n… and 4 more. `--all` shows them.\n" in few
        assert everything.count("  error  ") == 12 and "--all" not in everything

    def test_few_of_one_rule_in_one_file(self):
        findings = [fault(i + 1) for i in range(9)] + [fault(file="q.yaml")]
        said = report(findings, [])
        assert said.count("  line ") == 3 and "q.yaml\n" in said
        assert "… and 7 more." in said

    def test_a_file_is_named_once(self):
        said = report([fault(1), fault(2, rule="graph/act-unfit"), fault(file="q.yaml")], [])
        assert [line for line in said.splitlines() if line.endswith(".yaml")] == ["p.yaml", "q.yaml"]

    def test_faulty_files_come_first_and_in_them_what_makes_them_so(self):
        findings = [
            fault(file="a.yaml"),
            fault(1, file="b.yaml"),
            fault(2, file="b.yaml", rule="file/figure"),
            fault(file="c.yaml"),
        ]
        lines = report(findings, []).splitlines()
        assert [line for line in lines if line.endswith(".yaml")] == ["b.yaml", "a.yaml", "c.yaml"]
        assert [line.split()[1] for line in lines if line.startswith("  rule")][:2] == [
            "file/figure",
            "graph/unknown-name",
        ]


@pytest.mark.parametrize("width", [40, 60, WIDTH])
@pytest.mark.parametrize("word", ["word", "弁を閉"])
def test_lines_fit_the_terminal(width, word):
    long = f"{word} " * 60
    finding = fault(
        unit="U-1", message=long, help=long, step="s", trace=(Move("s", None),), told=(long.strip(),)
    )
    lines = report([finding], [], Style(explain=True, width=width)).splitlines()
    assert max(map(columns, lines)) <= width
    assert max(map(columns, report([finding], [], Style(width=width)).splitlines())) <= width
    assert "".join("".join(lines).split()).count(word) == 180


def test_a_long_word_is_kept_whole():
    assert "x" * 200 in report([fault(message="x" * 200)], [])


@pytest.mark.parametrize(
    ("judgement", "words"),
    [
        (judged(), "safe          all orders: 1, states looked at: 12"),
        (judged(orders=3432, states=1234567), "safe          all orders: 3,432, states looked at: 1,234,567"),
        (judged(orders=None), "safe          all orders: more than can be counted, states looked at: 12"),
        (judged(verdict=Verdict.SAFE_WITH_DEVIATIONS), "safe with deviations  all orders: 1"),
        (judged(verdict=Verdict.UNSAFE), "UNSAFE        all orders: 1"),
        (judged(verdict=Verdict.UNPROVEN, orders=924), "NOT PROVEN    orders: 924, states looked at: 12"),
        (judged(verdict=Verdict.UNPROVEN, orders=None, states=0), "NOT PROVEN    could not be resolved"),
    ],
)
def test_verdicts(judgement, words):
    assert f"p  U-1  {words}" in report([], [judgement])


def test_verdicts_stand_in_columns():
    said = report([], [judged("p", "U-100"), judged("longer", "U-1")])
    assert said.startswith("p       U-100  safe ") and "\nlonger  U-1    safe " in said


def test_what_more_there_is_to_say_stands_before_the_counts():
    said = report([], [judged()], Style(), ["One.\n", "Two.\n"])
    assert said.endswith("looked at: 12\n\nOne.\n\nTwo.\n\nNo faults found; 1 of 1 proven safe.\n")


LEVELS = {"error": Level.ERROR, "warning": Level.WARNING, "advice": Level.ADVICE}


@pytest.mark.parametrize(
    ("levels", "verdicts", "summary"),
    [
        ([], 2, "No faults found; 2 of 2 proven safe."),
        ([], 0, "No faults found; nothing to prove."),
        (["error"], 1, "1 error; 1 of 1 proven safe."),
        (["error"] * 2 + ["warning"], 1, "2 errors, 1 warning; 1 of 1 proven safe."),
        (["advice"], 1, "1 piece of advice; 1 of 1 proven safe."),
        (["warning"] * 3 + ["advice"] * 2, 1, "3 warnings, 2 pieces of advice; 1 of 1 proven safe."),
    ],
)
def test_counts(levels, verdicts, summary):
    findings = [replace(fault(i + 1), level=LEVELS[level]) for i, level in enumerate(levels)]
    said = report(findings, [judged(unit=f"U-{i}") for i in range(verdicts)])
    assert said.splitlines()[-1] == summary


def test_only_what_is_safe_counts_as_proven():
    verdicts = [judged(unit=v.value, verdict=v) for v in Verdict]
    assert report([], verdicts).endswith("2 of 4 proven safe.\n")


def test_paint_gets_each_word_with_what_it_is():
    seen = []

    def paint(text, kind):
        seen.append((text.strip(), kind))
        return text

    verdicts = [judged(verdict=Verdict.UNSAFE)]
    painted = report([fault()], verdicts, Style(lines=LINES, paint=paint))
    assert painted == report([fault()], verdicts, Style(lines=LINES))
    assert seen == [
        ("p.yaml", "place"),
        ("error", "error"),
        ("^", "error"),
        ("UNSAFE", "unsafe"),
        ("1 error; 0 of 1 proven safe.", "error"),
    ]


@pytest.mark.parametrize(
    ("marked", "shown"),
    [
        (r"a\*b\_c \<x\> \[y\] \`z\` \& \\", r"a*b_c <x> [y] `z` & \ "[:-1]),
        (r"C:\dir", r"C:\dir"),
        ("**loud**", "**loud**"),
    ],
)
def test_signs_made_plain_show_as_they_were_written(marked, shown):
    assert unmarked(marked) == shown
