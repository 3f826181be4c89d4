"""`proctool build`: whole files or none, nothing unsafe without a mark, nothing in the way of others."""

import os

import pytest

from tests.cli.plant import SITE, call, run, written

UNSAFE = ("change-filter.yaml", "  - use: make-safe\n  - do: Unscrew", "  - do: Unscrew")
UNKNOWN = ("change-filter.yaml", "    open: first\n", "    open: frist\n")
HTML = ("--formats", "html")


def files(folder):
    return sorted(path.relative_to(folder).as_posix() for path in folder.rglob("*") if path.is_file())


def build(tmp_path, *args, changes=(), to=None):
    library = written(tmp_path / "library", *changes)
    return call("build", library, "--to", to or tmp_path / "out", *args)


def test_it_writes_pages_sheets_cards_and_an_index(tmp_path):
    said = build(tmp_path)
    assert (said.code, said.err) == (0, "")
    assert files(tmp_path / "out") == [
        "change-filter/F-1.card.pdf",
        "change-filter/F-1.html",
        "change-filter/F-1.pdf",
        "change-filter/F-2.card.pdf",
        "change-filter/F-2.html",
        "change-filter/F-2.pdf",
        *SITE,
    ]
    page = (tmp_path / "out/change-filter/F-1.html").read_text(encoding="utf-8")
    assert page.startswith("<!DOCTYPE html>") and page.rstrip().endswith("</html>")
    assert "Change the filter" in page and "Filter 1" in page
    pdf = (tmp_path / "out/change-filter/F-1.pdf").read_bytes()
    assert pdf.startswith(b"%PDF-") and pdf.rstrip().endswith(b"%%EOF")
    assert said.out.count("written  ") == 7


def test_only_what_is_asked_for(tmp_path):
    said = build(tmp_path, *HTML, "--unit", "F-2", "--procedure", "change-filter")
    assert said.code == 0
    assert files(tmp_path / "out") == ["change-filter/F-2.html"]


def test_the_files_can_be_read_by_others(tmp_path):
    build(tmp_path, *HTML)
    assert (tmp_path / "out/index.html").stat().st_mode & 0o777 == 0o644


def test_building_again_gives_the_same_bytes(tmp_path):
    pages = []
    for _ in range(2):
        build(tmp_path, *HTML)
        pages.append({f: (tmp_path / "out" / f).read_bytes() for f in files(tmp_path / "out")})
    assert pages[0] == pages[1]


class TestRefusal:
    def test_what_is_unsafe_is_not_written(self, tmp_path):
        said = build(tmp_path, *HTML, changes=[UNSAFE])
        assert said.code == 1
        assert said.out == "".join(
            f"refused  change-filter on {unit}: unsafe. `proctool check` says why.\n"
            for unit in ("F-1", "F-2")
        )
        assert not (tmp_path / "out").exists()

    @pytest.mark.parametrize("draft", [(), ("--draft",)])
    def test_what_cannot_be_resolved_is_not_written_at_all(self, tmp_path, draft):
        said = build(tmp_path, *HTML, *draft, changes=[UNKNOWN])
        assert said.code == 1
        assert "refused  change-filter on F-1: unproven." in said.out
        assert not (tmp_path / "out").exists()

    def test_one_that_is_not_proven_is_refused(self, tmp_path):
        assert build(tmp_path, *HTML, "--budget", "3").code == 1
        assert not (tmp_path / "out").exists()

    def test_levels_of_the_library_do_not_let_it_pass(self, tmp_path):
        levels = (
            "library.yaml",
            "language: en\n",
            "language: en\nlevels: {energy/opened-unproven: advice}\n",
        )
        unproven = ("blocks/make-safe.yaml", "      - verify_zero: part\n", "      - check: Look at it.\n")
        said = build(tmp_path, *HTML, changes=[levels, unproven])
        assert said.code == 1
        assert not (tmp_path / "out").exists()

    def test_a_draft_is_marked_on_every_page(self, tmp_path):
        said = build(tmp_path, "--draft", "--unit", "F-1", changes=[UNSAFE])
        assert said.code == 0
        made = ("card.pdf", "html", "pdf")
        assert files(tmp_path / "out") == [f"change-filter/F-1.{ending}" for ending in made]
        drafted = (tmp_path / "out/change-filter/F-1.html").read_text(encoding="utf-8")
        build(tmp_path, *HTML)
        clean = (tmp_path / "out/change-filter/F-1.html").read_text(encoding="utf-8")
        assert "DRAFT" in drafted and "DRAFT" not in clean

    def test_a_draft_of_what_is_safe_is_marked_too(self, tmp_path):
        build(tmp_path, *HTML, "--draft", "--unit", "F-1")
        assert "DRAFT" in (tmp_path / "out/change-filter/F-1.html").read_text(encoding="utf-8")

    def test_the_mark_of_a_draft_is_on_every_sheet_of_paper(self, tmp_path):
        from pypdf import PdfReader

        build(tmp_path, "--formats", "pdf", "--draft", "--unit", "F-1", changes=[UNSAFE])
        pages = PdfReader(tmp_path / "out/change-filter/F-1.pdf").pages
        assert len(pages) > 1
        assert all("draft" in page.extract_text().lower() for page in pages)


