"""The page as a file: whole, closed, well formed, readable."""

from __future__ import annotations

import base64
import hashlib
import re
from dataclasses import replace
from html.parser import HTMLParser
from importlib.resources import files
from itertools import pairwise

import pytest

from proctool.model.plan import Picture
from proctool.render import prose
from proctool.render.html import data_uri, page
from tests.render import kw4, sheets

PNG = base64.b64decode(
    "iVBORw0KGgoAAAANSUhEUgAAAAEAAAABCAYAAAAfFcSJAAAADUlEQVR42mNk+M9QDwADhgGAWjR9awAAAABJRU5ErkJggg=="
)
VOID = {"meta", "input", "img", "link", "br", "hr"}


class Outline(HTMLParser):
    """Tags and texts of a page, with a check that all that opens is closed."""

    def __init__(self, source: str) -> None:
        super().__init__()
        self.tags: list[tuple[str, dict[str, str | None]]] = []
        self.open: list[str] = []
        self.texts: list[str] = []
        self.feed(source)
        self.close()
        assert self.open == []

    def handle_starttag(self, tag, attrs):
        self.tags.append((tag, dict(attrs)))
        if tag not in VOID:
            self.open.append(tag)

    def handle_endtag(self, tag):
        assert self.open.pop() == tag

    def handle_data(self, data):
        if self.open[-1:] not in (["style"], ["script"], []):
            self.texts.append(data)

    def named(self, tag: str) -> list[dict[str, str | None]]:
        return [attributes for name, attributes in self.tags if name == tag]

    @property
    def text(self) -> str:
        return " ".join(" ".join(self.texts).split())


@pytest.fixture(scope="module", params=["screen", "paper"])
def source(request) -> str:
    return page(kw4.view(), {}, request.param)


@pytest.fixture(scope="module")
def outline(source) -> Outline:
    return Outline(source)


def test_the_language_and_the_title_are_said(outline):
    assert outline.named("html") == [{"lang": "en"}]
    assert "Change the sediment and carbon cartridges · KW-4" in outline.text


def test_headings_start_at_one_and_skip_no_level(outline):
    levels = [int(tag[1]) for tag, _ in outline.tags if re.fullmatch(r"h[1-6]", tag)]
    assert levels[0] == 1
    assert levels.count(1) == 1
    assert all(after <= before + 1 for before, after in pairwise(levels))


def test_every_table_head_says_what_it_heads(outline):
    assert {head["scope"] for head in outline.named("th")} == {"col", "row"}


def test_anchors_are_unique_and_every_link_leads_somewhere():
    outline = Outline(page(kw4.view(), {}))
    anchors = [attributes["id"] for _, attributes in outline.tags if "id" in attributes]
    links = [attributes["href"] for attributes in outline.named("a")]
    assert len(anchors) == len(set(anchors))
    assert len(links) > 6
    assert all(link and link.startswith("#") and link[1:] in anchors for link in links)


def test_nothing_is_asked_of_the_outside(source, outline):
    assert not {"link", "iframe", "object", "form"} & {tag for tag, _ in outline.tags}
    assert all(not attributes for attributes in outline.named("script"))
    assert all("style" not in attributes for _, attributes in outline.tags)
    assert not [a for _, attributes in outline.tags for a in attributes if a.startswith("on")]
    style = source[source.index("<style>") + 7 : source.index("</style>")]
    assert "@import" not in style
    assert all(address.startswith("data:") for address in re.findall(r"url\(\"?([^)\"]*)", style))


def test_the_policy_allows_this_style_and_this_script_and_nothing_else(source, outline):
    (policy,) = [m["content"] for m in outline.named("meta") if m.get("http-equiv")]
    script = f" script-src '{named(source, 'script')}';" if "<script>" in source else ""
    assert policy == (
        f"default-src 'none'; style-src '{named(source, 'style')}';{script} img-src data:; font-src data:; "
        "base-uri 'none'; form-action 'none'"
    )


