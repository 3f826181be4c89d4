"""What could go wrong beyond slips of the pen: names, cycles, links, numbers, levels, markup, sizes.

Each is told shortly with its place, ends with exit code 1 (2 where nothing can be written), and leaves no
manual behind that stands on it.
"""

import re

import pytest

from tests.cli.plant import BLOCK, PROCEDURE, SITE, call, faults, written
from tests.cli.test_bad_input import short

P, B, K, L = "change-filter.yaml", "units/f-base.yaml", "blocks/make-safe.yaml", "library.yaml"
U = "units/f-1.yaml"
BOTH = ["change-filter/F-1.html", "change-filter/F-2.html", *SITE]


@pytest.fixture
def library(tmp_path):
    """Writes the plant with changes and further files, and says where."""
    return lambda *changes, **more: written(tmp_path / "library", *changes, **more)


def place(folder, file, text):
    """Where something stands in a file, as a finding tells it: what follows `»` in a piece of its text."""
    before, _, after = text.partition("»")
    whole = (folder / file).read_text(encoding="utf-8")
    assert whole.count(before + after) == 1, (file, text)
    at = whole.index(before + after) + len(before)
    line = whole.count("\n", 0, at) + 1
    return f"{file}:{line}:{at - whole.rfind(chr(10), 0, at)}"


def told(folder, where, rule, message):
    """That a library has one error, at a place, with a message."""
    said = short(call("check", folder))
    assert (said.code, said.err) == (1, "")
    assert [found for found in faults(said.out) if found[1] == "error"] == [(where, "error", rule)]
    assert message in " ".join(said.out.split()), said.out


def built(folder, code=1):
    """The files that `build` writes of a library."""
    to = folder.parent / "out"
    assert short(call("build", folder, "--to", to, "--formats", "html")).code == code
    return sorted(path.relative_to(to).as_posix() for path in to.rglob("*") if path.is_file())


BARE = """\
unit: X
title: Unit without lines
family: F
energies: {water: {form: liquid_pressure, normal: 4 bar, safe: 0 bar}}
parts: {first: {role: component, name: housing}}
"""


@pytest.mark.parametrize(
    ("text", "where", "message"),
    [
        (BARE, "1:1", "A unit file needs `lines`."),
        (BARE + "lines: {}\n", "1:7", "Unit `X` has no `lines`."),
        ("unit: X\ntitle: X\nbased_on: f-base\nwithout: [main, out]\n", "1:7", "Unit `X` has no `lines`."),
    ],
    ids=["not said", "empty", "all taken away"],
)
def test_a_unit_without_lines(library, text, where, message):
    """Whatever is done to it would be safe, for want of anything that could be live."""
    folder = library(units__x=text)
    told(folder, f"units/x.yaml:{where}", "file/schema", message)
    assert built(folder) == BOTH


@pytest.mark.parametrize(
    ("file", "old", "key"),
    [
        (P, "procedure: change-filter", "procedure: "),
        (U, "unit: F-1", "unit: "),
        (K, "block: make-safe", "block: "),
        (P, "    id: renew", "    id: "),
    ],
    ids=["procedure", "unit", "block", "step"],
)
class TestNames:
    """Names become names of files: nothing in them may lead elsewhere, hide, or be too long to be written."""

    @pytest.mark.parametrize(
        "name", ["../up", "a/b", "..", ".hidden", "-x", "a b", "'C:\\x'", "ä", "x.html", '"a\\nb"', "a" * 65]
    )
    def test_that_are_none(self, library, file, old, key, name):
        folder = library((file, old, key + name))
        said = short(call("check", folder))
        assert said.code == 1
        assert faults(said.out)[0] == (place(folder, file, f"{key}»{name}"), "error", "file/schema")
        assert "must be a name (letters, digits, `-` and `_`)" in " ".join(said.out.split())
        assert not {"up", "up.html", "b.html"} & {path.name for path in folder.parent.rglob("*")}
        assert all(file.startswith("change-filter/F-") or file in SITE for file in built(folder))

    @pytest.mark.parametrize("sign", ["\\x07", "\\x1b[31m", "\\0", "\\u202e", "\\x7f"])
    def test_with_signs_that_no_editor_shows(self, library, file, old, key, sign):
        folder = library((file, old, f'{key}"a{sign}b"'))
        said = short(call("check", folder))
        assert said.code == 1
        assert faults(said.out)[0] == (place(folder, file, f'{key}»"a'), "error", "file/yaml")
        assert f"{file}\n  error     This text holds a sign that no editor shows" in said.out
        assert all(sign.isprintable() for sign in said.out.replace("\n", ""))


