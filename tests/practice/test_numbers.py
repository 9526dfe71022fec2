"""Numbers, money, times and shares as they are written, against values worked out by hand."""

from __future__ import annotations

from decimal import Decimal

import pytest
from babel.numbers import format_decimal, get_decimal_symbol, get_group_symbol
from hypothesis import given
from hypothesis import strategies as st

from kitdocs.practice.message import Fixed, said
from kitdocs.practice.numbers import fixed, hours_and_minutes, money, percent, plain
from kitdocs.practice.sentences import shipped_sentences
from kitdocs.practice.values import clock_text, share_text
from kitdocs.shipped import shipped_languages


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
    assert plain("en", number, places) == text


def test_money_and_shares_are_written_in_one_way() -> None:
    assert money("en", Decimal("1234.5"), "USD") == "USD 1,234.50"
    assert money("en", Decimal("-0.5")) == "−0.50"
    assert [percent("en", *each) for each in ((0.95,), (0.125, 1), (0.125,))] == ["95 %", "12.5 %", "12 %"]
    assert (share_text(0.12), share_text(0.125), share_text(1.0)) == ("12%", "12.5%", "100%")


@pytest.mark.parametrize(
    ("language", "number", "price", "share", "difference"),
    [
        ("en", "1,234.5", "USD 1,234.50", "12.5 %", "+1,234.0"),
        ("es", "1,234.5", "USD 1,234.50", "12.5 %", "+1,234.0"),  # as in Mexico; in Spain it would be 1.234,5
        ("de", "1.234,5", "1.234,50 USD", "12,5 %", "+1.234,0"),
        ("fr", "1\u00a0234,5", "1\u00a0234,50 USD", "12,5 %", "+1\u00a0234,0"),
        ("ar", "1,234.5", "1,234.50 USD", "12.5 %", "+1,234.0"),  # in our figures, whatever a country's own are
    ],
)
def test_each_language_has_its_own_signs_between_figures(
    language: str, number: str, price: str, share: str, difference: str
) -> None:
    assert plain(language, 1234.5) == number
    assert money(language, Decimal("1234.5"), "USD") == price
    assert percent(language, 0.125, 1) == share
    assert said(Fixed(1234, 1, signed=True), shipped_sentences("en"), language) == difference


@given(
    number=st.decimals(-(10**9), 10**9, places=3),
    language=st.sampled_from([*(set(shipped_languages()) - {"es"}), "hi", "pl", "sv"]),
)
def test_numbers_are_those_of_cldr(number: Decimal, language: str) -> None:
    """Nothing is rounded; the typeface has the wide no-break space only, and a minus that is no hyphen."""
    theirs = format_decimal(number, locale=language, numbering_system="latn")
    assert plain(language, float(number), 3) == theirs.replace("-", "−").replace("\u202f", "\u00a0")
    digits = fixed(language, number, 3).lstrip("−").replace(get_group_symbol(language).replace("\u202f", "\u00a0"), "")
    assert digits.replace(get_decimal_symbol(language), ".") == f"{abs(number):.3f}"


def test_no_number_is_minus_nothing() -> None:
    assert [plain("de", -0.04), fixed("de", -0.04), percent("fr", -0.0001)] == ["0", "0,0", "0 %"]
