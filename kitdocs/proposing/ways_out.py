"""Ways to a wish (when a day ends, a purse, a chance that nothing is short): single changes, then twos, then threes.

Twos of what helps alone are tried, and so many others (`OTHER_TWOS`): two changes may help only together. Threes are
tried only where no single change and no two reach the wish: those with what brought it nearest, `THREES` at most.

Each is run by the plan on the same days with the same luck (common random numbers). To buy is what the order list says
and what the change itself costs; for a chance, the counts are chosen anew for it, sets, pouches and drawers together.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from decimal import Decimal
from itertools import combinations, islice

from kitdocs.planning.day.run import BusyDays, busy_days, drawn_days
from kitdocs.planning.day.visit import Booking
from kitdocs.practice.model import Practice
from kitdocs.practice.problems import PracticeError
from kitdocs.proposing.earliest import Earliest, earliest_end
from kitdocs.proposing.outcomes import Outcome, one_more, outcome_of
from kitdocs.proposing.purse import Spent, spend
from kitdocs.proposing.ways import SingleChange, together, ways_of
from kitdocs.tasks import Each, one_by_one

#: Of the single changes that bring a wish nearer, so many are tried in twos.
IN_TWOS = 8
#: So many other twos are tried, in case they help only together.
OTHER_TWOS = 40
#: Where neither one change nor two reach a wish, so many threes are tried at most.
THREES = 24
#: Less than this many minutes is no gain.
_A_GAIN = 0.5


@dataclass(frozen=True, slots=True, kw_only=True)
class Wish:
    """What somebody wants of the busy day; None for what they do not ask for."""

    ends: int | None = None
    """When the last item is back in the store on most days (the median), in minutes after midnight."""
    budget: Decimal | None = None
    """What may be spent, in the practice's currency."""
    chance: float | None = None
    """That nothing at all is short, from 0 to 1."""


@dataclass(frozen=True, slots=True, kw_only=True)
class WayOut:
    """Changes that are made together, and what comes of them."""

    ways: tuple[SingleChange, ...]
    outcome: Outcome
    more: Decimal
    """Money beyond what is to buy without them; less than 0 where they save some. Without what has no price."""
    pieces: int
    """How many more pieces without a price are to buy; less than 0 where it is fewer."""
    gain: float
    """Minutes, points or money by which they bring a wish nearer; of several wishes, the shares of the way."""
    reaches: bool

    @property
    def priced(self) -> bool:
        """Whether they cost no more than the folder says: each has a price, and no more is to buy that has none."""
        return self.pieces <= 0 and self.ways_priced

    @property
    def ways_priced(self) -> bool:
        """Whether the folder says what each of them costs by itself."""
        return all(way.price is not None for way in self.ways)

    @property
    def each(self) -> float | None:
        """Money for one of what is gained; None where that is not known."""
        return float(self.more) / self.gain if self.gain > 0 and self.priced else None


@dataclass(frozen=True, slots=True, kw_only=True)
class WaysOut:
    """The answer: what there is, and the ways, the best first."""

    practice: Practice
    wish: Wish
    now: Outcome
    is_there: bool
    """Whether the wish is fulfilled as it is."""
    found: tuple[WayOut, ...]
    """Those that reach it, the cheapest first; then those that bring it nearer, the cheapest for what they gain first;
    what has no price comes last of each. Where none reaches it, what comes nearest is the first of all."""
    tried: int
    twos_left: int
    """How many twos of changes were not tried: those of which one at least brings nothing alone."""
    threes: int
    """How many threes were tried: none where a single change or two reach the wish."""
    threes_left: int
    """How many were not."""
    spent: Spent | None
    """What to buy first, second, third with the budget; None without one, or when somebody stopped before."""
    stopped: bool
    """Whether somebody stopped before everything was tried."""
    earliest: Earliest | None = None
    """Before when the day ends in no way; None where no wish is about that."""

    @property
    def nearest(self) -> WayOut | None:
        """Return what comes nearest where nothing reaches the wish: then it is the first."""
        return None if any(way.reaches for way in self.found) else next(iter(self.found), None)


@dataclass(slots=True)
class _Study:
    practice: Practice
    wish: Wish
    seed: int
    days: int | None
    tried: int = 0
    court: _Court = field(init=False)

    def __post_init__(self) -> None:
        bookings = drawn_days(self.practice, days=self.days, seed=self.seed)
        self.court = _Court(bookings=bookings, seed=self.seed, chance=self.wish.chance)

    def made(self, ways: Sequence[SingleChange]) -> Practice:
        return together({way.id: way for way in ways}, tuple(way.id for way in ways))(self.practice)

    def changed(self, ways: Sequence[SingleChange]) -> tuple[Practice, BusyDays] | None:
        """Return the practice with changes made, and its days; None where they cannot be run."""
        self.tried += 1
        practice = self.made(ways)
        try:
            return practice, self.court.ran(practice)
        except PracticeError:
            return None

    def outcomes(self, choices: Sequence[Sequence[SingleChange]], each: Each) -> Iterator[Outcome | None]:
        """Yield what the practice comes to with each choice of changes, run where `each` says."""
        wanted = [
            _Wanted(
                practice=self.made(ways),
                price=sum((way.price or Decimal(0) for way in ways), Decimal(0)),
                books=any(way.books for way in ways),
            )
            for ways in choices
        ]
        for outcome in each(_outcome, self.court, wanted):
            self.tried += 1
            yield outcome


