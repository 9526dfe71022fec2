"""The command that brings lists of an office into a practice folder."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from kitdocs.cli_options import HERE, Json, Quiet


def import_(
    paths: Annotated[
        list[Path],
        typer.Argument(
            metavar="FILE... FOLDER", help="Spreadsheets, exports, calendars; then the practice folder, new or not."
        ),
    ],
    ask: Annotated[
        Path | None,
        typer.Option("--ask", metavar="FILE.xlsx|csv", help="Write the questions there; filled in, take the answers."),
    ] = None,
    answers: Annotated[
        Path | None, typer.Option("--answers", metavar="FILE", help="Take the answers from a sheet that was filled in.")
    ] = None,
    dry_run: Annotated[bool, typer.Option("--dry-run", help="Show what would change, write nothing.")] = False,
    yes: Annotated[bool, typer.Option("--yes", "-y", help="Also replace values that the folder has already.")] = False,
    everything: Annotated[bool, typer.Option("--all", help="List everything that was merged or not used.")] = False,
    language: Annotated[
        str, typer.Option("--language", metavar="en|es", help="Default: the folder's first, or en.", show_default=False)
    ] = "",
    as_json: Json = False,
    quiet: Quiet = False,
) -> None:
    """Bring lists of the office into a practice folder: inventories, appointment books, chairs, procedures, cassettes.

    A workbook that `kitdocs workbook` wrote brings its edits back: what would change is shown and checked first.
    What is unclear is asked once and kept in import.yaml. Nothing about a patient is read. Exit status 5 if questions
    are left.
    """
    from kitdocs.command.importing import ImportAsked, run_import
    from kitdocs.command.workbook_back import WorkbookAsked, run_workbook
    from kitdocs.workbook.returned import is_practice_workbook

    if language not in ("", "en", "es"):
        raise typer.BadParameter("choose en or es", param_hint="--language")
    *files, folder = paths if not (len(paths) == 1 or paths[-1].is_file()) else [*paths, HERE]
    if any(is_practice_workbook(file) for file in files):
        if len(files) > 1:
            raise typer.BadParameter("bring a practice workbook back by itself", param_hint="FILE")
        back = WorkbookAsked(
            file=files[0],
            folder=folder,
            dry_run=dry_run,
            yes=yes,
            language=language,
            as_json=as_json,
            quiet=quiet,
        )
        raise typer.Exit(run_workbook(back))
    asked = ImportAsked(
        files=tuple(files),
        folder=folder,
        ask=ask,
        answers=answers,
        dry_run=dry_run,
        yes=yes,
        everything=everything,
        language=language,
        as_json=as_json,
        quiet=quiet,
    )
    raise typer.Exit(run_import(asked))
