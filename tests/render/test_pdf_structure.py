"""PDF/UA-1 by an independent checker, and the structure tree, links and bookmarks read with pikepdf."""

from __future__ import annotations

import io
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

import page as checker
import pikepdf
import pytest

from proctool.api import open_library
from proctool.model.plan import Picture
from proctool.model.verdict import Verdict
from proctool.render.html import Paper
from proctool.render.manual import Deviated
from proctool.render.pdf import card_pdf, pdf, tables_pdf
from tests.render import kw4, sheets
from tests.render.test_html import PNG

LISTS = "Look at:\n\n- the *frame*\n\n- the hose\n  1. its ends\n  2. its clamps\n\n- the floor"


def whole() -> bytes:
    """A manual with one of everything."""
    plan = kw4.with_facts(kw4.plan(), number="FP-1", due=("table change_point", "every 6 months"))
    first = replace(
        plan.frame.steps[0], text=LISTS, notes=(LISTS,), figure=Picture("v1.png", "The valve V1", kw4.AT)
    )
    plan = replace(plan, frame=replace(plan.frame, steps=(first, *plan.frame.steps[1:])))
    step = "open-up/first/unscrew-housing"
    one = Deviated(
        "No tool is named.", "content/tools", step, "On order.", "A cloth.", "R. Imrie", "2027-03-31"
    )
    tables = (sheets.change_point(), sheets.torque())
    shown = kw4.view(
        plan,
        verdict=Verdict.SAFE_WITH_DEVIATIONS,
        deviations=(one,),
        tables=tables,
        lowered=("leak/no-duration",),
    )
    return pdf(shown, {"v1.png": PNG})


MADE = {
    "manual": whole,
    "letter": lambda: pdf(kw4.view(), {}, Paper.LETTER),
    "draft": lambda: pdf(kw4.view(draft=True), {}),
    "card": lambda: card_pdf(kw4.view()),
    "tables": lambda: tables_pdf(kw4.view(tables=(sheets.change_point(), sheets.torque()))),
}


@pytest.fixture(scope="module", params=MADE)
def content(request) -> bytes:
    return MADE[request.param]()


def test_an_independent_checker_finds_nothing(content):
    report = checker.validate_pdf_bytes(content, profile=checker.ValidationProfile.PDF_UA_1)
    assert [(failure.rule_id, failure.message) for failure in report.failures] == []
    assert report.rules.total > 100


def nodes(node: Any, above: str = "") -> Iterator[tuple[str, Any, list[Any]]]:
    """Each element of the structure tree, what it stands in, and the elements in it."""
    kids = node.get("/K", pikepdf.Array())
    found = list(kids) if isinstance(kids, pikepdf.Array) else [kids]
    inner = [kid for kid in found if isinstance(kid, pikepdf.Dictionary) and "/S" in kid]
    if "/S" in node:
        yield above, node, inner
    for kid in inner:
        yield from nodes(kid, str(node.get("/S", "")))


def test_cells_know_their_heads_and_lists_hold_items(content):
    with pikepdf.open(io.BytesIO(content)) as made:
        heads: set[str] = set()
        told: set[str] = set()
        for above, node, inner in nodes(made.Root.StructTreeRoot):
            kind = str(node.S)
            if kind == "/TH":
                heads.add(str(node.ID))
            if kind == "/TD":
                told.update(str(head) for head in node.A.Headers)
            if kind == "/Figure":
                assert str(node.Alt)
            if kind == "/L":
                assert {str(kid.S) for kid in inner} <= {"/LI", "/L", "/Caption"}
            if kind == "/LI":
                assert above == "/L"
        assert heads
        assert told <= heads


def test_every_link_says_where_it_leads(content):
    with pikepdf.open(io.BytesIO(content)) as made:
        for sheet in made.pages:
            for link in sheet.get("/Annots", ()):
                assert str(link.Contents)


def test_bookmarks_are_the_headings():
    with pikepdf.open(io.BytesIO(whole())) as made, made.open_outline() as outline:
        (top,) = outline.root
        assert top.title == "Change the sediment and carbon cartridges"
        sections = [entry.title for entry in top.children]
        assert sections == [
            "Safety",
            "Deviations",
            "Energy isolation",
            "When it is due",
            "What you need",
            "The steps at a glance",
            "Steps",
            "If zero is not reached",
            "What the proof does not cover",
            "This document",
            "Record sheet",
        ]
        (steps,) = [entry for entry in top.children if entry.title == "Steps"]
        assert [entry.title for entry in steps.children] == [
            "Make safe",
            "Change the cartridges",
            "Return to service",
        ]


def test_it_asks_for_nothing_and_holds_no_script(content):
    with pikepdf.open(io.BytesIO(content)) as made:
        assert not {"/OpenAction", "/AA", "/AcroForm"} & set(made.Root.keys())
        assert "/JavaScript" not in made.Root.get("/Names", {})
        assert not any(
            "/URI" in link.get("/A", {}) for sheet in made.pages for link in sheet.get("/Annots", ())
        )


@pytest.mark.parametrize(
    ("library", "procedure", "unit"),
    [
        ("procedures", "change-cartridges", "KW-2"),
        ("procedures", "replace-lamp-and-sleeve", "UV-3"),
        ("procedures", "replace-plate-gaskets", "HX-9"),
        ("procedures", "replace-desiccant", "AD-20"),
        ("household", "change-drive-belt", "PS-2"),
    ],
)
def test_the_demonstration_is_without_fault(tmp_path, library, procedure, unit):
    made = open_library(Path(__file__).parents[2] / library).build(tmp_path, procedure=procedure, unit=unit)
    files = [file for file in made.written if file.suffix == ".pdf"]
    assert len(files) >= 2
    for file in files:
        report = checker.validate_pdf(file, profile=checker.ValidationProfile.PDF_UA_1)
        assert [(file.name, failure.rule_id) for failure in report.failures] == []
    assert (tmp_path / procedure / f"{unit}.html").stat().st_size <= 400_000