@pytest.mark.parametrize(
    ("more", "where", "message"),
    [
        (
            {"other": PROCEDURE.replace("change-filter", "Change-Filter")},
            "other.yaml:1:12",
            "`Change-Filter` and `change-filter` (change-filter.yaml) differ in case only.",
        ),
        (
            {"units__z": "unit: f-1\ntitle: Z\nbased_on: f-base\n"},
            "units/z.yaml:1:7",
            "`f-1` and `F-1` (units/f-1.yaml) differ in case only.",
        ),
        (
            {"z": BLOCK.replace("make-safe", "Make-Safe")},
            "z.yaml:1:8",
            "`Make-Safe` and `make-safe` (blocks/make-safe.yaml) differ in case only.",
        ),
    ],
    ids=["procedures", "units", "blocks"],
)
def test_names_that_differ_in_case_only(library, more, where, message):
    """On many machines they would be one file, and the one written last would win."""
    folder = library(**more)
    told(folder, where, "file/schema", message)
    assert built(folder) == BOTH


def test_names_of_parts_that_differ_in_case_only(library):
    """They name no file; each is itself."""
    folder = library(
        (B, "  tap:    {role: outlet", "  First: {role: component, name: trap}\n  tap:    {role: outlet")
    )
    assert "case" not in call("check", folder).out


class TestCycles:
    def test_of_blocks(self, library):
        folder = library(
            (P, "  - use: make-safe\n  - do", "  - use: a\n  - use: make-safe\n  - do"),
            a="block: a\ntitle: A\nsteps: [{use: b}]\n",
            b="block: b\ntitle: B\nsteps: [{use: c}]\n",
            c="block: c\ntitle: C\nsteps: [{use: a}]\n",
        )
        where = place(folder, "c.yaml", "use: »a")
        told(folder, where, "file/cycle", "Blocks need each other: a → b → c → a.")
        assert built(folder) == []

    def test_of_bases(self, library):
        folder = library(
            (U, "based_on: f-base", "based_on: a"),
            units__a="base: a\nbased_on: b\nfamily: F\n",
            units__b="base: b\nbased_on: a\n",
        )
        where = place(folder, "units/b.yaml", "based_on: »a")
        told(folder, where, "file/cycle", "Bases need each other: a → b → a. Cut one `based_on`.")
        assert built(folder) == [file for file in BOTH if "F-1" not in file]

    @pytest.mark.parametrize(
        ("profiles", "shown"),
        [
            ({"one": "profile: one\nbased_on: one\n"}, "one → one."),
            (
                {"two": "profile: two\nbased_on: one\n", "one": "profile: one\nbased_on: two\n"},
                "one → two → one.",
            ),
        ],
        ids=["of one", "of two"],
    )
    def test_of_profiles(self, library, profiles, shown):
        folder = library((L, "language: en\n", "language: en\nprofile: one\n"), **profiles)
        where = place(folder, f"{next(iter(profiles))}.yaml", "based_on: »one")
        told(folder, where, "file/cycle", f"Profiles need each other: {shown}")
        assert built(folder) == []


