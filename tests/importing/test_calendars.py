"""Calendars that the icalendar library wrote, and examples of RFC 5545, become rows of an appointment book.

SOURCES: RFC 5545, by its sections.
"""

from __future__ import annotations

import time
from collections.abc import Iterable, Sequence
from datetime import date, datetime, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest
from appointment_book import CANARY, MONDAY, TYPES, Visit, answered, book, grid, taken
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from icalendar import Calendar, Event, vCalAddress
from test_appointments import records, sentences

from kitdocs.importing.appointment_rows import rows_of_appointments
from kitdocs.importing.calendars import read_calendar
from kitdocs.importing.found import Known
from kitdocs.importing.grids import UnreadableError

CHICAGO = ZoneInfo("America/Chicago")


def written(tmp_path: Path, *lines: str, head: Sequence[str] = ()) -> Path:
    """A calendar with these lines, and the ends of lines that section 3.1 asks for."""
    path = tmp_path / "appts.ics"
    text = ["BEGIN:VCALENDAR", "VERSION:2.0", "PRODID:-//kitdocs//tests//EN", *head, *lines, "END:VCALENDAR", ""]
    path.write_bytes("\r\n".join(text).encode())
    return path


def event(*lines: str, uid: int = 1) -> list[str]:
    return ["BEGIN:VEVENT", f"UID:{uid}@example", "DTSTAMP:19970901T130000Z", *lines, "END:VEVENT"]


def starts(path: Path) -> list[object]:
    return [row[0].value for row in read_calendar(path)[0].rows[1:]]


def september(*days: int) -> list[datetime]:
    return [datetime(1997, 9, day, 9) for day in days]


def october(*days: int) -> list[datetime]:
    return [datetime(1997, 10, day, 9) for day in days]


#: Section 3.8.5.3: a rule, and the days that it gives for it, at nine by the clocks of New York in summer and winter.
RULES = {
    "FREQ=DAILY;COUNT=10": september(*range(2, 12)),
    "FREQ=DAILY;INTERVAL=10;COUNT=5": [*september(2, 12, 22), *october(2, 12)],
    "FREQ=WEEKLY;COUNT=10": [
        *september(2, 9, 16, 23, 30),
        *october(7, 14, 21, 28),
        datetime(1997, 11, 4, 9),
    ],
    "FREQ=WEEKLY;UNTIL=19971007T000000Z;WKST=SU;BYDAY=TU,TH": [
        *september(2, 4, 9, 11, 16, 18, 23, 25, 30),
        *october(2),
    ],
    "FREQ=DAILY;UNTIL=19971224T000000Z": [datetime(1997, 9, 2, 9) + timedelta(days=n) for n in range(113)],
}


@pytest.mark.parametrize("rule", RULES)
def test_repeated_events_come_on_the_days_that_the_standard_gives(tmp_path: Path, rule: str) -> None:
    lines = event("DTSTART;TZID=America/New_York:19970902T090000", "DURATION:PT1H", f"RRULE:{rule}", "SUMMARY:Check")
    assert starts(written(tmp_path, *lines)) == RULES[rule]


def test_exceptions_and_moved_ones_count(tmp_path: Path) -> None:
    """Sections 3.8.5.1 and 3.8.4.4: one day is left out, another is held at another time."""
    daily = event(
        "DTSTART;TZID=America/New_York:19970902T090000",
        "DURATION:PT30M",
        "RRULE:FREQ=DAILY;COUNT=4",
        "EXDATE;TZID=America/New_York:19970904T090000",
    )
    moved = event(
        "DTSTART;TZID=America/New_York:19970903T140000",
        "DURATION:PT45M",
        "RECURRENCE-ID;TZID=America/New_York:19970903T090000",
    )
    path = written(tmp_path, *daily, *moved)
    assert starts(path) == [*september(2), datetime(1997, 9, 3, 14), *september(5)]
    assert [row[1].value for row in read_calendar(path)[0].rows[1:]] == [30, 45, 30]


def test_the_examples_of_whole_calendars_are_read(tmp_path: Path) -> None:
    """Sections 3.6.1 and 4: universal time, a zone that the file defines itself, whole days."""
    review = event("DTSTART:19970903T163000Z", "DTEND:19970903T190000Z", "SUMMARY:Annual Employee Review")
    anniversary = event("DTSTART;VALUE=DATE:19971102", "SUMMARY:Our Blissful Anniversary", uid=2)
    path = written(tmp_path, *review, *anniversary)
    assert starts(path) == ["1997-09-03T16:30Z", date(1997, 11, 2)]
    assert starts(written(tmp_path, *review, head=["X-WR-TIMEZONE:America/New_York"])) == [datetime(1997, 9, 3, 12, 30)]
    zone = [
        "BEGIN:VTIMEZONE",
        "TZID:Eastern of our own",
        "BEGIN:STANDARD",
        "DTSTART:19981025T020000",
        "TZOFFSETFROM:-0400",
        "TZOFFSETTO:-0500",
        "TZNAME:EST",
        "END:STANDARD",
        "BEGIN:DAYLIGHT",
        "DTSTART:19990404T020000",
        "TZOFFSETFROM:-0500",
        "TZOFFSETTO:-0400",
        "TZNAME:EDT",
        "END:DAYLIGHT",
        "END:VTIMEZONE",
    ]
    meeting = event("DTSTART;TZID=Eastern of our own:19990312T083000", "DTEND;TZID=Eastern of our own:19990312T093000")
    path = written(tmp_path, *meeting, *event("DTSTART:19990312T150000Z", "DURATION:PT1H", uid=2), head=zone)
    assert starts(path) == [datetime(1999, 3, 12, 8, 30), datetime(1999, 3, 12, 10)]


