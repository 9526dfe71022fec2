"""All PDFs of a practice, rendered in worker processes, several at once."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from concurrent.futures import Future, ThreadPoolExecutor

from kitdocs.cache import Cache
from kitdocs.document.card import Handbook
from kitdocs.publish.print.cached_run import CachedRun
from kitdocs.publish.print.copyfitting import CardFits
from kitdocs.publish.print.documents import DOCUMENTS, plan_report
from kitdocs.publish.print.rendering import Rendering
from kitdocs.publish.print.run import Run
from kitdocs.publish.print.workers import Workers

#: Documents that can be under way at once. All but a few of the threads wait for a worker.
_THREADS = 64


class AllDocuments:
    """Documents that are being rendered. Use as a context manager: at its end, no process is left."""

    def __init__(self, cache: Cache) -> None:
        self._cache = cache
        self._threads = ThreadPoolExecutor(_THREADS)
        self._workers = Workers()
        self._documents: dict[str, Future[bytes]] = {}

    def __enter__(self) -> AllDocuments:
        return self

    def __exit__(self, *error: object) -> None:
        self._workers.__exit__(*error)
        self._threads.shutdown(cancel_futures=True)

    def _run(self, order: int = 0) -> Run:
        return CachedRun(self._workers.run(order), self._cache)

    def _fits(self) -> CardFits:
        return CardFits(self._workers.run(), self._cache)

    def start(self, handbooks: Iterable[Handbook]) -> None:
        """Begin with the documents of each language; the first documents of all languages come first."""
        for handbook in handbooks:
            shared = Rendering(handbook, self._run(), fits=self._fits())
            for order, document in enumerate(DOCUMENTS):
                path = f"print/{handbook.folder}{document.file}"
                rendering = Rendering(handbook, self._run(order), shared=shared, read_back=True)
                self._documents[path] = self._threads.submit(document.render, rendering)

    def start_reports(self, reports: Iterable[Handbook]) -> None:
        """Begin with the planning report of each language."""
        for report in reports:
            rendering = Rendering(report, self._run(), fits=self._fits())
            self._documents[plan_file(report)] = self._threads.submit(plan_report, rendering)

    def finished(self, tell: Callable[[str], None]) -> Iterator[tuple[str, bytes]]:
        """Yield each path and PDF in the order in which they were begun. Raises the first `PublishError`."""
        for path, document in self._documents.items():
            tell(f"rendering {path}")
            yield path, document.result()


def plan_file(report: Handbook) -> str:
    """Return the path of a planning report's PDF."""
    return f"print/{report.folder}plan.pdf"
