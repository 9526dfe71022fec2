"""The commands that write sheets beside a handbook: the survey of a first visit, and every drawing to choose from."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated, Literal

import typer

from kitdocs.cli_options import PdfFile, Quiet


def survey(
    to: PdfFile,
    folder: Annotated[
        Path | None, typer.Argument(metavar="FOLDER", help="Fill in the sheets from this folder.", show_default=False)
    ] = None,
    paper: Annotated[
        Literal["letter", "a4"] | None,
        typer.Option("--paper", help="Paper size. Default: what the folder says, or letter.", show_default=False),
    ] = None,
    language: Annotated[
        str | None,
        typer.Option("--language", metavar="en|es|…", help="Default: the folder's first, or en.", show_default=False),
    ] = None,
    quiet: Quiet = False,
) -> None:
    """Write survey sheets for a first visit: what to ask, watch, measure and count; blank, or filled in."""
    from kitdocs.command.console import console, progress, say
    from kitdocs.library import refuse_other, write_survey
    from kitdocs.practice.reading.reader import read_practice

    refuse_other(to)
    with progress(console(stderr=True), quiet=quiet) as tell:
        tell("setting the sheets")
        practice = read_practice(folder) if folder else None
        book = write_survey(to, practice, language=language, paper=paper)
    if not quiet:
        say(console(), f"wrote {to}: {len(book.cards)} sheets")


def drawings(
    to: PdfFile,
    paper: Annotated[Literal["letter", "a4"], typer.Option("--paper", help="Paper size.")] = "letter",
    language: Annotated[str, typer.Option("--language", metavar="en|es|…", help="Language of the sheets.")] = "en",
    quiet: Quiet = False,
) -> None:
    """Write a PDF of every instrument that kitdocs can draw, with the word for it in instruments.yaml."""
    from kitdocs.command.console import console, progress, say
    from kitdocs.library import refuse_other, write_drawings

    refuse_other(to)
    with progress(console(stderr=True), quiet=quiet) as tell:
        tell("drawing the instruments")
        write_drawings(to, paper=paper, language=language)
    if not quiet:
        say(console(), f"wrote {to}")
