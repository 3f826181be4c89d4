"""The PDF: tagged, whole, the same every time, and closed to the outside."""

from __future__ import annotations

import io
import re
import time
from dataclasses import replace
from typing import cast

import pytest
from pypdf import PdfReader

from proctool.model.plan import Continue, Otherwise, Picture
from proctool.model.verdict import Verdict
from proctool.render.html import page
from proctool.render.manual import Deviated
from proctool.render.pdf import RefusedAddressError, fetcher, pdf
from tests.render import kw4, sheets
from tests.render.test_html import PNG


@pytest.fixture(scope="module")
def content() -> bytes:
    return pdf(kw4.view(), {})


@pytest.fixture(scope="module")
def reader(content) -> PdfReader:
    return PdfReader(io.BytesIO(content))


def texts(reader: PdfReader) -> list[str]:
    return [" ".join(sheet.extract_text().split()) for sheet in reader.pages]


def tags(reader: PdfReader) -> list[dict]:
    found = []

    def visit(node):
        node = node.get_object()
        if isinstance(node, list):
            for child in node:
                visit(child)
        elif isinstance(node, dict) and "/S" in node:
            found.append(node)
            if "/K" in node:
                visit(node["/K"])

    root = cast("dict", reader.trailer["/Root"].get_object())
    visit(root["/StructTreeRoot"]["/K"])
    return found


def test_it_is_tagged_and_says_language_and_title(content, reader):
    root = cast("dict", reader.trailer["/Root"].get_object())
    assert content.startswith(b"%PDF-1.7")
    assert root["/MarkInfo"]["/Marked"]
    assert root["/Lang"] == "en"
    assert root["/ViewerPreferences"]["/DisplayDocTitle"]
    assert reader.metadata
    assert reader.metadata.title == "Change the sediment and carbon cartridges · KW-4"
    assert re.search(rb'pdfuaid:part(>|=")1', root["/Metadata"].get_object().get_data())


def test_headings_lists_and_tables_are_tagged(reader):
    kinds = [str(tag["/S"]) for tag in tags(reader)]
    assert kinds.count("/H1") == 1
    source = page(kw4.view(), {}, "paper")
    assert kinds.count("/Table") == source.count("<table") == 6  # isolation, revisions, four of the record
    assert kinds.count("/TH") == source.count("<th ")
    assert kinds.count("/LI") > 40
    assert kinds.count("/Figure") == source.count("<svg") == 3  # diagram, order of the steps, state band


def test_pictures_carry_their_text():
    plan = kw4.plan()
    first = replace(plan.frame.steps[0], figure=Picture("figures/v1.png", "The valve V1", kw4.AT))
    view = kw4.view(replace(plan, frame=replace(plan.frame, steps=(first, *plan.frame.steps[1:]))))
    made = PdfReader(io.BytesIO(pdf(view, {"figures/v1.png": PNG})))
    drawn = [view.diagram.wide.title, *(one.wide.title for one in view.overview)]
    assert [tag.get("/Alt") for tag in tags(made) if tag["/S"] == "/Figure"] == [*drawn, "The valve V1"]


def test_every_font_is_inside(reader):
    for sheet in reader.pages:
        for font in sheet["/Resources"]["/Font"].values():
            (inner,) = font.get_object()["/DescendantFonts"]
            assert {"/FontFile2", "/FontFile3"} & set(inner.get_object()["/FontDescriptor"].get_object())


def test_it_is_on_a4(reader):
    for sheet in reader.pages:
        assert float(sheet.mediabox.width) == pytest.approx(595.28, abs=0.1)
        assert float(sheet.mediabox.height) == pytest.approx(841.89, abs=0.1)


def test_every_page_says_which_document_it_belongs_to(reader):
    every = texts(reader)
    assert 5 <= len(every) <= 10
    for number, text in enumerate(every, start=1):
        assert "change-cartridges/KW-4 · Revision 1 of 2026-05-11" in text
        assert f"Page {number} of {len(every)}" in text
        assert "DRAFT" not in text


def test_every_page_of_a_draft_says_so():
    for text in texts(PdfReader(io.BytesIO(pdf(kw4.view(draft=True), {})))):
        assert "DRAFT — NOT PROVEN" in text


@pytest.mark.parametrize("extra", range(1, 14, 4))
def test_a_warning_is_never_parted_from_its_step(extra):
    plan = kw4.plan()
    filler = kw4.chain(*(kw4.do(f"fill-{i}", "Look at the frame from both sides.") for i in range(extra)))
    made = texts(PdfReader(io.BytesIO(pdf(kw4.view(replace(plan, frame=kw4.after(filler, plan.frame))), {}))))
    for name in ("sediment", "carbon"):
        (text,) = [t for t in made if f"Unscrew the {name}" in t]
        before = text[: text.index(f"Unscrew the {name}")]
        assert re.search(r"DANGER.*WARNING.*CAUTION.*Before this step", before)


