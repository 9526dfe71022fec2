"""When visits are booked: against books that were drawn with numpy from times that are known."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date, timedelta

import numpy as np
import pytest

from kitdocs.importing.book_records import when_of
from kitdocs.importing.booking_times import BookingTimes, WorkingHours, booking_times
from kitdocs.importing.evidence import Estimate
from kitdocs.importing.visits import BookedVisit
from kitdocs.practice.book import Window, window

MONDAY = date(2026, 3, 2)
HOURS = WorkingHours(opens=480, noon=720, after_noon=780, closes=1020)
BOOKS = 40


def book(
    seed: int, times: Mapping[str, float], *, days: int = 40, a_day: int = 6, minutes: int = 30
) -> list[BookedVisit]:
    """Visits that begin at these times with their shares; the rest whenever one of so many minutes can, in fives."""
    draw = np.random.default_rng(seed)
    spans = {window(text): share for text, share in times.items()}
    anywhen = [*range(480, 720 - minutes + 1, 5), *range(780, 1020 - minutes + 1, 5)]
    found = []
    for n in range(days):
        for _ in range(a_day):
            at, starts = draw.random(), anywhen
            for span, share in spans.items():
                if 0 <= at < share:
                    starts = [start for start in anywhen if span.start <= start < span.end]
                at -= share
            found.append(visit(MONDAY + timedelta(days=n), float(draw.choice(starts)), minutes))
    return found


def visit(day: date, start: float, minutes: int = 30) -> BookedVisit:
    return BookedVisit(
        day=day, start=start, booked=minutes, took=None, chair="chair-1", procedure="check", standing="booked"
    )


def found(visits: Sequence[BookedVisit], minutes: int = 30, hours: WorkingHours = HOURS) -> BookingTimes | None:
    return booking_times(visits, minutes, hours)


def spans(times: BookingTimes | None) -> list[str]:
    return [str(each) for each in times.windows] if times else []


@pytest.mark.parametrize(
    "times",
    [
        {"08:00-10:00": 0.8},
        {"10:30-12:00": 1.0},
        {"08:00-09:00": 0.5, "13:00-14:00": 0.4},
        {"08:00-09:00": 0.45, "10:00-11:00": 0.25, "13:00-14:00": 0.2},
    ],
    ids=["one with the rest at any time", "one for all", "two", "three"],
)
def test_the_hours_that_visits_were_drawn_from_are_found(times: Mapping[str, float]) -> None:
    """Of 40 books at least 34 have the very hours; the share lies in its interval as often as 95 % leave to chance."""
    books = [found(book(seed, times)) for seed in range(BOOKS)]
    exact = [each for each in books if spans(each) == [*times]]
    assert len(exact) >= 0.85 * BOOKS
    truth = sum(times.values())
    holds = [each.share.low - 1e-9 <= truth <= each.share.high + 1e-9 for each in exact if each]
    assert sum(holds) >= 0.85 * len(holds)
    each = np.mean([[*times_.windows.values()] for times_ in exact if times_], axis=0)
    assert each == pytest.approx([*times.values()], abs=0.04)


@pytest.mark.parametrize("minutes", [15, 75, 120])
def test_visits_at_any_time_get_no_hours(minutes: int) -> None:
    """Not even long ones, which begin at other times than short ones because they must be over by the break."""
    stated = [found(book(seed, {}, minutes=minutes), minutes) for seed in range(BOOKS)]
    assert stated == [None] * BOOKS


def test_a_half_of_the_day_stays_one() -> None:
    stated = [found(book(seed, {"08:00-12:00": 0.9}, minutes=75), 75) for seed in range(BOOKS)]
    halves = [each for each in stated if spans(each) == ["morning"]]
    assert len(halves) >= 0.95 * BOOKS
    assert {each.coarse for each in halves if each} == {"none-holds"}


def test_what_one_day_was_full_of_is_no_rule() -> None:
    """Half of all visits began between eight and nine, all on one day."""
    for seed in range(10):
        spread = book(seed, {}, days=20, a_day=3)
        one = [visit(MONDAY + timedelta(days=4), 480 + n % 12 * 5) for n in range(len(spread))]
        assert found([*spread, *one]) is None


def test_few_visits_stay_coarse_and_say_so() -> None:
    few = book(1, {"08:00-10:00": 1.0}, days=13, a_day=3)
    assert len(few) == 39
    times = found(few)
    assert times and (spans(times), times.coarse) == (["morning"], "few")
    more = found([*few, visit(MONDAY + timedelta(days=13), 500)])
    assert more and (spans(more), more.coarse) == (["08:00-10:00"], None)


def test_hours_that_nobody_stated_give_no_spans() -> None:
    """They could lie outside those of the folder, which would be a mistake there."""
    unsure = WorkingHours(opens=420, noon=720, after_noon=720, closes=1080, certain=False)
    times = found(book(1, {"08:00-10:00": 1.0}), hours=unsure)
    assert times and (spans(times), times.coarse) == (["morning"], "hours")


def test_a_visit_that_takes_longer_than_half_a_day_is_no_stumble() -> None:
    assert found(book(1, {}, minutes=200), minutes=500) is None


def test_shares_as_written_are_never_more_than_all() -> None:
    estimate = Estimate(value=0.996, low=0.97, high=1.0, visits=200, days=20)
    thirds = BookingTimes(
        windows={Window(start=480 + 60 * n, end=540 + 60 * n): 0.332 for n in range(3)}, share=estimate
    )
    written = when_of(thirds)
    assert written == {"08:00-09:00": "34%", "09:00-10:00": "33%", "10:00-11:00": "33%"}
    sixths = BookingTimes(
        windows={Window(start=480 + 60 * n, end=540 + 60 * n): 0.166 for n in range(6)}, share=estimate
    )
    texts = when_of(sixths)
    assert isinstance(texts, dict) and sum(int(text.rstrip("%")) for text in texts.values()) == 100
