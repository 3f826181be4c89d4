"""`proctool compare`: two revisions, two procedures, two units; whether the safety changed comes first."""

import json
import subprocess

import pytest

from proctool.source.revision import collect_revision
from tests.cli.plant import call, written

LOCK = ("blocks/make-safe.yaml", "        lock: device\n", "")
WORDING = ("change-filter.yaml", "Unscrew the <first> with", "Screw off the <first> with")


def git(folder, *words):
    who = ("-c", "user.name=A. Nyone", "-c", "user.email=a@example.org")
    subprocess.run(["git", *who, *words], cwd=folder, check=True, capture_output=True)


def committed(folder, *changes):
    """The library of the first revision in git; then the changes in the files."""
    written(folder / "repository" / "library")
    git(folder / "repository", "init", "-q")
    git(folder / "repository", "add", "-A")
    git(folder / "repository", "commit", "-qm", "First issue")
    return written(folder / "repository" / "library", *changes)


def against_head(folder, *changes, more=()):
    library = committed(folder, *changes)
    return call(
        "compare", "HEAD:change-filter", "change-filter", "--library", library, "--unit", "F-1", *more
    )


def data(folder, *changes):
    (found,) = json.loads(against_head(folder, *changes, more=("--format", "json")).out)["comparisons"]
    return found


def test_nothing_changed(tmp_path):
    said = against_head(tmp_path)
    assert (said.code, said.err) == (0, "")
    assert said.out.startswith(
        "SAFETY THE SAME on F-1: same verdict, orders, isolations, states, waits and\nlimits.\n\n"
        "Change the filter: F-1\n  was   HEAD:change-filter@F-1: safe; "
    )
    assert "Steps" not in said.out


def test_a_lock_that_is_gone_is_told_first(tmp_path):
    said = against_head(tmp_path, LOCK)
    assert said.code == 1
    assert said.out.startswith("SAFETY WORSE on F-1: verdict safe → unsafe; ")
    assert "inlet valve V1 NOT LOCKED" in said.out
    assert "energy/opened-unlocked" in said.out


def test_the_other_way_round_it_is_mended(tmp_path):
    library = committed(tmp_path, LOCK)
    said = call("compare", "change-filter", "HEAD:change-filter", "--library", library, "--unit", "F-1")
    assert said.code == 0
    assert said.out.startswith("SAFETY BETTER on F-1: verdict unsafe → safe; ")


def test_other_words_do_not_change_the_safety(tmp_path):
    said = against_head(tmp_path, WORDING)
    assert said.code == 0
    assert said.out.startswith("SAFETY THE SAME on F-1: ")
    assert "Steps: 1 changed" in said.out
    assert "was 5. Unscrew the filter housing" in said.out


def test_a_step_with_another_id_is_still_the_step(tmp_path):
    found = data(tmp_path, ("change-filter.yaml", "id: screw-on", "id: on-again"))
    assert found["steps"] == [] or all(step["kind"] == "changed" for step in found["steps"])
    assert found["safety"] == "same"


def test_a_change_of_the_unit_file_is_found_too(tmp_path):
    change = ("units/f-base.yaml", "path: [supply, inlet, first, tap]", "path: [supply, first, inlet, tap]")
    found = data(tmp_path, change)
    assert found["safety"] == "worse"
    assert {
        "name": "line main, path",
        "was": "supply → inlet → first → tap",
        "now": "supply → first → inlet → tap",
    } in (found["unit"])


def test_states_and_isolation_are_those_of_the_proof(tmp_path):
    found = data(tmp_path, ("blocks/make-safe.yaml", "      - isolate: device\n        lock: device\n", LOOK))
    (pair,) = found["isolation"]
    assert (pair["was"]["charge"], pair["now"]["charge"]) == ("zero", "live")
    assert pair["was"]["isolators"] == pair["was"]["locked"] == ["inlet"]
    assert pair["now"]["isolators"] == []
    assert {"zero", "live"} <= {state[key] for state in found["states"] for key in ("was", "now")}


LOOK = "      - do: Look at the <device>.\n"


def test_every_unit_of_both_and_those_of_one_alone(tmp_path):
    library = committed(tmp_path, ("change-filter.yaml", "units: [F]", "units: [F-1]"))
    said = call("compare", "HEAD:change-filter", "change-filter", "--library", library)
    assert "SAFETY THE SAME on F-1" in said.out
    assert "F-2: only HEAD:change-filter is for it.\n" in said.out


