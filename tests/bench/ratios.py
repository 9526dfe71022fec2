"""One table of how fast and how large kitdocs is, each value as measured now beside its target.

    python tests/bench/ratios.py [--growth]

Processor time is the user's and the system's of a command and all processes that it starts: other programs on the
machine hardly change it. Wall time needs a quiet machine. Typst alone is all that Typst does for the documents, in one
process that is pinned to one core: one bare `Compiler.compile` or `query` for each source that kitdocs hands to it. To
measure what fits is part of it, as it would be if each document measured for itself. `--growth` adds practices four and
eight times as large: their handbooks against the number of cards, and `check` against the number of cards of fixed
size. These are all that it measures, and their share of the cards grows.
"""

from __future__ import annotations

import math
import os
import pickle
import re
import shutil
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

ROOT = Path(__file__).parents[2]
sys.path[:0] = [str(ROOT), str(ROOT / "tests" / "bench")]
EXAMPLE = ROOT / "example_practice"

EMPTY_PROGRAM = """
import typer
app = typer.Typer()
@app.command()
def one(): pass
@app.command()
def two(): pass
app()
"""


@dataclass(frozen=True, kw_only=True)
class Cost:
    """Wall and processor time in seconds, most memory of one process in MB, and how many cards were made."""

    wall: float
    processor: float
    memory: float
    cards: int


def main() -> None:
    print(f"{'':66}{'today':>8}{'target':>9}   ({len(os.sched_getaffinity(0))} cores)", flush=True)
    with tempfile.TemporaryDirectory(prefix="kitdocs-bench-") as scratch:
        for name, value, target in measured(Path(scratch), growth="--growth" in sys.argv):
            aim = f"{target:9.2f}" if target else ""
            print(f"{name:66}{value:8.2f}{aim:>9}{'  missed' if target and value > target else ''}", flush=True)


def measured(scratch: Path, *, growth: bool) -> Iterator[tuple[str, float, float | None]]:
    """Yield the name, value and target of each row."""
    yield from start_up(scratch)
    run(["-m", "kitdocs", "start", str(scratch / "starter")], scratch)
    checked = least([run(["-m", "kitdocs", "check", str(scratch / "starter")], scratch, fresh=True) for _ in range(3)])
    yield "check of the starter, processor (s)", checked.processor, 1.0
    checked = check(EXAMPLE, scratch)
    yield "check of the example, most memory of one process (MB)", checked.memory, None

    alone = typst_alone(EXAMPLE, scratch)
    first = handbook(EXAMPLE, scratch)
    yield "whole handbook, wall / Typst alone on one core, wall", first.wall / alone.wall, 1.0
    yield "whole handbook / Typst alone, processor", first.processor / alone.processor, None
    yield "most memory of one process, the example (MB)", first.memory, 700
    again = handbook(EXAMPLE, scratch, fresh=False)
    yield "nothing changed / first run, wall", again.wall / first.wall, 0.1
    yield "nothing changed / first run, processor", again.processor / first.processor, 0.1
    changed = handbook(one_count_changed(scratch), scratch, fresh=False)
    yield "one pouch count changed / first run, wall", changed.wall / first.wall, 0.35
    yield "one pouch count changed / first run, processor", changed.processor / first.processor, 0.35
    if growth:
        yield from growth_rows(first, checked, scratch)


def start_up(scratch: Path) -> Iterator[tuple[str, float, float | None]]:
    """Compare help and completion with those of a program that does nothing."""
    programs = {"empty": EMPTY_PROGRAM, "kitdocs": "from kitdocs.cli import main\nmain()"}
    for name, program in programs.items():
        (scratch / name).write_text(program)

    def cost(name: str, *arguments: str, **asked: str) -> float:
        return least([run([str(scratch / name), *arguments], scratch, more=asked) for _ in range(5)]).processor

    shown = {name: cost(name, "--help") for name in programs}
    yield "--help / that of an empty typer program, processor", shown["kitdocs"] / shown["empty"], 1.5
    completed = {
        name: cost(name, **{f"_{name.upper()}_COMPLETE": "complete_bash", "COMP_WORDS": name, "COMP_CWORD": "1"})
        for name in programs
    }
    yield "completion / that of an empty program, processor", completed["kitdocs"] / completed["empty"], 1.5


def growth_rows(first: Cost, checked: Cost, scratch: Path) -> Iterator[tuple[str, float, float | None]]:
    from grown_practice import grow  # noqa: PLC0415

    for times in (4, 8):
        grow(scratch / f"grown-{times}", times)
        grown = handbook(scratch / f"grown-{times}", scratch)
        more = math.log(grown.cards / first.cards)
        title = f"{times}-fold practice, {grown.cards} cards"
        yield f"{title}: exponent of the processor time", math.log(grown.processor / first.processor) / more, 1.1
        yield f"{title}: exponent of the memory", math.log(grown.memory / first.memory) / more, 1.1
        yield f"{title}: most memory of one process (MB)", grown.memory, 1200 if times == 4 else None
        larger = check(scratch / f"grown-{times}", scratch)
        more = math.log(larger.cards / checked.cards)
        title = f"check of it, {larger.cards} cards of fixed size"
        yield f"{title}: exponent of the processor time", math.log(larger.processor / checked.processor) / more, 1.1
        yield f"{title}: exponent of the memory", math.log(larger.memory / checked.memory) / more, 1.1


