"""Day after day, the items on their way through the stages of reprocessing, until each is back in the store.

An item that skips a stage is through it the moment it comes there: it waits for nothing, and takes its turn at the next
stage as if it had been done at that moment. Of two that come to the next stage at one time, the first is the one that
came to the skipped stage first.

Where people go home, what is still out waits until the morning and comes back on a later day: its time of return is
more than a day after midnight, and the next day begins with it. Such a day is told when all its items are back, so
some days later in the run; after the last day come days without visits until they are. A room that still has something
a week later never catches up.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import partial
from typing import NamedTuple

from kitdocs.planning.day.crew import ALWAYS, crew_of
from kitdocs.planning.day.draws import uniform
from kitdocs.planning.day.instants import DAY
from kitdocs.planning.day.items import DayItems, ItemKind, Takings
from kitdocs.planning.day.stages import Load, Pass, stage_pass
from kitdocs.planning.day.visit import Booking
from kitdocs.planning.day.workday import Rank, RoomDay, Started, Waiting, Workday, station
from kitdocs.practice.model import Practice
from kitdocs.practice.problems import KitdocsError
from kitdocs.practice.room import AnyStage, MachineStage, Room

_WEEK = 7


class NeverCaughtUpError(KitdocsError):
    """Something was not back in the store a week later; most waits at `stage`, by its number."""

    def __init__(self, stage: int) -> None:
        self.stage = stage
        super().__init__(f"the room never catches up at stage {stage}")


class Stay(NamedTuple):
    """A stage's day: which of the day's items, in the order of its queue, when each joined, was started and was done.

    Items that skip the stage are not in it. `loads` are those that the stage started on this day, of what it
    `loaded`, by number in the day's `in_room`: in a plain room that is its queue.
    """

    queue: list[int]
    joined: list[int]
    starts: list[int]
    ends: list[int]
    loads: tuple[Load, ...]
    loaded: list[int]


class Overnight(NamedTuple):
    """An item of an earlier day that is still out as a day begins: when it left and is back, in that day's time."""

    kind: int
    out: int
    back: int


class Evening(NamedTuple):
    """What one day leaves to the next, in the time of the next: what waits, since when it is out, and the machines."""

    waiting: tuple[Waiting, ...] = ()
    out: tuple[int, ...] = ()
    busy_until: tuple[tuple[int, ...], ...] = ()


NOTHING_LEFT = Evening()


class DayFlow(NamedTuple):
    """A day: its items in the order of receiving, its stages, and when each item is back in the store."""

    kinds: tuple[ItemKind, ...]
    items: DayItems
    stays: tuple[Stay, ...]
    back: list[int]
    in_room: Sequence[int]
    """The kind of everything in the room: the day's items, then those of the night, which are counted back from -1."""
    overnight: tuple[Overnight, ...] = ()
    before: Evening = NOTHING_LEFT
    """What the day began with."""
    until: int = ALWAYS[1]
    """When the day in the room gives way to the next."""
    worked: tuple[int, ...] = ()
    """How long each of the crew was at work."""

    @property
    def left(self) -> int:
        """How many items, of this day or of earlier ones, are out when the next day in the room begins."""
        return sum(back >= self.until for back in self.back) + sum(one.back >= self.until for one in self.overnight)

    def ended(self, otherwise: int) -> int:
        """When the last item came back on this day; `otherwise` when none did."""
        backs = [*self.back, *(one.back for one in self.overnight)]
        return max((back for back in backs if back < self.until), default=otherwise)


