"""A run of `kitdocs import`: read, ask, show, write."""

from __future__ import annotations

import json
import sys
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

import typer
from rich.console import Console

from kitdocs.command.boundary import PROBLEMS, QUESTIONS_LEFT
from kitdocs.command.console import console, progress, say
from kitdocs.command.import_answer import Say, brought_json, sayer, show_brought, show_open
from kitdocs.command.import_questions import ask_all
from kitdocs.importing.bringing import Brought, bring, known_of
from kitdocs.importing.folder_changes import FolderChanges, changes_of
from kitdocs.importing.found import About
from kitdocs.importing.grids import UnreadableError
from kitdocs.importing.into_folder import answers_kept, refuse_other_folder, write_brought
from kitdocs.importing.question_sheet import answers_in, sheet_rows
from kitdocs.practice.message import message
from kitdocs.practice.problems import KitdocsError, TargetError
from kitdocs.practice.writing import write_whole

#: An answer can raise another question; more rounds than this mean that answers are not understood.
_ROUNDS = 5


@dataclass(frozen=True, slots=True, kw_only=True)
class ImportAsked:
    """What was asked for on the command line."""

    files: tuple[Path, ...]
    folder: Path
    ask: Path | None = None
    answers: Path | None = None
    dry_run: bool = False
    yes: bool = False
    everything: bool = False
    language: str = ""
    as_json: bool = False
    quiet: bool = False


def run_import(asked: ImportAsked) -> int:
    """Bring the files into the folder; return the exit status. Raises `KitdocsError` when nothing can be done."""
    refuse_other_folder(asked.folder)
    out = console(stderr=asked.as_json)
    language = known_of(asked.folder, {}, asked.language).language
    tell = sayer(language)
    try:
        return _run(asked, out, tell)
    except UnreadableError as error:
        raise KitdocsError(tell(error.message)) from error


def _run(asked: ImportAsked, out: Console, tell: Say) -> int:
    answers: dict[About, str] = {**answers_kept(asked.folder), **_from_sheets(asked)}
    brought = _brought(asked, answers)
    if _may_ask(asked):
        brought = _asked_in_terminal(asked, answers, brought, tell)
    changes = changes_of(brought.found.records, brought.known)
    if not asked.as_json and not asked.quiet:
        show_brought(out, brought, changes, everything=asked.everything)
    with_changes = asked.yes
    if changes.changed and not asked.yes and _may_ask(asked) and not asked.dry_run:
        with_changes = typer.confirm(tell(message("import.told.confirm")), default=False, err=True)
    written = [] if asked.dry_run else write_brought(asked.folder, brought, changes, with_changes=with_changes)
    if asked.as_json:
        print(json.dumps(brought_json(brought, changes, written), ensure_ascii=False, indent=1, default=str))
    return _end(asked, out, brought, changes, written, tell, with_changes=with_changes)


def _from_sheets(asked: ImportAsked) -> dict[About, str]:
    found: dict[About, str] = {}
    if asked.answers:
        found |= answers_in(asked.answers)
    if asked.ask and asked.ask.exists():
        found |= answers_in(asked.ask)
    return found


def _may_ask(asked: ImportAsked) -> bool:
    return sys.stdin.isatty() and not (asked.ask or asked.as_json or asked.quiet)


def _brought(asked: ImportAsked, answers: Mapping[About, str]) -> Brought:
    with progress(console(stderr=True), quiet=asked.quiet) as tell:
        tell("reading the lists")
        return bring(asked.files, known_of(asked.folder, answers, asked.language))


def _asked_in_terminal(asked: ImportAsked, answers: dict[About, str], brought: Brought, tell: Say) -> Brought:
    """Ask until nothing is open, or a person leaves the rest open."""
    seen: set[About] = set()
    for _ in range(_ROUNDS):
        new = [doubt for doubt in brought.found.doubts if doubt.about not in seen]
        if not new:
            break
        seen |= {doubt.about for doubt in new}
        given, on = ask_all(console(stderr=True), new, tell)
        answers |= given
        brought = _brought(asked, answers)
        if not on:
            break
    return brought


def _end(
    asked: ImportAsked,
    out: Console,
    brought: Brought,
    changes: FolderChanges,
    written: list[str],
    tell: Say,
    *,
    with_changes: bool,
) -> int:
    told = not (asked.as_json or asked.quiet)
    if asked.ask and brought.found.doubts and not asked.dry_run:
        _write_sheet(asked.ask, brought, tell)
        if told:
            say(out, "\n" + tell(message("import.told.sheet", file=str(asked.ask), count=len(brought.found.doubts))))
    elif not asked.as_json:
        show_open(out, brought.found.doubts, tell)
    if told and changes.changed and not with_changes:
        say(out, "\n" + tell(message("import.told.kept-back", count=len(changes.changed))))
    if told and asked.dry_run:
        say(out, "\n" + tell(message("import.told.dry")))
    elif told and written:
        key = "new" if changes.is_new else "wrote"
        say(out, "\n" + tell(message(f"import.told.{key}", folder=str(asked.folder), files=", ".join(written))))
        say(out, tell(message("import.told.next", folder=str(asked.folder))))
    if not any(kind for _, kind in brought.lists):
        return PROBLEMS
    return QUESTIONS_LEFT if brought.needed or (changes.changed and not with_changes) else 0


def _write_sheet(file: Path, brought: Brought, tell: Say) -> None:
    from kitdocs.publish.questions import question_workbook  # noqa: PLC0415  # only where a sheet is written
    from kitdocs.publish.tables import csv_file  # noqa: PLC0415

    rows = sheet_rows(brought.found.doubts, tell, brought.known.answers)
    if file.suffix.lower() == ".csv":
        data = csv_file(rows)
    elif file.suffix.lower() == ".xlsx":
        choices = [list(doubt.choices) for doubt in brought.found.doubts]
        data = question_workbook(rows, choices, tell(message("import.sheet.title")))
    else:
        raise TargetError(f"'{file}' must end in .xlsx or .csv")
    write_whole(file.resolve(), data)