def calendar(visits: Iterable[Visit], *, utc: bool = False) -> Calendar:
    """The visits as the library writes them: a patient in every property that can hold one."""
    out = Calendar()
    out.add("prodid", "-//kitdocs//tests//EN")
    out.add("version", "2.0")
    for n, visit in enumerate(visits):
        entry = Event()
        entry.add("uid", f"{n}-{visit.last}@example")
        start = datetime(visit.day.year, visit.day.month, visit.day.day, tzinfo=CHICAGO) + timedelta(
            minutes=visit.start
        )
        start = start.astimezone(ZoneInfo("UTC")) if utc else start
        entry.add("dtstart", start)
        entry.add("dtend", start + timedelta(minutes=visit.minutes))
        entry.add("summary", f"{visit.type} - {visit.first} {visit.last}")
        entry.add("description", f"{visit.last} called, {CANARY}")
        entry.add("comment", CANARY)
        entry.add("contact", f"{visit.first} 555-0101")
        entry.add("location", f"OP {visit.chair}")
        entry.add("categories", [f"{visit.last}"])
        entry.add("attendee", vCalAddress(f"MAILTO:{visit.first}@{CANARY}.example"))
        entry.add("status", "CANCELLED" if visit.outcome == "Cancelled" else "CONFIRMED")
        out.add_component(entry)
    return out


def saved(tmp_path: Path, made: Calendar) -> Path:
    path = tmp_path / "appts.ics"
    path.write_bytes(made.to_ical())
    return path


def test_a_calendar_says_what_the_export_of_the_same_book_does(tmp_path: Path) -> None:
    """But for who came: no word of that is in it."""
    visits = book(weeks=3)
    found, _ = answered(saved(tmp_path, calendar(visits)))
    exported, _ = answered(grid(visits))
    assert {name: (each["minutes"], each["per_day"]) for name, each in records(found, "procedures").items()} == {
        name: (each["minutes"], each["per_day"]) for name, each in records(exported, "procedures").items()
    }
    assert records(found, "chairs").keys() == records(exported, "chairs").keys()
    assert {str(each["name"]) for each in records(found, "procedures").values()} == set(TYPES)


def test_nobody_in_a_calendar_is_ever_shown(tmp_path: Path) -> None:
    path = saved(tmp_path, calendar(book(weeks=3)))
    found, answers = answered(path)
    for told in (taken(path), found):
        assert CANARY not in "\n".join([*sentences(told), *sentences(told, "es"), repr(told), repr(answers)]).lower()


def test_universal_time_is_asked_about_and_follows_the_clocks(tmp_path: Path) -> None:
    """In the week in which the clocks change, on 1 November 2026."""
    visits = book(weeks=2, monday=MONDAY - timedelta(days=7))
    path = saved(tmp_path, calendar(visits, utc=True))
    (doubt,) = taken(path).doubts
    assert doubt.about == ("clock", "zone")
    rows = rows_of_appointments(read_calendar(path), Known(answers={doubt.about: "America/Chicago"})).rows
    assert sorted((row.day, row.start) for row in rows) == sorted((visit.day, visit.start) for visit in visits)
    assert [d.about for d in taken(path, Known(answers={doubt.about: "Mars/Base"})).doubts] == [doubt.about]


def test_a_whole_day_that_says_so_is_closed(tmp_path: Path) -> None:
    made = calendar(book(weeks=3))
    for day, summary in ((MONDAY, "Closed"), (MONDAY + timedelta(days=1), f"{CANARY} birthday")):
        entry = Event()
        entry.add("uid", summary)
        entry.add("dtstart", day)
        entry.add("summary", summary)
        made.add_component(entry)
    path = saved(tmp_path, made)
    assert rows_of_appointments(read_calendar(path), Known()).closed == {MONDAY}
    told = "\n".join(sentences(answered(path)[0]))
    assert "11 days" in told and CANARY not in told.lower()


@pytest.mark.parametrize("rule", ["FREQ=SECONDLY", "FREQ=HOURLY;COUNT=9", "FREQ=DAILY;BYSECOND=1,2,3;BYMINUTE=1,2"])
def test_events_without_end_take_no_time(tmp_path: Path, rule: str) -> None:
    endless = event("DTSTART:19970902T090000", "DURATION:PT1H", f"RRULE:{rule}")
    forever = event("DTSTART:19970902T100000", "DURATION:PT1H", "RRULE:FREQ=DAILY", uid=2)
    begun = time.perf_counter()
    path = written(tmp_path, *endless, *forever)
    assert [each for each in starts(path) if each] == [datetime(1997, 9, 2, 10) + timedelta(days=n) for n in range(92)]
    assert time.perf_counter() - begun < 5


def test_a_calendar_without_events_is_empty(tmp_path: Path) -> None:
    assert read_calendar(written(tmp_path)) == ()


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(at=st.integers(0, 2000), junk=st.sampled_from([f"{CANARY}", "\r\nX", ":", ";;", "\r\n", "\x00", '"', "BEGIN:"]))
def test_a_broken_calendar_is_refused_without_quoting_it(tmp_path: Path, at: int, junk: str) -> None:
    data = calendar(book()[:6]).to_ical().decode()
    path = tmp_path / "broken.ics"
    path.write_text(data[:at] + junk + data[at + 3 :], "utf-8", newline="")
    try:
        read_calendar(path)
    except UnreadableError as error:
        assert CANARY not in str(error).lower() + repr(error).lower()
        assert error.__cause__ is None and error.__suppress_context__
        assert "broken.ics is damaged, or is no calendar" in str(error)