class Flow:
    """The way of `practice`'s items; nothing of it changes from day to day. `takings` are those of the practice."""

    def __init__(
        self,
        practice: Practice,
        seed: int = 1,
        takings: Takings | None = None,
        *,
        again: Callable[[str, int, int], bool] | None = None,
    ) -> None:
        """`again` says which loads are run again, by the stage, the day's number and the load's; else luck does."""
        self.takings = takings or Takings(practice)
        self.kinds = self.takings.kinds
        self.crew = crew_of(practice)
        room, in_use = practice.room, self.takings.in_use()
        passing = {id_: frozenset(n for n in in_use if practice.passes(self.kinds[n].id, id_)) for id_ in room.stages}
        self._stages: list[tuple[Pass, frozenset[int]]] = []
        self._room: Workday | None = None
        if again is None and _is_plain(room):
            self._stages = [
                (stage_pass(stage, self.kinds, passing[id_]), in_use - passing[id_])
                for id_, stage in room.stages.items()
            ]
        else:
            stations = [
                station(stage, self.kinds, passing[id_], partial(again, id_) if again else _again(seed, id_, stage))
                for id_, stage in room.stages.items()
            ]
            self._room = Workday(stations, self.crew)

    def of_days(
        self, days: Iterable[Sequence[Booking]], *, first: int = 0, before: Evening = NOTHING_LEFT
    ) -> Iterator[tuple[Sequence[Booking], DayFlow]]:
        """Yield each day's bookings with its items' way, in their order. The first day has the number `first`.

        Raises `NeverCaughtUpError`.
        """
        if self._room is None:
            for bookings in days:
                yield bookings, self._of_plain_day(bookings)
        else:
            yield from _Nights(self, self._room, first, before).over(days)

    def of_day(self, bookings: Sequence[Booking]) -> DayFlow:
        """Return the day of the items that a day's bookings take, with an empty room before and after it."""
        ((_, day),) = self.of_days([bookings])
        return day

    def _of_plain_day(self, bookings: Sequence[Booking]) -> DayFlow:
        items = self.takings.of_day(bookings)
        queue, kind, joined = list(range(len(items.kind))), items.kind, items.received
        stays: list[Stay] = []
        order: list[int] | None
        for run, skipping in self._stages:
            if skipping:
                ends, order = self._pass_some(run, skipping, stays, queue, joined, kind)
            else:
                starts, ends, order, loads = run(joined, kind)
                stays.append(Stay(queue, joined, starts, ends, loads, queue))
            joined = ends
            if order is not None:
                queue = [queue[n] for n in order]
                kind = [kind[n] for n in order]
                joined = [ends[n] for n in order]
        back = joined
        if queue != sorted(queue):
            back = [end for _, end in sorted(zip(queue, joined, strict=True))]
        return DayFlow(self.kinds, items, tuple(stays), back, items.kind)

    @staticmethod
    def _pass_some(
        run: Pass, skipping: frozenset[int], stays: list[Stay], queue: list[int], joined: list[int], kind: list[int]
    ) -> tuple[list[int], list[int]]:
        """Run a stage that some items skip: when each item is done, and the order in which they are."""
        places = [n for n, k in enumerate(kind) if k not in skipping]
        at = [joined[n] for n in places]
        starts, ends, _, loads = run(at, [kind[n] for n in places])
        passing = [queue[n] for n in places]
        stays.append(Stay(passing, at, starts, ends, loads, passing))
        done = list(joined)
        for place, end in zip(places, ends, strict=True):
            done[place] = end
        return done, sorted(range(len(done)), key=done.__getitem__)


def _is_plain(room: Room) -> bool:
    """Whether nobody has hours or several stages, and machines are alike and never repeat a load."""
    machines = [stage for stage in room.stages.values() if isinstance(stage, MachineStage)]
    return not (room.people or room.closes) and all(stage.alike and not stage.repeats for stage in machines)


def _again(seed: int, id_: str, stage: AnyStage) -> Callable[[int, int], bool]:
    """Return which loads of a stage are run again, by the day's number and the load's."""
    share = stage.repeats if isinstance(stage, MachineStage) else None
    if not share:
        return lambda day, load: False
    return lambda day, load: uniform(seed, "run again", id_, day, load) < share


@dataclass(slots=True)
class _Open:
    """A day, some items of which may still be out. Those of the night before follow its own, in every list."""

    number: int
    bookings: Sequence[Booking]
    items: DayItems
    before: Evening
    ran: RoomDay
    back: list[int]
    started: tuple[list[Started], ...]
    """At each stage, of the day's own items, also on later days."""
    missing: int

    @property
    def own(self) -> int:
        return len(self.items.kind)


_Trail = tuple[tuple[_Open, int], ...]
"""The days that an item is part of, and its number there."""


