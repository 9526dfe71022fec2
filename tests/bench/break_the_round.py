"""Faults put into the round's script, one at a time: which of them the walks of the round against its model see.

    python tests/bench/break_the_round.py        # in Chromium, about half a minute a fault

The faults are put into a copy of the repository. The exit status is 1 when one was not seen.
"""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Mapping
from pathlib import Path

ROOT = Path(__file__).parents[2]
SCRIPT = "site_templates/site/assets/rounds.js"
TEST = "tests/browser/test_round_against_a_model_in_a_browser.py"
SECONDS = 300

#: What is replaced, by what is wrong then.
FAULTS: Mapping[str, tuple[str, str]] = {
    "ticks of an earlier round count": ("tick.at >= from && ", ""),
    "ticks of a clock that was ahead count": (" && tick.at <= Date.now() + CLOCKS_DIFFER", ""),
    "rounds go by 24 hours, not by the clock on the wall": (
        "now.getDate() + days, 0, minutes).getTime()",
        "now.getDate(), 0, 0).getTime() + (days * 1440 + minutes) * 60000",
    ),
    "what is put in forgets how many were there": (", ...tick && !isWhole(tick) && { had: tick.n }", ""),
    "ticks that were made on another edition are kept": ("tick && tick.on === on", "tick"),
    "nothing that was just ticked is kept": ("from: Date.now() - STILL_WALKING }", "from: Date.now() }"),
    "what is taken back takes the count with it": (
        "tick.had === undefined ? null : { on: tick.on, at: Date.now(), n: tick.had }",
        "null",
    ),
    "ticks of long ago may be kept": ("tick.at >= Date.now() - STILL_WALKING && ", ""),
    "a round that was kept never ends": ("record.round === began ?", "record.round ?"),
    "the last round of the day before is forgotten": ("[-1, 0, 1].flatMap", "[0, 1].flatMap"),
}


def main() -> int:
    """Say of each fault whether the walks fail with it."""
    unseen = 0
    with tempfile.TemporaryDirectory() as folder:
        copy = Path(folder) / "repository"
        shutil.copytree(ROOT, copy, ignore=shutil.ignore_patterns(".git", "__pycache__", ".venv"))
        whole = (copy / SCRIPT).read_text("utf-8")
        command = [sys.executable, "-m", "pytest", "-q", "-x", "-p", "no:cacheprovider", TEST, "-k", "on_a_walk"]
        for fault, (right, wrong) in FAULTS.items():
            if whole.count(right) != 1:
                raise SystemExit(f"{SCRIPT} has no single '{right}' any more")
            (copy / SCRIPT).write_text(whole.replace(right, wrong), "utf-8")
            environment = {**os.environ, "PYTHONPATH": str(copy)}
            done = subprocess.run(command, cwd=copy, env=environment, capture_output=True, timeout=SECONDS, check=False)
            if done.returncode not in (0, 1):
                raise SystemExit(done.stdout.decode()[-2000:])
            unseen += done.returncode == 0
            print("seen    " if done.returncode else "NOT SEEN", fault, flush=True)
    return 1 if unseen else 0


if __name__ == "__main__":
    raise SystemExit(main())