def test_one_procedure_on_two_units(tmp_path):
    said = call("compare", "change-filter@F-1", "change-filter@F-2", "--library", written(tmp_path))
    assert said.code == 0
    assert said.out.startswith("SAFETY THE SAME on F-1 → F-2: ")
    assert "unit, title: Filter 1 → Filter 2" in said.out


def test_critical_steps_only_when_asked(tmp_path):
    early = ("change-filter.yaml", "  - do: Unscrew the <first> with the <wrench>.\n",
             "  - do: Unscrew the <first> with the <wrench>.\n    needs: {inlet: locked}\n")  # fmt: skip
    without = data(tmp_path / "a", early)
    assert without["critical"] == {"new": [], "gone": []}
    said = against_head(tmp_path / "b", early, more=("--critical", "--format", "json"))
    (found,) = json.loads(said.out)["comparisons"]
    assert found["critical"]["new"] == []


def test_the_page_stands_alone(tmp_path):
    page = against_head(tmp_path, LOCK, more=("--format", "html")).out
    assert page.startswith("<!DOCTYPE html>")
    assert "<script" not in page and "http" not in page.replace("http-equiv", "").replace(
        "www.w3.org", "w3"
    ).replace("http://w3", "")
    assert page.index("Safety worse") < page.index("<h2>")


def test_it_fits_80_columns(tmp_path):
    assert all(len(line) <= 80 for line in against_head(tmp_path, LOCK).out.splitlines())


@pytest.mark.parametrize(
    ("one", "other", "err"),
    [
        ("HEAD~9:change-filter", "change-filter", "There is no revision `HEAD~9` in the git repository of "),
        ("--all:change-filter", "change-filter", "There is no revision `--all`"),
        ("--output=x:change-filter", "change-filter", "There is no revision `--output=x`"),
        (
            "change-filte",
            "change-filter",
            "There is no procedure `change-filte` in this library. Did you mean",
        ),
        (
            "HEAD:change-filte",
            "change-filter",
            "There is no procedure `change-filte` at `HEAD`. Did you mean",
        ),
        ("change-filter@F-9", "change-filter", "There is no unit `F-9` in this library."),
        ("change-filter@", "change-filter", "`change-filter@` names no procedure; expected"),
        (":change-filter", "change-filter", "`:change-filter` names no procedure; expected"),
    ],
)
def test_what_is_not_there(tmp_path, one, other, err):
    said = call("compare", "--library", committed(tmp_path), "--", one, other)
    assert (said.code, said.out) == (2, "")
    assert said.err.startswith(f"proctool: {err}")


def test_a_repository_that_lost_a_file(tmp_path):
    library = committed(tmp_path)
    name = ("git", "rev-parse", "HEAD:./change-filter.yaml")
    digest = subprocess.run(name, cwd=library, check=True, capture_output=True, text=True).stdout.strip()
    (tmp_path / "repository" / ".git" / "objects" / digest[:2] / digest[2:]).unlink()
    said = call("compare", "HEAD:change-filter", "change-filter", "--library", library)
    assert said.code == 2
    assert "git does not hold the content of change-filter.yaml" in said.err


def test_no_repository(tmp_path):
    said = call("compare", "HEAD:change-filter", "change-filter", "--library", written(tmp_path))
    assert said.code == 2
    assert "lies in no git repository that can be read" in said.err


def test_procedures_with_no_unit_in_common(tmp_path):
    other = "procedure: look\ntitle: Look\nunits: [F-2]\nsteps:\n  - do: Look around.\n"
    library = written(tmp_path, ("change-filter.yaml", "units: [F]", "units: [F-1]"), look=other)
    said = call("compare", "change-filter", "look", "--library", library)
    assert (said.code, said.out) == (2, "")
    assert said.err == (
        "proctool: `change-filter` is for F-1, `look` for F-2. They have no unit in common; name one for "
        "each, such as change-filter@F-1 look@F-2.\n"
    )


def test_procedures_with_nothing_in_common_are_shown_whole(tmp_path):
    other = "procedure: look\ntitle: Look\nunits: [F]\nsteps:\n  - do: Look around.\n"
    said = call(
        "compare", "change-filter", "look", "--unit", "F-1", "--library", written(tmp_path, look=other)
    )
    assert said.out.startswith("SAFETY DIFFERENT on F-1: ")
    assert "Steps: 1 added, " in said.out and " as before" not in said.out


