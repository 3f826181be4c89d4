"""What a newcomer does wrong, and what nobody should: a short error with its place, never a traceback."""

import re

import pytest

from tests.cli.plant import BASE, BLOCK, FILES, LIBRARY, PROCEDURE, call, faults, run, written

P, B, K, L = "change-filter.yaml", "units/f-base.yaml", "blocks/make-safe.yaml", "library.yaml"


def short(said):
    """At most a screen of 30 lines at 80 columns, and no sign of what goes on inside."""
    assert len(said.lines) <= 30, said
    for inside in ("Traceback", "Error:", "Exception", "<class", "object at 0x", "None"):
        assert inside not in said.out + said.err
    return said


class TestNoLibrary:
    """Exit code 2 and one sentence on the error stream."""

    def told(self, path, *command):
        said = short(call(*(command or ("check",)), path))
        assert (said.code, said.out) == (2, "")
        assert said.err.startswith("proctool: ") and said.err.count("\n") == 1
        return said.err

    def test_an_empty_folder(self, tmp_path):
        err = self.told(tmp_path)
        assert f"{tmp_path} holds no YAML files" in err and "a folder with a library.yaml" in err

    def test_a_folder_without_a_library_file(self, tmp_path):
        (written(tmp_path) / L).unlink()
        assert "has no file that starts with `library:`" in self.told(tmp_path)

    def test_the_folder_above(self, tmp_path):
        written(tmp_path / "mine")
        err = self.told(tmp_path)
        assert f"has no library.yaml, but {tmp_path / 'mine'} has. Give that folder." in err

    def test_no_such_path(self, tmp_path):
        assert f"There is nothing at {tmp_path / 'nowhere'}." in self.told(tmp_path / "nowhere")

    def test_a_file_that_is_no_yaml(self, tmp_path):
        (written(tmp_path) / "notes.txt").write_text("hello")
        assert "is no YAML file. Give the folder that holds library.yaml" in self.told(tmp_path / "notes.txt")

    def test_build_writes_nothing(self, tmp_path):
        self.told(tmp_path, "build", "--to", str(tmp_path / "out"))
        assert list(tmp_path.iterdir()) == []

    def test_show(self, tmp_path):
        self.told(tmp_path, "show", "p", "u", "--library")

    def test_a_path_that_is_too_long(self):
        self.told("x" * 300)


BOMB = "procedure: &a [x, x]\n" + "".join(
    f"{chr(98 + i)}: &{chr(98 + i)} [*{chr(97 + i)}, *{chr(97 + i)}]\n" for i in range(20)
)
RAW = [
    ("binary", bytes(range(256)), "1:1", "This is not a text file (it holds a zero byte here)."),
    ("picture", b"\x89PNG\r\n\x1a\n\0\0", "3:1", "zero byte"),
    ("UTF-16", PROCEDURE.encode("utf-16"), "1:1", "The file is in UTF-16; save it as UTF-8."),
    (
        "Latin-1",
        PROCEDURE.replace("Change the", "Ändere").encode("latin-1"),
        "2:8",
        "The byte 0xC4 here is not UTF-8 (`Ä` in an older encoding); save the file as UTF-8.",
    ),
    ("50 MB", b"# filler\n" * 5_600_000, "1:1", "The file has 48.1 MiB; files may have 1024 KiB. Split it."),
    ("alias bomb", BOMB.encode(), "1:12", "`&a` (an anchor) is not used here."),
    ("50,000 brackets", b"procedure: " + b"[" * 50_000, None, "nested"),
    ("50,000 braces", b"procedure: " + b"{a: " * 50_000, None, "nested"),
    ("deep block", b"".join(b" " * i + b"a:\n" for i in range(1000)), None, "nested"),
    ("tag", b"procedure: !!python/object/apply:os.system [ls]\n", "1:12", "(a tag) is not used here."),
    ("empty", b"", "1:1", "The file is empty; expected a map such as `procedure: name`."),
    ("blank", b"\n\n# nothing\n", None, "The file is empty"),
    ("a list", b"- procedure: p\n", "1:1", "A file is a map that starts with `key: value`; found a list."),
    ("prose", b"Change the filter.\n", "1:1", "A file is a map that starts with `key: value`; found a text."),
    ("two documents", PROCEDURE.encode() + b"---\nprocedure: q\n", None, "A second document starts here"),
    ("hidden sign", "procedure: a\u200b\u202eb\n".encode(), None, "a sign here that no editor shows"),
]


@pytest.mark.parametrize(("data", "place", "message"), [r[1:] for r in RAW], ids=[r[0] for r in RAW])
def test_bytes_that_are_no_procedure(tmp_path, data, place, message):
    (written(tmp_path) / P).write_bytes(data)
    said = short(call("check", tmp_path))
    assert (said.code, said.err) == (1, "")
    (where, level, rule), *_ = faults(said.out)
    assert level == "error" and rule in {"file/yaml", "file/limit"}
    assert re.fullmatch(rf"{re.escape(P)}:{place or '[0-9]+:[0-9]+'}", where)
    assert message in " ".join(said.out.split())


