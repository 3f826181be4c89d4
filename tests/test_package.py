"""What is shipped works: a wheel and an editable install, each in an environment of its own.

Both are made from a copy of the sources, so that nothing of the working tree helps or is left behind there.
The environments borrow the libraries proctool leans on from the one that runs the tests, by a path file; that
does not carry over an editable install of proctool itself, since only a real site folder activates those.
"""

from __future__ import annotations

import json
import shutil
import subprocess
import sys
import sysconfig
import tarfile
import venv
import zipfile
from pathlib import Path

import pytest

import proctool

ROOT = Path(__file__).parents[1]
SCHEMAS = ("base", "block", "library", "procedure", "profile", "record", "steps", "unit")
SHIPPED = ("CHANGELOG.md", "MANIFEST.in", "README.md", "pyproject.toml", "proctool", "schemas")
PIP = (sys.executable, "-m", "pip", "--disable-pip-version-check", "--no-input")
BUILD = ("--no-deps", "--no-build-isolation", "--no-index")

pytestmark = pytest.mark.xdist_group("package")  # one worker builds once for all of them


def run(*command: str, cwd: Path) -> str:
    """What the command prints; what it complained about, if it failed."""
    done = subprocess.run(command, cwd=cwd, capture_output=True, text=True, check=False, timeout=300)
    assert done.returncode == 0, f"{' '.join(command)}\n{done.stdout}\n{done.stderr}"
    return done.stdout


