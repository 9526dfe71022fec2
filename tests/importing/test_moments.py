"""Dates and times of columns, in forms that CLDR names for our languages, and as spreadsheets keep them.

Serial numbers against openpyxl; localized forms are written by babel.
"""

from __future__ import annotations

from datetime import date, datetime, time, timedelta

import pytest
from babel.dates import format_date, format_time
from hypothesis import given
from hypothesis import strategies as st
from openpyxl.utils.datetime import to_excel

from kitdocs.importing.moments import Moment, minutes_of, moment_of, needs_order, of_the_day, order_of, time_of

DAYS = st.dates(date(2001, 1, 1), date(2099, 12, 31))
MINUTES = st.integers(0, 24 * 60 - 1)
ORDER = {"en_US": "mdy", "en_GB": "dmy", "es": "dmy", "es_MX": "dmy", "es_US": "dmy", "de": "dmy", "fr": "dmy"}


@given(DAYS, st.sampled_from(sorted(ORDER)), st.sampled_from(["short", "medium", "long", "full"]))
def test_dates_as_cldr_writes_them_come_back(day: date, locale: str, form: str) -> None:
    text = format_date(day, form, locale)
    order = ORDER[locale]
    assert order in ("mdy", "dmy")
    assert moment_of(text, "mdy" if order == "mdy" else "dmy") == Moment(day), text


@given(DAYS, MINUTES)
def test_what_a_spreadsheet_keeps_comes_back(day: date, minute: int) -> None:
    when = datetime(day.year, day.month, day.day, minute // 60, minute % 60)
    assert moment_of(float(to_excel(when)), None) == moment_of(when, None) == Moment(day, minute or None, minute > 0)
    assert moment_of(day, None) == moment_of(float(to_excel(day)), None) == Moment(day)
    assert moment_of(when.isoformat(" "), None) == Moment(day, float(minute))
    part = float(to_excel(when)) % 1
    found = time_of(part)
    assert found and round(found[0]) == minute


@given(st.integers(0, 23), st.integers(0, 59), st.sampled_from(["en_US", "en_GB", "es", "es_MX", "es_CO", "de", "fr"]))
def test_times_as_cldr_writes_them_come_back(hour: int, minute: int, locale: str) -> None:
    for form in ("short", "medium"):
        text = format_time(time(hour, minute), form, locale=locale)
        found = time_of(text)
        assert found and found[0] == 60 * hour + minute, text


@pytest.mark.parametrize(
    ("column", "order"),
    [
        (["11/26/2026", "11/2/2026"], "mdy"),
        (["26/11/2026", "2/11/2026"], "dmy"),
        (["2.11.2026"], "dmy"),
        (["3/4/2026", "5/4/2026"], None),
        (["13/4/2026", "4/13/2026"], "both"),
        (["2026-11-26", "2026-04-03"], None),
    ],
)
def test_the_column_decides_which_is_the_month(column: list[str], order: str | None) -> None:
    assert order_of(column) == order
    assert needs_order(column) == (column[0][:4] != "2026")


def test_without_an_order_no_date_is_guessed() -> None:
    assert moment_of("3/4/2026", None) is None
    assert moment_of("3/4/2026", "mdy") == Moment(date(2026, 3, 4))
    assert moment_of("3/4/26 1:30 PM", "dmy") == Moment(date(2026, 4, 3), 13 * 60 + 30, True)
    assert moment_of("Thu 26 Nov 2026", None) == moment_of("jueves, 26 de noviembre de 2026", None)
    assert moment_of("2026-11-26T14:30Z", None) == Moment(date(2026, 11, 26), 870, False, True)
    for text in ("", "soon", "31/31/2026", "2026-13-40", "12", "26 Foo 2026", "2026-11-26 noonish"):
        assert moment_of(text, "mdy") is None, text


def test_times_without_halves_of_the_day_are_read_by_the_column() -> None:
    column = [time_of(text) for text in ("8:30", "11:45", "12:30", "1:15", "4:30")]
    assert of_the_day(column) == [510, 705, 750, 795, 990]
    assert of_the_day([time_of("13:00"), time_of("6:30"), None]) == [780, 390, None]
    assert of_the_day([time_of("6:30 AM"), time_of("8:00 AM")]) == [390, 480]
    assert of_the_day([time_of("0830"), time_of("145")]) == [510, 825]
    assert [time_of(text) for text in ("25:00", "8:61", "13:00 PM", "soon", None)] == [None] * 5


def test_durations_in_any_form_are_minutes() -> None:
    for value in (30, "30", "30 min", "0:30", "00:30:00", time(0, 30), timedelta(minutes=30), 0.5 / 24, "30,0"):
        assert minutes_of(value) == 30, value
    assert minutes_of("1 h 15") == minutes_of("1:15") == 75
    assert minutes_of("long") is minutes_of(None) is minutes_of(date(2026, 1, 1)) is None
