"""What the PDFs of a practice cost, as a multiple of what Typst alone takes for the same sources: a script, not a test.

    python tests/bench/bench_print.py [rounds] [folder]

Typst alone is one bare `Compiler.compile` a document, of exactly the template and the files that kitdocs hands to it.
Both run in processes of their own, in turn, so that neither finds in memory what the other worked out. Prints the
processor's time of each and two ratios: kitdocs without read-back over Typst alone (at most 1.3), and
read-back over the whole (under 0.5).
"""

from __future__ import annotations

import json
import pickle
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path
from statistics import median
from typing import Any

ROOT = Path(__file__).parents[2]
sys.path.insert(0, str(ROOT))

try:
    import resource
except ImportError:  # Windows
    resource = None  # type: ignore[assignment]

import typst  # noqa: E402

import kitdocs  # noqa: E402
from kitdocs.publish import handbook_folder  # noqa: E402
from kitdocs.publish.print import press  # noqa: E402
from kitdocs.publish.print.data import PrintData  # noqa: E402
from kitdocs.publish.print.plan_pdf import plan_report  # noqa: E402
from kitdocs.report.build_report import make_reports  # noqa: E402

#: Templates that only answer a question.
ASKED = ("fits.typ", "pages.typ")


def main() -> None:
    rounds = int(sys.argv[1]) if len(sys.argv) > 1 else 5
    folder = sys.argv[2] if len(sys.argv) > 2 else str(ROOT / "example_practice")
    with tempfile.TemporaryDirectory() as kept:
        sources = str(Path(kept) / "sources.pickle")
        asked("kitdocs", folder, sources)
        turns = [(asked("kitdocs", folder, ""), asked("typst", folder, sources)) for _ in range(rounds)]
    own = median(whole["seconds"] - whole["read_back"] for whole, _ in turns)
    alone = median(bare["seconds"] for _, bare in turns)
    read_back = median(whole["read_back"] for whole, _ in turns)
    print(f"Typst alone, {turns[0][1]['documents']} documents                 {alone:6.2f} s")
    print(f"kitdocs, without read-back                {own:6.2f} s")
    print(f"read-back                                 {read_back:6.2f} s")
    print(f"kitdocs takes {own / alone:.2f} times what Typst alone takes")
    print(f"read-back is {read_back / (own + read_back):.0%} of the whole")
    print(f"most memory: kitdocs {turns[0][0]['megabytes']:.0f} MB, Typst alone {turns[0][1]['megabytes']:.0f} MB")


def asked(who: str, folder: str, sources: str) -> dict[str, float]:
    """What one run in a process of its own cost."""
    call = [sys.executable, __file__, "--run", who, folder, sources]
    said: dict[str, float] = json.loads(subprocess.run(call, capture_output=True, text=True, check=True).stdout)
    return said


def run_kitdocs(folder: str, sources: str) -> dict[str, float]:
    """The PDFs as `kitdocs handbook` makes them, the plan's too; what Typst is given is kept in `sources`."""
    practice = kitdocs.read_practice(folder)
    plan = kitdocs.make_plan(practice, days=100)
    handbooks = kitdocs.make_handbooks(practice, plan)
    given: list[tuple[dict[str, bytes], dict[str, bytes]]] = []
    read_back = watched(handbook_folder, "check_codes")
    if sources:
        keep_sources(given)
    reports = make_reports(practice, plan)
    start = time.process_time()
    for handbook in handbooks:
        handbook_folder.prints(handbook)
    plan_report(reports[0])
    seconds = time.process_time() - start
    if sources:
        Path(sources).write_bytes(pickle.dumps(given))
    return {"seconds": seconds, "read_back": sum(read_back), "megabytes": peak()}


def run_typst(sources: str) -> dict[str, float]:
    """The same documents, in the same order, by Typst alone."""
    given = pickle.loads(Path(sources).read_bytes())
    fonts = press._fonts()
    seconds = 0.0
    for files, photos in given:
        with tempfile.TemporaryDirectory() as root:
            for path, photo in photos.items():
                (Path(root) / path).parent.mkdir(parents=True, exist_ok=True)
                (Path(root) / path).write_bytes(photo)
            start = time.process_time()
            compiler = typst.Compiler(root=root, font_paths=fonts)
            compiler.compile(files, format="pdf", pdf_standards=["ua-1"], timestamp=press.TIMESTAMP)
            seconds += time.process_time() - start
    return {"seconds": seconds, "documents": len(given), "megabytes": peak()}


def keep_sources(given: list[tuple[dict[str, bytes], dict[str, bytes]]]) -> None:
    """Put into `given` what each document is made from; what is only asked makes none."""
    files_of = press._files

    def keeping(template: str, data: PrintData) -> dict[str, bytes]:
        files = files_of(template, data)
        if template not in ASKED:
            given.append((files, dict(data.photos)))
        return files

    press._files = keeping


def watched(module: Any, name: str) -> list[float]:
    """The seconds that each call of a function takes, as it is called."""
    taken: list[float] = []
    function: Callable[..., Any] = getattr(module, name)

    def timed(*arguments: Any, **named: Any) -> Any:
        start = time.process_time()
        try:
            return function(*arguments, **named)
        finally:
            taken.append(time.process_time() - start)

    setattr(module, name, timed)
    return taken


def peak() -> float:
    """The most memory of this process, MB; 0 where the system does not tell."""
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1000 if resource else 0.0


if __name__ == "__main__":
    if "--run" in sys.argv:
        who, folder, sources = sys.argv[2:5]
        print(json.dumps(run_kitdocs(folder, sources) if who == "kitdocs" else run_typst(sources)))
    else:
        main()