class TestOutOfTheLibrary:
    """Nothing outside the folder is read, by whatever way it is named."""

    @pytest.mark.parametrize(
        ("file", "message"),
        [
            ("../../etc/passwd", "`../../etc/passwd` leads out of the library. Put the picture into"),
            ("/etc/passwd", "`/etc/passwd` leads out of the library."),
            ("figures/../../secret.png", "leads out of the library."),
            ("figures/link.png", "`figures/link.png` leads out of the library."),
            ("figures/away/secret.png", "leads out of the library."),
            ("figures/circle.png", "`figures/circle.png` is a link that leads back to itself."),
            ("figures/none.png", "There is no picture `figures/none.png` in the library."),
            ("figures", "There is no picture `figures` in the library."),
            ("https://example.com/x.png", "There is no picture `https://example.com/x.png` in the library."),
            (f"{'x' * 5000}.png", "xxx.png` cannot be read: file name too long."),
            ("library.yaml", "`library.yaml` is no PNG, JPEG, GIF, WebP or SVG picture."),
        ],
    )
    def test_figures(self, library, file, message):
        folder = library((P, "    id: renew\n", f"    id: renew\n    figure: {{file: {file}, alt: It}}\n"))
        (folder / "figures").mkdir()
        (folder.parent / "secret.png").write_bytes(b"\x89PNG\r\n\x1a\nsecret")
        (folder / "figures/link.png").symlink_to(folder.parent / "secret.png")
        (folder / "figures/away").symlink_to(folder.parent)
        (folder / "figures/circle.png").symlink_to(folder / "figures/circle.png")
        told(folder, place(folder, P, f"file: »{file}"), "file/figure", message)
        assert built(folder) == []

    @pytest.mark.parametrize(
        ("link", "to", "message"),
        [
            (
                "units/f-9.yaml",
                "../../secret.yaml",
                "This link leads out of the library and is not followed.",
            ),
            ("more", "../", "This link leads out of the library and is not followed."),
            ("units/f-9.yaml", "nowhere.yaml", "This link leads to nothing. Mend it, or take it away."),
            ("units/f-9.yaml", "f-9.yaml", "This link leads to nothing. Mend it, or take it away."),
        ],
        ids=["file", "folder", "nowhere", "circle"],
    )
    def test_links(self, library, link, to, message):
        folder = library()
        (folder.parent / "secret.yaml").write_text("unit: F-9\ntitle: Secret\nbased_on: f-base\n")
        (folder / link).symlink_to(to)
        told(folder, f"{link}:1:1", "file/limit", message)
        assert "Secret" not in call("check", folder, "--all").out
        assert built(folder) == BOTH


TABLE = """\
people: [technician]
tables:
  soak:
    fixed: {zero: 0, p: 3 bar, t: 5 min}
    answer: {time: {is: FORMULA, round: up to 1 s, safe_side: high}}
"""