class TestFolders:
    def test_a_target_under_a_plain_file(self, tmp_path):
        (tmp_path / "file").write_text("kept")
        said = build(tmp_path, *HTML, to=tmp_path / "file" / "out")
        assert (said.code, said.out) == (2, "")
        assert said.err.startswith(f"proctool: Cannot write to {tmp_path / 'file'}")
        assert said.err.endswith(". Choose another folder with --to.\n") and said.err.count("\n") == 1
        assert (tmp_path / "file").read_text() == "kept"
        assert files(tmp_path) == sorted(["file", *(f"library/{f}" for f in files(tmp_path / "library"))])

    def test_a_target_that_is_a_plain_file(self, tmp_path):
        (tmp_path / "out").write_text("kept")
        said = build(tmp_path, *HTML)
        assert said.code == 2
        assert (tmp_path / "out").read_text() == "kept"

    @pytest.mark.skipif(os.geteuid() == 0, reason="the superuser may write anywhere")
    def test_a_folder_that_may_not_be_written_to(self, tmp_path):
        (tmp_path / "out").mkdir(mode=0o555)
        said = build(tmp_path, *HTML)
        assert said.code == 2
        assert "Permission denied" in said.err

    def test_existing_files_stay_whole_when_writing_fails(self, tmp_path, monkeypatch):
        build(tmp_path, *HTML)
        out = tmp_path / "out"
        before = {f: (out / f).read_bytes() for f in files(out)}

        def full(self, target):
            raise OSError(28, "No space left on device", str(target))

        monkeypatch.setattr("pathlib.Path.replace", full)
        changed = ("change-filter.yaml", "title: Change the filter", "title: Renew the filter")
        said = build(tmp_path, *HTML, changes=[changed])
        assert said.code == 2
        assert "No space left on device" in said.err
        assert {f: (out / f).read_bytes() for f in files(out)} == before, "and no piece is left behind"

    def test_what_else_is_in_the_folder_is_left_alone(self, tmp_path):
        (tmp_path / "out").mkdir()
        for name in (".gitignore", "notes.txt"):
            (tmp_path / "out" / name).write_text("mine")
        build(tmp_path, *HTML)
        assert all((tmp_path / "out" / name).read_text() == "mine" for name in (".gitignore", "notes.txt"))

    def test_build_is_the_folder_unless_another_is_named(self, tmp_path):
        written(tmp_path / "procedures")
        (tmp_path / "build").mkdir()
        (tmp_path / "build" / ".gitignore").write_text("*\n!.gitignore\n")
        said = run("build", *HTML, cwd=tmp_path)
        assert (said.code, said.err) == (0, "")
        assert files(tmp_path / "build") == [
            ".gitignore",
            "change-filter/F-1.html",
            "change-filter/F-2.html",
            *SITE,
        ]
        assert (tmp_path / "build" / ".gitignore").read_text() == "*\n!.gitignore\n"
        again = run("check", cwd=tmp_path)
        assert again.code == 0, "what was built is no part of the library"


@pytest.mark.parametrize("formats", ["docx", "html,docx", "", ","])
def test_an_unknown_format(tmp_path, formats):
    said = build(tmp_path, "--formats", formats)
    assert (said.code, said.out) == (2, "")
    assert said.err == (
        f"proctool: `--formats {formats}`: expected one or more of card, html, pdf, tables, "
        "joined by commas.\n"
    )


def test_nothing_to_build(tmp_path):
    library = written(tmp_path / "library")
    (library / "change-filter.yaml").unlink()
    said = call("build", library, "--to", tmp_path / "out")
    assert said.code == 1
    assert said.out == "Nothing to build: no procedure here is for a unit of this library.\n"
    assert not (tmp_path / "out").exists()


class TestWithdrawal:
    """Nobody shall work from a page whose procedure has failed since it was built."""

    def test_pages_of_an_earlier_build_are_taken_away(self, tmp_path):
        assert build(tmp_path).code == 0
        said = build(tmp_path, changes=[UNSAFE])
        assert said.code == 1
        assert files(tmp_path / "out") == []
        assert said.out.count("withdrawn  ") == 6 + len(SITE)

    def test_a_build_of_one_unit_leaves_no_page_that_leads_to_what_is_gone(self, tmp_path):
        assert build(tmp_path, *HTML).code == 0
        said = build(tmp_path, *HTML, "--unit", "F-1", changes=[UNSAFE])
        assert said.code == 1
        assert files(tmp_path / "out") == ["change-filter/F-2.html"]
        assert said.out.count("withdrawn  ") == 1 + len(SITE)
        assert "A build of the whole library writes them anew." in said.out

    def test_a_build_of_one_unit_that_withdraws_nothing_leaves_the_pages_around(self, tmp_path):
        assert build(tmp_path, *HTML).code == 0
        there = files(tmp_path / "out")
        said = build(tmp_path, *HTML, "--unit", "F-1")
        assert (said.code, files(tmp_path / "out")) == (0, there)
        assert "anew" not in said.out

    def test_what_is_written_as_a_draft_takes_their_place(self, tmp_path):
        assert build(tmp_path, *HTML).code == 0
        said = build(tmp_path, *HTML, "--draft", changes=[UNSAFE])
        assert "withdrawn" not in said.out
        assert "NOT PROVEN" in (tmp_path / "out/change-filter/F-1.html").read_text(encoding="utf-8")