@pytest.mark.parametrize("name", [L, B, K, "units/f-1.yaml"])
def test_rubbish_in_any_file_is_told_at_that_file(tmp_path, name):
    (written(tmp_path) / name).write_bytes(b"\x00\x01\x02")
    said = short(call("check", tmp_path))
    assert said.code == 1
    assert (f"{name}:1:1", "error", "file/yaml") in faults(said.out)


SLIPS = [
    (
        "key",
        P,
        "    id: renew\n",
        "    ide: renew\n",
        "ide",
        "`ide` is not a key of a step. Did you mean `id`?",
    ),
    (
        "act",
        P,
        "    open: first\n",
        "    opne: first\n",
        "opne",
        "`opne` is not a key of a step. Did you mean `open`?",
    ),
    (
        "key of the file",
        P,
        "opens: [first]",
        "open: [first]",
        "open",
        "`open` is not a key of a procedure file.",
    ),
    ("first key", P, "procedure: ch", "procedur: ch", "procedur", "Did you mean `procedure`?"),
    ("no first key", P, "procedure: change-filter\n", "", "title", "The first key says what a file is"),
    ("missing key", P, "units: [F]\n", "", "procedure", "A procedure file needs `units`."),
    (
        "empty value",
        P,
        "title: Change the filter",
        "title:",
        "title",
        "`title` has no value; expected a text.",
    ),
    ("colon in a text", P, "The O-ring has no cut.", "The O-ring: no cut.", ": no c", "after `>-`"),
    (
        "hash in a text",
        P,
        "The O-ring has no cut.",
        "O-ring #3 has no cut",
        "O-ring",
        "` #` starts a comment",
    ),
    ("brace in a text", P, "The O-ring has no cut.", "{The O-ring} has no cut.", "has", ""),
    (
        "comma in a map",
        K,
        "Leave the locks on. Call us.",
        "Leave the locks on, call us.",
        "call",
        "A comma cuts",
    ),
    ("quote not closed", P, "title: Change", "title: 'Change", "'Chang", "not closed"),
    ("no blank behind a colon", P, "title: Change", "title:Change", "title", ""),
    ("bracket not closed", P, "units: [F]", "units: [F", "[F", "The `[` here is not closed: expected `]`"),
    ("too little indented", P, "    id: renew\n", "   id: renew\n", "id", "Check the indentation."),
    ("too much indented", P, "    id: renew\n", "      id: renew\n", ": rene", ""),
    (
        "tab",
        P,
        "  - use: make-safe",
        "\t- use: make-safe",
        "\t- use",
        "There is a tab here; indent with blanks",
    ),
    ("key twice", P, "time: 10 min\n", "time: 10 min\ntime: 5 min\n", "time", "The key `time` stands twice"),
    ("dash forgotten", P, "  - use: make-safe", "    use: make-safe", "-", ""),
    (
        "step as text",
        P,
        "  - use: make-safe",
        "  - make-safe",
        "make-safe",
        "must be a map, for example `do: Close the",
    ),
    ("two kinds in a step", P, "    id: renew\n", "    check: renew\n", "check", "cannot stand beside `do`"),
    (
        "bad name",
        P,
        "procedure: change-filter",
        "procedure: change filter",
        "change",
        "a name (letters, digits",
    ),
    ("role", B, "{role: vent, name", "{role: vnet, name", "vnet", "Did you mean `vent`?"),
    ("no role", B, "{role: vent, name", "{name", "button", "Part `button` has no `role`"),
    ("form", B, "liquid_pressure", "liquid", "liquid", "`form` must be a form of energy such as"),
    ("part property", B, "throttles: true", "throtles: true", "throtles", "`throtles` is nearly `throttles`"),
    ("part of a line", B, "path: [first, button]", "path: [frist, button]", "frist", "Did you mean `first`?"),
    ("energy of a line", B, "out:  {energy: water", "out:  {energy: watr", "watr", "Did you mean `water`?"),
    (
        "line of one part",
        B,
        "path: [first, button]",
        "path: [first]",
        "[first",
        "a list of two or more parts",
    ),
    ("measure", B, "normal: 4 bar", "normal: 4 baar", "4", "`4 baar` cannot be read"),
    ("same tag", B, "tag: V4", "tag: V1", "V1", "Tag V1 stands on `inlet` and on `button`."),
    ("base", "units/f-1.yaml", "f-base", "f-bsae", "f-bsae", "Did you mean `f-base`?"),
    (
        "own name again",
        "units/f-2.yaml",
        "unit: F-2",
        "unit: F-1",
        "F-1",
        "The unit `F-1` is in units/f-1.yaml",
    ),
    (
        "no such family",
        P,
        "units: [F]",
        "units: [Filters]",
        "Filters",
        "`Filters` is no unit or family here.",
    ),
    (
        "block",
        P,
        "  - use: make-safe\n  - do",
        "  - use: make-saef\n  - do",
        "make-saef",
        "Did you mean `make-safe`?",
    ),
    (
        "part",
        P,
        "    open: first\n",
        "    open: frist\n",
        "frist",
        "`frist` is no part of this unit. Did you mean `first`?",
    ),
    (
        "act that does not fit",
        P,
        "    shut: button\n",
        "    shut: inlet\n",
        "shut",
        "Write `close` or `open`",
    ),
    ("name in a text", P, "the <wrench>", "the <wrnech>", "<wrnech>.", "Did you mean `wrench`?"),
    (
        "property in a text",
        P,
        "<first.cartridge>",
        "<first.cartrige>",
        "<first.cartrige>.",
        "Did you mean `cartridge`?",
    ),
    ("name not closed", P, "<first.cartridge>", "<first.cartridge", "<first.cartridge.", "has no `>`"),
    ("thing", P, "fit: cartridge", "fit: cartrige", "cartrige", "Did you mean `cartridge`?"),
    ("set", K, "isolators_of: opens", "isolator_of: opens", "isolator_of", "Did you mean `isolators_of`?"),
    ("name of a set", K, "vents_of: opens", "vents_of: open", "open", "Did you mean `opens`?"),
    (
        "cyclic order",
        P,
        "    id: renew\n",
        "    id: renew\n    after: supply\n",
        "do",
        "renew → supply → renew",
    ),
    (
        "after",
        P,
        "    id: renew\n",
        "    id: renew\n    after: unscrew\n",
        "unscrew",
        "Did you mean `unscrew-first`?",
    ),
    ("same id", P, "id: renew", "id: leaks", "leaks", "Two entries have the id `leaks`."),
    (
        "back to",
        P,
        "{continue: true, steps: [{do: Fit a new <o_ring>., new_seal: first}]}",
        "{back_to: fill}",
        "fill",
        "`fill` does not come before `ring` in every order",
    ),
    (
        "word",
        P,
        "    fit: cartridge\n",
        "    needs: {inlet: shut_off}\n",
        "shut_off",
        "expected one of closed, locked, open",
    ),
    ("condition", P, "    fit: cartridge\n", "    makes: {towle: away}\n", "towle", "Did you mean `towel`?"),
    ("where from", P, "    fit: cartridge\n", "    when: {fited: inlet}\n", "inlet", "fited"),
    (
        "block that needs itself",
        K,
        "[opens]\nsteps:\n",
        "[opens]\nsteps:\n  - use: make-safe\n",
        "make-safe",
        "make-safe → make-safe",
    ),
    ("act of the library", L, "  lock: Put", "  locks: Put", "locks", "Did you mean `lock`?"),
]
"""What is wrong, the file, what stood there, what stands there now, where the error points, what it says."""


