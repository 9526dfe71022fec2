"""How long a new procedure takes, where no list says it: asked."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from kitdocs.importing.found import BroughtRecord, Doubt, Found, Known, Refused
from kitdocs.importing.kinds.procedures import minutes_written
from kitdocs.practice.message import message


def with_minutes(found: Found, known: Known) -> Found:
    """Return what was found with the minutes that were answered, and a question for each procedure without any."""
    records: list[BroughtRecord] = []
    doubts = list(found.doubts)
    for record in found.records:
        answer = known.answer("minutes", record.id)
        if record.stem != "procedures" or _has_minutes(record, known):
            records.append(record)
        elif answer and not _no_minutes(answer):
            records.append(replace(record, fields={**record.fields, "minutes": minutes_written(answer)}))
        else:
            records.append(record)
            doubts.append(_asked(record, found.likely.get(("minutes", record.id), "")))
    return replace(found, records=tuple(records), doubts=tuple(doubts))


def _asked(record: BroughtRecord, likely: str) -> Doubt:
    return Doubt(
        about=("minutes", record.id),
        asked=message("import.ask.minutes", name=str(record.fields.get("name", record.id))),
        suggested=likely,
        sure=0.6 if likely else 0.0,
        why=message("import.why.few-visits") if likely else "",
        sources=record.sources[:2],
        check=_no_minutes,
    )


def _has_minutes(record: BroughtRecord, known: Known) -> bool:
    """Whether a list or the folder says how long it takes; of what is no record in the folder, nothing is asked."""
    there = known.of("procedures").get(record.id, {})
    return "minutes" in record.fields or not isinstance(there, Mapping) or "minutes" in there


def _no_minutes(answer: str) -> Refused | None:
    """Why an answer is not how long a visit takes; None when it is."""
    try:
        minutes_written(answer)
    except ValueError:
        return Refused(why=(message("import.refused.minutes"),))
    return None
