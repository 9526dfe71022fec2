"""The search around a design: of its small changes, those that the rule of thumb likes best are judged by the plan.

Each round judges the likeliest changes and goes on from the best of all, until none is better. There is no random
number in it, so the same folder gives the same designs.
"""

from __future__ import annotations

from collections.abc import Iterable

from kitdocs.proposing.changes import changed
from kitdocs.proposing.design import Design
from kitdocs.proposing.judge import Judge, Weights
from kitdocs.proposing.proxy import Proxy

#: Of the changes of a round, so many are judged; rounds at most.
JUDGED, ROUNDS = 10, 7


class Search:
    """Looks for better designs for one weighing at a time; `most_kinds` is never exceeded."""

    def __init__(
        self,
        judge: Judge,
        proxy: Proxy,
        *,
        most_kinds: int | None = None,
        judged: int = JUDGED,
        rounds: int = ROUNDS,
    ) -> None:
        self._judge, self._proxy = judge, proxy
        self._most_kinds = most_kinds
        self._judged, self._rounds = judged, rounds

    def best(self, weights: Weights) -> Design | None:
        """Return the best design judged so far."""
        scores = {
            design: weights.score(figures)
            for design, figures in self._judge.known.items()
            if figures is not None and self._is_small_enough(design)
        }
        return min(scores, key=lambda design: (scores[design], design.kinds, repr(design)), default=None)

    def improve(self, starts: Iterable[Design], weights: Weights) -> Design | None:
        """Return the best design that is found from the starts, or from any that was judged before."""
        for start in starts:
            self._judge(start)
        best = self.best(weights)
        for _ in range(self._rounds if best else 0):
            assert best is not None
            for design in self._likeliest(best, weights):
                self._judge(design)
            better = self.best(weights)
            if better == best:
                break
            best = better
        return best

    def _likeliest(self, design: Design, weights: Weights) -> list[Design]:
        allowed = [
            other
            for other in changed(self._judge.packing, design)
            if self._is_small_enough(other) and other not in self._judge.known and self._judge.packing.allows(other)
        ]
        cost = {other: self._proxy.cost(other, weights) for other in allowed}
        return sorted(allowed, key=lambda other: (cost[other], repr(other)))[: self._judged]

    def _is_small_enough(self, design: Design) -> bool:
        return self._most_kinds is None or design.kinds <= self._most_kinds
