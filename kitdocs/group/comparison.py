"""Figures of several practices side by side: the middle of the group, who lies away from it, and what goes with that.

The middle is the median, which one unusual practice does not move. What a figure is *made of* follows from arithmetic:
sets for each chair are sets for each visit times visits for each chair. What it *follows from* is how the plan works:
the longer a set is away, the more of them are out at once (SOURCES: Little 2011).
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from statistics import median

from kitdocs.group.summary import Summary

#: A practice lies away from the middle when its figure is so much larger or smaller. Ours.
FAR = 0.20
#: A time of day, and a share of days, lie away from the middle by so much. Ours.
FAR_MINUTES, FAR_SHARE = 30.0, 0.05
#: What is told as going with a difference differs at least by this, in the direction that would bring it about. Ours.
GOES_WITH = 0.10
#: As few practices have no middle: with two, each is as far from it as the other.
FEWEST = 3


@dataclass(frozen=True, slots=True, kw_only=True)
class Measure:
    """A figure that is compared. `form` is how it is said; `made_of` and `follows` name measures that raise it."""

    id: str
    of: Callable[[Summary], float | None]
    form: str
    far: float = FAR
    is_apart: bool = False
    """Whether it is told when it lies far from the middle."""
    goes_with: tuple[str, ...] = ()

    def is_far(self, value: float, middle: float) -> bool:
        """Return whether a value lies far from the middle: by so much, or for a plain number by such a share of it."""
        by = self.far if self.form in ("minutes", "share") else self.far * abs(middle)
        return abs(value - middle) > by


def _each(whole: Callable[[Summary], float], of: Callable[[Summary], float]) -> Callable[[Summary], float | None]:
    return lambda summary: whole(summary) / of(summary) if of(summary) else None


def _visits(summary: Summary) -> float:
    return summary.visits


def _chairs(summary: Summary) -> float:
    return summary.chairs


def _sets(summary: Summary) -> float:
    return summary.sets


def _value(summary: Summary) -> float:
    return float(summary.value)


MEASURES: Mapping[str, Measure] = {
    measure.id: measure
    for measure in (
        Measure(id="chairs", of=_chairs, form="count"),
        Measure(id="visits", of=_visits, form="number"),
        Measure(id="visits-per-chair", of=_each(_visits, _chairs), form="number"),
        Measure(id="sets", of=_sets, form="count"),
        Measure(
            id="sets-per-chair",
            of=_each(_sets, _chairs),
            form="number",
            is_apart=True,
            goes_with=("visits-per-chair", "sets-per-ten-visits"),
        ),
        Measure(
            id="sets-per-ten-visits",
            of=_each(lambda summary: 10 * summary.sets, _visits),
            form="number",
            is_apart=True,
            goes_with=("turnaround", "asked"),
        ),
        Measure(id="value", of=_value, form="money"),
        Measure(
            id="value-per-chair",
            of=_each(_value, _chairs),
            form="money",
            is_apart=True,
            goes_with=("sets-per-chair", "value-per-set"),
        ),
        Measure(
            id="value-per-visit",
            of=_each(_value, _visits),
            form="money",
            is_apart=True,
            goes_with=("sets-per-ten-visits", "value-per-set"),
        ),
        Measure(id="value-per-set", of=_each(_value, _sets), form="money"),
        Measure(id="to-buy", of=lambda summary: float(summary.to_buy), form="money"),
        Measure(id="walks", of=lambda summary: summary.walks, form="number"),
        Measure(
            id="walks-per-ten-visits",
            of=_each(lambda summary: 10 * summary.walks, _visits),
            form="number",
            is_apart=True,
        ),
        Measure(id="turnaround", of=lambda summary: summary.turnaround, form="minutes", far=FAR_MINUTES),
        Measure(id="ends", of=lambda summary: summary.ends, form="clock"),
        Measure(
            id="after-closing",
            of=lambda summary: summary.after_closing,
            form="minutes",
            far=FAR_MINUTES,
            is_apart=True,
            goes_with=("turnaround", "loads-per-machine"),
        ),
        Measure(id="left-over-night", of=lambda s: s.left_over_night, form="share", far=FAR_SHARE, is_apart=True),
        Measure(id="loads-per-machine", of=_each(lambda s: s.loads, lambda s: s.machines), form="number"),
        Measure(
            id="kept", of=lambda summary: summary.kept, form="share", far=FAR_SHARE, is_apart=True, goes_with=("asked",)
        ),
        Measure(id="asked", of=lambda summary: summary.asked, form="share", far=0.0),
    )
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Beside:
    """A figure of one practice beside the middle of the group."""

    measure: str
    value: float
    middle: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Apart:
    """Where a practice lies away from the middle, and the figures that go with it."""

    practice: str
    here: Beside
    goes_with: tuple[Beside, ...]


Summaries = Mapping[str, Summary]


def middles(practices: Summaries) -> dict[str, float]:
    """Return the middle of each figure over the practices that have it; of money, over those of one currency only."""
    found: dict[str, float] = {}
    for id_, measure in MEASURES.items():
        values = [value for value in map(measure.of, practices.values()) if value is not None]
        if values and (measure.form != "money" or len({s.currency for s in practices.values()}) == 1):
            found[id_] = median(values)
    return found


def differences(practices: Summaries) -> tuple[Apart, ...]:
    """Return where each practice lies away from the middle, practice by practice; nothing for fewer than three."""
    if len(practices) < FEWEST:
        return ()
    middle = middles(practices)
    return tuple(found for name, summary in practices.items() for found in _of(name, summary, middle))


def _of(name: str, summary: Summary, middle: Mapping[str, float]) -> Iterator[Apart]:
    for measure in MEASURES.values():
        here = _beside(measure, summary, middle) if measure.is_apart else None
        if here and measure.is_far(here.value, here.middle):
            others = (_beside(MEASURES[other], summary, middle) for other in measure.goes_with)
            yield Apart(
                practice=name, here=here, goes_with=tuple(other for other in others if other and _explains(other, here))
            )


def _beside(measure: Measure, summary: Summary, middle: Mapping[str, float]) -> Beside | None:
    value = measure.of(summary)
    if value is None or measure.id not in middle:
        return None
    return Beside(measure=measure.id, value=value, middle=middle[measure.id])


def _explains(other: Beside, here: Beside) -> bool:
    """Whether another figure differs in the direction that would bring this difference about."""
    apart = other.value - other.middle
    least = 0.0 if MEASURES[other.measure].form == "share" else GOES_WITH * abs(other.middle)
    return apart * (here.value - here.middle) > 0 and abs(apart) > least