@pytest.fixture(scope="module")
def deviating() -> PdfReader:
    step = "open-up/first/unscrew-housing"
    one = Deviated(
        "No tool is named.", "content/tools", step, "On order.", "Use a cloth.", "R. Imrie", "2027-03-31"
    )
    plan = kw4.with_facts(kw4.plan(), number="FP-1")
    made = kw4.view(plan, verdict=Verdict.SAFE_WITH_DEVIATIONS, deviations=(one,))
    return PdfReader(io.BytesIO(pdf(made, {})))


def test_a_deviation_is_named_on_every_page(deviating):
    for text in texts(deviating):
        assert "PROVEN WITH DEVIATIONS" in text
        assert "Deviation: step 9. Not valid after 2027-03-31." in text


def test_the_number_is_in_head_and_title(deviating):
    assert deviating.metadata
    assert deviating.metadata.title.endswith("KW-4 · FP-1 · PROVEN WITH DEVIATIONS")
    assert all("FP-1 · Revision 1 of 2026-05-11" in text for text in texts(deviating))


def test_nested_numbers_stay_whole():
    steps = kw4.chain(*(kw4.do(f"look/otherwise/s{i}", f"Do {i}.") for i in range(12)))
    look = kw4.check("look", "It is dry.", otherwise=Otherwise(steps, Continue()))
    many = kw4.chain(*(kw4.do(f"s{i}", "Look at it.") for i in range(57)), look)
    made = PdfReader(io.BytesIO(pdf(kw4.view(replace(kw4.plan(), frame=many, opens=())), {})))
    lines = [line.strip() for sheet in made.pages for line in sheet.extract_text().splitlines()]
    assert any(line.startswith("58.12") for line in lines)


def test_a_long_table_repeats_its_heads():
    table = sheets.change_point()
    long = replace(table, rows=table.rows * 60)
    made = texts(PdfReader(io.BytesIO(pdf(kw4.view(tables=(long,)), {}))))
    with_rows = [text for text in made if text.count("1.79 to 2.21") > 3]
    assert len(with_rows) > 1
    for said in ("Inlet gauge P1", "true, bar", "Only while water runs at normal flow."):
        assert all(said in text for text in with_rows)


@pytest.mark.parametrize("extra", range(2, 20, 8))
def test_a_table_is_not_parted_from_its_title(extra):
    due = tuple(f"Reason number {n}" for n in range(extra))
    made = texts(
        PdfReader(
            io.BytesIO(
                pdf(kw4.view(kw4.with_facts(kw4.plan(), due=due), tables=(sheets.change_point(),)), {})
            )
        )
    )
    page_of = next(text for text in made if sheets.change_point().title in text)  # its plot names it again
    assert "Only while water runs at normal flow." in page_of
    assert "3.19 to 3.61" in page_of


@pytest.mark.parametrize("extra", [36, 38, 40])
def test_the_head_of_the_steps_is_not_parted_from_the_first(extra):
    due = tuple(f"Reason number {n}" for n in range(extra))
    made = texts(PdfReader(io.BytesIO(pdf(kw4.view(kw4.with_facts(kw4.plan(), due=due)), {}))))
    (page_of,) = [text for text in made if "Work in the order of the numbers" in text]
    first = page_of.split("Work in the order of the numbers")[1]
    assert "After it:" in first


def test_the_record_sheet_stands_on_one_page(reader):
    (text,) = [text for text in texts(reader) if "Record sheet" in text]
    assert text.index("Record sheet") < text.index("Leak checks") < text.index("Signatures")


def test_all_signs_can_be_read_out(reader):
    whole = " ".join(texts(reader))
    assert all(sign in whole for sign in "●◐○→·")


def test_the_same_manual_is_the_same_bytes(content):
    time.sleep(1.1)  # a clock in the file would have moved on
    assert pdf(kw4.view(), {}) == content


@pytest.mark.parametrize(
    "address",
    ["file:///etc/passwd", "FILE:///etc/passwd", "http://127.0.0.1/x", "https://example.org/x", "ftp://x/y"],
)
def test_nothing_but_the_page_itself_is_read(address):
    with pytest.raises(RefusedAddressError, match="may not read"):
        fetcher().fetch(address)


def test_a_picture_cannot_pull_in_a_file(tmp_path):
    secret = tmp_path / "secret.png"
    secret.write_bytes(PNG)
    drawing = (
        '<svg xmlns="http://www.w3.org/2000/svg" width="10" height="10">'
        '<image href="ADDRESS" width="10" height="10"/></svg>'
    )
    plan = kw4.plan()
    first = replace(plan.frame.steps[0], figure=Picture("a.svg", "A drawing", kw4.AT))
    view = kw4.view(replace(plan, frame=replace(plan.frame, steps=(first, *plan.frame.steps[1:]))))
    plain = pdf(view, {"a.svg": drawing.replace("ADDRESS", "").encode()})
    made = pdf(view, {"a.svg": drawing.replace("ADDRESS", secret.as_uri()).encode()})
    assert made.count(b"/Subtype /Image") == plain.count(b"/Subtype /Image") == 0
