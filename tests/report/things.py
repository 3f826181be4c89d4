"""Findings and verdicts that reports are tried on."""

from proctool.model.finding import Finding, Level, Move, Related
from proctool.model.span import Span
from proctool.model.verdict import Judgement, Verdict


def fault(line=3, unit=None, file="p.yaml", rule="graph/unknown-name", message="`x` is no part.", **more):
    level = more.pop("level", Level.ERROR)
    return Finding(rule, level, message, file, Span(file, line, 5, line, 9), unit=unit, **more)


def judged(procedure="p", unit="U-1", verdict=Verdict.SAFE, orders=1, states=12):
    return Judgement(procedure, unit, verdict, orders, states)


FULL = fault(
    procedure="p",
    unit="U-1",
    rule="energy/opened-live",
    message="The „Größe“ is opened.",
    step="open-up/first/open",
    part="first",
    energies=("water",),
    help="Write it so.",
    related=(Related(Span("q.yaml", 7, 1, 7, 2), "the first one"),),
    trace=(Move("a", None), Move("b", False), Move("open-up/first/open", None)),
    told=("Close it.", r"It is \<dry\>.", "Open it."),
)
BARE = Finding("file/limit", Level.ERROR, "Too many files.", ".")
