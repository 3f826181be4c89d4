"""`proctool table`."""

from __future__ import annotations

import re
import sys
from collections.abc import Sequence
from pathlib import Path

import click

from proctool.api import Given, Tabled, tabled, tabled_given, write_file
from proctool.cli.common import FAULTS, fail, known, library_option, opened, paint, unit_of, width
from proctool.model.finding import Finding

_NAME = re.compile(r"[A-Za-z][A-Za-z0-9_]*")
_KEYS = re.compile(r"`(due_when|safe_side|round|guard|soon|least|most|while)(?:: ?([^`]*))?`")
"""Keys of a table in a file, perhaps with their value: each is an option here."""


@click.command("table")
@click.argument("names", nargs=-1, metavar="[PROCEDURE[:TABLE] UNIT] | [UNIT] --formula …")
@click.option("--formula", metavar="FORMULA", help="Such as `inlet * (1 - limit)`.")
@click.option("--reading", "readings", multiple=True, metavar="NAME=ROWS",
              help="Such as `inlet=2.0 to 6.0 bar by 0.5 bar`.")  # fmt: skip
@click.option("--fixed", multiple=True, metavar="NAME=QUANTITY", help="Such as `limit=25 %`.")
@click.option("--round", "rounding", metavar="ROUNDING", help="Such as `up to 0.1 bar`.")
@click.option(
    "--due", type=click.Choice(["or_less", "or_more"]), help="Work is due at the answer or less, or more."
)
@click.option(
    "--safe-side", type=click.Choice(["low", "high", "inside"]), help="Which way the answer may err."
)
@click.option("--least", metavar="FORMULA", help="The answer is never below this.")
@click.option("--most", metavar="FORMULA", help="The answer is never above this.")
@click.option(
    "--also", multiple=True, metavar="STEP", help="Tell the answer in another measure too: `1 psi`."
)
@click.option("--gauge", "gauges", multiple=True, metavar="NAME=GAUGE",
              help="By which gauge of UNIT a reading or the answer is read.")  # fmt: skip
@click.option("--guard", is_flag=True, help="Move the limit by what the gauges can be off.")
@click.option("--soon", metavar="QUANTITY", help="How far before the limit the work is told as coming.")
@click.option("--answer", metavar="NAME", help="Name of the answer.  [default: answer]")
@click.option("--title", metavar="TEXT", help="Title of the table.")
@click.option("--while", "condition", metavar="TEXT", help="While what the readings mean something.")
@click.option("--csv", type=click.Path(path_type=Path, dir_okay=False), metavar="FILE",
              help="Write it for spreadsheets.")  # fmt: skip
@click.option("--pdf", type=click.Path(path_type=Path, dir_okay=False), metavar="FILE", help="Write sheets.")
@click.option("--format", "kind", type=click.Choice(["text", "json"]), default="text", show_default=True)
@click.option("--paper", type=click.Choice(["a4", "letter"]), default="a4", show_default=True)
@library_option
def command(
    names: tuple[str, ...],
    path: Path | None,
    csv: Path | None,
    pdf: Path | None,
    kind: str,
    paper: str,
    **said: str | bool | tuple[str, ...] | None,
) -> None:
    """Work out the tables of PROCEDURE for UNIT, or one from a formula.

    With --formula the table is given by the options; a UNIT then lends its facts, the properties of its parts
    and its gauges to it. Exit code 1: the table has errors, as `check` would tell; it is not given out.
    """
    if said["formula"] is None:
        stray = next((name for name, value in said.items() if value), None)
        if stray is not None:
            fail(f"--{_option(stray)} is for a table given with --formula.")
        found = _of_procedure(names, path)
    else:
        found = _from_options(names, path, **said)
    if csv is not None and len(found.tables) > 1:
        listed = ", ".join(table.name for table in found.tables)
        fail(f"A file of values holds one table; name one of {listed} after the procedure, by a colon.")
    if kind == "json":
        click.echo(found.to_json(), nl=False)
    _tell(found)
    if kind == "text":
        click.echo(found.to_text(width=width(), paint=paint), nl=False)
    for file, data in ((csv, found.to_csv), (pdf, lambda: found.to_pdf(paper=paper))):
        if file is not None:
            made = data()
            _write(file, made.encode() if isinstance(made, str) else made)


