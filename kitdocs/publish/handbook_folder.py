"""The whole handbook as one folder: gather everything, then write everything."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import replace
from pathlib import Path

from kitdocs.cache import Cache
from kitdocs.document.card import Card, Handbook
from kitdocs.document.table import Tables
from kitdocs.errors import PublishError
from kitdocs.publish.folder import refuse_foreign, write_folder
from kitdocs.publish.print.documents import every_document, plan_report
from kitdocs.publish.print.finished import card_pages
from kitdocs.publish.print.render_all import AllDocuments, Started, finished, plan_file
from kitdocs.publish.print.rendering import Rendering
from kitdocs.publish.print.workers import Workers
from kitdocs.publish.site.build_site import site
from kitdocs.publish.site.frame import PrintedCopy
from kitdocs.publish.site.pages import Paper
from kitdocs.publish.tables import csv_tables
from kitdocs.publish.workbook import workbook

Tell = Callable[[str], None]


def publish_handbook(
    handbooks: Sequence[Handbook],
    to: Path | str,
    tell: Tell = lambda step: None,
    *,
    reports: Sequence[Handbook] | Callable[[], Sequence[Handbook]] = (),
    tables: Sequence[Tables] = (),
    warn: Tell = lambda sentence: None,
) -> bool:
    """Write the site and the PDFs of a practice's handbooks (one a language) to the folder `to`.

    The planning `reports` (one a language) have pages of their own and a ``plan.pdf`` each; a function that makes them
    is called while worker processes render the other documents. The plan's `tables` are written as CSV files and as a
    workbook a language. Every code is read back from the finished PDFs first. `tell` is called with each step before
    it is taken, and `warn` with a sentence when files that are not kitdocs' own had to be moved out of `to`. Returns
    whether anything changed.

    Raises `PublishError`; then what was in `to` is as it was. Raises `ValueError` when there is no handbook.
    """
    refuse_foreign(Path(to))  # before the work, and again when it is done
    files = handbook_files(handbooks, tell, reports=reports, tables=tables)
    tell("writing the folder")
    return write_folder(Path(to), files, warn)


def handbook_files(
    handbooks: Iterable[Handbook],
    tell: Tell = lambda step: None,
    *,
    reports: Sequence[Handbook] | Callable[[], Sequence[Handbook]] = (),
    tables: Sequence[Tables] = (),
    cache: Cache | None = None,
) -> dict[str, bytes]:
    """Return the files of a published handbook by path; see `publish_handbook`.

    A document that `cache` holds is not rendered again. While the handbook of a language is being made, documents of
    those before it are rendered already.
    """
    with AllDocuments(cache or Cache(None)) as documents:
        books: list[Handbook] = []
        started: Started = {}
        for handbook in handbooks:
            books.append(handbook)
            started |= documents.start([handbook])
        if not books:
            raise ValueError("no handbook is given to publish")
        if callable(reports):
            tell("comparing other ways to place the instruments")
            reports = reports()
        started_reports = documents.start_reports(reports)
        files = {"cards.json": cards_json(books)}
        for book in tables:
            tell("writing the tables")
            files.update({f"tables/{book.folder}{name}": csv for name, csv in csv_tables(book).items()})
            files[f"{book.folder}plan.xlsx"] = workbook(book)
        printed = finished(started, tell)
        # The pages lead to the pages of these documents; the reports are still being rendered.
        tell("drawing the pages")
        files.update(site(books, reports, paper=paper_in(printed)))
        files.update(printed)
        files.update(finished(started_reports, tell))
    return files


def sheet(handbooks: Sequence[Handbook], path: str, reports: Sequence[Handbook] = ()) -> bytes | None:
    """Return the PDF that a published handbook has at `path` (``print/es/binder.pdf``); None if it has none there."""
    with Workers() as workers:
        for report in reports:
            if path == plan_file(report):
                return plan_report(Rendering(report, workers.run()))
        for handbook in handbooks:
            for document in every_document():
                if path == f"print/{handbook.folder}{document.file}":
                    return document.render(Rendering(handbook, workers.run()))
    return None


def paper_of(handbook: Handbook, card: Card) -> PrintedCopy | None:
    """The PDF that one prints a card from: its own kind's, else the binder; None when it is in none."""
    held = [document.file for document in every_document() if document.holds(card)]
    return PrintedCopy(path=f"print/{handbook.folder}{held[-1]}") if held else None


def paper_in(pdfs: Mapping[str, bytes]) -> Paper:
    """Return where each card is in finished PDFs, which are given by path."""
    pages = {path: card_pages(pdf) for path, pdf in pdfs.items()}

    def paper(handbook: Handbook, card: Card) -> PrintedCopy | None:
        copy = paper_of(handbook, card)
        if copy and card.id not in pages[copy.path]:
            raise PublishError(f"{copy.path} does not tell on which page the card '{card.id}' begins")
        return copy and replace(copy, page=pages[copy.path][card.id])

    return paper


def cards_json(handbooks: Sequence[Handbook]) -> bytes:
    """Every card of which a printed copy is kept: id, kind, title, language, edition, page, where it hangs."""
    cards = [
        {
            "id": card.id,
            "kind": card.kind,
            "title": card.title,
            "language": handbook.language,
            "edition": card.edition,
            "page": f"{handbook.folder}{card.id}.html",
            "place": card.place,
            "hangs": card.hangs,
        }
        for handbook in handbooks
        for card in handbook.kept
    ]
    return (json.dumps({"cards": cards}, ensure_ascii=False, indent=1) + "\n").encode()
