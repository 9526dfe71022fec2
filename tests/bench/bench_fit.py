"""Does every word find room, whatever the language and the practice? A scan of every document that kitdocs prints.

    python tests/bench/bench_fit.py [--draws N] [--seed S] [--keep FOLDER]

It writes the example in words that are shorter and longer than English, and in one of long compound words, and draws N
practices at random like one of these, with 1 to 12 chairs, 1 to 15 pieces a set, long names, no pouches, on Letter and
A4. It prints all their documents and lists each place where text is off its sheet, near a cut, cut off, shortened, on
other text, across an edge or on a rule, and whatever is refused. The folder keeps the PDFs, to be looked at: what has
no accent was not translated.
"""

from __future__ import annotations

import argparse
import sys
from collections import Counter
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from random import Random
from tempfile import TemporaryDirectory

ROOT = Path(__file__).parents[2]
sys.path[:0] = [str(ROOT), str(ROOT / "tests" / "publish")]

from ink_scan import FROM_TRIM, FROM_TRIM_OF_LABEL, Fault, faults  # noqa: E402
from paper_draws import drawn_at_random  # noqa: E402
from pseudo_language import EXAMPLE, PseudoLanguage, pseudo_practice  # noqa: E402

from kitdocs.handbook.build_handbook import make_handbooks  # noqa: E402
from kitdocs.planning.plan import make_plan  # noqa: E402
from kitdocs.practice.model import Practice  # noqa: E402
from kitdocs.practice.reading.reader import read_practice  # noqa: E402
from kitdocs.publish.print.documents import DOCUMENTS, plan_report  # noqa: E402
from kitdocs.publish.print.rendering import Rendering  # noqa: E402
from kitdocs.publish.print.workers import Workers  # noqa: E402
from kitdocs.report.build_report import make_reports  # noqa: E402

LANGUAGES = {f"{longer:+.0%}": PseudoLanguage(longer) for longer in (-0.2, 0.1, 0.3, 0.6)}
LANGUAGES["joined"] = PseudoLanguage(joined=True)


def main(folder: Path, draws: int, seed: int) -> int:
    """Print every fault; return how many there are."""
    scanned, found = 0, Counter[str]()
    folders = {"example": EXAMPLE, **{name: _written(folder, name) for name in LANGUAGES}}
    practices = {name: read_practice(of) for name, of in folders.items()}
    named = dict(practices)
    for n, drawn in enumerate(drawn_at_random(draws, seed)):
        like = Random(seed + n).choice(list(practices))
        print(f"drawn-{n}: {like}, {drawn}", flush=True)
        named[f"drawn-{n}"] = drawn.practice(practices[like])
    for name, practice in reversed(named.items()):
        for file, pdf in _printed(practice):
            scanned += 1
            for fault in _seen(file, pdf):
                found[fault.kind] += 1
                print(f"{name}: {file}, page {fault.page}: {fault.kind}: {fault.words}", flush=True)
            if isinstance(pdf, bytes):
                (folder / name).mkdir(exist_ok=True)
                (folder / name / file).write_bytes(pdf)
    print(f"{scanned} documents of {len(named)} practices: {found.total()} faults {dict(found)}")
    return found.total()


def _written(folder: Path, name: str) -> Path:
    return pseudo_practice(folder / f"practice{name}", LANGUAGES[name])


def _seen(file: str, pdf: bytes | Exception) -> list[Fault]:
    if isinstance(pdf, Exception):
        return [Fault(0, "refused", f"{type(pdf).__name__}: {pdf}")]
    return faults(pdf, from_cut=FROM_TRIM_OF_LABEL if "labels" in file else FROM_TRIM)


def _printed(practice: Practice) -> Iterator[tuple[str, bytes | Exception]]:
    """Yield each document of a practice, or why there is none."""
    plan = make_plan(practice, days=5)
    with Workers() as workers, ThreadPoolExecutor(32) as threads:
        jobs = []
        for book in make_handbooks(practice, plan):
            rendering = Rendering(book, workers.run())
            jobs += [(f"{book.language}-{of.file}", threads.submit(of.render, rendering)) for of in DOCUMENTS]
        for report in make_reports(practice, plan, ()):
            rendering = Rendering(report, workers.run())
            jobs.append((f"{report.language}-plan.pdf", threads.submit(plan_report, rendering)))
        for file, job in jobs:
            refused = job.exception()
            yield file, refused if isinstance(refused, Exception) else job.result()


if __name__ == "__main__":
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--draws", type=int, default=0)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--keep", type=Path)
    asked = parser.parse_args()
    with TemporaryDirectory() as scratch:
        kept = asked.keep or Path(scratch)
        kept.mkdir(parents=True, exist_ok=True)
        sys.exit(bool(main(kept, asked.draws, asked.seed)))
