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

#: Where the planning report's PDF is.
PLAN = "print/plan.pdf"


def publish_handbook(
    handbooks: Sequence[Handbook],
    to: Path | str,
    tell: Tell = lambda step: None,
    *,
    report: Handbook | None = None,
    tables: Tables | None = None,
    warn: Tell = lambda sentence: None,
) -> bool:
    """Write the site and the PDFs of a practice's handbooks (one a language) to the folder `to`.

    The planning `report`, when there is one, has pages of its own and ``print/plan.pdf``; the plan's `tables` are
    written as CSV files and as one workbook. Every code is read back from the finished PDFs first. `tell` is called
    with each step before it is taken, and `warn` with a sentence when files that are not kitdocs' own had to be moved
    out of `to`. Returns whether anything changed. Raises `PublishError`; then what was in `to`
    is as it was. Raises `ValueError` when there is no handbook.
    """
    if not handbooks:
        raise ValueError("no handbook is given to publish")
    refuse_foreign(Path(to))  # before the work, and again when it is done
    tell("drawing the pages")
    files = dict(site(handbooks, report, paper=paper_of))
    files["cards.json"] = cards_json(handbooks)
    for handbook in handbooks:
        for name, pdf in prints(handbook, tell).items():
            files[f"print/{handbook.folder}{name}"] = pdf
    if report:
        tell("setting plan.pdf")
        files[PLAN] = plan_report(report)
    if tables:
        tell("writing the tables")
        files.update({f"tables/{name}": csv for name, csv in csv_tables(tables).items()})
        files["plan.xlsx"] = workbook(tables)
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


def sheet(handbooks: Sequence[Handbook], path: str, report: Handbook | None = None) -> bytes | None:
    """The PDF that a published handbook has at `path` (``print/es/binder.pdf``); None when it has none there."""
    if report and path == PLAN:
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
