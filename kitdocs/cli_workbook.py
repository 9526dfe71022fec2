"""The command that writes a practice folder as a workbook."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from kitdocs.cli_options import HERE, Folder, Quiet


def workbook(
    to: Annotated[Path, typer.Option("--to", metavar="FILE.xlsx", help="The file to write.", show_default=False)],
    folder: Folder = HERE,
    language: Annotated[
        str,
        typer.Option("--language", metavar="en|es|…", help="Language of the headings. Default: the folder's first."),
    ] = "",
    quiet: Quiet = False,
) -> None:
    """Write the practice folder as a workbook, to edit in a spreadsheet program and bring back with `import`.

    Each table has a sheet, with lists of the words and ids that are allowed. FILE.xlsx must not be there yet.
    """
    from kitdocs.command.console import console, progress, say
    from kitdocs.library import write_workbook

    if to.suffix.lower() != ".xlsx":
        raise typer.BadParameter("name a file that ends in .xlsx", param_hint="--to")
    with progress(console(stderr=True), quiet=quiet) as tell:
        tell("writing the workbook")
        sheets = write_workbook(folder, to, language=language)
    if not quiet:
        say(console(), f"wrote {to}: {sheets} sheets; when it is edited: kitdocs import {to} {folder}")
