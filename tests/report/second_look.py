"""What the planning report says, worked out a second time: from `plan --json` and from days simulated with simpy.

The days are drawn by `plain_diary` and run by `simpy_day`, which share no code with what is planned. What is chosen
(how many of each) is read from the JSON, as somebody else would read it; what is promised of it is counted here.
"""

from __future__ import annotations

import math
from collections import Counter, defaultdict
from collections.abc import Iterable, Mapping, Sequence
from functools import cached_property
from itertools import pairwise
from typing import Any, NamedTuple

import numpy as np
import plain_diary
import simpy_day
from scipy.stats import binomtest, norm, poisson

from kitdocs.practice.model import Practice

DAY = simpy_day.DAY
Json = Mapping[str, Any]


class Booking(NamedTuple):
    start: int
    end: int
    chair: str
    procedure: str
    luck: tuple[float, ...]
    late: int


class Item(NamedTuple):
    """A set or pouch that was taken; seconds after the midnight of its day."""

    id: str
    visit: int
    out: int
    received: int
    stages: tuple[tuple[int, int, int], ...]
    back: int


class Day(NamedTuple):
    bookings: list[Booking]
    items: list[Item]
    loads: list[list[Any]]


def rank(values: Iterable[Any], percent: int) -> Any:
    """The smallest of the values such that so many percent of them are no larger; 0 of none."""
    ordered = sorted(values)
    return ordered[-(-percent * len(ordered) // 100) - 1] if ordered else 0


def mean(values: Iterable[float]) -> float:
    told = list(values)
    return math.fsum(told) / len(told) if told else 0.0


class SecondLook:
    """A practice's days, day 0 being the day before the first."""

    def __init__(self, practice: Practice, plan: Json) -> None:
        self.practice, self.plan = practice, plan
        self.count: int = plan["run"]["busy_days"]
        seed: int = plan["run"]["seed"]
        drawn = []
        for number in range(self.count + 1):
            told = plain_diary.day_of(practice, seed, number)
            assert told is not None
            drawn.append([Booking(*visit) for visit in told])
        told_days = simpy_day.run_days(practice, drawn, seed)
        self.days = [
            Day(bookings, [Item(*item) for item in items], loads)
            for bookings, (items, loads) in zip(drawn, told_days, strict=True)
        ]
        self.stages = list(practice.room.stages)

    @property
    def counted(self) -> list[Day]:
        """The days that count."""
        return self.days[1:]

    # the store ------------------------------------------------------------------------------------

    @property
    def packs(self) -> list[str]:
        """Sets and add-on pouches that somebody may take."""
        return [*self.plan["sets"], *(id_ for id_, pouch in self.plan["pouches"].items() if pouch["kind"] == "add-on")]

    def held(self, id_: str) -> int:
        test = self.practice.room.supplies.spore_test
        pack = self.practice.sets.get(id_) or self.practice.pouches[id_]
        related = getattr(pack, "implant_related", False) or any(
            self.practice.instruments[name].implant_related for name in pack.contents
        )
        return round(60 * test.read_after) if test and test.read_after and related else 0

    @cached_property
    def peaks(self) -> dict[str, list[int]]:
        """Of each pack, the most that are out of the store at once, day by day."""
        found: dict[str, list[int]] = {id_: [] for id_ in self.packs}
        out: defaultdict[str, list[tuple[int, int]]] = defaultdict(list)
        nights = self.plan["nights"] is not None
        for number, day in enumerate(self.days):
            midnight = number * DAY
            for item in day.items:
                held = self.held(item.id)
                if number or (nights and not held):
                    out[item.id].append((midnight + item.out, midnight + item.back + held))
            if not number:
                continue
            for id_, peaks in found.items():
                begins = midnight + (self.night[1] if nights and not self.held(id_) else 0)
                still = [(gone, back) for gone, back in out[id_] if gone >= midnight or back >= begins]
                out[id_] = still
                moments = {max(gone, midnight) for gone, _ in still}
                peaks.append(max((sum(g <= at < b for g, b in still) for at in moments), default=0))
        return found

    def kept_with(self, counts: Mapping[str, int]) -> list[bool]:
        """On which days nobody waits for any set or add-on pouch."""
        return [all(self.peaks[id_][n] <= counts[id_] for id_ in self.packs) for n in range(self.count)]

    # the drawers ----------------------------------------------------------------------------------

    @cached_property
    def opened(self) -> list[list[tuple[str, str, int, int]]]:
        """Day by day, chair, pouch, when it was opened and when it was back."""
        return [
            [
                (day.bookings[item.visit].chair, item.id, item.out, item.back)
                for item in day.items
                if item.id in self.practice.pouches and self.practice.pouches[item.id].kind == "drawer"
            ]
            for day in self.days
        ]

    @cached_property
    def restock(self) -> list[int]:
        return sorted(round(60 * at) for at in self.practice.room.restock)

    @cached_property
    def asked_of_drawers(self) -> list[tuple[Counter[tuple[str, str]], Counter[str]]]:
        """Day by day: the most that are opened in a drawer between two fillings, and the most of a pouch that have been
        opened before a filling and are not back by then, with the last filling of the evening before."""
        told = []
        for number in range(1, self.count + 1):
            pouches = [
                (chair, pouch, (number - before) * DAY + opened, (number - before) * DAY + back)
                for before in range(min(number, 2), -1, -1)
                for chair, pouch, opened, back in self.opened[number - before]
            ]
            fillings = [(number - 1) * DAY + self.restock[-1], *(number * DAY + at for at in self.restock)]
            between: Counter[tuple[str, str]] = Counter()
            for start, end in pairwise(fillings):
                between |= Counter((chair, pouch) for chair, pouch, opened, _ in pouches if start <= opened < end)
            behind: Counter[str] = Counter()
            for at in fillings:
                behind |= Counter(pouch for _, pouch, opened, back in pouches if opened < at < back)
            told.append((between, behind))
        return told

    def drawers_kept(self, drawers: Mapping[tuple[str, str], int], beyond: Mapping[str, int]) -> list[bool]:
        return [
            all(many <= drawers[place] for place, many in between.items())
            and all(many <= beyond[pouch] for pouch, many in behind.items())
            for between, behind in self.asked_of_drawers
        ]

    def complete(self, nth: int) -> list[int]:
        """When everything opened since the restocking before is back, day by day; at the restocking at the soonest."""
        found = []
        for number in range(1, self.count + 1):
            if nth:
                since = [b for _, _, o, b in self.opened[number] if self.restock[nth - 1] <= o < self.restock[nth]]
            else:
                since = [b for _, _, o, b in self.opened[number] if o < self.restock[0]]
                since += [b - DAY for _, _, o, b in self.opened[number - 1] if o >= self.restock[-1]]
            found.append(max([self.restock[nth], *since]))
        return found

    # the room -------------------------------------------------------------------------------------

    @cached_property
    def ends(self) -> list[int]:
        """When the last item came back, day by day; where the room closes, of those that came back before the next
        morning."""
        closes = round(60 * self.practice.settings.day.closes)
        if self.plan["nights"] is None:
            return [max((item.back for item in day.items), default=closes) for day in self.counted]
        _, opens = self.night
        found = []
        for number in range(1, self.count + 1):
            backs = [
                item.back - before * DAY
                for before in range(min(number, 5) + 1)
                for item in self.days[number - before].items
                if opens <= item.back - before * DAY < DAY + opens
            ]
            found.append(max(backs, default=closes))
        return found

    @cached_property
    def all_items(self) -> list[Item]:
        return [item for day in self.counted for item in day.items]

    @cached_property
    def away(self) -> list[int]:
        """How long each set was away."""
        return [item.back - item.out for item in self.all_items if item.id in self.practice.sets]

    def passed(self, item: Item) -> dict[str, tuple[int, int, int]]:
        """By stage that an item passes: when it joined, was started and was done."""
        stages = [stage for stage in self.stages if not simpy_day.skips(self.practice, item.id, stage)]
        return dict(zip(stages, item.stages, strict=True))

    @cached_property
    def waits(self) -> dict[str, list[int]]:
        found: dict[str, list[int]] = {stage: [] for stage in self.stages}
        for item in self.all_items:
            for stage, (joined, started, _) in self.passed(item).items():
                found[stage].append(started - joined)
        return found

    def loads(self, stage: str) -> list[int]:
        """How many loads there are, day by day; one that is run again counts twice."""
        n, machines = self.stages.index(stage), getattr(self.practice.room.stages[stage], "each", ())
        return [
            sum(round((end - start) / round(60 * machines[machine].cycle)) for machine, start, _, end in day.loads[n])
            for day in self.counted
        ]

    def units(self, stage: str) -> int:
        """How many machines a stage has, or people who serve it; 0 where time passes by itself."""
        record: Any = self.practice.room.stages[stage]
        if record.kind == "machine":
            return len(record.each)
        if record.kind == "rest":
            return 0
        people = self.practice.room.people.values()
        return sum(not person.stages or stage in person.stages for person in people) or record.people

    def work(self, stage: str) -> float:
        """How long each machine or person is at work on a day, in seconds."""
        n = self.stages.index(stage)
        if self.practice.room.stages[stage].kind == "machine":
            done = [end - start for day in self.counted for _, start, _, end in day.loads[n]]
        else:
            passes = (self.passed(item).get(stage) for item in self.all_items)
            done = [each[2] - each[1] for each in passes if each]
        return sum(done) / self.count / self.units(stage)

    @cached_property
    def open_for(self) -> float:
        """From opening until the last item is stored or the practice closes, on average."""
        hours = self.practice.settings.day
        return mean(max(end, 60 * hours.closes) - 60 * hours.opens for end in self.ends)

    @cached_property
    def busiest(self) -> str:
        return max((s for s in self.stages if self.units(s)), key=self.work)

    def out_through_the_day(self, id_: str) -> tuple[list[int], list[int], list[int]]:
        """Every ten minutes from just before the first visit can take a set: how many of it are out on half of the days
        at most, and on 95 % of them."""
        hours, room = self.practice.settings.day, self.practice.room
        first = math.floor((hours.opens - room.setup) / 10) * 600
        times = list(range(first, first + DAY, 600))
        by_day = []
        for number in range(1, self.count + 1):
            near = [
                (item.out - before * DAY, item.back - before * DAY)
                for before in range(min(number + 1, 3) if self.plan["nights"] else 1)
                for item in self.days[number - before].items
                if item.id == id_
            ]
            by_day.append([sum(out <= at < back for out, back in near) for at in times])
        columns = list(zip(*by_day, strict=True))
        return times, [rank(column, 50) for column in columns], [rank(column, 95) for column in columns]

    @cached_property
    def left(self) -> list[list[tuple[Item, int]]]:
        """Morning by morning, what waits since the evening before (or longer), each with how many evenings."""
        closes = self.night[0]
        mornings: list[list[tuple[Item, int]]] = []
        for number in range(1, self.count + 1):
            waiting = []
            for before in range(1, min(number, 5) + 1):
                evening = closes - DAY + before * DAY  # in the time of the day that it is of
                for item in self.days[number - before].items:
                    starts = [started for _, started, _ in item.stages if started >= evening]
                    if starts:
                        waiting.append((item, before))
            mornings.append(waiting)
        return mornings

    @property
    def night(self) -> tuple[int, int]:
        """When the room closes and opens, in seconds after midnight."""
        calendar = simpy_day.Calendar(self.practice)
        return 60 * calendar.closes, calendar.morning

    # money ----------------------------------------------------------------------------------------

    def pieces(self, own: Mapping[str, int]) -> Counter[tuple[str, str]]:
        """What so many sets and pouches hold that is used again, by kind and id."""
        practice = self.practice
        found: Counter[tuple[str, str]] = Counter()
        for id_, number in own.items():
            pack = practice.sets.get(id_) or practice.pouches[id_]
            for name in pack.contents:
                if not practice.instruments[name].single_use:
                    found["instrument", name] += number
            if id_ in practice.sets:
                found["cassette", practice.sets[id_].cassette] += number
        return found

    @cached_property
    def taken(self) -> dict[str, float]:
        """How many of each set and pouch are taken on a day."""
        counted = Counter(item.id for item in self.all_items)
        return {id_: counted[id_] / self.count for id_ in (*self.practice.sets, *self.practice.pouches)}

    @cached_property
    def spares(self) -> dict[str, tuple[float, float, int]]:
        """Of what is repaired: uses a day, how many are away on average, and spares, with scipy's Poisson."""
        practice, found = self.practice, {}
        for name, record in practice.instruments.items():
            uses = 0.0
            for id_, number in self.taken.items():
                pack = practice.sets.get(id_) or practice.pouches[id_]
                uses += pack.contents.count(name) * number
            if record.repair:
                week = practice.settings.day.per_week / 7
                away = uses / record.repair.uses_between * record.repair.days_away * week
                spare = int(poisson.ppf(practice.settings.service - 1e-12, away)) if away else 0
                found[name] = (uses, away, spare)
        return found

    def price(self, piece: tuple[str, str]) -> float:
        records: Any = self.practice.instruments if piece[0] == "instrument" else self.practice.cassettes
        return float(records[piece[1]].price or 0)

    def owned(self, piece: tuple[str, str]) -> int:
        if piece[0] == "cassette":
            return self.practice.cassettes[piece[1]].on_hand
        line = self.practice.stock.get(piece[1])
        return line.on_hand + line.in_repair if line else 0

    def to_buy(self, own: Mapping[str, int], *, spares: bool = True) -> dict[tuple[str, str], int]:
        need = self.pieces(own)
        if spares:
            need.update({("instrument", name): spare for name, (_, _, spare) in self.spares.items()})
        return {piece: number - self.owned(piece) for piece, number in need.items() if number > self.owned(piece)}

    def cost(self, own: Mapping[str, int], *, spares: bool = True) -> float:
        return math.fsum(self.price(piece) * number for piece, number in self.to_buy(own, spares=spares).items())

    def worth(self, id_: str) -> float:
        return math.fsum(self.price(piece) * number for piece, number in self.pieces({id_: 1}).items())


def wilson(kept: int, days: int) -> tuple[float, float]:
    found = binomtest(kept, days).proportion_ci(0.95, method="wilson")
    return found.low, found.high


def days_between(days: Sequence[Sequence[int]], percent: int) -> tuple[int, int]:
    """Between which two values the true quantile lies, 95 % certain, when the values of a day hang together.

    Woodruff 1952, over clusters: the standard error of the share that is at most (or below) the quantile, as that of a
    ratio of sums over days.
    """
    sizes = np.array([len(day) for day in days])
    seen, count = sizes.sum(), len(days)
    quantile = rank((value for day in days for value in day), percent)
    errors = [0.0]
    for below in (np.less_equal, np.less):
        counted = np.array([below(np.array(day), quantile).sum() for day in days])
        apart = counted - counted.sum() / seen * sizes
        errors.append(float(np.sqrt((apart**2).sum() * count / (count - 1)) / seen))
    half = norm.ppf(0.975) * max(errors)
    ordered = sorted(value for day in days for value in day)

    def at(share: float) -> int:
        return ordered[max(math.ceil(min(max(share, 0.0), 1.0) * seen - 1e-9), 1) - 1]

    return at(percent / 100 - half), at(percent / 100 + half + 1 / seen)


def numbers_between(numbers: Sequence[int], percent: int) -> tuple[int, int]:
    """The same for numbers of which each is of a day of its own: ranks are binomial."""
    share, seen = percent / 100, len(numbers)
    half = norm.ppf(0.975) * math.sqrt(share * (1 - share) / seen)
    ordered = sorted(numbers)

    def at(wanted: float) -> int:
        return ordered[max(math.ceil(min(max(wanted, 0.0), 1.0) * seen - 1e-9), 1) - 1]

    return at(share - half), at(share + half + 1 / seen)