class TestNumbers:
    @pytest.mark.parametrize(
        ("formula", "rule", "message"),
        [
            ('"»t / zero"', "file/quantity", "At character 1, `t / zero`: this divides by zero."),
            ('"t * »(p / p - 1) ** -1"', "file/quantity", "this divides by zero."),
            ('"t * »10 ** 1000000"', "file/quantity", "the exponent is too large; at most 64."),
            ('"t * 9 ** »9 ** 9 ** 9"', "file/quantity", "the exponent is too large; at most 64."),
            ('"t * »exp(1000000)"', "file/quantity", "`exp` takes numbers from -690 to 690."),
            ('"t * »1e99"', "file/schema", "has an exponent; write the number out."),
            ('"»p + t"', "tables/measures", "pressure and time cannot be added."),
            (
                '»"p"',
                "tables/measures",
                "The formula gives pressure; the column is told in `s`, which is time.",
            ),
            ('"»t ** p"', "tables/measures", "an exponent is a bare number; found pressure."),
            ('"t + 3 »furlong"', "file/quantity", "`furlong` is not a measure that is known here."),
            ('"»tt"', "graph/unknown-name", "At character 1, `tt`: `tt` is no name that is known here."),
            ("\"»__import__('os')\"", "graph/unknown-name", "`__import__` is no name that is known here."),
            (f'"t * {"(" * 25}»{"(" * 99}1"', "file/schema", "at most 24 brackets, signs and powers"),
            ('"t + »"', "file/schema", "the formula ends too early; expected a number, a name or `(`."),
        ],
    )
    def test_formulas(self, library, formula, rule, message):
        text = TABLE.replace("FORMULA", formula.replace("»", ""))
        folder = library((P, "people: [technician]\n", text))
        told(folder, place(folder, P, f"is: {formula}"), rule, message)
        assert ".." not in call("check", folder).out
        assert built(folder) == []

    def test_too_many_rows(self, library):
        rows = "    readings: {x: {rows: 0 to 9 bar by 0.001 bar}}\n    answer:"
        text = TABLE.replace("    answer:", rows).replace("FORMULA", "t")
        folder = library((P, "people: [technician]\n", text))
        where = place(folder, P, "rows: »0 to 9")
        told(folder, where, "file/limit", "These are 9,001 rows; a table has at most 500.")

    @pytest.mark.parametrize(
        ("file", "old", "new", "message"),
        [
            (
                B,
                "normal: 4 bar",
                "normal: »4 baar",
                "`baar` is not a measure that is known here. Did you mean",
            ),
            (B, "division: 0.1 bar", "division: »0.1 Bar", "`Bar` is not a measure that is known here."),
            (B, "normal: 4 bar", f"normal: »{'9' * 3000} bar", "This is longer than 80 characters"),
            (P, "for: 2 min", "for: »2 minn", "`2 minn` cannot be read: `minn` is not a measure"),
            (P, "for: 2 min", "for: »2 bar", "`2 bar` is pressure; expected a duration such as `40 min`."),
            (P, "for: 2 min", "for: »-2 min", "`-2 min` is no duration: expected more than 0."),
            (P, "time: 10 min", "time: »10", "`10` is a bare number; expected a duration such as `40 min`."),
            (P, "time: 10 min", "time: »10 minn", "`minn` is not a measure that is known here."),
            (P, "{every: 6 months}", "{every: »6 monthz}", "`monthz` is not a measure that is known here."),
            (L, "[bar, psi]", "[bar, »furlong]", "`furlong` is not a measure that is known here."),
            (L, "[bar, psi]", "[bar, »°C]", "`°C` stands under `pressure` and belongs under `temperature`."),
        ],
    )
    def test_measures(self, library, file, old, new, message):
        folder = library((file, old, new.replace("»", "")))
        told(folder, place(folder, file, new), "file/quantity", message)
        assert built(folder) == []

    def test_a_table_that_is_not_there(self, library):
        folder = library(
            (P, "due: [{every: 6 months}]", "due: [{table: soka}]"),
            (P, "people: [technician]\n", TABLE.replace("FORMULA", "t")),
        )
        where = place(folder, P, "table: »soka")
        told(
            folder,
            where,
            "graph/unknown-name",
            "There is no table `soka` in this procedure. Did you mean `soak`?",
        )
        assert built(folder) == []


DEVIATION = """\
people: [technician]
deviations:
  - {rule: RULE, part: first, why: Because., instead: Something else., by: A. Nyone, until: UNTIL}
"""


class TestLevels:
    """What decides on levels holds for every manual; with an error in it none is written."""

    @pytest.mark.parametrize(
        ("new", "rule", "message"),
        [
            (
                "levels: {»leak/uncheckd: advice}",
                "graph/unknown-name",
                "no rule `leak/uncheckd`. Did you mean `leak/unchecked`?",
            ),
            (
                "levels: {leak/unchecked: »mild}",
                "file/schema",
                "must be `error`, `warning`, `advice` or `off`; found `mild`.",
            ),
            (
                "levels: {»energy/opened-live: advice}",
                "file/schema",
                "`energy/opened-live` keeps its level: it guards people.",
            ),
            (
                "levels: {leak/unchecked: »off}",
                "file/schema",
                "`leak/unchecked` cannot be off; it may be a warning or advice.",
            ),
            ("profile: »us_genral_industry", "graph/unknown-name", "Did you mean `us_general_industry`?"),
        ],
    )
    def test_of_the_library(self, library, new, rule, message):
        folder = library((L, "language: en\n", f"language: en\n{new.replace('»', '')}\n"))
        told(folder, place(folder, L, new), rule, message)
        assert built(folder) == []

    def test_a_profile_that_stands_on_none(self, library):
        folder = library(
            (L, "language: en\n", "language: en\nprofile: ours\n"), ours="profile: ours\nbased_on: housold\n"
        )
        where = place(folder, "ours.yaml", "based_on: »housold")
        told(folder, where, "graph/unknown-name", "There is no profile `housold`. Did you mean `household`?")
        assert built(folder) == []

    @pytest.mark.parametrize(
        ("name", "until", "rule", "message"),
        [
            (
                "energy/opened-live",
                "2030-01-31",
                "file/schema",
                "takes no deviation: it guards against what hurts",
            ),
            ("leak/uncheckd", "2030-01-31", "graph/unknown-name", "Did you mean `leak/unchecked`?"),
            (
                "leak/unchecked",
                "2030-02-31",
                "file/schema",
                "Found `2030-02-31` for `until`; expected a date",
            ),
        ],
    )
    def test_deviations(self, library, name, until, rule, message):
        text = DEVIATION.replace("RULE", name).replace("UNTIL", until)
        folder = library((P, "people: [technician]\n", text))
        told(folder, place(folder, P, f"rule: »{name}"), rule, message)
        assert built(folder) == []

    def test_an_error_of_the_unit_stops_its_manuals(self, library):
        folder = library((B, "place: left, ", ""))
        where = place(folder, B, "»inlet:")
        told(folder, where, "unit/isolator-unnamed", "The inlet valve V1 isolates, but has no `place`.")
        assert built(folder) == []
        said = call("build", folder, "--to", folder.parent / "out", "--formats", "html")
        assert "refused  change-filter on F-1: has errors. `proctool check` says why.\n" in said.out


