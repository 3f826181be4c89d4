"""`proctool explain`."""

from __future__ import annotations

import click

from proctool.api import PAGES, explained, listed
from proctool.cli.common import fail
from proctool.model.nearest import did_you_mean


@click.command("explain")
@click.argument("rule", required=False)
def command(rule: str | None) -> None:
    """Say what RULE asks, why, where that comes from, with a bad and a good example.

    Without RULE all rules are listed.
    """
    if rule is None:
        click.echo(listed(), nl=False)
    elif rule not in PAGES:
        near = did_you_mean(rule, PAGES) or " `proctool explain` lists them."
        fail(f"There is no rule `{rule}`.{near}")
    else:
        click.echo(explained(rule), nl=False)
