"""A second diary, written from the docstrings of bookings, half_day, late and draws in the plainest way.

No code is shared; the normal distribution is scipy's.
"""

from __future__ import annotations

import hashlib
from fractions import Fraction
from itertools import pairwise
from math import exp, floor, log
from typing import Any

from scipy.stats import norm

from kitdocs.practice.model import Practice

GRID = 300


def number(seed: int, day: int, purpose: str, row: int) -> int:
    """The word of a purpose, a row and a day."""
    text = f"{seed}/{day // 32}/{purpose}"
    word = 32 * row + day % 32
    stream = hashlib.shake_128(text.encode()).digest(4 * (word + 1))
    return int.from_bytes(stream[-4:], "little")


class Visit:
    """A visit that is to be booked, and where and when it was."""

    def __init__(self, practice: Practice, seed: int, day: int, procedure: str, row: int) -> None:
        def drawn(purpose: str) -> int:
            return number(seed, day, f"procedure/{procedure}/{purpose}", row)

        record = practice.procedures[procedure]
        self.procedure, self.row = procedure, row
        self.seconds = round(record.minutes * 60)
        self.slots = -(-self.seconds // GRID)
        self.chairs = [c for c in practice.chairs if c in record.chairs or not record.chairs]
        self.turn, self.place, self.idle = drawn("turn"), drawn("place"), drawn("idle")
        some = [instrument for instrument, need in record.needs.items() if need.share < 1]
        self.luck = tuple(
            float(Fraction(drawn(purpose), 2**32)) for purpose in (*(f"need/{n}" for n in some), "any", "pouches")
        )
        self.start = self.end = self.late = 0
        self.chair = ""
        self.times = _times(practice, self, drawn("when"))
        self.kept, self.over = _fate(practice, self, drawn)

    def told(self) -> tuple[Any, ...]:
        return (self.start, self.end, self.chair, self.procedure, self.luck, self.late)


def _spans(practice: Practice) -> list[tuple[int, int]]:
    hours = practice.settings.day
    spans = [(hours.opens, hours.closes)]
    if hours.pause:
        spans = [(hours.opens, hours.pause.start), (hours.pause.end, hours.closes)]
    return [(60 * start, 60 * start + floor((end - start) * 60) // GRID * GRID) for start, end in spans]


def _times(practice: Practice, visit: Visit, when: int) -> dict[int, list[int]] | None:
    """By half-day of any chair, the seconds after midnight at which it may begin; None for at any time."""
    pause = practice.settings.day.pause
    noon = pause.start if pause else 720
    named = {"morning": (0, noon), "afternoon": (noon, 1440)}
    told = [
        (["morning", "afternoon", None].index(w.half), w.start, w.end, share, named.get(w.half or "", (w.start, w.end)))
        for w, share in practice.procedures[visit.procedure].windows.items()
    ]
    end = 0.0
    for *_, share, span in sorted(told):
        end += share
        begin, until = span
        if when / 2**32 < end:
            break
    else:
        return None
    every = {
        half: list(range(start, over - visit.slots * GRID + 1, GRID))
        for half, (start, over) in enumerate(_spans(practice))
    }
    allowed = {half: [at for at in starts if 60 * begin <= at < 60 * until] for half, starts in every.items()}
    return None if allowed == every else {half: starts for half, starts in allowed.items() if starts}


def _fate(practice: Practice, visit: Visit, drawn: Any) -> tuple[bool, int]:
    """Whether it is kept, and by how many seconds it runs over."""
    record, settings = practice.procedures[visit.procedure], practice.settings
    absent = settings.no_shows if record.no_shows is None else record.no_shows
    if absent is not None and drawn("absent") / 2**32 < absent:
        return False, 0
    overrun = settings.overrun if record.overrun is None else record.overrun
    if overrun is None or drawn("over") / 2**32 >= overrun.share:
        return True, 0
    z = norm.ppf((drawn("over-by") + 0.5) / 2**32)
    return True, round(60 * overrun.median * exp(z * log(overrun.most / overrun.median) / norm.ppf(0.95)))


def _really(visits: list[Visit]) -> list[Visit]:
    """The visits that are kept, as they really begin and end."""
    order = sorted(visits, key=lambda v: (v.start, v.turn, v.procedure, v.row))
    for chair in {visit.chair for visit in visits}:
        free_from = late = None
        for visit in [v for v in order if v.chair == chair and v.kept]:
            if free_from is not None and late is not None:
                visit.late = max(0, late - max(0, visit.start - free_from))
            free_from, late = visit.end, visit.late + visit.over
            visit.start += visit.late
            visit.end += late
    return [visit for visit in visits if visit.kept]


def day_of(practice: Practice, seed: int, day: int) -> list[tuple[Any, ...]] | None:
    """The bookings of a day, or None when they do not fit."""
    visits = booked_on(practice, seed, day)
    if visits is None:
        return None
    visits = _really(visits)
    return [v.told() for v in sorted(visits, key=lambda v: (v.start, v.turn, v.procedure, v.row))]


def booked_on(practice: Practice, seed: int, day: int) -> list[Visit] | None:
    """The visits as they are booked, or None when they do not fit."""
    return _scheduled(practice, seed, day) if practice.schedule else _drawn(practice, seed, day)


def _scheduled(practice: Practice, seed: int, day: int) -> list[Visit]:
    names = sorted({row.day for row in practice.schedule})
    today = [row for row in practice.schedule if row.day == names[(day - 1) % len(names)]]
    visits: list[Visit] = []
    for row in sorted(today, key=lambda r: (r.start, r.chair, r.minutes)):
        same = sum(visit.procedure == row.procedure for visit in visits)
        visit = Visit(practice, seed, day, row.procedure, same)
        visit.start, visit.chair = round(row.start * 60), row.chair
        visit.end = visit.start + round(row.minutes * 60)
        visits.append(visit)
    return visits


def _drawn(practice: Practice, seed: int, day: int) -> list[Visit] | None:
    visits = []
    for id_, record in practice.procedures.items():
        more = Fraction(number(seed, day, f"procedure/{id_}/count", 0), 2**32) < Fraction(record.per_day) % 1
        visits += [Visit(practice, seed, day, id_, row) for row in range(floor(record.per_day) + more)]
    packed = practice.settings.book == "packed"
    halves = range(len(_spans(practice)))

    def places(visit: Visit) -> int:
        return len(visit.chairs) * len(halves if visit.times is None else visit.times)

    tries: list[Any] = [
        lambda v: -v.slots * packed,
        lambda v: (v.times is None, places(v), -v.slots),
    ]
    if any(visit.times is not None for visit in visits):
        tries.append(lambda v: -v.slots)
    for first in tries:
        visits.sort(key=lambda v: (v.turn, v.procedure, v.row))
        visits.sort(key=first)
        if _book(practice, seed, day, visits):
            return visits
    return None


def _book(practice: Practice, seed: int, day: int, visits: list[Visit]) -> bool:
    spans = _spans(practice)
    packed = practice.settings.book == "packed"
    booked: dict[tuple[str, int], list[Visit]] = {(c, half): [] for c in practice.chairs for half in range(len(spans))}

    def left(where: tuple[str, int]) -> int:
        start, end = spans[where[1]]
        return (end - start) // GRID - sum(visit.slots for visit in booked[where])

    def preferred(visits: list[Visit]) -> list[Visit]:
        return sorted(visits, key=lambda v: (-v.slots * packed, v.place, v.procedure, v.row))

    def limits(visit: Visit, half: int) -> tuple[int, int, int]:
        """Earliest, latest and seconds of a visit."""
        start, end = spans[half]
        takes = visit.slots * GRID
        return (
            (start, end - takes, takes)
            if visit.times is None
            else (min(visit.times[half]), max(visit.times[half]), takes)
        )

    def goes(visit: Visit, where: tuple[str, int]) -> bool:
        together = [*booked[where], visit]
        if left(where) < visit.slots:
            return False
        if all(each.times is None for each in together):
            return True
        return _jackson([limits(v, where[1]) for v in preferred(together)], spans[where[1]][0])

    average = Fraction(sum(visit.slots for visit in visits), max(1, len(visits)))
    for visit in visits:
        places = [w for w in booked if w[0] in visit.chairs and (visit.times is None or w[1] in visit.times)]
        places = [where for where in places if goes(visit, where)]
        if not places:
            return False
        if packed:
            halves = [half for _, half in places]
            wanted = min(halves) if visit.slots > average else max(halves)
            places = [where for where in places if where[1] == wanted]
        booked[min(places, key=lambda w: (-left(w), number(seed, day, f"chair/{w[0]}", w[1]), w))].append(visit)
    for where, mine in booked.items():
        half = where[1]
        row = _sequence(preferred(mine), spans[half][0], lambda visit, half=half: limits(visit, half))
        idle = [Fraction(number_, 2**32) for number_ in sorted(visit.idle for visit in mine)]
        if packed:
            idle = [Fraction(0) if visit.slots > average else 1 - Fraction(1, 2**32) for visit in row]
        bounds = [limits(visit, half) for visit in row]
        soon = [bounds[0][0]] if row else []
        for (_, _, took), (earliest, _, _) in pairwise(bounds):
            soon.append(max(earliest, soon[-1] + took))
        late = [latest for _, latest, _ in bounds]
        for n in reversed(range(len(row) - 1)):
            late[n] = min(late[n], late[n + 1] - bounds[n][2])
        over = 0
        for n, visit in enumerate(row):
            visit.chair = where[0]
            steps = (late[n] - soon[n]) // GRID + 1
            visit.start = max(over, soon[n] + floor(idle[n] * steps) * GRID)
            visit.end = visit.start + visit.seconds
            over = visit.start + visit.slots * GRID
    return True


def _jackson(visits: list[tuple[int, int, int]], now: int) -> bool:
    """Whether (earliest, latest, seconds) fit one after another."""
    left = list(enumerate(visits))
    while left:
        now = max(now, min(earliest for _, (earliest, _, _) in left))
        may = [each for each in left if each[1][0] <= now]
        first = min(may, key=lambda each: (each[1][1] + each[1][2], each[0]))
        left.remove(first)
        if now > first[1][1]:
            return False
        now += first[1][2]
    return True


def _sequence(visits: list[Visit], now: int, limits: Any) -> list[Visit]:
    """The order of visits that come in the order of preference."""
    found: list[Visit] = []
    left = list(visits)
    while left:
        for visit in left:
            earliest, latest, takes = limits(visit)
            begins = max(now, earliest)
            rest = [limits(other) for other in left if other is not visit]
            if begins <= latest and _jackson(rest, begins + takes):
                break
        else:
            raise AssertionError("they do not fit")
        left.remove(visit)
        found.append(visit)
        now = begins + takes
    return found