def run(arguments: Sequence[str], scratch: Path, *, fresh: bool = False, more: Mapping[str, str] | None = None) -> Cost:
    """Run Python with these arguments, and `more` environment; `fresh`: without what earlier runs have kept."""
    if fresh:
        shutil.rmtree(scratch / "cache", ignore_errors=True)
    own = {
        "PYTHONPATH": str(ROOT),
        "KITDOCS_CACHE": str(scratch / "cache"),
        "XDG_STATE_HOME": str(scratch / "state"),
        # Compiled once, as a program that was installed is.
        "PYTHONDONTWRITEBYTECODE": "",
        "PYTHONPYCACHEPREFIX": str(scratch / "compiled"),
    }
    environment = {**os.environ, **own, **(more or {})}
    with tempfile.TemporaryFile("w+") as said:
        start = time.perf_counter()
        process = subprocess.Popen([sys.executable, *arguments], stdout=said, stderr=said, env=environment)
        # Of a process and all that it has waited for: their processor time, and the memory of the largest.
        _, status, used = os.wait4(process.pid, 0)
        wall = time.perf_counter() - start
        process.returncode = os.waitstatus_to_exitcode(status)
        said.seek(0)
        output = said.read()
    if process.returncode:
        raise SystemExit(f"{arguments}: {output[-4000:]}")
    cards = re.search(r": (\d+) cards", output)
    return Cost(
        wall=wall,
        processor=used.ru_utime + used.ru_stime,
        memory=used.ru_maxrss / 1024,
        cards=int(cards[1]) if cards else 0,
    )


def least(costs: Sequence[Cost]) -> Cost:
    """Return the cost that other programs disturbed least."""
    return min(costs, key=lambda cost: cost.processor)


def handbook(practice: Path, scratch: Path, *, fresh: bool = True) -> Cost:
    """Write the handbook of a practice, and report its cost."""
    return run(["-m", "kitdocs", "handbook", str(practice), "--to", str(scratch / "out")], scratch, fresh=fresh)


def check(practice: Path, scratch: Path) -> Cost:
    """Check a practice without what earlier runs have kept, and report the cost; the cards are those of fixed size."""
    from kitdocs.practice.reading.reader import read_practice  # noqa: PLC0415

    read = read_practice(practice)
    add_ons = sum(pouch.kind == "add-on" for pouch in read.pouches.values())
    # A wall card for each, a template of each set, and a poster.
    cards = len(read.settings.languages) * (len(read.chairs) + add_ons + 2 * len(read.sets) + 1)
    return replace(run(["-m", "kitdocs", "check", str(practice)], scratch, fresh=True), cards=cards)


def one_count_changed(scratch: Path) -> Path:
    """Return a copy of the example with one more pouch in one drawer."""
    folder = scratch / "changed"
    shutil.copytree(EXAMPLE, folder)
    chairs = (folder / "chairs.yaml").read_text("utf-8")
    if "loose-band: 2}" not in chairs:
        raise SystemExit("chairs.yaml has no drawer with two loose-band pouches any more")
    (folder / "chairs.yaml").write_text(chairs.replace("loose-band: 2}", "loose-band: 3}", 1), "utf-8")
    return folder


def typst_alone(practice: Path, scratch: Path) -> Cost:
    """Render the same documents, one after the other, in one process on one core."""
    sources = scratch / "sources.pickle"
    run([__file__, "--record", str(practice), str(sources)], scratch)
    return run([__file__, "--render", str(sources)], scratch)


def record_sources(practice_folder: str, to: str) -> None:
    """Write what Typst is given for each document of a practice."""
    import kitdocs  # noqa: PLC0415
    from kitdocs.publish.print.documents import DOCUMENTS, plan_report  # noqa: PLC0415
    from kitdocs.publish.print.render_pdf import query, render_pdf  # noqa: PLC0415
    from kitdocs.publish.print.rendering import Rendering  # noqa: PLC0415
    from kitdocs.publish.print.run import run_here  # noqa: PLC0415

    recorded: list[Any] = []

    def recording(function: Any, /, *arguments: Any, **named: Any) -> Any:
        if function in (query, render_pdf):
            recorded.append((arguments[0], *arguments[1:]))
        return run_here(function, *arguments, **named)

    practice = kitdocs.read_practice(practice_folder)
    plan = kitdocs.make_plan(practice)
    for book in kitdocs.make_handbooks(practice, plan):
        shared = Rendering(book, recording)
        for document in DOCUMENTS:
            document.render(shared)
    for report in kitdocs.make_reports(practice, plan):
        plan_report(Rendering(report, recording))
    Path(to).write_bytes(pickle.dumps(recorded))


def render_sources(file: str) -> None:
    """Render the recorded documents by Typst alone, on one core."""
    import typst  # noqa: PLC0415

    from kitdocs.publish.print.render_pdf import TIMESTAMP, _files, _fonts, query  # noqa: PLC0415

    os.sched_setaffinity(0, {min(os.sched_getaffinity(0))})
    for source, *label in pickle.loads(Path(file).read_bytes()):
        if label:
            query(source, *label)
            continue
        with tempfile.TemporaryDirectory() as root:
            for path, photo in source.photos.items():
                (Path(root) / path).parent.mkdir(parents=True, exist_ok=True)
                (Path(root) / path).write_bytes(photo)
            compiler = typst.Compiler(root=root, font_paths=_fonts())
            # Typst's stubs know nothing of virtual files.
            compiler.compile(_files(source), format="pdf", pdf_standards=["ua-1"], timestamp=TIMESTAMP)  # type: ignore[type-var]


if __name__ == "__main__":
    if "--record" in sys.argv:
        record_sources(sys.argv[2], sys.argv[3])
    elif "--render" in sys.argv:
        render_sources(sys.argv[2])
    else:
        main()
