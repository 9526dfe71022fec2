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
            metavar="FILE... FOLDER",
            help="Spreadsheets, exports, calendars, or a folder of photos; then the practice folder, new or not.",
        ),
    ],
    ask: Annotated[
        Path | None,
        typer.Option("--ask", metavar="FILE.xlsx|csv", help="Write the questions there; filled in, take the answers."),
    ] = None,
    answers: Annotated[
        Path | None, typer.Option("--answers", metavar="FILE", help="Take the answers from a sheet that was filled in.")
    ] = None,
    contact_sheet: Annotated[
        Path | None,
        typer.Option(
            "--contact-sheet",
            metavar="FILE.pdf",
            help="Where photos are shown, numbered. Default: beside the --ask file, or contact-sheet.pdf.",
            show_default=False,
        ),
    ] = None,
    dry_run: Annotated[bool, typer.Option("--dry-run", help="Show what would change, write nothing.")] = False,
    yes: Annotated[bool, typer.Option("--yes", "-y", help="Also replace values that the folder has already.")] = False,
    everything: Annotated[bool, typer.Option("--all", help="List everything that was merged or not used.")] = False,
    language: Annotated[
        str,
        typer.Option("--language", metavar="en|es|…", help="Default: the folder's first, or en.", show_default=False),
    ] = "",
    as_json: Json = False,
    quiet: Quiet = False,
) -> None:
    """Bring lists of the office into a practice folder: inventories, appointment books, chairs, procedures, cassettes.

    A workbook that `kitdocs workbook` wrote brings its edits back: what would change is shown and checked first.
    Photos as a phone takes them (also HEIC, also sideways) are shown on a contact sheet and asked about. The folder
    gets them small, upright and without place, time or other metadata, named by the id of what they show. Photos show
    instruments only: leave out what shows a person.
    What is unclear is asked once and kept in import.yaml. Nothing about a patient is read. Exit status 5 if questions
    are left.
    """
    from kitdocs.command.import_asked import ImportAsked
    from kitdocs.command.import_photos import contact_sheet_file, run_photos
    from kitdocs.command.importing import run_import
    from kitdocs.command.workbook_back import WorkbookAsked, run_workbook
    from kitdocs.importing.photo_files import is_photo_path
    from kitdocs.library import refuse_other
    from kitdocs.shipped import shipped_languages
    from kitdocs.workbook.returned import is_practice_workbook

    if language not in ("", *shipped_languages()):
        raise typer.BadParameter(f"choose one of {', '.join(shipped_languages())}", param_hint="--language")
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
        contact_sheet=contact_sheet,
        dry_run=dry_run,
        yes=yes,
        everything=everything,
        language=language,
        as_json=as_json,
        quiet=quiet,
    )
    photos = [file for file in files if is_photo_path(file)]
    if photos and len(photos) < len(files):
        raise typer.BadParameter("bring photos by themselves, and lists in another run", param_hint="FILE")
    if photos and (sheet := contact_sheet_file(asked)):
        refuse_other(sheet)
    raise typer.Exit(run_photos(asked) if photos else run_import(asked))
