"""`proctool`: the command and its sub-commands, one file each."""

from __future__ import annotations

import importlib
import sys

import click

from proctool import __version__

STOPPED = 130
"""Exit code: stopped from the keyboard, as shells have it."""

_COMMANDS = {
    "check": "Check a library: every file, and every procedure on every unit.",
    "build": "Write the manuals of what is proven, as HTML and PDF.",
    "show": "Show a unit's network, or the steps of a procedure and what is live at each.",
    "slips": "Show what each skipped, early or repeated step would lead to.",
    "adapt": "Carry a procedure over to another unit, and say what stays open.",
    "compare": "Show what differs between two procedures, first whether the safety does.",
    "draft": "Write a procedure that opens parts of a unit, proven safe.",
    "audit": "Show what keeps every energy from every opened part, by which step.",
    "table": "Work a table out: of a procedure, or from a formula.",
    "explain": "Say what a rule asks, why, and where that comes from.",
    "new": "Write a start that already passes check.",
}


class _Commands(click.Group):
    """Sub-commands are imported when they are called, so that each starts with only what it needs."""

    def invoke(self, ctx: click.Context) -> object:
        try:
            return super().invoke(ctx)
        except KeyboardInterrupt as stop:
            click.echo(" ".join(("proctool: Stopped.", *map(str, stop.args))), err=True)
            sys.exit(STOPPED)

    def list_commands(self, ctx: click.Context) -> list[str]:  # noqa: ARG002 - click's signature
        return list(_COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:  # noqa: ARG002 - as above
        if cmd_name not in _COMMANDS:
            return None
        command: click.Command = importlib.import_module(f"proctool.cli.{cmd_name}").command
        return command

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:  # noqa: ARG002 - as above
        with formatter.section("Commands"):
            formatter.write_dl(list(_COMMANDS.items()))

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        from proctool.model.nearest import did_you_mean

        if args and args[0] not in _COMMANDS and not args[0].startswith("-"):
            known = ", ".join(_COMMANDS)
            hint = did_you_mean(args[0], _COMMANDS)
            ctx.fail(f"There is no command `{args[0]}`; there are {known}.{hint}")
        return super().resolve_command(ctx, args)


@click.group(
    "proctool",
    cls=_Commands,
    context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 80},
)
@click.version_option(__version__, prog_name="proctool")
def main() -> None:
    """Write service procedures whose every order of steps is proven safe.

    A library is a folder with a library.yaml, unit models and procedures.
    """
