"""Two thousand mutated folders, always the same ones, read within the budget; and files made to be slow or large."""

from __future__ import annotations

import json
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parent))

import fuzz

pytestmark = [
    pytest.mark.whole,
    pytest.mark.skipif(sys.platform == "win32", reason="time and memory are measured as on POSIX systems"),
]

SETS = "".join(f"s{n}:\n  name: Set {n}\n  code: A{n}\n  contents: [mirror, weingart]\n" for n in range(16_000))
SVG = '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 18 22">'
STOCK, SCHEDULE = "instrument,on_hand\n", "day,start,chair,procedure,minutes\n"

#: File and content, the content made only where it is used: each is about a megabyte, or as much as is read.
HEAVY: dict[str, tuple[str, Callable[[], str]]] = {
    "a bracket open at the end": ("sets.yaml", lambda: SETS[:1_000_000] + "\n  x: ["),
    "a tab at the end": ("sets.yaml", lambda: SETS[:1_000_000] + "\nx:\n\ty: 1\n"),
    "a quote open at the start": ("sets.yaml", lambda: "a: '" + SETS[:1_000_000].replace("'", "")),
    "20,000 invalid sets": ("sets.yaml", lambda: "".join(f"s{n}:\n  nam: x\n" for n in range(20_000))),
    "20,000 words for sets": ("sets.yaml", lambda: "".join(f"s{n}: x\n" for n in range(20_000))),
    "30,000 keys that are no ids": ("sets.yaml", lambda: "".join(f"S {n}: x\n" for n in range(30_000))),
    "8,000 good sets": (
        "sets.yaml",
        lambda: "".join(
            f"s{n}: {{name: S, code: C{n}, cassette: small, mark: bar, contents: [mirror]}}\n" for n in range(8_000)
        ),
    ),
    "99,000 numbers": ("sets.yaml", lambda: "a: [" + "1," * 99_000 + "]"),
    "100,000 equal keys": ("sets.yaml", lambda: "a: 1\n" * 100_000),
    "half a million brackets": ("sets.yaml", lambda: "[" * 500_000),
    "50,000 lines of stock": ("stock.csv", lambda: STOCK + "".join(f"x{n},1\n" for n in range(50_000))),
    "900,000 cells": ("stock.csv", lambda: STOCK + "mirror" + "," * 900_000),
    "100,000 columns": ("stock.csv", lambda: ",".join(f"c{n}" for n in range(100_000))),
    "40,000 invalid visits": ("schedule.csv", lambda: SCHEDULE + "Mon,8,teal,brac,x\n" * 40_000),
    "140,000 links": ("pages/x.md", lambda: "# T\n" + "[a](b) " * 140_000),
    "a million backticks": ("pages/x.md", lambda: "# T\n" + "`" * 990_000),
    "490,000 backticks": ("pages/x.md", lambda: "# T\n" + "`a" * 490_000),
    "20,000 letters to lack": ("pages/x.md", lambda: "# T\n" + "".join(chr(0x4E00 + n) for n in range(20_000))),
    "100,000 groups in a drawing": ("drawings/mirror.svg", lambda: SVG + "<g>" * 100_000 + "</g>" * 100_000 + "</svg>"),
    "4,900 shapes in a drawing": ("drawings/mirror.svg", lambda: SVG + '<path d="M0 0H9" style="fill:red"/>' * 4900),
    "900,000 digits in a drawing": ("drawings/mirror.svg", lambda: SVG + f'<path d="{"1" * 900_000}!"/></svg>'),
    "300,000 classes in a drawing": ("drawings/mirror.svg", lambda: SVG + "<style>" + ".a," * 300_000 + "{}</style>"),
    "60,000 sentences": ("words.it.yaml", lambda: "".join(f"k{n}: x\n" for n in range(60_000))),
}
#: Reads the second folder, to load what any folder needs, then the first; prints what the first and the process took.
_READ = (
    "import json, sys, time\n"
    "from kitdocs.practice.reading.reader import read_practice; from kitdocs.practice.problems import PracticeError\n"
    "from kitdocs.publish.print.worker import most_memory\n"
    "read_practice(sys.argv[2]); start = time.process_time()\n"
    "try: read_practice(sys.argv[1]); problems = 0\n"
    "except PracticeError as error: problems = len(error.problems)\n"
    "print(json.dumps([problems, time.process_time() - start, most_memory()]))"
)


def test_two_thousand_mutated_folders_are_read_or_refused_within_the_budget() -> None:
    done = subprocess.run([sys.executable, str(Path(fuzz.__file__))], capture_output=True, text=True, check=True)
    found = json.loads(done.stdout)
    assert found["failures"] == []
    assert found["slowest_s"] < fuzz.MOST_SECONDS
    assert found["most_megabytes"] < fuzz.MOST_MEGABYTES
    assert found["read"] > 100 and found["refused"] > 1000, "mutations that break nothing, or everything, test nothing"


@pytest.mark.parametrize("name", HEAVY)
def test_a_heavy_file_is_read_within_the_budget(tmp_path: Path, name: str) -> None:
    file, content = HEAVY[name]
    problems, seconds, megabytes = _cost_of_reading(tmp_path, {file: content().encode()})
    assert problems < 1000, "nobody reads on"
    assert seconds < fuzz.MOST_SECONDS
    assert megabytes < fuzz.MOST_MEGABYTES


def test_what_the_tests_themselves_use_does_not_count(tmp_path: Path) -> None:
    held = b"x" * (2 * fuzz.MOST_MEGABYTES * 2**20)
    _, _, megabytes = _cost_of_reading(tmp_path, {})
    assert held
    assert 10 < megabytes < fuzz.MOST_MEGABYTES / 2


def _cost_of_reading(tmp_path: Path, files: fuzz.Files) -> tuple[int, float, float]:
    """Return the problems, the seconds of processor time and the most megabytes of a process that reads a folder."""
    fuzz.write(tmp_path / "plain", fuzz.valid_files())
    fuzz.write(tmp_path / "heavy", {**fuzz.valid_files(), **files})
    folders = [str(tmp_path / "heavy"), str(tmp_path / "plain")]
    costs = []
    while len(costs) < 3 and not (costs and costs[-1][1] < fuzz.MOST_SECONDS):  # a busy machine only adds to it
        done = subprocess.run([sys.executable, "-c", _READ, *folders], capture_output=True, text=True, check=True)
        costs.append(json.loads(done.stdout))
    problems, seconds, megabytes = min(costs, key=lambda cost: cost[1])
    return problems, seconds, megabytes
