"""Booked visits as they really go: some are not kept, some run over, and who comes next waits.

Numbers as in `bookings`, for the visit by its row:

1. *Not kept* is a visit when `…/absent` is below the share of its procedure, or else of the practice. It takes no
   instruments, nobody else comes in its stead, and nothing at its chair begins sooner.
2. *It runs over* when `…/over` is below `share`; by `median` × exp(s × z), rounded to the second (a half: to the even
   one). z is the point of the standard normal distribution below which it lies with the probability (word + ½) ÷ 2³² of
   `…/over-by`; s = ln(most ÷ median) ÷ 1.6448…, the point for 95 %. So it is lognormal.
3. *Late.* At a chair, all day, kept visits follow each other in the order in which they were booked to start (at one
   time: by turn). One that follows another begins later than booked by as much as that one ends later than booked, less
   the time that was booked free between their two times (the time of a visit that is not kept is free). It is never
   sooner. It takes its own minutes all the same, and what it runs over by.
4. The break and closing stop nothing: a visit that has begun goes on, and one that waits begins as soon as the chair is
   free, into the break and after closing.

Sets and pouches leave the store, and are opened, by when the visit really begins.
"""

from __future__ import annotations

from collections.abc import Iterable
from itertools import repeat
from math import exp, log
from statistics import NormalDist
from typing import TypeAlias

from kitdocs.planning.day.draws import DAYS, WORDS, words
from kitdocs.planning.day.instants import seconds
from kitdocs.planning.day.visit import Booked
from kitdocs.practice.book import Overrun
from kitdocs.practice.model import Practice

_Z_95 = NormalDist().inv_cdf(0.95)

Fate: TypeAlias = "int | None"
"""By how many seconds a visit runs over; None when it is not kept."""


class Fates:
    """What becomes of a procedure's visits; `all` says that nothing does, and they go as booked."""

    def __init__(self, practice: Practice, procedure: str) -> None:
        self._absent = practice.no_shows(procedure)
        self._overrun = practice.overrun(procedure)
        self._purpose = f"procedure/{procedure}"

    @property
    def as_booked(self) -> bool:
        return not self._absent and self._overrun is None

    def drawn(self, seed: int, block: int, rows: int) -> list[Fate]:
        """Return what becomes of the first `rows` visits of each day of a block, in the order of `words`."""
        fates: Iterable[Fate] = repeat(0, rows * DAYS)
        if self._overrun:
            fates = self._over(self._overrun, seed, block, rows)
        if self._absent:
            below = self._absent * WORDS
            absent = words(seed, block, f"{self._purpose}/absent", rows)
            fates = [None if word < below else fate for word, fate in zip(absent, fates, strict=True)]
        return list(fates)

    def _over(self, overrun: Overrun, seed: int, block: int, rows: int) -> list[Fate]:
        below = overrun.share * WORDS
        over = words(seed, block, f"{self._purpose}/over", rows)
        by = words(seed, block, f"{self._purpose}/over-by", rows)
        median, spread = overrun.median, log(overrun.most / overrun.median) / _Z_95
        normal = NormalDist().inv_cdf
        return [
            seconds(median * exp(spread * normal((size + 0.5) / WORDS))) if word < below else 0
            for word, size in zip(over, by, strict=True)
        ]


def as_kept(booked: Iterable[tuple[Booked, Fate]]) -> list[Booked]:
    """Return the visits of a day that are kept, when they really begin and end; they come as booked, in that order."""
    kept: list[Booked] = []
    chairs: dict[str, tuple[int, int]] = {}  # when its last kept visit was booked to end, and how late it really ends
    for (start, turn, id_, row, booking), over in booked:
        if over is None:
            continue
        end = booking.end
        free_from, late = chairs.get(booking.chair, (start, 0))
        late = max(0, late - max(0, start - free_from))
        chairs[booking.chair] = end, late + over
        real = booking._replace(start=start + late, end=end + late + over, late=late)
        kept.append((start + late, turn, id_, row, real))
    return kept
