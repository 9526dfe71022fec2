"""The search around a design: of its small changes, those that the rule of thumb likes best are judged by the plan.

Each round judges the likeliest changes and goes on from the best of them, until none is better. There is no random
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
        return self._best_of(self._judge.known, weights)

    def improve(self, starts: Iterable[Design], weights: Weights) -> Design | None:
        """Return the best design that is found from the best of the starts, or from the best judged before.

        Both are tried: from what is best for another way of weighing, the search may end where no small change helps.
        """
        known, judged = self.best(weights), list(starts)
        self._judge.judge_all(judged)
        for origin in dict.fromkeys((self._best_of(judged, weights), known)):
            if origin:
                self._climb(origin, weights)
        return self.best(weights)

    def _climb(self, design: Design, weights: Weights) -> None:
        for _ in range(self._rounds):
            near = [other for other in changed(self._judge.packing, design) if self._is_small_enough(other)]
            self._judge.judge_all(self._likeliest(near, weights))
            better = self._best_of([design, *near], weights)
            if better is None or better == design:
                return
            design = better

    def _best_of(self, designs: Iterable[Design], weights: Weights) -> Design | None:
        scores = {
            design: weights.score(figures)
            for design in designs
            if (figures := self._judge.known.get(design)) is not None and self._is_small_enough(design)
        }

        def place(design: Design) -> tuple[object, ...]:
            """Of those that are as good, what can lie in a set lies in no pouch."""
            in_pouches = sum(len(pouch.contents) for pouch in design.pouches)
            return round(scores[design], 6), design.kinds, in_pouches, repr(design)

        return min(scores, key=place, default=None)

    def _likeliest(self, near: Iterable[Design], weights: Weights) -> list[Design]:
        """Those not judged before that the rule of thumb likes best."""
        known, allows = self._judge.known, self._judge.packing.allows
        cost = {other: self._proxy.cost(other, weights) for other in near if other not in known and allows(other)}
        return sorted(cost, key=lambda other: (cost[other], repr(other)))[: self._judged]

    def _is_small_enough(self, design: Design) -> bool:
        return self._most_kinds is None or design.kinds <= self._most_kinds
