"""`proctool new procedure`."""

from __future__ import annotations

from pathlib import Path

import click

from proctool.api import Drafted, DraftOrder, Started, start_procedure, start_round
from proctool.cli.common import budget_option, fail, library_option, opened, unit_of
from proctool.cli.draft import part_of, refused
from proctool.cli.starting import ask, ask_each, finish, free, from_here
from proctool.model.verdict import DEFAULT_BUDGET


@click.command("procedure")
@click.argument("name")
@library_option
@click.option("--unit", metavar="UNIT", help="The unit it is for.")
@click.option("--title", metavar="TEXT", help="What is done.")
@click.option("--open", "parts", multiple=True, metavar="PART", help="What is opened: an id or a tag.")
@click.option("--step", "steps", multiple=True, metavar="TEXT", help="What is done, where nothing is opened.")
@budget_option
def procedure(
    name: str,
    path: Path | None,
    unit: str | None,
    title: str | None,
    parts: tuple[str, ...],
    steps: tuple[str, ...],
    budget: int | None,
) -> None:
    """Write a new procedure NAME into the library.

    One that opens parts is drafted from the unit's network and proven safe, with the library's blocks where
    these prove safe; the work itself is for you to write. One that opens nothing has the steps you tell. What
    is not given is asked at a terminal. Exit code 1: it would not pass check, and nothing is written.
    """
    library = opened(path)
    file = free(library, name, library.procedures, "procedure", "")
    model = unit_of(
        library, ask(unit, f"Unit it is for ({', '.join(sorted(library.units.whole))})", "--unit")
    )
    what = ask(title, "Title: what is done", "--title")
    if parts and steps:
        fail("Give --open or --step: the steps of a procedure that opens parts are drafted first.")
    words = () if steps else ask_each(parts, "Part that is opened")
    asked = tuple(dict.fromkeys(part_of(model, word) for word in words))
    made: Started | Drafted
    if asked:
        order = DraftOrder(model.id, asked, name, file, budget=budget or DEFAULT_BUDGET)
        made = start_procedure(library, order, what)
    else:
        told = ask_each(steps, "What is done, one step")
        if not told:
            fail("--open or --step is missing: what is opened, or what is done.")
        made = start_round(library, name, model.id, file, what, told)
    if isinstance(made, Drafted):
        refused(model, asked, made, blocks=False)
    finish(library, made, f"proctool check {from_here(library.root or Path())}")
