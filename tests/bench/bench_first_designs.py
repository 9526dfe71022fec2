"""Worth of proposals beside ten poor first designs, by the plan: a script, not a test.

    python tests/bench/bench_first_designs.py [folder]

All are judged on the days on which proposals are compared; beside each, what the balanced proposal saves.
"""

from __future__ import annotations

import sys
from pathlib import Path

ROOT = Path(__file__).parents[2]
sys.path[:0] = [str(ROOT), str(ROOT / "tests" / "proposing")]

from first_designs import Poor, first_figures  # noqa: E402

from kitdocs.practice.reading.undesigned import read_undesigned  # noqa: E402
from kitdocs.proposing.demand import Demand  # noqa: E402
from kitdocs.proposing.judge import Figures  # noqa: E402
from kitdocs.proposing.proposals import Proposals, propose_designs, weights_of  # noqa: E402


def main() -> None:
    folder = Path(sys.argv[1]) if len(sys.argv) > 1 else ROOT / "example_practice"
    answer = propose_designs(Demand(practice=read_undesigned(folder).practice))
    print_table(answer)


def print_table(answer: Proposals) -> None:
    judge = answer.judge
    poor = first_figures(judge.packing, judge.run, Poor(judge.packing).designs())
    listed = {proposal.weighing: judge(proposal.design) for proposal in answer.proposals}
    weights = weights_of(answer.demand, "balanced")
    first = listed[answer.proposals[0].weighing]
    assert first is not None
    print(f"{'':52}{'to buy':>9}{'walks':>7}{'drawers':>9}{'kinds':>7}{'hands':>7}{'ends':>8}{'saved':>10}")
    for name, figures in {**poor, **{f"proposal: {name}": one for name, one in listed.items() if one}}.items():
        saved = weights.score(figures) - weights.score(first)
        print(f"{name:52}{_row(figures)}{saved:10,.0f}")
    print("\nsaved: by the balanced proposal, everything weighed in money as it weighs (see proposals.py)")


def _row(figures: Figures) -> str:
    ends = f"{int(figures.ends) // 60}:{int(figures.ends) % 60:02}"
    walked = f"{figures.money:9,.0f}{figures.walks:7.1f}{figures.openings:9.1f}"
    return f"{walked}{figures.kinds:7}{figures.hands:7.0f}{ends:>8}"


if __name__ == "__main__":
    main()
