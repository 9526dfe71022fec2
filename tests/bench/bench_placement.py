"""How much the placement study costs, measured in plans, in one run: a script, not a test.

    python tests/bench/bench_placement.py [days] [folder]

Prints the processor's time of the study as a multiple of the plan's.
"""

from __future__ import annotations

import sys
import time
from pathlib import Path

ROOT = Path(__file__).parents[2]
sys.path.insert(0, str(ROOT))

from kitdocs.planning.buying.placement import placement_study  # noqa: E402
from kitdocs.planning.plan import make_plan  # noqa: E402
from kitdocs.practice.reading.reader import read_practice  # noqa: E402


def main() -> None:
    days = int(sys.argv[1]) if len(sys.argv) > 1 else 1000
    practice = read_practice(Path(sys.argv[2]) if len(sys.argv) > 2 else ROOT / "example_practice")
    start = time.process_time()
    plan = make_plan(practice, days=days)
    planned = time.process_time()
    studies = placement_study(practice, plan.days)
    base, study = planned - start, time.process_time() - planned
    print(f"plan of {days:,} busy days                           {base:6.2f} s")
    print(f"study of {len(studies)} instruments, {studies[0].days if studies else 0} days a run   {study:6.2f} s")
    print(f"the study costs {study / base:.1f} plans")


if __name__ == "__main__":
    main()
