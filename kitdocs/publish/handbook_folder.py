"""The whole handbook as one folder: gather everything, then write everything."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable, Sequence
from pathlib import Path

from kitdocs.document.blocks import Code
from kitdocs.document.card import Card, Handbook
from kitdocs.document.table import Tables
from kitdocs.publish.folder import refuse_foreign, write_folder
from kitdocs.publish.print.documents import DOCUMENTS
from kitdocs.publish.print.plan_pdf import plan_report
from kitdocs.publish.print.readback import check_codes
from kitdocs.publish.print.render_pdf import evict_cache
from kitdocs.publish.site.build_site import site
from kitdocs.publish.tables import csv_tables
from kitdocs.publish.workbook import workbook

Tell = Callable[[str], None]


def plan_file(report: Handbook) -> str:
    """Return where a planning report's PDF is."""
    return f"print/{report.folder}plan.pdf"


def publish_handbook(
    handbooks: Sequence[Handbook],
    to: Path | str,
    tell: Tell = lambda step: None,
    *,
    reports: Sequence[Handbook] = (),
    tables: Sequence[Tables] = (),
    warn: Tell = lambda sentence: None,
) -> bool:
    """Write the site and the PDFs of a practice's handbooks (one a language) to the folder `to`.

    The planning `reports` (one a language) have pages of their own and a ``plan.pdf`` each; the plan's `tables` are
    written as CSV files and as a workbook a language. Every code is read back from the finished PDFs first. `tell` is
    called with each step before it is taken, and `warn` with a sentence when files that are not kitdocs' own had to be
    moved out of `to`. Returns whether anything changed.

    Raises `PublishError`; then what was in `to` is as it was. Raises `ValueError` when there is no handbook.
    """
    if not handbooks:
        raise ValueError("no handbook is given to publish")
    refuse_foreign(Path(to))  # before the work, and again when it is done
    tell("drawing the pages")
    files = dict(site(handbooks, reports, paper=paper_of))
    files["cards.json"] = cards_json(handbooks)
    for handbook in handbooks:
        for name, pdf in prints(handbook, tell).items():
            files[f"print/{handbook.folder}{name}"] = pdf
    for report in reports:
        tell(f"setting plan.pdf ({report.language})")
        files[plan_file(report)] = plan_report(report)
    for book in tables:
        tell("writing the tables")
        files.update({f"tables/{book.folder}{name}": csv for name, csv in csv_tables(book).items()})
        files[f"{book.folder}plan.xlsx"] = workbook(book)
    tell("writing the folder")
    return write_folder(Path(to), files, warn)


def prints(handbook: Handbook, tell: Tell = lambda step: None) -> dict[str, bytes]:
    """The PDFs of one language by file name, their codes read back."""
    pdfs: dict[str, bytes] = {}
    evict_cache(len(DOCUMENTS))
    for document in DOCUMENTS:
        tell(f"setting {document.file} ({handbook.language})")
        pdfs[document.file] = pdf = document.made(handbook)
        tell(f"reading the codes of {document.file} back ({handbook.language})")
        check_codes(pdf, _payloads(filter(document.holds, handbook.cards)))
    return pdfs


def sheet(handbooks: Sequence[Handbook], path: str, reports: Sequence[Handbook] = ()) -> bytes | None:
    """The PDF that a published handbook has at `path` (``print/es/binder.pdf``); None when it has none there."""
    for report in reports:
        if path == plan_file(report):
            return plan_report(report)
    for handbook in handbooks:
        for document in DOCUMENTS:
            if path == f"print/{handbook.folder}{document.file}":
                return document.made(handbook)
    return None


def paper_of(handbook: Handbook, card: Card) -> str:
    """The path of the PDF that one prints a card from: its own kind's, else the binder; empty when it is in none."""
    held = [document.file for document in DOCUMENTS if document.holds(card)]
    return f"print/{handbook.folder}{held[-1]}" if held else ""


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


def _payloads(cards: Iterable[Card]) -> list[str]:
    return [block.encoded for card in cards for block in card.blocks if isinstance(block, Code)]
