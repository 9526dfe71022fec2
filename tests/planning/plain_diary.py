"""A second diary, written from the docstrings of bookings and draws in the plainest way; no code is shared."""

from __future__ import annotations

import hashlib
from fractions import Fraction
from math import floor
from typing import Any

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
        some = [need for need, share in record.needs.items() if share < 1]
        self.luck = tuple(
            float(Fraction(drawn(purpose), 2**32)) for purpose in (*(f"need/{n}" for n in some), "any", "pouches")
        )
        self.start = self.end = 0
        self.chair = ""

    def told(self) -> tuple[Any, ...]:
        return (self.start, self.end, self.chair, self.procedure, self.luck)


def day_of(practice: Practice, seed: int, day: int) -> list[tuple[Any, ...]] | None:
    """The bookings of a day, or None when they do not fit."""
    visits = _scheduled(practice, seed, day) if practice.schedule else _drawn(practice, seed, day)
    if visits is None:
        return None
    return [v.told() for v in sorted(visits, key=lambda v: (v.start, v.turn, v.procedure, v.row))]


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
    visits.sort(key=lambda v: (v.turn, v.procedure, v.row))
    if not _book(practice, seed, day, visits):
        visits.sort(key=lambda v: (len(v.chairs), -v.slots, v.turn, v.procedure, v.row))
        if not _book(practice, seed, day, visits):
            return None
    return visits


def _book(practice: Practice, seed: int, day: int, visits: list[Visit]) -> bool:
    hours = practice.settings.day
    spans = [(hours.opens, hours.closes)]
    if hours.pause:
        spans = [(hours.opens, hours.pause.start), (hours.pause.end, hours.closes)]
    booked: dict[tuple[str, int], list[Visit]] = {(c, half): [] for c in practice.chairs for half in range(len(spans))}

    def left(where: tuple[str, int]) -> int:
        start, end = spans[where[1]]
        return floor((end - start) * 60) // GRID - sum(visit.slots for visit in booked[where])

    for visit in visits:
        places = [where for where in booked if where[0] in visit.chairs]
        best = min(places, key=lambda w: (-left(w), number(seed, day, f"chair/{w[0]}", w[1]), w))
        if left(best) < visit.slots:
            return False
        booked[best].append(visit)
    for where, mine in booked.items():
        free = left(where)
        gaps = sorted(floor(Fraction(visit.idle, 2**32) * (free + 1)) for visit in mine)
        slot = 0
        for visit, gap in zip(sorted(mine, key=lambda v: (v.place, v.procedure, v.row)), gaps, strict=True):
            visit.chair = where[0]
            visit.start = round(spans[where[1]][0] * 60) + (slot + gap) * GRID
            visit.end = visit.start + visit.seconds
            slot += visit.slots
    return True
