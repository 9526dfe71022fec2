"""Calendars (.ics) as a grid of appointments: repeated events are spelled out, times are those on the practice's wall.

Of an event, only its times, status, resources or location, and summary are taken. Who is invited, and what is noted, is
never looked at. What a summary says is judged like any other free text: see `askable`. SOURCES: RFC 5545.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from datetime import date, datetime, timedelta, timezone, tzinfo
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

import recurring_ical_events
from icalendar import Calendar

from kitdocs.importing.appointment_rows import CLOSED
from kitdocs.importing.appointment_words import is_closed
from kitdocs.importing.askable import phrase
from kitdocs.importing.grids import LARGEST, CellValue, Grid, UnreadableError, grid_of

#: How far an event that repeats without end is followed: a quarter of a year.
_FOLLOWED = timedelta(days=91)
#: And one that says when it ends.
_LONGEST = timedelta(days=731)
#: Events that repeat so often are no visits; spelled out, they could be without end.
_TOO_OFTEN = {"SECONDLY", "MINUTELY", "HOURLY"}
_UNREAD: tuple[CellValue, ...] = (None, None, None, "", "")
_HEADINGS = ("Date time", "Minutes", "Resource", "Summary", "Status")


def read_calendar(path: Path) -> tuple[Grid, ...]:
    """Return the events of a calendar, one a row, in the order of their start.

    Raises `UnreadableError` when the file cannot be read; what it says holds nothing of the file's content.
    """
    try:
        if path.stat().st_size > LARGEST:
            raise UnreadableError("large", file=path.name, most=LARGEST // 1024 // 1024)
        data = path.read_bytes()
    except OSError as error:
        raise UnreadableError("missing", file=path.name, why=error.strerror or "") from error
    try:
        calendars = Calendar.from_ical(_text(data), multiple=True)
        assert isinstance(calendars, list)
        rows = [row for calendar in calendars for row in _rows(calendar)]
    except Exception:  # whatever a library says of a line may quote it
        raise UnreadableError("calendar", file=path.name) from None
    rows.sort(key=lambda row: (str(row[0] or ""), *map(str, row[1:])))
    return (grid_of(path.name, "", [_HEADINGS, *rows]),) if rows else ()


def _text(data: bytes) -> str:
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError:
        return data.decode("cp1252", errors="replace")


def _rows(calendar: Calendar) -> Iterator[tuple[CellValue, ...]]:
    events = []
    for event in calendar.walk("VEVENT"):
        if _starts(event) and not _repeats_too_often(event):
            events.append(event)
        else:
            calendar.subcomponents.remove(event)
            yield _UNREAD
    if not events:
        return
    zone = _zone(calendar, events)
    named = str(calendar.get("X-WR-CALNAME", ""))
    has_places = any(_place(event) for event in events)
    for event in recurring_ical_events.of(calendar, skip_bad_series=True).between(*_window(events)):
        place = _place(event) or ("" if has_places else named)
        yield from _event(event, place, zone, cancels=str(calendar.get("METHOD", "")).upper() == "CANCEL")


def _event(event: Any, place: str, zone: tzinfo | None, *, cancels: bool) -> Iterator[tuple[CellValue, ...]]:
    start, end = event.start, event.end
    summary = str(event.get("SUMMARY", ""))
    cancelled = cancels or str(event.get("STATUS", "")).upper() == "CANCELLED"
    if isinstance(start, datetime):
        minutes = (end - start).total_seconds() / 60
        yield _on_the_wall(start, zone), minutes or None, place, summary, "cancelled" if cancelled else ""
    elif is_closed(phrase(summary)) and not cancelled:
        days = max(1, (end - start).days)
        for day in range(min(days, _FOLLOWED.days)):
            yield start + timedelta(days=day), None, None, None, CLOSED
    else:
        yield start, None, None, None, None


def _place(event: Any) -> str:
    for name in ("RESOURCES", "LOCATION"):
        found = event.get(name)
        if found:
            listed: Sequence[Any] = getattr(found, "cats", None) or (found if isinstance(found, list) else [found])
            return str(listed[0])
    return ""


def _starts(event: Any) -> bool:
    """Whether it can be read when an event begins."""
    try:
        return isinstance(event.start, date)
    except Exception:  # of whatever kind, by the version of the library
        return False


def _repeats_too_often(event: Any) -> bool:
    rules = event.get("RRULE", [])
    for rule in rules if isinstance(rules, list) else [rules]:
        if rule.get("BYSECOND") or rule.get("BYMINUTE") or len(rule.get("BYHOUR", [])) > 1:
            return True
        if _TOO_OFTEN & {str(each).upper() for each in rule.get("FREQ", [])}:
            return True
    return False


def _window(events: Iterable[Any]) -> tuple[date, date]:
    """From the first event to the last. One that repeats is followed to its end, at most two years, or a quarter."""
    starts, last = [], []
    for event in events:
        day = event.start.date() if isinstance(event.start, datetime) else event.start
        starts.append(day)
        last.append(day + _followed(event))
    return min(starts), max(last) + timedelta(days=1)


def _followed(event: Any) -> timedelta:
    rule = event.get("RRULE")
    if rule is None:
        return _FOLLOWED if "RDATE" in event else timedelta(0)
    ends = isinstance(rule, dict) and (rule.get("UNTIL") or rule.get("COUNT"))
    return _LONGEST if ends else _FOLLOWED


def _zone(calendar: Calendar, events: Iterable[Any]) -> tzinfo | None:
    """The time zone of the practice: as the calendar says, else that of most events; None where all is universal."""
    try:
        if name := str(calendar.get("X-WR-TIMEZONE", "")):
            return ZoneInfo(name)
    except (ZoneInfoNotFoundError, ValueError, OSError):
        pass
    zones: dict[str, tzinfo] = {}
    counts: Counter[str] = Counter()
    for event in events:
        name = event["DTSTART"].params.get("TZID", "")
        zone = getattr(event.start, "tzinfo", None)
        if zone is not None and name:
            zones[name] = zone
            counts[name] += 1
    return zones[counts.most_common(1)[0][0]] if counts else None


def _on_the_wall(moment: datetime, zone: tzinfo | None) -> CellValue:
    """When something begins by the practice's clocks; universal time as a text that says so, where no zone is known."""
    if moment.tzinfo is None:
        return moment
    if zone is not None:
        return moment.astimezone(zone).replace(tzinfo=None)
    return moment.astimezone(timezone.utc).strftime("%Y-%m-%dT%H:%MZ")