def test_only_the_screen_has_a_script():
    assert page(kw4.view(), {}).count("<script>") == 1
    assert "<script" not in page(kw4.view(), {}, "paper")


def named(source: str, tag: str) -> str:
    """How a policy names the one style or script of a page."""
    inside = source[source.index(f"<{tag}>") + len(tag) + 2 : source.index(f"</{tag}>")]
    return f"sha256-{base64.b64encode(hashlib.sha256(inside.encode()).digest()).decode()}"


HOSTILE = (
    "<script>alert(1)</script> & <b onmouseover=x> [link](http://example.org) ![p](http://example.org/p.png)"
)


def test_texts_of_authors_stay_texts():
    plan = kw4.plan()
    first = replace(
        plan.frame.steps[0],
        text=HOSTILE,
        notes=(HOSTILE,),
        hold=HOSTILE,
        heading=(HOSTILE,),
        dangers=(kw4.danger("warning", HOSTILE, HOSTILE, HOSTILE),),
        figure=Picture('"><script>.png', HOSTILE, kw4.AT),
    )
    frame = replace(plan.frame, steps=(first, *plan.frame.steps[1:]))
    unit = replace(plan.unit, title=HOSTILE)
    hostile = replace(plan, title=HOSTILE, frame=frame, unit=unit)
    for figures in ({}, {'"><script>.png': PNG}):
        outline = Outline(page(kw4.view(hostile), figures))
        assert [tag for tag, _ in outline.tags if tag in {"script", "b"}] == ["script"]  # ours
        assert all("onmouseover" not in attributes for _, attributes in outline.tags)
        assert all((link["href"] or "").startswith("#") for link in outline.named("a"))
        assert outline.text.count("<script>alert(1)</script>") > 8


@pytest.mark.parametrize(
    ("text", "made"),
    [
        ("Turn it *once*.", "<p>Turn it <em>once</em>.</p>\n"),
        ("a\n\n- b\n- c", "<p>a</p>\n<ul>\n<li>b</li>\n<li>c</li>\n</ul>\n"),
        ("# Big", "<p># Big</p>\n"),
        ("[a](javascript:x)", "<p>[a](javascript:x)</p>\n"),
        ("<http://example.org>", "<p>&lt;http://example.org&gt;</p>\n"),
        ("![a](b.png)", "<p>![a](b.png)</p>\n"),
        ("<div>", "<p>&lt;div&gt;</p>\n"),
    ],
)
def test_prose_is_commonmark_without_what_could_harm(text, made):
    assert prose.block(text) == made


def test_pictures_are_in_the_page():
    plan = kw4.plan()
    first = replace(
        plan.frame.steps[0], figure=Picture("figures/v1.png", "The valve V1, left of the pump", kw4.AT)
    )
    view = kw4.view(replace(plan, frame=replace(plan.frame, steps=(first, *plan.frame.steps[1:]))))
    (image,) = Outline(page(view, {"figures/v1.png": PNG})).named("img")
    assert image == {
        "src": "data:image/png;base64," + base64.b64encode(PNG).decode(),
        "alt": "The valve V1, left of the pump",
    }
    outline = Outline(page(view, {}))
    assert not outline.named("img")
    assert "Picture figures/v1.png cannot be shown. It shows: The valve V1, left of the pump" in outline.text


@pytest.mark.parametrize(
    ("content", "kind"),
    [
        (PNG, "image/png"),
        (b"\xff\xd8\xff\xe0", "image/jpeg"),
        (b"RIFF1234WEBPVP8 ", "image/webp"),
        (b'<?xml version="1.0"?>\n<svg xmlns="http://www.w3.org/2000/svg"/>', "image/svg+xml"),
        (b"RIFF1234WAVEfmt ", None),
        (b"%PDF-1.7", None),
    ],
)
def test_kinds_of_pictures_are_told_by_their_bytes(content, kind):
    uri = data_uri(content)
    assert (uri is None) if kind is None else (uri or "").startswith(f"data:{kind};base64,")


