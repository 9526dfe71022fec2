"""Arguments of `kitdocs import` as they were given, and the sheet of questions that it writes and reads."""

from __future__ import annotations

import sys
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from rich.console import Console

from kitdocs.command.boundary import QUESTIONS_LEFT
from kitdocs.command.console import console, say
from kitdocs.command.import_answer import Say
from kitdocs.importing.found import About, Doubt, Found
from kitdocs.importing.into_folder import answers_kept, keep_answers
from kitdocs.importing.memory import MEMORY
from kitdocs.importing.question_sheet import answers_in, sheet_rows
from kitdocs.practice.message import counted, message
from kitdocs.practice.problems import TargetError
from kitdocs.practice.writing import write_whole


@dataclass(frozen=True, slots=True, kw_only=True)
class ImportAsked:
    """What was asked for on the command line. `contact_sheet`: where photos are shown, in place of the usual file."""

    files: tuple[Path, ...]
    folder: Path
    ask: Path | None = None
    answers: Path | None = None
    contact_sheet: Path | None = None
    dry_run: bool = False
    yes: bool = False
    everything: bool = False
    language: str = ""
    as_json: bool = False
    quiet: bool = False


def may_ask(asked: ImportAsked) -> bool:
    """Whether a person sits at a terminal and is to be asked there."""
    return sys.stdin.isatty() and not (asked.ask or asked.as_json or asked.quiet)


def answers_on_sheets(asked: ImportAsked, out: Console, tell: Say) -> dict[About, str]:
    """Return the answers on the sheets that were named; tell of those that were spoilt. Raises `UnreadableError`."""
    found: dict[About, str] = {}
    files = [asked.answers] if asked.answers else []
    for file in [*files, asked.ask] if asked.ask and asked.ask.exists() else files:
        sheet = answers_in(file)
        found |= sheet.answers
        for where in sheet.spoilt:
            say(out, tell(message("import.told.spoilt", where=where)))
    return found


def stopped(asked: ImportAsked, answers: Mapping[About, str], found: Found, language: str, tell: Say) -> int:
    """Keep what was answered before a person stopped, and nothing else; return the exit status.

    `found` is what the files come to with these answers.
    """
    before = answers_kept(asked.folder)
    new = sum(before.get(about) != answer for about, answer in answers.items())
    out = console(stderr=True)
    if asked.dry_run or not (new and keep_answers(asked.folder, answers, found, language)):
        say(out, "\n" + tell(message("import.told.stopped-without")))
    else:
        say(out, "\n" + tell(counted("import.told.stopped", new, file=str(asked.folder / MEMORY))))
    return QUESTIONS_LEFT


def write_questions(
    file: Path,
    doubts: Sequence[Doubt],
    answers: Mapping[About, str],
    tell: Say,
    *,
    things: Mapping[str, str] | None = None,
) -> None:
    """Write the questions as a sheet to fill in; `things` are what can be answered beside the choices, by id."""
    from kitdocs.publish.questions import question_workbook  # noqa: PLC0415  # only where a sheet is written
    from kitdocs.publish.tables import csv_file  # noqa: PLC0415

    rows = sheet_rows(doubts, tell, answers)
    if file.suffix.lower() == ".csv":
        data = csv_file(rows)
    elif file.suffix.lower() == ".xlsx":
        choices = [list(doubt.choices) for doubt in doubts]
        title = tell(message("import.sheet.title"))
        listed = [(tell(message("import.sheet.id")), tell(message("import.sheet.name"))), *(things or {}).items()]
        data = question_workbook(rows, choices, title, listed if things else (), [doubt.any_text for doubt in doubts])
    else:
        raise TargetError(f"'{file}' must end in .xlsx or .csv")
    write_whole(file.resolve(), data)
