"""A run of `kitdocs import` with a workbook that came back: show what would change, check it, ask, write."""

from __future__ import annotations

import json
import sys
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from functools import partial
from pathlib import Path

import typer
from rich.console import Console

from kitdocs.cache import key_of, user_cache
from kitdocs.command.boundary import PROBLEMS, QUESTIONS_LEFT
from kitdocs.command.checking import checked
from kitdocs.command.console import console, progress, say
from kitdocs.command.problems_told import plain_problems, show_problems
from kitdocs.document.catalog import MessageCatalog, built_in_catalog
from kitdocs.importing.grids import UnreadableError
from kitdocs.practice.editing.edits import GONE
from kitdocs.practice.problems import KitdocsError, Problem, new_problems, path_of, written
from kitdocs.shipped import shipped_languages
from kitdocs.workbook.bringing_back import BroughtBack, MovedError, bring_back
from kitdocs.workbook.comparing import BookEdit, nearest_cell
from kitdocs.workbook.merging import shown
from kitdocs.workbook.texts import data_of, file_of

#: At most this many comments that go are shown, and letters of each.
_COMMENTS, _LETTERS = 6, 60


@dataclass(frozen=True, slots=True, kw_only=True)
class WorkbookAsked:
    """What was asked for on the command line."""

    file: Path
    folder: Path
    dry_run: bool = False
    yes: bool = False
    language: str = ""
    as_json: bool = False
    quiet: bool = False


@dataclass(slots=True)
class _Judged:
    """Problems that the folder would have and has not yet."""

    errors: Sequence[Problem] = ()
    warnings: Sequence[Problem] = ()


def run_workbook(asked: WorkbookAsked) -> int:
    """Bring a workbook back into the folder; return the exit status. Raises `KitdocsError`."""
    words = built_in_catalog(asked.language or "en")
    try:
        with progress(console(stderr=True), quiet=asked.quiet) as tell:
            tell("comparing the workbook with the folder")
            brought = bring_back(asked.file, asked.folder, partial(_brought_last, asked.folder))
            words = _words(asked, brought)
            judged = _judged(brought, tell) if brought.texts and not brought.problems else _Judged()
    except UnreadableError as error:
        raise KitdocsError(words.say(error.message)) from error
    out = console(stderr=asked.as_json)
    if not (asked.as_json or asked.quiet):
        _show(out, words, brought, judged)
    elif not asked.as_json:
        _show_problems(out, words, brought, judged)
    refused = bool(brought.problems or judged.errors)
    written_files = [] if refused or not brought.texts else _written(asked, out, words, brought)
    if asked.as_json:
        print(json.dumps(_as_json(words, brought, judged, written_files), ensure_ascii=False, indent=1))
    if refused:
        return PROBLEMS
    return QUESTIONS_LEFT if brought.texts and not written_files and not asked.dry_run else 0


def _key(folder: Path, made_of: Mapping[str, str]) -> str:
    return key_of("workbook", folder.resolve().as_posix(), made_of)


def _brought_last(folder: Path, made_of: Mapping[str, str]) -> Mapping[str, str] | None:
    """Return the folder's files as they were when a workbook was brought back before, as far as that is kept."""
    found: Mapping[str, str] | None = user_cache().get(_key(folder, made_of))
    return found


def _words(asked: WorkbookAsked, brought: BroughtBack) -> MessageCatalog:
    """Return what kitdocs says in the language that was asked for, or in the folder's first, where it has that."""
    settings = data_of(brought.now).get("practice")
    languages = settings.get("languages") if isinstance(settings, dict) else None
    first = str(languages[0]) if isinstance(languages, list) and languages else "en"
    return built_in_catalog(asked.language or (first if first in shipped_languages() else "en"))


def _judged(brought: BroughtBack, tell: Callable[[str], None]) -> _Judged:
    with brought.would_be() as folder:
        _, after = checked(folder, tell)
    if not after:
        return _Judged()
    _, before = checked(brought.folder, tell)
    new = new_problems(before, after)
    return _Judged(
        [problem for problem in new if problem.severity == "error"],
        [problem for problem in new if problem.severity == "warning"],
    )


