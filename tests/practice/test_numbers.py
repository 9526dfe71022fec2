"""Numbers, money, times and shares as they are written, against values worked out by hand."""

from __future__ import annotations

from decimal import Decimal

import pytest

from kitdocs.practice.numbers import hours_and_minutes, money, percent, plain
from kitdocs.practice.values import clock_text, share_text


@pytest.mark.parametrize(
    ("seconds", "text"),
    [
        (0, "0 min"),
        (29, "0 min"),
        (31, "1 min"),
        (25 * 60, "25 min"),
        (3599, "1 h"),
        (3600, "1 h"),
        (2 * 3600 + 53 * 60, "2 h 53 min"),
        (61 * 61, "1 h 2 min"),  # 3,721 s are 62 min and 1 s
        (26 * 3600, "26 h"),
    ],
)
def test_a_duration_is_in_hours_of_sixty_minutes_of_sixty_seconds(seconds: float, text: str) -> None:
    assert hours_and_minutes(seconds) == text


@pytest.mark.parametrize(
    ("minutes", "text"),
    [
        (0, "00:00"),
        (59.4, "00:59"),
        (13 * 60 + 5, "13:05"),
        (24 * 60 - 1, "23:59"),
        (24 * 60, "00:00 next day"),
        (25 * 60 + 5, "01:05 next day"),
        (48 * 60, "00:00 +2 d"),
        (73 * 60 + 30, "01:30 +3 d"),
    ],
)
def test_a_time_of_day_says_on_which_day_it_is(minutes: float, text: str) -> None:
    assert clock_text(minutes) == text


@pytest.mark.parametrize(
    ("number", "places", "text"),
    [
        (46, 1, "46"),
        (7.25, 1, "7.2"),
        (7.35, 1, "7.3"),
        (1234, 1, "1,234"),
        (1234.5, 1, "1,234.5"),
        (0.04, 1, "0"),
        (-0.04, 1, "0"),
        (-3.5, 1, "−3.5"),
        (100, 0, "100"),
        (2.504, 2, "2.5"),
    ],
)
def test_a_number_has_no_needless_decimals(number: float, places: int, text: str) -> None:
    assert plain(number, places) == text


def test_money_and_shares_are_written_in_one_way() -> None:
    assert money(Decimal("1234.5"), "USD") == "USD 1,234.50"
    assert money(Decimal("-0.5")) == "−0.50"
    assert (percent(0.95), percent(0.125, 1), percent(0.125)) == ("95 %", "12.5 %", "12 %")
    assert (share_text(0.12), share_text(0.125), share_text(1.0)) == ("12%", "12.5%", "100%")
