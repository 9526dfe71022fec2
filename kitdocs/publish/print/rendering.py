"""A handbook on its way to paper: what its documents share, and who renders them."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence
from concurrent.futures import ThreadPoolExecutor
from functools import partial

from kitdocs.cache import Cache
from kitdocs.document.card import Card, Handbook
from kitdocs.publish.print.copyfitting import CardFits
from kitdocs.publish.print.data import PrintData, titles_of
from kitdocs.publish.print.paper_use import PaperUse
from kitdocs.publish.print.render_pdf import query, render_pdf
from kitdocs.publish.print.run import Run, run_here


class Rendering:
    """One rendering of a handbook. Several documents may be rendered at once, each in a thread of its own.

    `run` calls Typst. What another rendering of the same handbook has read and measured can be `shared`; without one,
    `fits` knows how cards are set. With `read_back`, the codes of each PDF are read back before it is returned. A
    `trial` only finds out whether documents can be printed: parts whose cards were measured (`CardFits`), and all of
    whose letters the typeface has, are neither laid out once more nor joined.
    """

    def __init__(
        self,
        handbook: Handbook,
        run: Run = run_here,
        *,
        fits: CardFits | None = None,
        shared: Rendering | None = None,
        read_back: bool = False,
        trial: bool = False,
    ) -> None:
        self.handbook = handbook
        self.run = run
        self.fits: CardFits = shared.fits if shared else fits or CardFits(run, Cache(None))
        self._read_back = read_back
        self.trial = trial
        self._known: dict[str, PrintData] = shared._known if shared else {}

    def data(self, marked: Mapping[str, Collection[str]] | None = None) -> PrintData:
        """Return the data of a new document, still empty. `marked`: see `Replacement.marked`, by card id."""
        return PrintData(self.handbook, marked=marked or {}, known=self._known)

    def render(self, template: str, data: PrintData, use: PaperUse | None = None) -> bytes:
        """Return the PDF that a template makes of the data; without a `use`, a part of one. Raises `PublishError`."""
        if self._read_back:
            from kitdocs.publish.print.readback import render_read_back

            return self.run(render_read_back, data.source(template, use), data.codes)
        return self.run(render_pdf, data.source(template, use))

    def render_parts(self, template: str, parts: Sequence[PrintData]) -> list[bytes]:
        """Return the PDFs that a template makes of the measured parts of a document, rendered side by side."""
        if self.trial and all(part.has_its_letters() for part in parts):
            return [b""]
        with ThreadPoolExecutor(len(parts)) as threads:
            return list(threads.map(partial(self.render, template), parts))

    def joined(
        self, pdfs: Sequence[bytes], cards: Iterable[Card], use: PaperUse, labels: Sequence[str] | None = None
    ) -> bytes:
        """Return the document of some parts, whose links lead to `cards`; of a trial, its first part."""
        if self.trial:
            return pdfs[0]
        from kitdocs.publish.print.join import DocumentPart, joined

        return self.run(joined, [DocumentPart(pdf=pdf) for pdf in pdfs], titles_of(cards), labels, use)

    def query(self, template: str, label: str, data: PrintData) -> str:
        """Return what a template says under a label, as JSON. Raises `PublishError`."""
        return self.run(query, data.source(template), label)