def _written(asked: WorkbookAsked, out: Console, words: MessageCatalog, brought: BroughtBack) -> list[str]:
    """Write what was shown, when it may be; return the names of the files."""
    if asked.dry_run:
        _say(asked, out, words("workbook.back.dry-run"))
        return []
    if not asked.yes:
        if asked.as_json or asked.quiet or not sys.stdin.isatty():
            say(console(stderr=True), words("workbook.back.needs-yes"))
            return []
        if not typer.confirm(words("workbook.back.ask"), default=True, err=True):
            say(console(stderr=True), words("workbook.back.refused"))
            return []
    try:
        files = brought.write()
    except MovedError as error:
        raise KitdocsError(words("workbook.back.moved", file=error.file)) from error
    user_cache().put(_key(asked.folder, brought.made_of), {**brought.now, **brought.texts})
    _say(asked, out, words("workbook.back.wrote", files=", ".join(files)))
    return files


def _say(asked: WorkbookAsked, out: Console, text: str) -> None:
    if not (asked.quiet or asked.as_json):
        say(out, text)


def _show(out: Console, words: MessageCatalog, brought: BroughtBack, judged: _Judged) -> None:
    if brought.edits:
        say(out, words.count("workbook.back.changes", len(brought.edits)))
    elif not brought.problems:
        say(out, words("workbook.back.nothing"))
    for edit in brought.edits:
        say(out, f"  {_line(words, brought, edit)}")
    for stem, comments in brought.comments.items():
        few = ", ".join(comment[:_LETTERS] for comment in comments[:_COMMENTS])
        more = f", … ({len(comments)})" if len(comments) > _COMMENTS else ""
        say(out, f"  {file_of(stem)}: {words('workbook.back.comments', comments=few + more)}")
    for told in brought.told:
        say(out, f"  {words.say(told)}")
    _show_problems(out, words, brought, judged)


def _line(words: MessageCatalog, brought: BroughtBack, edit: BookEdit) -> str:
    """Return one change on one line: the cell, the place in the folder, what was there and what comes."""
    place = brought.place(edit)
    path = written(edit.path)
    if edit.is_record:
        what = words("workbook.back.record-out" if edit.value is GONE else "workbook.back.record-in")
        return f"{edit.where}  {place.file}:{place.line}  {path}: {what}"
    mended = f" ({words('workbook.back.mended', found=edit.kept_as)})" if edit.kept_as else ""
    return f"{edit.where}  {place.file}:{place.line}  {path}: {shown(edit.before)} → {shown(edit.value)}{mended}"


def _show_problems(out: Console, words: MessageCatalog, brought: BroughtBack, judged: _Judged) -> None:
    for problem in brought.problems:
        out.print(f"{problem.where}: {words.say(problem.message)}", style="bold red", markup=False, soft_wrap=True)
    for key, problems in (("new-errors", judged.errors), ("warnings", judged.warnings)):
        if problems:
            say(out, words.count(f"workbook.back.{key}", len(problems)))
        for each in problems:
            if cell := _cell(brought, each):
                out.print(f"{cell}:", style="bold", markup=False, soft_wrap=True)
            show_problems(out, [each])
    if brought.problems or judged.errors:
        say(out, words("workbook.back.refused"))


def _cell(brought: BroughtBack, problem: Problem) -> str:
    """Return where in the workbook a problem of the folder stands; '' when it is about nothing in it."""
    return nearest_cell(path_of(problem.path), brought.cells)


def _as_json(words: MessageCatalog, brought: BroughtBack, judged: _Judged, files: Sequence[str]) -> dict[str, object]:
    def plain(value: object) -> object:
        return None if value is GONE else value

    return {
        "changes": [
            {
                "cell": edit.where,
                "file": brought.place(edit).file,
                "line": brought.place(edit).line,
                "path": written(edit.path),
                "before": plain(edit.before),
                "after": plain(edit.value),
            }
            for edit in brought.edits
        ],
        "comments": [comment for comments in brought.comments.values() for comment in comments],
        "told": [words.say(told) for told in brought.told],
        "cells": [{"cell": problem.where, "message": words.say(problem.message)} for problem in brought.problems],
        "problems": [
            {"cell": _cell(brought, problem), **plain_problem}
            for problem, plain_problem in zip(
                (*judged.errors, *judged.warnings), plain_problems((*judged.errors, *judged.warnings)), strict=True
            )
        ],
        "written": list(files),
    }
