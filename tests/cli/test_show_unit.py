"""`proctool show UNIT`: the network drawn, what each device reaches, the blind spots."""

from xml.etree import ElementTree as ET

from tests.cli.plant import DEMO, call, written

DRAWING = """\
main: water
  ▶ water main                                  source
  ◫ inlet valve V1                              isolator (valve)
  ● filter housing                              holds energy
  ├─◎ inlet gauge P1                            gauge of water
  ├─▽ relief button V4                          way out
  ◁ tap line                                    leaves the unit
"""

LISTS = """\
Isolators
  inlet valve V1, left, lock: hasp
    off to open: filter housing
    alone, takes water from: filter housing

Vents: what they let out for sure, once it is isolated
  relief button V4, on top, to bucket
    water out of: filter housing

Gauges: what they show for sure, once it is isolated
  inlet gauge P1
    water in: filter housing

Blind spots
  Not to be opened: inlet valve V1.
    No isolator stands between the water main and the inlet valve V1 (water).
"""


def show(folder, *changes, unit="F-1", more=()):
    return call("show", unit, *more, "--library", written(folder, *changes))


def test_the_unit_its_network_and_its_devices(tmp_path):
    said = show(tmp_path)
    assert (said.code, said.err) == (0, "")
    head = "F-1: Filter 1\nwalked by A. Nyone on 2026-05-01, drawing D-1, serials 100 and up\n"
    assert said.out.startswith(head)
    assert DRAWING in said.out
    assert said.out.endswith(LISTS)


def test_a_part_that_nothing_relieves_or_shows_is_a_blind_spot(tmp_path):
    blocked = ("units/f-base.yaml", "path: [first, button]", "path: [first, mesh, button]")
    mesh = ("units/f-base.yaml", "  button:", "  mesh: {role: restriction, name: mesh}\n  button:")
    said = show(tmp_path, blocked, mesh)
    assert "  Not to be opened: filter housing" in said.out
    assert "No vent surely relieves the filter housing of water." in said.out


def test_an_isolator_that_cannot_be_locked_says_so(tmp_path):
    said = show(tmp_path, ("units/f-base.yaml", "lock: hasp", "lock: none"))
    assert "  inlet valve V1, left, CANNOT BE LOCKED" in said.out


def test_every_unit_of_the_demo_library_fits_80_columns_and_shows_every_part():
    for unit in ("KW-2", "KW-4", "KW-4T", "KW-6", "AD-10", "AD-20", "HX-5", "HX-9", "UV-1"):
        said = call("show", unit, "--library", DEMO)
        assert said.code == 0
        assert all(len(line) <= 80 for line in said.out.splitlines())
        assert "Blind spots" in said.out


def test_long_names_wrap(tmp_path):
    long = "filter housing " + "with a very long name " * 6
    said = show(tmp_path, ("units/f-base.yaml", "name: filter housing", f"name: {long}"))
    assert all(len(line) <= 80 for line in said.out.splitlines())
    assert "  │ with a very long" in said.out


def test_the_diagram_is_a_picture_of_its_own(tmp_path):
    svg = tmp_path / "deep" / "f-1.svg"
    said = show(tmp_path / "library", more=("--svg", svg))
    assert (said.code, said.err) == (0, f"written  {svg}\n")
    tree = ET.fromstring(svg.read_text(encoding="utf-8"))  # noqa: S314 - a file of ours
    assert tree.tag.endswith("svg")
    assert "inlet valve" in "".join(tree.itertext())
    assert show(tmp_path / "other", more=("--svg", svg / "x")).code == 2


def test_wrong_calls(tmp_path):
    library = written(tmp_path)
    unknown = call("show", "F-9", "--library", library)
    assert (unknown.code, unknown.err) == (
        2, "proctool: There is no unit `F-9` in this library. Did you mean `F-1`?\n",
    )  # fmt: skip
    procedure = call("show", "change-filter", "--library", library)
    assert procedure.code == 2
    assert "`change-filter` is a procedure; say on which unit: F-1, F-2." in procedure.err
    both = call("show", "change-filter", "F-1", "--svg", tmp_path / "x.svg", "--library", library)
    assert both.code == 2
    assert call("show", "a", "b", "c", "--library", library).code == 2
    assert call("show", "--library", library).code == 2
