"""When visits of a procedure are booked, from an appointment book: at any time, in a half of the day, or in spans.

Coarse unless the finer holds. The half of the day is looked at first. With visits enough, spans are looked for on the
half hours: the one that stands out most, then the next, up to three. Each counts only if it says better when visits
begin on days that it was *not* found on: it is found on every other day and tried on the days between, then the other
way round, and the gain a day must be more than chance makes it (two standard errors). A day of visits is one
observation: what happened on a single day is no rule.

*Chance* is the share of the times at which such a visit can begin: one of 75 minutes cannot begin an hour before the
break, and that no one does says nothing.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from itertools import accumulate, combinations, pairwise
from math import log, sqrt
from statistics import fmean, stdev
from typing import Literal

from kitdocs.importing.evidence import Estimate, days_of, share_of
from kitdocs.importing.visits import BookedVisit
from kitdocs.planning.day.chance import wilson
from kitdocs.practice.book import Window

#: So many visits for a half of the day, and twice as many for spans, which are found on half of the days.
LEAST_FOR_HALF, LEAST_FOR_SPANS = 20, 40
#: Two weeks of four days.
LEAST_DAYS = 8
#: Clearly bound: so many of the visits at least, beyond those that would begin there at any time.
_BOUND = 0.5
#: And of those in a half of the day, more than chance would have it by as much.
_MORE = 0.2
#: From this share on, it is said of all.
_ALL = 0.97
#: Visits begin on these minutes.
_GRID = 5
#: Spans begin and end on these minutes, are at least as long as two of them, and there are at most so many.
_STEP, _SHORTEST, _MOST_SPANS = 30, 2, 3
_STANDARD_ERRORS = 2
#: What stands for no chance at all: somebody did begin then.
_LEAST_CHANCE = 1e-3


Coarse = Literal["few", "hours", "none-holds"]


@dataclass(frozen=True, slots=True, kw_only=True)
class WorkingHours:
    """When the first visit begins, the break does (noon, without one), it ends, and the last visit does; minutes.

    `certain` when the folder says so, or will; a span that lies outside would be a mistake there.
    """

    opens: float
    noon: float
    after_noon: float
    closes: float
    certain: bool = True

    @property
    def morning(self) -> float:
        """The share of the working day before the break."""
        before = self.noon - self.opens
        return before / (before + self.closes - self.after_noon)

    def holds(self, start: float) -> bool:
        """Whether a visit that begins then begins within the hours."""
        return self.opens <= start < self.noon or self.after_noon <= start < self.closes


@dataclass(frozen=True, slots=True, kw_only=True)
class BookingTimes:
    """The times to which visits are bound, with the share that is bound to each; the rest begin at any time."""

    windows: Mapping[Window, float]
    share: Estimate
    """Of the visits bound to one of the times, all together."""
    coarse: Coarse | None = None
    """Why it is a half of the day and no span: too few visits, hours that are not known, or none that holds."""

    @property
    def all(self) -> bool:
        """Whether as good as all are bound."""
        return self.share.value >= _ALL


def booking_times(visits: Sequence[BookedVisit], minutes: float, hours: WorkingHours) -> BookingTimes | None:
    """Return when visits of one procedure that take so many minutes are booked; None where nothing says so."""
    booked = [visit for visit in visits if visit.standing != "cancelled"]
    if len(booked) < LEAST_FOR_HALF or days_of(booked) < LEAST_DAYS:
        return None
    half, room = _half(booked, hours), _Room(hours, minutes)
    if len(booked) < LEAST_FOR_SPANS:
        return half and replace(half, coarse="few")
    if not (hours.certain and not room.is_none):
        return half and replace(half, coarse="hours")
    return _spans(booked, room, half) or (half and replace(half, coarse="none-holds"))


def _half(booked: Sequence[BookedVisit], hours: WorkingHours) -> BookingTimes | None:
    in_morning = sum(visit.start < hours.noon for visit in booked)
    for window, some, chance in (
        (Window("morning"), in_morning, hours.morning),
        (Window("afternoon"), len(booked) - in_morning, 1 - hours.morning),
    ):
        low, _ = wilson(some, len(booked))
        share = _bound(share_of(some, booked), chance)
        if share.low >= _BOUND and low >= chance + _MORE:
            return BookingTimes(windows={window: share.value}, share=share)
    return None


def _bound(seen: Estimate, chance: float) -> Estimate:
    """The share that is bound to a time, of the share seen in it: some of those at any time begin then, too."""
    value, low, high = ((each - chance) / (1 - chance) for each in (seen.value, seen.low, seen.high))
    return Estimate(value=value, low=max(0.0, low), high=high, visits=seen.visits, days=seen.days)


@dataclass(frozen=True, slots=True)
class _Span:
    """Steps of the day, from `first` on and before `end`."""

    first: int
    end: int

    def meets(self, other: _Span) -> bool:
        return self.first < other.end and other.first < self.end


class _Room:
    """The steps of a working day, and how many minutes of each a visit can begin in."""

    def __init__(self, hours: WorkingHours, minutes: float) -> None:
        self._opens = hours.opens // _STEP * _STEP
        self.noon = int((hours.noon - self._opens) // _STEP)
        count = int(-(-(hours.closes - self._opens) // _STEP))
        halves = ((hours.opens, hours.noon - minutes), (hours.after_noon, hours.closes - minutes))
        edges = [self._opens + _STEP * n for n in range(count + 1)]
        begin_in = [
            sum(max(0.0, min(end, last + _GRID) - max(begin, first)) for first, last in halves)
            for begin, end in pairwise(edges)
        ]
        self.steps = range(count)
        self._before = [0.0, *accumulate(begin_in)]
        self._begins = [bool(each) for each in begin_in]

    def step_of(self, visit: BookedVisit) -> int:
        return int((visit.start - self._opens) // _STEP)

    @property
    def is_none(self) -> bool:
        """Whether no visit can begin at all: it takes longer than half a day."""
        return not any(self._begins)

    def chance(self, spans: Sequence[_Span]) -> float:
        """Return the share of the times to begin that lie in spans."""
        return sum(self._before[span.end] - self._before[span.first] for span in spans) / self._before[-1]

    def candidates(self) -> list[_Span]:
        """Return each span that visits can begin in, at its first step and at its last."""
        begins = [step for step in self.steps if self._begins[step]]
        return [_Span(first, last + 1) for first in begins for last in begins if last + 1 >= first + _SHORTEST]

    def window(self, span: _Span) -> Window:
        start, end = (int(self._opens + _STEP * step) for step in (span.first, span.end))
        return Window(start=start, end=end)


class _Starts:
    """How many visits begin in each step of the day; `total` are all, those outside the hours too."""

    def __init__(self, visits: Sequence[BookedVisit], room: _Room) -> None:
        counts = Counter(room.step_of(visit) for visit in visits)
        self.total = len(visits)
        self._before = [0, *accumulate(counts[step] for step in room.steps)]

    def inside(self, span: _Span) -> int:
        return self._before[span.end] - self._before[span.first]


class _Fit:
    """The spans that stand out most among some visits: with them, the visits are most likely."""

    def __init__(self, visits: Sequence[BookedVisit], room: _Room) -> None:
        self._starts, self._room = _Starts(visits, room), room
        self._denser = [s for s in room.candidates() if self._starts.inside(s) > len(visits) * room.chance([s])]

    def spans(self, most: int) -> list[_Span]:
        """Return at most so many spans, sought two at a time: one alone would reach over what lies between two."""
        found = self._best([span] for span in self._denser)
        for _ in range(most - 1):
            kept = [[span for span in found if span != other] for other in found]
            found = self._best([found, *([*few, *pair] for few in kept for pair in self._pairs_beside(few))])
        return found

    def _pairs_beside(self, spans: Sequence[_Span]) -> Iterator[tuple[_Span, _Span]]:
        free = [span for span in self._denser if not any(span.meets(other) for other in spans)]
        return ((one, other) for one, other in combinations(free, 2) if one.end < other.first)

    def _best(self, choices: Iterable[list[_Span]]) -> list[_Span]:
        return max(choices, key=lambda spans: self.likelihood(spans, self._starts), default=[])

    def likelihood(self, spans: Sequence[_Span], starts: _Starts) -> float:
        """Return the logarithm of how likely starts are, with each span and the rest as dense as among these visits.

        A half is added to each count, so that nothing is impossible (Krichevsky and Trofimov).
        """
        total = self._starts.total + (len(spans) + 1) / 2
        parts = [(self._starts.inside(span), self._room.chance([span]), starts.inside(span)) for span in spans]
        rest = self._starts.total - sum(here for here, _, _ in parts)
        parts.append((rest, 1 - self._room.chance(spans), starts.total - sum(there for _, _, there in parts)))
        return sum(there * log((here + 0.5) / total / max(chance, _LEAST_CHANCE)) for here, chance, there in parts)


def _spans(booked: Sequence[BookedVisit], room: _Room, half: BookingTimes | None) -> BookingTimes | None:
    by_day: defaultdict[date, list[BookedVisit]] = defaultdict(list)
    for visit in booked:
        by_day[visit.day].append(visit)
    days = sorted(by_day)
    turns = [
        (
            _Fit([visit for day in found_on for visit in by_day[day]], room),
            [_Starts(by_day[day], room) for day in tried],
        )
        for found_on, tried in ((days[::2], days[1::2]), (days[1::2], days[::2]))
    ]
    before = [[_as_span(half, room)] if half else [] for _ in turns]
    count = 0
    for most in range(1, _MOST_SPANS + 1):
        now = [fit.spans(most) for fit, _ in turns]
        gains = [
            fit.likelihood(new, day) - fit.likelihood(old, day)
            for (fit, tried), old, new in zip(turns, before, now, strict=True)
            for day in tried
        ]
        if fmean(gains) <= _STANDARD_ERRORS * stdev(gains) / sqrt(len(gains)):
            break
        before, count = now, most
    return _stated(booked, room, _Fit(booked, room).spans(count)) if count else None


def _as_span(half: BookingTimes, room: _Room) -> _Span:
    (window,) = half.windows
    return _Span(0, room.noon) if window.half == "morning" else _Span(room.noon, len(room.steps))


def _stated(booked: Sequence[BookedVisit], room: _Room, found: Sequence[_Span]) -> BookingTimes | None:
    """What is said of spans; None where too few of the visits are clearly bound to them."""
    starts, spans = _Starts(booked, room), sorted(found, key=lambda span: span.first)
    share = _bound(share_of(sum(map(starts.inside, spans)), booked), room.chance(spans))
    if share.low < _BOUND:
        return None
    at_any_time = (1 - share.value) * len(booked)
    bound = [max(0.0, starts.inside(span) - at_any_time * room.chance([span])) for span in spans]
    windows = {room.window(span): share.value * each / sum(bound) for span, each in zip(spans, bound, strict=True)}
    return BookingTimes(windows={window: each for window, each in windows.items() if each}, share=share)
