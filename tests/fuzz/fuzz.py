"""Fuzzing of the reader: mutated folders give a practice or placed problems, within a budget of time and memory.

``python tests/fuzz/fuzz.py --count 100000`` runs so many cases and prints what it found as JSON; a case is run again by
its number, as in ``--first 4711 --count 1``. Every tenth folder that is read without an error is planned, too.
"""

from __future__ import annotations

import argparse
import io
import json
import random
import signal
import tempfile
import time
import traceback
from pathlib import Path
from typing import Any

from mutations import Files, mutated
from PIL import Image

from kitdocs.drawings.instruments import tip
from kitdocs.planning.plan import make_plan
from kitdocs.practice.printed import PrintedCard, PrintRun
from kitdocs.practice.problems import PracticeError
from kitdocs.practice.reading.reader import read_practice
from kitdocs.practice.recording import run_text
from kitdocs.publish.print.worker import most_memory
from kitdocs.starter.words_file import words_text

VALID = Path(__file__).parents[1] / "inputs" / "_valid"
#: Seconds of processor time for one folder, and megabytes for the process that reads them all.
MOST_SECONDS, MOST_MEGABYTES = 2.0, 300
_HANGS_AFTER = 30
_PLANNED = 10


def valid_files() -> Files:
    """The files of a folder that has every kind of file in it."""
    files = {path.relative_to(VALID).as_posix(): path.read_bytes() for path in VALID.rglob("*") if path.is_file()}
    files["schedule.csv"] = b"day,start,chair,procedure,minutes\nMonday,08:30,teal-chair,bracket,40\n"
    files["words.en.yaml"] = b"\n".join(words_text("en", {}).encode().split(b"\n")[:60]) + b"\n"
    block = {"is": "items", "items": [{"id": "ties", "name": "Ties", "count": 2}]}
    card = PrintedCard(card="r/teal-chair", language="en", edition="4X8JM", title="Teal", front=(block,), sheets=("4",))
    run = PrintRun(date="2026-11-25", by="lead", cards=(card,), figures={"stock.core": 4}, inputs={"sets.core": "C"})
    files["printed/2026-11-25-4X8JM.yaml"] = run_text(run).encode()
    for name, kind in (("mirror.png", "PNG"), ("weingart.jpg", "JPEG"), ("core.webp", "WEBP")):
        out = io.BytesIO()
        Image.linear_gradient("L").resize((96, 64)).convert("RGB").save(out, kind)
        files[f"photos/{name}"] = out.getvalue()
    files["drawings/holder.svg"] = tip("bracket-holder").svg.replace("><", ">\n<").encode()
    return files


def run_cases(first: int, count: int) -> dict[str, Any]:
    """Read `count` mutated folders; return what went wrong, and the slowest case and most memory."""
    valid = valid_files()
    outcomes = {"read": 0, "refused": 0}
    failures: list[dict[str, Any]] = []
    slowest = (0.0, first)
    with tempfile.TemporaryDirectory() as scratch:
        folder = Path(scratch) / "practice"
        write(folder, valid)
        for number in range(first, first + count):
            files = mutated(valid, random.Random(number))
            changed = {name for name in {*valid, *files} if valid.get(name) != files.get(name)}
            write(folder, {name: files[name] for name in changed if name in files})
            for name in changed - set(files):
                (folder / name).unlink()
            start = time.process_time()
            try:
                outcomes["read" if _judge(folder, plan=number % _PLANNED == 0) else "refused"] += 1
            except Exception as error:
                where = traceback.extract_tb(error.__traceback__)[-1]
                failures.append({"case": number, "error": repr(error)[:200], "at": f"{where.filename}:{where.lineno}"})
            slowest = max(slowest, (time.process_time() - start, number))
            for name in changed - set(valid):
                (folder / name).unlink()
            write(folder, {name: valid[name] for name in changed if name in valid})
    return {
        "cases": count,
        **outcomes,
        "failures": failures,
        "slowest_s": round(slowest[0], 2),
        "slowest_case": slowest[1],
        "most_megabytes": most_memory(),
    }


def write(folder: Path, files: Files) -> None:
    for name, content in files.items():
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        (folder / name).write_bytes(content)


def _judge(folder: Path, *, plan: bool) -> bool:
    """Read a folder; return whether it could be read. A problem without a place or words is an `AssertionError`."""
    signal.alarm(_HANGS_AFTER)
    try:
        practice = read_practice(folder)
        if plan:
            make_plan(practice, days=5)
    except PracticeError as error:
        assert error.problems
        for problem in error.problems:
            assert problem.message and problem.path and problem.place.line >= 1, problem
            # A line that may hold cells about a patient is not shown at all.
            assert 1 <= problem.place.column <= len(problem.place.text) + 1 or not problem.place.text, problem
            str(problem).encode("utf-8")
        return False
    finally:
        signal.alarm(0)
    assert all(problem.severity == "warning" for problem in practice.problems)
    return True


def _hangs(*_: object) -> None:
    raise TimeoutError(f"not done after {_HANGS_AFTER} s")


def main() -> None:
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("--first", type=int, default=0)
    options.add_argument("--count", type=int, default=2000)
    chosen = options.parse_args()
    signal.signal(signal.SIGALRM, _hangs)
    print(json.dumps(run_cases(chosen.first, chosen.count), indent=1))


if __name__ == "__main__":
    main()
