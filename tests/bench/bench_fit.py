"""Does every word find room, whatever the language? A scan of every document of the example in pseudo-languages.

    python tests/bench/bench_fit.py [FOLDER]

It writes the example in words that are shorter and longer than English, and in one of long compound words, prints all
documents, and lists each place where text is off its sheet, near a cut, on other text or across an edge. With a FOLDER
the practices and their PDFs are kept there, to be looked at: what has no accent was not translated.
"""

from __future__ import annotations

import sys
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from tempfile import TemporaryDirectory

ROOT = Path(__file__).parents[2]
sys.path[:0] = [str(ROOT), str(ROOT / "tests" / "publish")]

from ink_scan import FROM_TRIM, FROM_TRIM_OF_LABEL, faults  # noqa: E402
from pseudo_language import EXAMPLE, PseudoLanguage, pseudo_practice  # noqa: E402

from kitdocs.handbook.build_handbook import make_handbooks  # noqa: E402
from kitdocs.planning.plan import make_plan  # noqa: E402
from kitdocs.practice.reading.reader import read_practice  # noqa: E402
from kitdocs.publish.print.documents import DOCUMENTS, plan_report  # noqa: E402
from kitdocs.publish.print.rendering import Rendering  # noqa: E402
from kitdocs.publish.print.workers import Workers  # noqa: E402
from kitdocs.report.build_report import make_reports  # noqa: E402

LANGUAGES = {f"{longer:+.0%}": PseudoLanguage(longer) for longer in (-0.2, 0.1, 0.3, 0.6)}
LANGUAGES["joined"] = PseudoLanguage(joined=True)


def main(folder: Path) -> int:
    """Print every fault; return how many there are."""
    found = 0
    for name, practice in {"example": EXAMPLE, **_written(folder)}.items():
        for file, pdf in _printed(practice):
            (folder / name).mkdir(exist_ok=True)
            (folder / name / file).write_bytes(pdf)
            for fault in faults(pdf, from_cut=FROM_TRIM_OF_LABEL if "labels" in file else FROM_TRIM):
                found += 1
                print(f"{name}: {file}, page {fault.page}: {fault.kind}: {fault.words}")
    print(f"{found} faults in English, Spanish and {len(LANGUAGES)} pseudo-languages")
    return found


def _written(folder: Path) -> dict[str, Path]:
    return {name: pseudo_practice(folder / f"practice{name}", language) for name, language in LANGUAGES.items()}


def _printed(folder: Path) -> list[tuple[str, bytes]]:
    practice = read_practice(folder)
    plan = make_plan(practice, days=20)
    with Workers() as workers, ThreadPoolExecutor(32) as threads:
        jobs = []
        for book in make_handbooks(practice, plan):
            rendering = Rendering(book, workers.run())
            jobs += [(f"{book.language}-{of.file}", threads.submit(of.render, rendering)) for of in DOCUMENTS]
        for report in make_reports(practice, plan, ()):
            rendering = Rendering(report, workers.run())
            jobs.append((f"{report.language}-plan.pdf", threads.submit(plan_report, rendering)))
        return [(file, job.result()) for file, job in jobs]


if __name__ == "__main__":
    if len(sys.argv) > 1:
        kept = Path(sys.argv[1])
        kept.mkdir(parents=True)
        sys.exit(bool(main(kept)))
    with TemporaryDirectory() as scratch:
        sys.exit(bool(main(Path(scratch))))