@pytest.mark.parametrize(
    ("file", "old", "new", "token", "message"), [s[1:] for s in SLIPS], ids=[s[0] for s in SLIPS]
)
def test_slips_of_the_pen(tmp_path, file, old, new, token, message):
    said = short(call("check", written(tmp_path, (file, old, new))))
    assert (said.code, said.err) == (1, "")
    (place, level, _), *_ = faults(said.out)
    where, line, column = place.rsplit(":", 2)
    assert (where, level) == (file, "error"), said.out
    text = (tmp_path / file).read_text(encoding="utf-8").splitlines()[int(line) - 1]
    assert text[int(column) - 1 :].startswith(token), said.out
    assert message in " ".join(said.out.split()), said.out


def test_bases_that_need_each_other(tmp_path):
    change = (B, "family: F\n", "family: F\nbased_on: f-base\n")
    said = short(call("check", written(tmp_path, change)))
    assert said.code == 1
    assert "f-base → f-base" in said.out


def test_a_library_of_many_faults_shows_the_first_ones(tmp_path):
    many = {f"p{i}": f"procedure: p{i}\ntitle: T\nunits: [F]\nsteps: [{{opne: first}}]\n" for i in range(30)}
    said = call("check", written(tmp_path, **many))
    assert said.code == 1
    assert "… and 22 more. `--all` shows them." in said.out
    assert call("check", tmp_path, "--all").out.count("  file/schema · ") == 30


@pytest.mark.parametrize("command", ["check", "build", "show"])
@pytest.mark.parametrize(
    "change", [(P, "    open: first\n", "    open: frist\n"), (L, LIBRARY, "library: [\n")]
)
def test_each_command_as_a_person_calls_it(tmp_path, command, change):
    library = written(tmp_path / "library", change)
    out = tmp_path / "out"
    args = {
        "check": ("check", library),
        "build": ("build", library, "--to", out),
        "show": ("show", "change-filter", "F-1", "--library", library),
    }
    said = short(run(*args[command]))
    assert (said.code, said.err) == (1, "")
    assert not out.exists()


def test_the_plant_itself_is_clean(tmp_path):
    assert call("check", written(tmp_path)).out.endswith("No faults found; 2 of 2 proven safe.\n")
    assert {BASE, BLOCK, LIBRARY, PROCEDURE} <= set(FILES.values())
