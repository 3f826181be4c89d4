"""`proctool adapt`."""

from __future__ import annotations

import sys
from datetime import datetime
from pathlib import Path

import click

from proctool.api import Adaptation, AdaptError, Library, adapted, answers_in
from proctool.cli.common import (
    FAULTS,
    budget_option,
    fail,
    library_option,
    opened,
    paint,
    today_option,
    width,
)
from proctool.model.adapting import Question
from proctool.model.verdict import DEFAULT_BUDGET


@click.command("adapt")
@click.argument("procedure")
@click.option("--to", "unit", required=True, metavar="UNIT", help="The unit to adapt it to.")
@click.option("--from", "source", metavar="UNIT", help="The unit to adapt from; else the one most alike.")
@click.option("--name", metavar="NAME", help="Name of the draft; else PROCEDURE-UNIT.")
@click.option(
    "--answers", "answers", type=click.Path(path_type=Path), metavar="FILE", help="Answers, as YAML."
)
@click.option(
    "--output", type=click.Path(path_type=Path), metavar="FILE", help="The draft's file; `-` shows it only."
)
@click.option("--force", is_flag=True, help="Write over a file that is there already.")
@library_option
@click.option("--format", "kind", type=click.Choice(["text", "json"]), default="text", show_default=True)
@budget_option
@today_option
def command(
    procedure: str,
    unit: str,
    source: str | None,
    name: str | None,
    answers: Path | None,
    output: Path | None,
    force: bool,
    path: Path | None,
    kind: str,
    budget: int | None,
    today: datetime | None,
) -> None:
    """Carry PROCEDURE over to another unit, and write the draft.

    Parts are matched by id, name, tag and place. What is open stands in the draft as a comment `# OPEN` and
    is asked on a terminal, unless --answers gives it. Exit code 1: something is open, or the draft is not
    proven.
    """
    library = opened(path)
    day = today.date() if today else None

    def adapt(given: dict[str, str]) -> Adaptation:
        try:
            return adapted(
                library, procedure, unit, source=source, name=name, answers=given, anew=force,
                budget=budget or DEFAULT_BUDGET, today=day,
            )  # fmt: skip
        except AdaptError as error:
            fail(str(error))

    given = _read(answers, procedure, unit) if answers is not None else {}
    found = adapt(given)
    if answers is None and _on_terminal():
        passed: set[str] = set()
        while (question := _next(found, passed)) is not None:
            passed.add(question.name)
            answer = _ask(question)
            if answer:
                given[question.name] = answer
                found = adapt(given)
    _write(library, found, output, force=force)
    if kind == "json":
        click.echo(found.to_json(), nl=False)
    else:
        click.echo(found.to_text(width=width(), paint=paint), nl=False, err=str(output) == "-")
    sys.exit(0 if found.settled else FAULTS)


def _on_terminal() -> bool:
    """Whether someone is there to be asked."""
    return sys.stdin.isatty() and sys.stdout.isatty()


def _next(found: Adaptation, passed: set[str]) -> Question | None:
    """The next question that a word can answer; ways of energies are mended in the draft."""
    return next((q for q in found.draft.questions if q.name not in passed and q.answerable), None)


def _ask(question: Question) -> str:
    """What a person answers; nothing where it is left open."""
    click.echo(question.text)
    choices = f" ({', '.join(question.choices)})" if question.choices else ""
    asked = f"{question.name}{choices}, empty leaves it open"
    answer: str = click.prompt(asked, default="", show_default=False)
    return answer.strip()


def _read(file: Path, procedure: str, unit: str) -> dict[str, str]:
    """The answers in a file; leaves where it is for another procedure or unit."""
    try:
        return dict(answers_in(file, procedure, unit))
    except AdaptError as error:
        fail(str(error))


def _write(library: Library, found: Adaptation, output: Path | None, *, force: bool) -> None:
    """Put the draft where it belongs; never over another file unless told to."""
    if output is not None and str(output) == "-":
        click.echo(found.draft.text, nl=False)
        return
    if library.root is None:
        return
    to = output or library.root / found.draft.file
    if to.exists() and not force:
        fail(f"{to} is there already. Name another --output, or give --force to write over it.")
    try:
        found.write(to)
    except OSError as error:
        fail(f"{error.filename or to} cannot be written: {error.strerror}.")
