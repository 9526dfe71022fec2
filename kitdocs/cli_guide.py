"""`kitdocs guide`: the guide, opened here or written as a folder."""

from __future__ import annotations

import re
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from kitdocs.cli_options import Quiet

if TYPE_CHECKING:
    from kitdocs.guide.commands import ToldCommand, ToldOption


def guide(
    context: typer.Context,
    to: Annotated[
        Path | None,
        typer.Option("--to", metavar="OUT", help="Folder to write it to, to publish it. Default: open it here."),
    ] = None,
    quiet: Quiet = False,
) -> None:
    """Open this guide: how to begin, every file, command and figure, hosting, backup, translating, extending.

    It needs no network. Where no browser can be opened, its address is enough.
    """
    from kitdocs.command.console import console, progress, say
    from kitdocs.command.guide import opened_guide, write_guide

    commands = told_commands(context.find_root().command)
    with progress(console(stderr=True), quiet=quiet) as tell:
        folder = write_guide(commands, to, tell)
    if to is None:
        say(console(), opened_guide(folder))
    elif not quiet:
        say(console(), f"wrote {to}; open {to / 'index.html'}")


def told_commands(root: object) -> tuple[ToldCommand, ...]:
    """Return every command of the command line."""
    from typer.core import TyperArgument, TyperGroup

    from kitdocs.guide.commands import ToldCommand

    assert isinstance(root, TyperGroup)
    told = []
    for name, command in root.commands.items():
        context = typer.Context(command, info_name=name, parent=typer.Context(root, info_name="kitdocs"))
        arguments = [one for one in command.params if isinstance(one, TyperArgument)]
        told.append(
            ToldCommand(
                name=name,
                usage=" ".join([context.command_path, *command.collect_usage_pieces(context)]),
                does=command.help or "",
                arguments=tuple(_told(one, context) for one in arguments),
                options=tuple(_told(one, context) for one in command.params if one not in arguments),
            )
        )
    return tuple(told)


def _told(parameter: Any, context: typer.Context) -> ToldOption:
    from kitdocs.guide.commands import ToldOption

    written, does = parameter.get_help_record(context) or (parameter.human_readable_name, "")
    return ToldOption(written=re.sub(r" *<[^<>]*>", "", written), does=" ".join(does.split()))