SCRIPT = "<script>x()</script>"
SAFE = "&lt;script&gt;x()&lt;/script&gt;"


class TestMarkup:
    """A text is a text: no tag, address or template in it comes to life in a manual."""

    MARKUP = (
        f'{SCRIPT} <b onclick="x()">b</b> {{{{ 7*7 }}}} {{% raw %}} [l](javascript:x()) ![i](http://a/x.png)'
    )

    @pytest.fixture
    def full(self, library):
        """The plant with a script in every text that is no instruction."""
        table = (
            f"tables:\n  t:\n    title: T {SCRIPT}\n    while: W {SCRIPT}\n"
            f"    answer: {{a: {{title: A {SCRIPT}, is: 5 min, round: up to 1 min, safe_side: high}}}}\n"
        )
        return library(
            (L, "library: Small plant", f"library: {SCRIPT}"),
            (L, "service technician", f"man {SCRIPT}"),
            (L, "strap wrench", f"wrench {SCRIPT}"),
            (L, "housing O-ring", f"ring {SCRIPT}"),
            (B, "name: filter housing", f"name: housing {SCRIPT}"),
            (B, "tag: V1", f"tag: V1{SCRIPT}"),
            (B, "place: left", f"place: left {SCRIPT}"),
            (B, "hazard: Water under pressure.", f"hazard: Water {SCRIPT}."),
            (B, "5 micron cartridge", f"cartridge {SCRIPT}"),
            (U, "title: Filter 1", f"title: Filter {SCRIPT}"),
            (U, "drawing: D-1", f"drawing: D-1 {SCRIPT}"),
            (P, "title: Change the filter", f"title: Change {SCRIPT}"),
            (P, "time: 10 min", f"time: about {SCRIPT}"),
            (P, "due: [", f"due: [on failure {SCRIPT}, "),
            (P, "by: A. Nyone, why: First issue", f"by: A. {SCRIPT}, why: First {SCRIPT}"),
            (P, "people: [technician]\n", f"people: [technician]\n{table}"),
        )

    def test_in_html(self, full):
        assert built(full, code=0) == BOTH
        for file in BOTH:
            page = (full.parent / "out" / file).read_text(encoding="utf-8")
            assert SCRIPT not in page and SAFE in page
        page = (full.parent / "out" / BOTH[0]).read_text(encoding="utf-8")
        words = [
            *("man ", "wrench ", "ring ", "housing ", "V1", "left ", "Water ", "cartridge ", "Filter "),
            *("D-1 ", "Change ", "about ", "On failure ", "A. ", "First ", "T ", "W ", "A "),
        ]
        assert [word for word in words if word + SAFE not in page] == []

    def test_in_pdf(self, full):
        from pypdf import PdfReader

        said = call("build", full, "--to", full.parent / "out", "--formats", "pdf", "--unit", "F-1")
        assert said.code == 0
        reader = PdfReader(full.parent / "out/change-filter/F-1.pdf")
        text = "".join("".join(page.extract_text().split()) for page in reader.pages)
        assert f"Change{SCRIPT}" in text and f"Water{SCRIPT}" in text
        assert not [key for key in ("/JavaScript", "/JS", "/OpenAction", "/AA") if key in reader.root_object]

    def test_in_an_instruction_a_tag_is_a_name_that_is_not_known(self, library):
        folder = library((P, "Put in a new <first.cartridge>.", "Put in a new <b>cartridge</b>."))
        said = short(call("check", folder))
        assert said.code == 1
        assert faults(said.out)[0] == (place(folder, P, "new »<b>"), "error", "graph/unknown-name")
        assert "  error     `b` is no name" in said.out
        assert built(folder) == []

    @pytest.mark.parametrize("key", ["do", "note"])
    def test_in_an_instruction_what_is_escaped_stays_text(self, library, key):
        text = self.MARKUP.replace("<", "\\<")
        line = {"do": "  - do: Put in a new <first.cartridge>.\n", "note": "    id: renew\n"}[key]
        new = f"  - do: >-\n      {text}\n" if key == "do" else f"{line}    note: >-\n      {text}\n"
        folder = library((P, line, new))
        assert built(folder, code=0) == BOTH
        page = (folder.parent / "out" / BOTH[0]).read_text(encoding="utf-8")
        assert SAFE in page and "&lt;b onclick=" in page
        assert "{{ 7*7 }}" in page and "{% raw %}" in page
        assert not re.search(r"""<b[ >]|href=["']?javascript|src=["']?http|<[^>]*onclick""", page)

    def test_a_picture_with_a_script_is_refused(self, library):
        folder = library((P, "    id: renew\n", "    id: renew\n    figure: {file: p.svg, alt: It}\n"))
        (folder / "p.svg").write_text(
            f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 9 9" onload="x()">{SCRIPT}'
            '<image href="file:///etc/passwd" width="9" height="9"/></svg>'
        )
        said = call("check", folder, "--unit", "F-1")
        assert said.code == 1
        assert "file/figure" in said.out
        assert call("build", folder, "--to", folder.parent / "out", "--unit", "F-1").code == 1
        assert not (folder.parent / "out" / BOTH[0]).exists()


