"""All PDFs of a practice, rendered in worker processes, several at once."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from concurrent.futures import Future, ThreadPoolExecutor
from typing import TypeAlias

from kitdocs.cache import Cache
from kitdocs.document.card import Handbook
from kitdocs.publish.print.cached_run import CachedRun
from kitdocs.publish.print.copyfitting import CardFits
from kitdocs.publish.print.documents import every_document, plan_report
from kitdocs.publish.print.rendering import Rendering
from kitdocs.publish.print.run import Run
from kitdocs.publish.print.workers import Workers

#: Documents that can be under way at once. All but a few of the threads wait for a worker.
_THREADS = 64

#: Documents that are on their way, by path, in the order in which they were begun.
Started: TypeAlias = dict[str, Future[bytes]]


class AllDocuments:
    """Documents that are being rendered. Use as a context manager: at its end, no process is left."""

    def __init__(self, cache: Cache) -> None:
        self._cache = cache
        self._threads = ThreadPoolExecutor(_THREADS)
        self._workers = Workers()

    def __enter__(self) -> AllDocuments:
        return self

    def __exit__(self, *error: object) -> None:
        self._workers.__exit__(*error)
        self._threads.shutdown(cancel_futures=True)

    def _run(self, order: int = 0) -> Run:
        return CachedRun(self._workers.run(order), self._cache)

    def _fits(self) -> CardFits:
        return CardFits(self._workers.run(), self._cache)

    def start(self, handbooks: Iterable[Handbook]) -> Started:
        """Begin with the documents of each language; the first documents of all languages come first."""
        started = {}
        for handbook in handbooks:
            shared = Rendering(handbook, self._run(), fits=self._fits())
            for order, document in enumerate(every_document()):
                path = f"print/{handbook.folder}{document.file}"
                rendering = Rendering(handbook, self._run(order), shared=shared, read_back=True)
                started[path] = self._threads.submit(document.render, rendering)
        return started

    def start_reports(self, reports: Iterable[Handbook]) -> Started:
        """Begin with the planning report of each language; all other documents come first."""
        started = {}
        for report in reports:
            rendering = Rendering(report, self._run(len(every_document())), fits=self._fits())
            started[plan_file(report)] = self._threads.submit(plan_report, rendering)
        return started


def finished(started: Started, tell: Callable[[str], None]) -> dict[str, bytes]:
    """Wait for documents, and return each PDF by its path. Raises the first `PublishError`."""
    pdfs = {}
    for path, document in started.items():
        tell(f"rendering {path}")
        pdfs[path] = document.result()
    return pdfs


def plan_file(report: Handbook) -> str:
    """Return the path of a planning report's PDF."""
    return f"print/{report.folder}plan.pdf"
