"""The two promises of a busy day, what the counts keep of them, and how sure each count is.

Two promises, each about everything together: nobody waits for any set or add-on pouch (`service`); and no drawer at any
chair runs out between two restockings, and what was opened can be refilled (`drawer_service`). Counts are chosen for
them (`joint.py`) on the very days on which they are then counted, which flatters them a little; `Chosen.on_other_days`
says by how much.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Generic

from kitdocs.planning.day.chance import Chance, wilson
from kitdocs.planning.day.joint import JointNeeds, Kind
from kitdocs.practice.model import Practice

#: Days are drawn until the interval of a promise that is just kept is no wider than this on either side, nor than half
#: of what the promise leaves to chance: at 95 %, 1.5 points; at 99 %, half a point.
NARROW = 0.015
FEWEST_DAYS, MOST_DAYS = 1000, 2000

_FOLDS = 5
_FEWEST_JUDGED = 20


@dataclass(frozen=True, slots=True, kw_only=True)
class Promise:
    """The chance that was asked for, from 0 to 1, and what the counts keep. Nobody asks for both promises at once."""

    asked: float | None
    kept: Chance


@dataclass(frozen=True, slots=True, kw_only=True)
class Promises:
    sets: Promise
    """Nobody waits for any set or add-on pouch."""
    drawers: Promise
    """No drawer runs out between two restockings, and what was opened can be refilled."""
    all: Promise
    """Both: nothing is short at all."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Firmness:
    """How sure a count is."""

    asked: float
    enough: Chance
    """As many are enough, of this kind alone."""
    one_fewer: Chance
    """One fewer would be enough, of this kind alone."""
    promise_with_one_fewer: Chance
    """The whole promise would be kept with one fewer of this kind."""

    @property
    def firm(self) -> bool:
        """Whether one fewer would surely be too few: with it, even the interval's upper end is below what is asked."""
        return self.promise_with_one_fewer.high < self.asked


@dataclass(frozen=True, slots=True, kw_only=True)
class Chosen(Generic[Kind]):
    """The counts that were chosen for one promise."""

    needs: JointNeeds[Kind]
    asked: float
    counts: Mapping[Kind, int]
    """With what the practice wrote."""
    computed: Mapping[Kind, int]
    """As if the practice had written none."""

    @property
    def kept(self) -> Chance:
        return Chance(self.needs.kept(self.counts), self.needs.days)

    @property
    def kept_if_computed(self) -> Chance:
        return Chance(self.needs.kept(self.computed), self.needs.days)

    def worked_out(self, kind: Kind) -> int:
        """Return the count that was chosen; where the practice wrote one, what it would be if it had written none."""
        return self.counts[kind] if self.needs.kinds[kind].written is None else self.computed[kind]

    def firmness(self) -> dict[Kind, Firmness]:
        """Return how sure the count of each kind is."""
        others = self.needs.kept_but_for(self.counts)
        return {kind: self._firmness(kind, others[kind]) for kind in self.needs.kinds}

    def _firmness(self, kind: Kind, others: int) -> Firmness:
        """Return how sure a count is; the counts of all others are enough on the days `others`."""
        count, days = self.counts[kind], self.needs.days
        enough, one_fewer = self.needs.enough(kind, count), self.needs.enough(kind, count - 1)
        return Firmness(
            asked=self.asked,
            enough=Chance(enough.bit_count(), days),
            one_fewer=Chance(one_fewer.bit_count(), days),
            promise_with_one_fewer=Chance((others & one_fewer).bit_count(), days),
        )

    def on_other_days(self) -> int | None:
        """Return on which days the promise is kept by counts in whose choice they had no part, a bit for each day; None
        for fewer than 20 days.

        Counts are chosen from four fifths of the days and judged on the last fifth, five times, so that every day is
        judged once (cross-validation).
        """
        days = self.needs.days
        if days < _FEWEST_JUDGED:
            return None
        kept = 0
        for fold in range(_FOLDS):
            others = self.needs.of_days([day for day in range(days) if day % _FOLDS != fold])
            counts = others.choose(self.asked, exchange=False)
            judged = (1 << days) // ((1 << _FOLDS) - 1)  # every fifth bit
            kept |= self.needs.kept_days(counts) & (judged << fold if fold else judged)
        return kept


def chosen(needs: JointNeeds[Kind], asked: float, *, computed: Mapping[Kind, int] | None = None) -> Chosen[Kind]:
    """Choose the counts for one promise; `computed` are those without what is written, where they are known."""
    computed = computed or needs.with_written({}).choose(asked)
    return Chosen(needs=needs, asked=asked, counts=needs.choose(asked, computed=computed), computed=computed)


def promises(sets: Chosen[Kind], drawers: Chosen[tuple[str, str]]) -> Promises:
    """Return what the counts of sets and of drawer pouches keep, and both together."""
    both = sets.needs.kept_days(sets.counts) & drawers.needs.kept_days(drawers.counts)
    return Promises(
        sets=Promise(asked=sets.asked, kept=sets.kept),
        drawers=Promise(asked=drawers.asked, kept=drawers.kept),
        all=Promise(asked=None, kept=Chance(both.bit_count(), sets.needs.days)),
    )


def on_other_days(sets: Chosen[Kind], drawers: Chosen[tuple[str, str]]) -> dict[str, Chance]:
    """Return how often each promise, and `all` of both, is kept on days that had no part in the choice; nothing for
    fewer than 20 days."""
    of_sets, of_drawers, days = sets.on_other_days(), drawers.on_other_days(), sets.needs.days
    if of_sets is None or of_drawers is None:
        return {}
    kept = {"sets": of_sets, "drawers": of_drawers, "all": of_sets & of_drawers}
    return {name: Chance(which.bit_count(), days) for name, which in kept.items()}


def days_to_run(asked: Iterable[float]) -> int:
    """Return how many days make the intervals of these promises narrow enough: from 1,000 to 2,000, in hundreds."""
    return max(map(_days_for, asked))


def _days_for(asked: float) -> int:
    narrow = min(NARROW, (1 - asked) / 2)
    for days in range(FEWEST_DAYS, MOST_DAYS, 100):
        low, high = wilson(asked * days, days)
        if (high - low) / 2 <= narrow:
            return days
    return MOST_DAYS


def worth(practice: Practice, id_: str) -> Decimal:
    """Return what the pieces of a set or pouch are worth; what has no price counts for nothing."""
    pieces = practice.pieces(id_).items()
    return sum(((practice.price(piece) or Decimal(0)) * number for piece, number in pieces), Decimal(0))


def weight(practice: Practice, id_: str) -> int:
    """Return what one costs when counts are chosen: its worth in cents; of two alike, fewer pieces are better."""
    return int(worth(practice, id_) * 100) * 1000 + 1
