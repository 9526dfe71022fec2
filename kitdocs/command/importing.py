"""A run of `kitdocs import`: read, ask, show, write."""

from __future__ import annotations

import itertools
import json
from collections.abc import Callable, Mapping
from pathlib import Path

import typer
from rich.console import Console

from kitdocs.command.boundary import PROBLEMS, QUESTIONS_LEFT
from kitdocs.command.console import console, progress, say
from kitdocs.command.import_answer import Say, brought_json, sayer, show_brought, show_open, show_refused
from kitdocs.command.import_asked import ImportAsked, answers_on_sheets, may_ask, stopped, write_questions
from kitdocs.command.import_questions import asked_until_settled
from kitdocs.importing.bringing import Brought, bring_read, known_of, read_files, with_foreseen
from kitdocs.importing.folder_changes import FolderChanges, changes_of
from kitdocs.importing.found import About
from kitdocs.importing.grids import UnreadableError
from kitdocs.importing.into_folder import answers_kept, refuse_other_folder, write_brought
from kitdocs.practice.message import Message, counted, message
from kitdocs.practice.printed import PRINTED
from kitdocs.practice.problems import KitdocsError, PracticeError
from kitdocs.practice.reading.reader import read_practice


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
    answers: dict[About, str] = {**answers_kept(asked.folder), **answers_on_sheets(asked, out, tell)}
    before = dict(answers)
    with progress(console(stderr=True), quiet=asked.quiet) as told:
        told("reading the lists")
        read = read_files(asked.files)

    def again(given: Mapping[About, str]) -> Brought:
        return bring_read(read, known_of(asked.folder, given, asked.language))

    brought = again(answers)
    if may_ask(asked):
        try:
            brought = asked_until_settled(answers, brought, lambda: again(answers), tell)
        except typer.Abort:
            return stopped(asked, answers, again(answers).found, brought.known.language, tell)
    changes = changes_of(brought.found.records, brought.known)
    if not asked.as_json and not asked.quiet:
        show_brought(out, brought, changes, everything=asked.everything)
    with_changes = asked.yes
    if changes.changed and not asked.yes and may_ask(asked) and not asked.dry_run:
        try:
            with_changes = typer.confirm(tell(message("import.told.confirm")), default=False, err=True)
        except typer.Abort:
            return stopped(asked, answers, brought.found, brought.known.language, tell)
        if not with_changes and (meant := _answers_behind(changes, before, answers, again)):
            answers = {about: answer for about, answer in answers.items() if about not in meant}
            brought = again(answers)
            changes = changes_of(brought.found.records, brought.known)
            say(out, tell(counted("import.told.forgotten", len(meant))))
    first = asked.ask and not asked.ask.exists() and brought.needed  # written once the questions are answered
    waits = asked.dry_run or first
    written = [] if waits else write_brought(asked.folder, brought, changes, with_changes=with_changes)
    brought = with_foreseen(read, brought)
    if asked.as_json:
        print(json.dumps(brought_json(brought, changes, written), ensure_ascii=False, indent=1, default=str))
    return _end(asked, out, brought, changes, written, tell, with_changes=with_changes)


def _following(asked: ImportAsked, brought: Brought) -> Message:
    """What to do next, in a command that works."""
    folder = str(asked.folder)
    if brought.needed:
        return message("import.told.next-questions", folder=folder)
    if not brought.known.of("sets"):
        return message("import.told.next-new", folder=folder, new=str(_free(asked.folder)))
    try:
        read_practice(asked.folder)
    except PracticeError as error:
        errors = sum(problem.severity == "error" for problem in error.problems)
        return counted("import.told.next-check", errors, folder=folder)
    has_posted = (asked.folder / PRINTED).is_dir()
    return message("import.told.next-changes" if has_posted else "import.told.next", folder=folder)


def _free(folder: Path) -> Path:
    """A folder beside this one that is not there yet."""
    there = folder.resolve()
    numbers = itertools.chain([""], (f"-{n}" for n in itertools.count(2)))
    name = next(name for name in (f"{there.name}-with-sets{n}" for n in numbers) if not (there.parent / name).exists())
    return folder.parent / name if folder.name else Path("..") / name


def _answers_behind(
    changes: FolderChanges,
    before: Mapping[About, str],
    answers: Mapping[About, str],
    again: Callable[[Mapping[About, str]], Brought],
) -> set[About]:
    """The answers of this run without which a value that was not to be replaced would not have changed."""

    def changed(given: Mapping[About, str]) -> int:
        brought = again(given)
        return len(changes_of(brought.found.records, brought.known).changed)

    given = {about for about, answer in answers.items() if before.get(about) != answer}
    if not given or changed({about: answer for about, answer in answers.items() if about not in given}) == len(
        changes.changed
    ):
        return set()
    return {
        one for one in given if changed({a: said for a, said in answers.items() if a != one}) < len(changes.changed)
    }


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
    if not asked.as_json:
        show_refused(out, brought.found.doubts, brought.known.answers, tell)
    if asked.ask and brought.found.doubts and not asked.dry_run:
        write_questions(asked.ask, brought.found.doubts, brought.known.answers, tell)
        if not asked.as_json:
            say(out, "\n" + tell(counted("import.told.sheet", len(brought.found.doubts), file=str(asked.ask))))
            if told and not written:
                say(out, tell(message("import.told.after", folder=str(asked.folder))))
    elif not asked.as_json:
        show_open(out, brought.found.doubts, tell)
    if told and changes.changed and not with_changes:
        say(out, "\n" + tell(message("import.told.kept-back", count=len(changes.changed))))
    if told and asked.dry_run:
        say(out, "\n" + tell(message("import.told.dry")))
    elif told and written:
        key = "new" if changes.is_new else "wrote"
        say(out, "\n" + tell(message(f"import.told.{key}", folder=str(asked.folder), files=", ".join(written))))
        say(out, tell(_following(asked, brought)))
    if not any(kind for _, kind in brought.lists):
        return PROBLEMS
    return QUESTIONS_LEFT if brought.needed or (changes.changed and not with_changes) else 0