def test_a_side_that_cannot_be_resolved(tmp_path):
    said = against_head(tmp_path, ("change-filter.yaml", "    close: first", "    close: frist"))
    assert said.code == 1
    assert said.out.startswith("SAFETY WORSE on F-1: verdict safe → unproven")
    assert "could not be resolved" in said.out and "`frist` is no part" in said.out


DOT = '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 9 9"><circle cx="4" cy="4" r="{}"/></svg>\n'
UNSCREW = "  - do: Unscrew the <first> with the <wrench>.\n"
FIGURE = "    figure: {file: figures/filter.svg, alt: The filter.}\n"
PICTURED = ("change-filter.yaml", UNSCREW, UNSCREW + FIGURE)


def pictured(folder, place="figures/filter.svg", link=None):
    """A library in git with a picture, or a link to it; returns its folder."""
    library = written(folder / "repository" / "library", PICTURED)
    for name in ("figures", "drawn"):
        (library / name).mkdir(exist_ok=True)
    (library / place).write_text(DOT.format(3))
    if link:
        (library / "figures" / "filter.svg").symlink_to(link)
    git(folder / "repository", "init", "-q")
    git(folder / "repository", "add", "-A")
    git(folder / "repository", "commit", "-qm", "First issue")
    return library


def pictures_told(library):
    said = call("compare", "HEAD:change-filter", "change-filter", "--library", library, "--unit", "F-1",
                "--format", "json")  # fmt: skip
    (found,) = json.loads(said.out)["comparisons"]
    pictures = [d for step in found["steps"] for d in step["differences"] if d["name"] == "picture"]
    return pictures, [broken["message"] for broken in (*found["broken"], *found["mended"])]


@pytest.mark.parametrize(
    ("place", "link"),
    [("figures/filter.svg", None), ("drawn/filter.svg", "../drawn/filter.svg")],
)
def test_pictures_are_read_at_the_revision(tmp_path, place, link):
    library = pictured(tmp_path, place, link)
    assert pictures_told(library) == ([], [])
    (library / place).write_text(DOT.format(4))
    (picture,), broken = pictures_told(library)
    assert picture["was"].startswith("figures/filter.svg, fingerprint ")
    assert picture["was"] != picture["now"]
    assert broken == []


def test_a_picture_that_was_not_there_then_is_told(tmp_path):
    library = pictured(tmp_path, "drawn/filter.svg")
    (library / "figures" / "filter.svg").write_text(DOT.format(3))
    assert pictures_told(library) == (
        [], ["There was no picture `figures/filter.svg` in the library at `HEAD`."]
    )  # fmt: skip


def test_a_picture_by_a_link_out_of_the_library_is_not_followed(tmp_path):
    library = pictured(tmp_path, "drawn/filter.svg", "../../../secret.svg")
    (tmp_path / "secret.svg").write_text(DOT.format(3))
    (library / "figures" / "filter.svg").unlink()
    (library / "figures" / "filter.svg").write_text(DOT.format(3))
    _, broken = pictures_told(library)
    assert broken == ["`figures/filter.svg` leads out of the library and is not followed."]


@pytest.mark.parametrize(
    ("target", "told"),
    [
        ("more/part.yaml", None),
        ("../../outside.yaml", "This link leads out of the library and is not followed."),
        ("nowhere.yaml", "This link leads to nothing."),
        ("linked.yaml", "This link leads to nothing."),
    ],
)
def test_links_are_followed_within_the_revision(tmp_path, target, told):
    """A block that a link brings in from a hidden folder is there; else it is said what the link does."""
    library = written(tmp_path / "repository" / "library")
    hidden = library / ".kept"
    hidden.mkdir()
    (library / "blocks" / "make-safe.yaml").rename(hidden / "part.yaml")
    (library / "linked.yaml").symlink_to(target.replace("more", ".kept"))
    git(tmp_path / "repository", "init", "-q")
    git(tmp_path / "repository", "add", "-A")
    git(tmp_path / "repository", "commit", "-qm", "First issue")
    found = collect_revision(library, "HEAD")
    assert [f.message for f in found.findings] == ([told] if told else [])
    assert ("linked.yaml" in found.files) == (told is None)