@pytest.fixture(scope="module")
def sources(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A copy of what a release is made from."""
    copy = tmp_path_factory.mktemp("sources")
    for name in SHIPPED:
        if (ROOT / name).is_dir():
            shutil.copytree(ROOT / name, copy / name, ignore=shutil.ignore_patterns("__pycache__"))
        else:
            shutil.copy(ROOT / name, copy / name)
    return copy


@pytest.fixture(scope="module")
def wheel(sources: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The built wheel."""
    folder = tmp_path_factory.mktemp("wheel")
    run(*PIP, "wheel", *BUILD, "--wheel-dir", str(folder), str(sources), cwd=folder)
    (made,) = folder.glob("*.whl")
    return made


def new_environment(folder: Path) -> Path:
    """The Python of a fresh environment that sees the libraries of this one, but not its proctool."""
    venv.create(folder, symlinks=True, with_pip=False)
    scheme = {"base": str(folder), "platbase": str(folder)}
    site = Path(sysconfig.get_path("purelib", scheme="venv", vars=scheme))
    borrowed = dict.fromkeys(sysconfig.get_path(which) for which in ("purelib", "platlib"))
    (site / "borrowed.pth").write_text("\n".join(borrowed) + "\n", encoding="utf-8")
    return folder / "bin" / "python"


@pytest.fixture(scope="module", params=["wheel", "editable"])
def installed(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The Python of an environment in which proctool is installed, once each way."""
    folder = tmp_path_factory.mktemp(request.param)
    python = new_environment(folder / "env")
    if request.param == "wheel":
        what = [str(request.getfixturevalue("wheel"))]
    else:
        what = ["--editable", str(request.getfixturevalue("sources"))]
    run(*PIP, "--python", str(python), "install", *BUILD, *what, cwd=folder)
    return python


def test_an_environment_without_an_install_does_not_know_proctool(tmp_path: Path) -> None:
    python = new_environment(tmp_path / "env")
    program = "import importlib.util as u; print(u.find_spec('proctool'), u.find_spec('yaml') is not None)"
    assert run(str(python), "-c", program, cwd=tmp_path).split() == ["None", "True"]


def test_the_code_comes_from_the_install(installed: Path, tmp_path: Path) -> None:
    place = run(str(installed), "-c", "import proctool; print(proctool.__file__)", cwd=tmp_path).strip()
    assert not Path(place).is_relative_to(ROOT)


def test_all_schemas_are_found_and_are_json(installed: Path, tmp_path: Path) -> None:
    program = (
        "import json\n"
        "from importlib.resources import files\n"
        "found = [f for f in files('proctool.schemas').iterdir() if f.name.endswith('.schema.json')]\n"
        "print(json.dumps({f.name: json.loads(f.read_text('utf-8')) for f in found}))\n"
    )
    found = json.loads(run(str(installed), "-c", program, cwd=tmp_path))
    assert sorted(found) == [f"{kind}.schema.json" for kind in SCHEMAS]
    assert {schema["$schema"] for schema in found.values()} == {
        "https://json-schema.org/draft/2020-12/schema"
    }


def test_the_module_tells_its_version(installed: Path, tmp_path: Path) -> None:
    assert proctool.__version__ in run(str(installed), "-m", "proctool", "--version", cwd=tmp_path)


def test_the_command_tells_its_version(installed: Path, tmp_path: Path) -> None:
    assert proctool.__version__ in run(str(installed.with_name("proctool")), "--version", cwd=tmp_path)


def test_the_metadata_has_the_version_of_the_code(installed: Path, tmp_path: Path) -> None:
    program = "from importlib.metadata import version; print(version('proctool'))"
    assert run(str(installed), "-c", program, cwd=tmp_path).strip() == proctool.__version__


def test_every_file_of_the_package_is_in_the_wheel(sources: Path, wheel: Path) -> None:
    """A miss means a line is needed under [tool.setuptools]: in `packages`, or in `package-data`."""
    ours = {
        path.relative_to(sources).as_posix().replace("schemas/", "proctool/schemas/", 1)
        if path.is_relative_to(sources / "schemas")
        else path.relative_to(sources).as_posix()
        for folder in ("proctool", "schemas")
        for path in (sources / folder).rglob("*")
        if path.is_file()
    }
    packed = {name for name in zipfile.ZipFile(wheel).namelist() if ".dist-info/" not in name}
    assert sorted(ours ^ packed) == []


def test_the_wheel_says_that_it_has_types(wheel: Path) -> None:
    assert "proctool/py.typed" in zipfile.ZipFile(wheel).namelist()


def test_the_source_archive_has_what_the_wheel_is_built_from_and_no_tests(
    sources: Path, tmp_path: Path
) -> None:
    copy = shutil.copytree(sources, tmp_path / "copy")
    (copy / "tests").mkdir()
    (copy / "tests" / "test_something.py").write_text("", encoding="utf-8")
    build = (sys.executable, "-m", "build", "--sdist", "--no-isolation", "--outdir", str(tmp_path))
    run(*build, str(copy), cwd=tmp_path)
    (made,) = tmp_path.glob("*.tar.gz")
    with tarfile.open(made) as archive:
        packed = {file.name.partition("/")[2] for file in archive if file.isfile()}
    ours = {
        path.relative_to(sources).as_posix()
        for name in SHIPPED
        for path in (sources / name, *(sources / name).rglob("*"))
        if path.is_file()
    }
    added = {file for file in packed - ours if not file.startswith("proctool.egg-info/")}
    assert (sorted(ours - packed), sorted(added)) == ([], ["PKG-INFO", "setup.cfg"])


WITHOUT_EXTRAS = """
import importlib, json, pkgutil, sys
from importlib.metadata import distribution, packages_distributions, PackageNotFoundError
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

needed, waiting = set(), [Requirement("proctool")]
while waiting:
    wanted = waiting.pop()
    name = canonicalize_name(wanted.name)
    if (name, *sorted(wanted.extras)) in needed:
        continue
    needed.add((name, *sorted(wanted.extras)))
    for line in distribution(name).requires or ():
        more = Requirement(line)
        asked = [{"extra": extra} for extra in wanted.extras or {""}]
        if more.marker is None or any(more.marker.evaluate(extra) for extra in asked):
            waiting.append(more)
kept = {name for name, *_ in needed}
barred = {
    package
    for package, owners in packages_distributions().items()
    if package.isidentifier() and not kept & {canonicalize_name(owner) for owner in owners}
}


class Barred:
    def find_spec(self, name, path=None, target=None):
        if name.partition(".")[0] in barred:
            raise ModuleNotFoundError(f"No module named {name!r}", name=name)


for package in barred & set(sys.modules):
    del sys.modules[package]
sys.meta_path.insert(0, Barred())

import proctool
for module in pkgutil.walk_packages(proctool.__path__, "proctool."):
    if module.name != "proctool.__main__":
        importlib.import_module(module.name)

from proctool.api import Cluster, ClusterError
try:
    Cluster("tcp://127.0.0.1:1", None, in_the_clear=True)
except ClusterError as error:
    print(json.dumps({"barred": sorted(barred), "said": str(error)}))
"""
"""Runs as if nothing were installed but what proctool always needs; says what the cluster asks for."""


def test_without_the_extras_everything_imports_and_what_is_missing_is_said(
    installed: Path, tmp_path: Path
) -> None:
    told = json.loads(run(str(installed), "-c", WITHOUT_EXTRAS, cwd=tmp_path))
    assert {"distributed", "dask", "pytest", "hypothesis", "pint"} <= set(told["barred"])
    assert "proctool[cluster]" in told["said"]


def test_a_typed_program_of_a_user_is_checked_against_the_types_of_the_wheel(
    wheel: Path, tmp_path: Path
) -> None:
    """Its deliberate faults are marked; `--strict` fails where a mark is not needed, as if all were `Any`."""
    python = new_environment(tmp_path / "env")
    run(*PIP, "--python", str(python), "install", *BUILD, str(wheel), cwd=tmp_path)
    program = shutil.copy(ROOT / "tests" / "typed_user.py", tmp_path)
    mypy = (sys.executable, "-m", "mypy", "--strict", "--config-file=", "--python-executable", str(python))
    run(*mypy, "--cache-dir", str(tmp_path / "cache"), str(program), cwd=tmp_path)


def test_the_changelog_begins_with_what_is_not_released_and_knows_each_version_once() -> None:
    text = (ROOT / "CHANGELOG.md").read_text(encoding="utf-8")
    headings = [line.removeprefix("## ") for line in text.splitlines() if line.startswith("## ")]
    assert headings[0] == "Unreleased"
    assert len(set(headings)) == len(headings)