class TestFolders:
    @pytest.mark.parametrize("command", [["build"], ["build", "--formats", "html", "--unit", "F-1"]])
    def test_under_a_plain_file(self, library, command):
        folder = library()
        (folder.parent / "file").write_text("kept")
        said = short(call(*command, folder, "--to", folder.parent / "file" / "deep" / "out"))
        assert (said.code, said.out) == (2, "")
        assert said.err.startswith(f"proctool: Cannot write to {folder.parent / 'file'}")
        assert said.err.count("\n") == 1
        assert (folder.parent / "file").read_text() == "kept"
        assert {path.name for path in folder.parent.iterdir()} == {"file", "library"}

    def test_where_a_folder_stands_in_the_way_of_a_manual(self, library):
        folder = library()
        (folder.parent / "out/change-filter/F-1.html/kept").mkdir(parents=True)
        said = short(call("build", folder, "--to", folder.parent / "out", "--formats", "html"))
        assert (said.code, said.out) == (2, "")
        assert said.err.startswith("proctool: Cannot write to ")
        left = {path.name for path in (folder.parent / "out").rglob("*")}
        assert left == {"change-filter", "F-1.html", "kept"}


def test_three_hundred_steps(library):
    """Nothing is wrong with a long procedure."""
    steps = "".join(f"  - do: Look at the <first> in round {n}.\n    id: look-{n}\n" for n in range(300))
    folder = library((P, "  - use: make-safe\n  - do", f"{steps}  - use: make-safe\n  - do"))
    said = call("check", folder)
    assert said.code == 0 and said.out.endswith("2 of 2 proven safe.\n")
    assert built(folder, code=0) == BOTH
    page = (folder.parent / "out/change-filter/F-1.html").read_text(encoding="utf-8")
    assert all(f"in round {n}." in page for n in range(300))
