"""The PDF: tagged, whole, the same every time, and closed to the outside."""

from __future__ import annotations

import io
import re
import time
from dataclasses import replace
from typing import cast

import pytest
from pypdf import PdfReader

from proctool.model.plan import Picture
from proctool.render.pdf import RefusedAddressError, fetcher, pdf
from tests.render import kw4
from tests.render.test_html import PNG


@pytest.fixture(scope="module")
def content() -> bytes:
    return pdf(kw4.view(), {})


@pytest.fixture(scope="module")
def reader(content) -> PdfReader:
    return PdfReader(io.BytesIO(content))


def texts(reader: PdfReader) -> list[str]:
    return [" ".join(page.extract_text().split()) for page in reader.pages]


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
    assert kinds.count("/Table") == 2
    assert kinds.count("/TH") == 7 + 2 + 4 + 1
    assert kinds.count("/LI") > 40
    assert "/Figure" not in kinds


def test_pictures_carry_their_text():
    plan = kw4.plan()
    first = replace(plan.frame.steps[0], figure=Picture("figures/v1.png", "The valve V1", kw4.AT))
    view = kw4.view(replace(plan, frame=replace(plan.frame, steps=(first, *plan.frame.steps[1:]))))
    made = PdfReader(io.BytesIO(pdf(view, {"figures/v1.png": PNG})))
    assert [tag.get("/Alt") for tag in tags(made) if tag["/S"] == "/Figure"] == ["The valve V1"]


def test_every_font_is_inside(reader):
    for page in reader.pages:
        for font in page["/Resources"]["/Font"].values():
            (inner,) = font.get_object()["/DescendantFonts"]
            assert {"/FontFile2", "/FontFile3"} & set(inner.get_object()["/FontDescriptor"].get_object())


def test_it_is_on_a4(reader):
    for page in reader.pages:
        assert float(page.mediabox.width) == pytest.approx(595.28, abs=0.1)
        assert float(page.mediabox.height) == pytest.approx(841.89, abs=0.1)


def test_every_page_says_which_document_it_belongs_to(reader):
    every = texts(reader)
    assert 5 <= len(every) <= 9
    for number, text in enumerate(every, start=1):
        assert "change-cartridges/KW-4 · Revision 1 of 2026-05-11" in text
        assert f"Page {number} of {len(every)}" in text
        assert "DRAFT" not in text


def test_every_page_of_a_draft_says_so():
    for text in texts(PdfReader(io.BytesIO(pdf(kw4.view(draft=True), {})))):
        assert "DRAFT — NOT PROVEN" in text


@pytest.mark.parametrize("extra", range(0, 14, 2))
def test_a_warning_is_never_parted_from_its_step(extra):
    plan = kw4.plan()
    filler = kw4.chain(*(kw4.do(f"fill-{i}", "Look at the frame from both sides.") for i in range(extra)))
    made = texts(PdfReader(io.BytesIO(pdf(kw4.view(replace(plan, frame=kw4.after(filler, plan.frame))), {}))))
    for name in ("sediment", "carbon"):
        (text,) = [t for t in made if f"Unscrew the {name}" in t]
        before = text[: text.index(f"Unscrew the {name}")]
        assert re.search(r"DANGER.*WARNING.*CAUTION.*Before this step", before)


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