def _of_procedure(names: Sequence[str], path: Path | None) -> Tabled:
    if len(names) != 2:
        fail("Expected a procedure and a unit, or a table given with --formula.")
    procedure, colon, table = names[0].partition(":")
    library, unit = opened(path), names[1]
    known(library, procedure, library.procedures, "procedure")
    unit_of(library, unit)
    written = library.procedures[procedure]
    if unit not in library.units.fitting(written)[0]:
        fail(f"Procedure `{procedure}` is not for unit `{unit}`.")
    own = [name.text for name, _ in written.tables]
    if not own:
        fail(f"Procedure `{procedure}` has no table.", FAULTS)
    if colon:
        known(library, table, own, "table")
    return tabled(library, procedure, unit, table if colon else None)


def _from_options(
    names: Sequence[str], path: Path | None, **said: str | bool | tuple[str, ...] | None
) -> Tabled:
    if len(names) > 1:
        fail("With --formula at most a unit is named.")
    texts = {name: value.strip() for name, value in said.items() if isinstance(value, str)}
    pairs = {
        name: _pairs(_option(name), value)
        for name, value in said.items()
        if isinstance(value, tuple) and name != "also"
    }
    for name, text in texts.items():
        if any("\ud800" <= sign <= "\udfff" for sign in text):  # so Python keeps a byte that is no text
            fail(f"--{_option(name)}: this text is not in UTF-8.")
    answer = _named("--answer", texts.get("answer", "answer"))
    also = said["also"]
    given = Given(
        formula=texts["formula"],
        answer=answer,
        readings=pairs["readings"],
        fixed=pairs["fixed"],
        gauges=pairs["gauges"],
        also=also if isinstance(also, tuple) else (),
        round=texts.get("rounding", ""),
        due=texts.get("due", ""),
        safe_side=texts.get("safe_side", ""),
        least=texts.get("least", ""),
        most=texts.get("most", ""),
        soon=texts.get("soon", ""),
        guard=said["guard"] is True,
        title=texts.get("title", ""),
        condition=texts.get("condition", ""),
    )
    for name in given.gauges:
        if name != answer and name not in given.readings:
            fail(f"--gauge: `{name}` is neither a reading nor the answer `{answer}`.")
    library = opened(path) if names or path is not None else None
    if library is not None and names:
        unit_of(library, names[0])
    found = tabled_given(given, library, names[0] if names else None)
    if not found.tables:
        for finding in found.findings:
            click.echo(f"proctool: {finding.file}: {_plain(finding)}", err=True)
        sys.exit(2)
    return found


def _pairs(option: str, texts: Sequence[str]) -> dict[str, str]:
    """`name=text`, each name once."""
    found: dict[str, str] = {}
    for text in texts:
        name, sign, value = (piece.strip() for piece in text.partition("="))
        if not sign or not value:
            fail(f"--{option}: found `{text}`; expected a name, `=` and what it stands for.")
        if _named(f"--{option}", name) in found:
            fail(f"--{option}: `{name}` is given twice.")
        found[name] = value
    return found


def _named(option: str, name: str) -> str:
    if not _NAME.fullmatch(name):
        fail(f"{option}: `{name}` is no name; expected a letter, then letters, digits and `_`.")
    return name


def _option(name: str) -> str:
    known_as = {
        "readings": "reading",
        "gauges": "gauge",
        "rounding": "round",
        "condition": "while",
        "due_when": "due",
    }
    return known_as.get(name, name.replace("_", "-"))


def _tell(found: Tabled) -> None:
    """What is wrong with the tables; leaves where any has an error."""
    for finding in found.findings:
        place = finding.file if finding.procedure is None else str(finding.span)
        head = f"{paint(finding.level.value, finding.level.value)} {finding.rule}"
        click.echo(f"{head} {place}: {_plain(finding)}", err=True)
    if not found.sound:
        click.echo("A table with errors is not given out: nobody shall work by it.", err=True)
        sys.exit(FAULTS)


def _plain(finding: Finding) -> str:
    """A finding in a sentence or two; keys of a file are told as options where these gave the table."""
    text = " ".join(filter(None, (finding.message, finding.help)))
    if finding.procedure is not None:
        return text
    return _KEYS.sub(_as_option, text)


def _as_option(key: re.Match[str]) -> str:
    value = "" if key[2] in {None, "", "true"} else f' "{key[2]} …"'
    return f"`--{_option(key[1])}{value}`"


def _write(file: Path, data: bytes) -> None:
    try:
        write_file(file, data)
    except OSError as error:
        fail(f"Cannot write to {error.filename or file}: {error.strerror}.")
    click.echo(f"{paint('written', 'safe')}  {file}", err=True)
