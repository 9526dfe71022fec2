"""Whole jobs of the command, for use from Python: record a print run, write replacements, survey and drawings.

Every path may be a `str` or a `Path`. The other public functions stand where their subject is; `kitdocs.__all__`
lists them all.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Literal

from kitdocs.document.card import Handbook
from kitdocs.document.catalog import catalog_for
from kitdocs.handbook.cards.instruments import drawings_catalogue
from kitdocs.handbook.survey.build_survey import make_survey
from kitdocs.importing.grids import UnreadableError
from kitdocs.planning.plan import Plan
from kitdocs.practice.model import Practice
from kitdocs.practice.printed import PRINTED
from kitdocs.practice.problems import KitdocsError, PracticeError, Problem, PublishError, TargetError, new_problems
from kitdocs.practice.reading.reader import read_practice
from kitdocs.practice.recording import take_back, write_run
from kitdocs.practice.writing import write_whole
from kitdocs.publish.print.binder import binder_sheets
from kitdocs.publish.print.documents import sheets
from kitdocs.publish.print.finished import is_of_kitdocs
from kitdocs.publish.print.replacement import render_labels, render_replacements
from kitdocs.revisions.record import NewRun, chosen_cards, day_of, new_run, posted_by, refuse_hidden
from kitdocs.revisions.replacements import Since, for_print
from kitdocs.workbook.bringing_back import bring_back
from kitdocs.workbook.sheets import sheets_of
from kitdocs.workbook.texts import data_of, read_texts
from kitdocs.workbook.write import practice_workbook


def record_printing(
    folder: str | Path,
    practice: Practice,
    plan: Plan,
    handbooks: Sequence[Handbook],
    *,
    cards: Sequence[str] = (),
    by: str = "",
    day: str = "",
    language: str = "",
    sure: Callable[[NewRun], bool] = lambda run: True,
) -> NewRun | None:
    """Record in the practice folder that cards were printed and posted as they are now; None if nothing is recorded.

    Nothing is when nothing is new, or when `sure`, which is asked before anything is written, says no.
    `cards` are ids, kinds or places (``r/chair-1``, ``wall``), or ``labels``; all of it by default. With a `language`,
    only what is printed in it. `day` is like ``2026-11-25``, today by default. Raises ValueError for an unknown card,
    a name or day that cannot be kept, and a day before one that is recorded already; `PublishError` if the record
    cannot be written.
    """
    run = new_run(
        practice,
        plan,
        handbooks,
        day=day_of(day),
        by=posted_by(by),
        chosen=chosen_cards(cards, handbooks, practice.printed),
        labels=binder_sheets,
        language=language,
    )
    if run:
        refuse_hidden(run, practice.printed)
        if not sure(run):
            return None
        write_run(Path(folder), run.name, run.run)
    return run


def undo_printing(folder: str | Path, practice: Practice) -> str:
    """Take the last record of printing in a practice folder back; return the name of its file, which is deleted.

    Raises `PublishError` if there is none, if several are the last, or if it cannot be deleted.
    """
    return f"{PRINTED}/{take_back(Path(folder), practice.printed)}.yaml"


def write_replacements(changes: Since, handbooks: Sequence[Handbook], to: str | Path) -> list[Path]:
    """Write the sheets to replace, one PDF per language: the first as `to`, others as ``to.es.pdf``; return them.

    Labels to put on are in a PDF of their own beside it (``to.labels.pdf``), for another paper and one side.

    Writes nothing when nothing is out of date. Raises `TargetError` if a file there is not kitdocs' own, before
    anything is written, and `PublishError` when the sheets cannot be made or written.
    """
    wanted = [
        (_for_language(Path(to), book), book, replacements) for book, replacements in for_print(changes, handbooks)
    ]
    for file, _, _ in wanted:
        refuse_other(file)
        refuse_other(_of_labels(file))
    pdfs: dict[Path, bytes] = {}
    for file, book, replacements in wanted:
        labels = changes.labels.get(book.language, ())
        pdfs[file] = render_replacements(book, replacements, labels)
        if stuck_on := render_labels(book, labels):
            pdfs[_of_labels(file)] = stuck_on
    for file, pdf in pdfs.items():
        _write_pdf(file, pdf)
    return list(pdfs)


def _for_language(file: Path, handbook: Handbook) -> Path:
    return file.with_name(f"{file.stem}.{handbook.language}{file.suffix}") if handbook.folder else file


def _of_labels(file: Path) -> Path:
    return file.with_name(f"{file.stem}.labels{file.suffix}")


def write_survey(
    to: str | Path,
    practice: Practice | None = None,
    *,
    language: str | None = None,
    paper: Literal["letter", "a4"] | None = None,
) -> Handbook:
    """Write the survey sheets of a first visit as a PDF, blank or filled in from a practice; return them as cards.

    Language and paper are the practice's by default; English and Letter without one. Raises `TargetError` if the
    file there is not kitdocs' own, `KitdocsError` if there are no words for the language.
    """
    refuse_other(Path(to))
    book = make_survey(practice, language=language, paper=paper)
    _write_pdf(Path(to), sheets(book, book.cards, title=book.words("survey.title")))
    return book


def write_drawings(to: str | Path, *, paper: Literal["letter", "a4"] = "letter", language: str = "en") -> Handbook:
    """Write every instrument that kitdocs can draw as a PDF, with its word in instruments.yaml; return the cards.

    Raises `TargetError` if the file there is not kitdocs' own, `KitdocsError` if there are no words for the language.
    """
    refuse_other(Path(to))
    book = drawings_catalogue(paper, language)
    _write_pdf(Path(to), sheets(book, book.cards, title=book.cards[0].title))
    return book


def write_workbook(folder: str | Path, to: str | Path, *, language: str = "") -> int:
    """Write a practice folder as a workbook, to be edited in a spreadsheet program; return how many sheets it has.

    The language of its headings is the folder's first by default. Raises `PracticeError` if the folder has errors,
    `TargetError` if the file is there already, because it may hold edits, and `KitdocsError` if there are no words for
    the language.
    """
    file = Path(to).resolve()
    if file.exists():
        raise TargetError(f"{to} exists, and may hold edits; bring them into the folder, or give another name")
    practice = read_practice(folder)
    words = catalog_for(language or practice.settings.languages[0], practice.words)
    texts = read_texts(Path(folder))
    _write_file(file, practice_workbook(texts, words))
    return len(sheets_of(data_of(texts)))


def import_workbook(file: str | Path, folder: str | Path) -> list[str]:
    """Bring the edits of a workbook back into the practice folder that it was made from; return the files that changed.

    Only what was edited is written, with comments and order kept. Nothing is written, and `PracticeError` is raised,
    when the folder would have errors that it has not yet; and `KitdocsError` when a cell cannot be read, or a value was
    changed in the folder, too.
    """
    try:
        brought = bring_back(Path(file), Path(folder))
    except UnreadableError as error:
        raise KitdocsError(str(error)) from error
    if brought.problems:
        raise KitdocsError("\n".join(f"{problem.where}: {problem.message}" for problem in brought.problems))
    if not brought.texts:
        return []
    with brought.would_be() as would_be:
        new = new_problems(_problems(Path(folder)), _problems(would_be))
    if any(problem.severity == "error" for problem in new):
        raise PracticeError(new)
    try:
        return brought.write()
    except OSError as error:
        raise PublishError(f"could not write {error.filename}: {error.strerror or error}") from error


def _problems(folder: Path) -> tuple[Problem, ...]:
    try:
        return read_practice(folder).problems
    except PracticeError as error:
        return error.problems


def refuse_other(file: Path) -> None:
    """Raise `TargetError` if `file` does not end in .pdf, or exists and kitdocs did not write it."""
    if file.suffix.lower() != ".pdf" or file.is_dir():
        raise TargetError(f"'{file}' is not a PDF file name; give one that ends in .pdf, for example sheets.pdf")
    try:
        place = file.resolve()  # a path through a folder that is missing may lead to a file all the same
        there = place.read_bytes() if place.exists() else b""
    except OSError as error:
        raise TargetError(f"cannot read {file}: {error.strerror or error}") from error
    if there and not is_of_kitdocs(there):
        raise TargetError(f"{file} exists and kitdocs did not write it; give another name, or move it away first")


def _write_pdf(file: Path, pdf: bytes) -> None:
    """Write the PDF as `file`, replacing an earlier one. Raises `TargetError` or `PublishError`."""
    refuse_other(file)
    _write_file(file.resolve(), pdf)


def _write_file(file: Path, content: bytes) -> None:
    try:
        file.parent.mkdir(parents=True, exist_ok=True)
        write_whole(file, content)
    except OSError as error:
        raise PublishError(f"could not write {file}: {error.strerror or error}") from error