def test_the_draft_mark_is_in_title_and_banner():
    outline = Outline(page(kw4.view(draft=True), {}))
    assert outline.text.count("DRAFT — NOT PROVEN") == 2
    assert "DRAFT" not in Outline(page(kw4.view(), {})).text


def test_the_same_manual_is_the_same_page():
    assert page(kw4.view(), {"a": PNG}) == page(kw4.view(), {"a": PNG})


def test_every_step_can_be_ticked_and_every_state_has_a_word():
    outline = Outline(page(kw4.view(), {}))
    ticks = [i["aria-label"] for i in outline.named("input") if i["type"] == "checkbox"]
    assert len(ticks) == 34 + 2 + 8  # main steps, two new O-rings, making safe once more
    assert "◐ water trapped (carbon housing)" in outline.text


def test_every_field_has_a_name_of_its_own():
    outline = Outline(page(kw4.view(tables=(sheets.change_point(),)), {}))
    names = [i["aria-label"] for i in outline.named("input")]
    assert len(set(names)) == len(names)
    assert "Reading, step 33 (bar)" in names
    assert "Signed, step 30" in names


def test_paper_has_lines_where_the_screen_has_fields():
    outline = Outline(page(kw4.view(), {}, "paper"))
    assert outline.named("input") == []
    lines = [a for _, a in outline.tags if a.get("class") == "blank-line"]
    assert len(lines) > 20


def test_a_table_has_heads_over_all_its_columns():
    outline = Outline(page(kw4.view(tables=(sheets.change_point(),)), {}))
    spans = [int(h["colspan"] or 0) for h in outline.named("th") if "colspan" in h]
    assert spans == [6, 3, 3]  # the condition; bar, psi and true value of each
    assert "Only while water runs at normal flow." in outline.text


def test_where_it_is_due_leads_to_the_table():
    plan = kw4.with_facts(kw4.plan(), due=("table change_point",))
    outline = Outline(page(kw4.view(plan, tables=(sheets.change_point(),)), {}))
    assert "#table-change_point" in [link["href"] for link in outline.named("a")]
    assert "table-change_point" in [a.get("id") for _, a in outline.tags]


# ------------------------------------------------------------------------------------------ colours


def luminance(colour: str) -> float:
    """Relative luminance (WCAG 2.2)."""
    parts = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(a: str, b: str) -> float:
    light, dark = sorted((luminance(a), luminance(b)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def palettes() -> list[dict[str, str]]:
    folder = files("proctool.render") / "templates"
    css = "".join((folder / name).read_text(encoding="utf-8") for name in ("manual.css", "screen.css"))
    return [
        dict(re.findall(r"--(\w+): (#[0-9a-f]{6})", block)) for block in re.findall(r":root \{([^}]*)\}", css)
    ]


def test_contrast_is_computed_as_published():
    assert contrast("#000000", "#ffffff") == pytest.approx(21)
    assert contrast("#767676", "#ffffff") == pytest.approx(4.542, abs=0.001)


@pytest.mark.parametrize("palette", palettes())
def test_texts_and_edges_stand_out(palette):
    for ground in ("paper", "tint"):
        for text in ("ink", "soft", "live", "trapped", "zero", "link", "stop"):
            assert contrast(palette[text], palette[ground]) >= 4.5, (text, ground)
        assert contrast(palette["edge"], palette[ground]) >= 3


def test_there_is_a_light_a_dark_and_a_printed_palette():
    assert len(palettes()) == 3


def test_signal_words_stand_out():
    css = (files("proctool.render") / "templates" / "manual.css").read_text(encoding="utf-8")
    found = re.findall(r"\.(\w+) \.signal \{ background-color: (#\w{6}); color: (#\w{6}); \}", css)
    assert [name for name, _, _ in found] == ["danger", "warning", "caution", "notice"]
    assert all(contrast(ground, text) >= 4.5 for _, ground, text in found)