class _Nights:
    """Days in a room that is left at night."""

    def __init__(self, flow: Flow, room: Workday, first: int, before: Evening) -> None:
        self._flow, self._room, self._number = flow, room, first
        self._evening = before
        self._trails: list[_Trail] = [() for _ in before.waiting]
        self._open: deque[_Open] = deque()

    def over(self, days: Iterable[Sequence[Booking]]) -> Iterator[tuple[Sequence[Booking], DayFlow]]:
        for bookings in days:
            yield from self._after(bookings)
        untold = len(self._open)
        while untold:
            for told in list(self._after(()))[:untold]:
                yield told
                untold -= 1

    def _after(self, bookings: Sequence[Booking]) -> Iterator[tuple[Sequence[Booking], DayFlow]]:
        """Run the next day, and yield those of which everything is back."""
        self._run(bookings)
        while self._open and not self._open[0].missing:
            day = self._open.popleft()
            yield day.bookings, self._told(day)
        if len(self._open) > _WEEK:
            last = len(self._room.stations) - 1
            stages = [min(one.stage, last) for one in self._evening.waiting]
            raise NeverCaughtUpError(max(sorted(set(stages)), key=stages.count))

    def _run(self, bookings: Sequence[Booking]) -> None:
        items, before = self._flow.takings.of_day(bookings), self._evening
        own, count = len(items.kind), len(items.kind) + len(before.waiting)
        arriving = [Waiting(n, items.kind[n], 0, at, (at, n)) for n, at in enumerate(items.received)]
        arriving += [one._replace(item=own + n) for n, one in enumerate(before.waiting)]
        ran = self._room.run(self._number, arriving, before.busy_until)
        started = tuple([one for one in stage if one[0] < own] if before.waiting else [*stage] for stage in ran.started)
        day = _Open(self._number, bookings, items, before, ran, [0] * count, started, count)
        self._open.append(day)
        night: list[_Trail] = [(*trail, (day, own + n)) for n, trail in enumerate(self._trails)]
        self._note(day, night)
        out = [*items.out, *before.out]
        self._trails = [night[one.item - own] if one.item >= own else ((day, one.item),) for one in ran.left]
        if self._room.ends < ALWAYS[1]:  # in a room that nobody leaves no day knows of another, as in a plain one
            self._evening = Evening(
                waiting=tuple(_tomorrow(one) for one in ran.left),
                out=tuple(out[one.item] - DAY for one in ran.left),
                busy_until=tuple(tuple(at - DAY for at in stage) for stage in ran.busy_until),
            )
        self._number += 1

    def _note(self, today: _Open, night: Sequence[_Trail]) -> None:
        """Write what happened in the room today into the days of the items that it happened to."""
        own, number = len(today.items.kind), self._number
        for stage, started in enumerate(today.ran.started if night else ()):
            for item, joined, start, end in started:
                day, n = night[item - own][0] if item >= own else (today, item)
                if day is not today and n < day.own:
                    later = (number - day.number) * DAY
                    day.started[stage].append((n, joined + later, start + later, end + later))
        for item, at in today.ran.stored:
            if item < own:
                today.back[item] = at
                today.missing -= 1
            else:
                for day, n in night[item - own]:
                    day.back[n] = at + (number - day.number) * DAY
                    day.missing -= 1

    def _told(self, day: _Open) -> DayFlow:
        count, day_own, night = len(day.back), day.own, day.before.waiting
        stays = []
        for own, started, loads in zip(day.started, day.ran.started, day.ran.loads, strict=True):
            columns = [list(column) for column in zip(*own, strict=True)] or [[], [], [], []]
            loaded = [one[0] if one[0] < day_own else one[0] - count for one in started]
            stays.append(Stay(columns[0], columns[1], columns[2], columns[3], tuple(loads), loaded))
        backs = zip(night, day.before.out, day.back[day.own :], strict=True)
        return DayFlow(
            self._flow.kinds,
            day.items,
            tuple(stays),
            day.back[: day.own],
            [*day.items.kind, *(one.kind for one in night)],
            tuple(Overnight(one.kind, out, back) for one, out, back in backs),
            day.before,
            self._room.ends,
            tuple(day.ran.worked),
        )


def _tomorrow(one: Waiting) -> Waiting:
    """Return the same in the time of the next day."""
    return one._replace(at=one.at - DAY, rank=_a_day_earlier(one.rank))


def _a_day_earlier(rank: Rank) -> Rank:
    joined, before = rank
    return joined - DAY, before if isinstance(before, int) else _a_day_earlier(before)
