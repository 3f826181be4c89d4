"""The report for people: faults told once with their units, in 80 columns, and counted."""

from dataclasses import replace

import pytest

from proctool.model.finding import Finding, Level, Move, Related
from proctool.model.span import Span
from proctool.model.verdict import Judgement, Verdict
from proctool.report.text import WIDTH, report, unmarked


def fault(line=3, unit=None, file="p.yaml", rule="graph/unknown-name", message="`x` is no part.", **more):
    return Finding(rule, Level.ERROR, message, file, Span(file, line, 5, line, 9), unit=unit, **more)


def judged(procedure="p", unit="U-1", verdict=Verdict.SAFE, orders=1, states=12):
    return Judgement(procedure, unit, verdict, orders, states)


def test_a_finding_with_all_that_it_says():
    finding = fault(
        unit="U-1",
        step="open-up/first/open",
        part="first",
        help="Write it so.",
        related=(Related(Span("q.yaml", 7, 1, 7, 2), "the first one"),),
        trace=(Move("a", None), Move("b", False), Move("open-up/first/open", None)),
        told=("Close it.", r"It is \<dry\>.", "Open it."),
    )
    assert report([finding], [judged(verdict=Verdict.UNSAFE)]) == (
        "p.yaml:3:5  error  graph/unknown-name\n"
        "    `x` is no part.\n"
        "    Write it so.\n"
        "    q.yaml:7:1: the first one\n"
        "    U-1 · open-up/first/open\n"
        "    How it comes to that, in 3 steps:\n"
        "       1 Close it.\n"
        "       2 It is <dry>. (not so)\n"
        "    >  3 Open it.\n"
        "\n"
        "p  U-1  UNSAFE        all orders: 1, states looked at: 12\n"
        "\n"
        "1 error; 0 of 1 proven safe.\n"
    )


def test_a_finding_without_a_place_is_told_at_its_file():
    finding = Finding("file/limit", Level.ERROR, "Too many files.", ".")
    assert report([finding], []).startswith(".  error  file/limit\n    Too many files.\n")


class TestMerged:
    def test_one_fault_on_several_units_is_told_once(self):
        said = report([fault(unit=unit) for unit in ("U-2", "U-1", "U-3")], [])
        assert said.count("`x` is no part.") == 1
        assert "    U-1, U-2, U-3\n" in said
        assert said.endswith("1 error; nothing to prove.\n")

    def test_where_a_check_leads_back_to_the_same_steps(self):
        first = fault(unit="U-1", step="a/b", trace=(Move("a/b", None),), told=("So.",))
        longer = replace(
            first, step="c/otherwise/a/b", trace=(Move("c", False), Move("c/otherwise/a/b", None))
        )
        said = report([replace(longer, told=("Look.", "So.")), first], [])
        assert "    U-1 · a/b and 1 more like it\n" in said
        assert "How it comes to that, in 1 step:\n    >  1 So.\n" in said

    @pytest.mark.parametrize(
        "other", [fault(4), fault(file="q.yaml"), fault(rule="graph/act-unfit"), fault(message="`y`.")]
    )
    def test_other_faults_are_told_apart(self, other):
        assert report([fault(), other], []).endswith("2 errors; nothing to prove.\n")

    def test_a_fault_at_the_end_of_a_procedure_says_so(self):
        said = report([fault(unit="U-1", trace=(Move("a", None),), told=("So.",))], [])
        assert "    U-1 · at the end\n" in said


class TestWhatIsShown:
    def test_the_first_ones_unless_all_are_asked_for(self):
        findings = [fault(file=f"p{i}.yaml") for i in range(12)]
        few, everything = report(findings, []), report(findings, [], everything=True)
        assert few.count("  error  ") == 8 and "\n… and 4 more. `--all` shows them.\n" in few
        assert everything.count("  error  ") == 12 and "--all" not in everything

    def test_few_of_one_rule_in_one_file(self):
        findings = [fault(i + 1) for i in range(9)] + [fault(file="q.yaml")]
        said = report(findings, [])
        assert said.count("p.yaml:") == 3 and "q.yaml:3:5" in said
        assert "… and 6 more." in said

    def test_faults_of_files_come_first(self):
        findings = [fault(file="a.yaml"), fault(file="b.yaml", rule="file/schema"), fault(file="c.yaml")]
        places = [line.split(":")[0] for line in report(findings, []).splitlines() if "  error  " in line]
        assert places == ["b.yaml", "a.yaml", "c.yaml"]

    def test_the_last_steps_of_a_long_trace(self):
        moves = tuple(Move(f"s{i}", None) for i in range(9))
        finding = fault(unit="U-1", step="s8", trace=moves, told=tuple(f"Step {i}." for i in range(9)))
        said = report([finding], [])
        assert "in 9 steps:\n         … 4 steps before\n       5 Step 4.\n" in said
        assert "    >  9 Step 8.\n" in said
        assert "Step 0." in report([finding], [], everything=True)


def test_lines_fit_80_columns():
    long = "word " * 60
    finding = fault(
        unit="U-1", message=long, help=long, step="s", trace=(Move("s", None),), told=(long.strip(),)
    )
    lines = report([finding], [judged()]).splitlines()
    assert max(map(len, lines)) <= WIDTH == 80
    assert sum(line.count("word") for line in lines) == 180


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

    assert report([fault()], [judged(verdict=Verdict.UNSAFE)], paint=paint) == report(
        [fault()], [judged(verdict=Verdict.UNSAFE)]
    )
    assert seen == [
        ("p.yaml:3:5", "place"),
        ("error", "error"),
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