@dataclass(frozen=True, slots=True, kw_only=True)
class _Court:
    """What is the same for all ways that are run."""

    bookings: Sequence[Sequence[Booking]]
    seed: int
    chance: float | None

    def ran(self, practice: Practice, *, books: bool = False) -> BusyDays:
        bookings = drawn_days(practice, days=len(self.bookings) - 1, seed=self.seed) if books else self.bookings
        return busy_days(practice, seed=self.seed, bookings=bookings, bands=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Wanted:
    """A practice to run: with what the changes in it cost, and whether visits are booked anew for it."""

    practice: Practice
    price: Decimal
    books: bool


def _outcome(court: _Court, wanted: _Wanted) -> Outcome | None:
    """Return what a practice comes to; None where its days cannot be booked, or the room never catches up."""
    try:
        ran = court.ran(wanted.practice, books=wanted.books)
    except PracticeError:
        return None
    return outcome_of(wanted.practice, ran, court.chance, wanted.price)


def ways_out(
    practice: Practice,
    wish: Wish,
    *,
    days: int | None = None,
    seed: int = 1,
    tell: Callable[[str], None] = lambda step: None,
    each: Each = one_by_one,
) -> WaysOut:
    """Return the ways to a wish for a practice with its design. `tell` hears of each step with the best so far.

    `each` says where they are run; wherever that is, the ways are the same.

    Ctrl-C ends the search, and the answer is of what was tried by then. Raises `PracticeError` when the practice
    cannot be planned.
    """
    study = _Study(practice, wish, seed, days)
    ran = study.court.ran(practice)
    before = outcome_of(practice, ran, None)
    now = before if wish.chance is None else outcome_of(practice, ran, wish.chance)
    judge = _Ranking(wish, before)
    found: list[WayOut] = []
    stopped, spent = False, None
    ways = {way.id: way for way in ways_of(practice)}
    twos, threes = len(_together(ways, ways, 2)), 0
    try:
        if wish.chance is not None and before.chance.share < wish.chance:
            found.append(judge.way_out((), now))
            found += (judge.way_out((way,), outcome) for way, outcome in one_more(practice, ran))
        if wish.budget is not None:
            tell("spending the budget in steps")
            spent = spend(practice, ran, wish.budget, tuple(ways.values()), study.changed)
        # A wish that is fulfilled is brought no nearer: nothing has to be run for it.
        for choices in () if judge.reaches(before) else _tried(ways, found):
            outcomes = study.outcomes([[ways[id_] for id_ in ids] for ids in choices], each)
            for ids in choices:
                tell(_step(ways, ids, judge.ranked(found)))
                made, outcome = tuple(ways[id_] for id_ in ids), next(outcomes)
                if outcome and judge.gain(outcome) > 0 and not _idle(way := judge.way_out(made, outcome), found):
                    found.append(way)
                twos -= len(ids) == 2
                threes += len(ids) == 3
    except KeyboardInterrupt:
        stopped = True
    return WaysOut(
        practice=practice,
        wish=wish,
        now=before,
        is_there=judge.reaches(before),
        found=tuple(judge.ranked(found)),
        tried=study.tried,
        twos_left=twos,
        threes=threes,
        threes_left=len(_together(ways, ways, 3)) - threes,
        spent=spent,
        stopped=stopped,
        earliest=None if wish.ends is None else earliest_end(practice, islice(study.court.bookings, 1, None)),
    )


def _tried(ways: dict[str, SingleChange], found: list[WayOut]) -> Iterator[list[tuple[str, ...]]]:
    """Yield each change alone, then twos of those that brought the wish nearer by then and some of the others.

    Then threes, if nothing reached the wish by then.
    """
    yield [(id_,) for id_ in ways]
    alone = [way_out for way_out in found if len(way_out.ways) == 1 and way_out.ways[0].id in ways]
    helped = [way_out.ways[0].id for way_out in sorted(alone, key=lambda one: (not one.priced, -one.gain))]
    best = _together(ways, [id_ for id_ in ways if id_ in helped[:IN_TWOS]], 2)
    # A machine and a person's hour, say: what adds to the room comes first, since it is likeliest to help together.
    others = [pair for pair in _together(ways, ways, 2) if pair not in best]
    yield best + sorted(others, key=lambda pair: -_adding_to_the_room(ways, pair))[:OTHER_TWOS]
    if not any(way_out.reaches for way_out in found):
        yield _likeliest_threes(ways, found)


def _likeliest_threes(ways: Mapping[str, SingleChange], found: Iterable[WayOut]) -> list[tuple[str, ...]]:
    """Threes with what brought the wish nearest, alone or in a two; half of them such as have a price, if there are."""
    gains = {frozenset(one.id for one in way_out.ways): way_out.gain for way_out in found}

    def likely(three: tuple[str, ...]) -> tuple[float, ...]:
        alone = [gains.get(frozenset({id_}), 0.0) for id_ in three]
        in_twos = [gains.get(frozenset(two), 0.0) for two in combinations(three, 2)]
        return -max(*alone, *in_twos), -sum(in_twos), -sum(alone), -_adding_to_the_room(ways, three)

    threes = sorted(_together(ways, ways, 3), key=likely)
    first = [three for three in threes if all(ways[id_].price is not None for id_ in three)][: THREES // 2]
    return first + [three for three in threes if three not in first][: THREES - len(first)]


def _together(ways: Mapping[str, SingleChange], ids: Iterable[str], n: int) -> list[tuple[str, ...]]:
    """So many changes at a time, in every choice that can be gone together."""
    return [some for some in combinations(ids, n) if len({ways[id_].at for id_ in some}) == n]


def _adding_to_the_room(ways: Mapping[str, SingleChange], ids: Iterable[str]) -> int:
    return sum(ways[id_].at.startswith(("stage.", "person.")) for id_ in ids)


def _idle(way: WayOut, found: Iterable[WayOut]) -> bool:
    """Whether some of several changes are as good as all of them: as near to the wish, for no more money."""
    ids = {one.id for one in way.ways}
    return any(
        part.ways
        and {one.id for one in part.ways} < ids
        and part.gain >= way.gain - 1e-9
        and (part.more <= way.more or (part.priced and not way.priced))
        for part in found
    )


def _step(ways: dict[str, SingleChange], ids: Iterable[str], found: Sequence[WayOut]) -> str:
    best = " and ".join(way.id for way in found[0].ways) if found else ""
    so_far = f"; best so far {best}, {found[0].more:+,.0f}" if best else ""
    return f"trying {' and '.join(ids)}{so_far}"


@dataclass(frozen=True, slots=True)
class _Ranking:
    """How near a wish an outcome is, and which way is better."""

    wish: Wish
    now: Outcome

    def _lacking(self, outcome: Outcome) -> tuple[float, ...]:
        """By wish, what is missing to it: minutes, money, points."""
        lacking = []
        if self.wish.ends is not None:
            lacking.append(max(0.0, outcome.ends - self.wish.ends))
        if self.wish.budget is not None:
            lacking.append(max(0.0, float(outcome.money - self.wish.budget)))
        if self.wish.chance is not None:
            lacking.append(max(0.0, 100 * (self.wish.chance - outcome.chance.share)))
        return tuple(lacking)

    def reaches(self, outcome: Outcome) -> bool:
        return not any(lack > 1e-9 for lack in self._lacking(outcome))

    def gain(self, outcome: Outcome) -> float:
        """What an outcome brings; 0 where it is too little to say so."""
        before, after = self._lacking(self.now), self._lacking(outcome)
        if len(before) == 1:
            gained = before[0] - after[0]
            return gained if gained >= (_A_GAIN if self.wish.ends is not None else 1e-9) else 0.0
        shares = [(b - a) / b if b else (0.0 if a <= 0 else -1.0) for b, a in zip(before, after, strict=True)]
        gained = sum(shares)
        return gained if gained > 1e-3 else 0.0

    def way_out(self, ways: tuple[SingleChange, ...], outcome: Outcome) -> WayOut:
        return WayOut(
            ways=ways,
            outcome=outcome,
            more=outcome.money - self.now.money,
            pieces=outcome.pieces - self.now.pieces,
            gain=self.gain(outcome),
            reaches=self.reaches(outcome),
        )

    def ranked(self, found: Iterable[WayOut]) -> list[WayOut]:
        """Return the ways, the best first; where none reaches the wish, first of all what comes nearest."""
        ranked = sorted(found, key=self._place)
        if ranked and not ranked[0].reaches:
            of_money = self.wish.budget is not None  # a purse is brought nearer only by what has a price
            nearest = max(ranked, key=lambda way: (way.priced or not of_money, way.gain, way.priced, -way.more))
            ranked.remove(nearest)
            ranked.insert(0, nearest)
        return ranked

    def _place(self, way: WayOut) -> tuple[object, ...]:
        ids = tuple(one.id for one in way.ways)
        if way.reaches:
            return (0, not way.priced, way.more, len(ids), way.outcome.ends, ids)
        each = -way.gain if self.wish.budget is not None or not way.gain else float(way.more) / way.gain
        return (1, not way.priced, each, len(ids), way.outcome.ends, ids)
