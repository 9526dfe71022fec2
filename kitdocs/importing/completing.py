"""Gaps that no list fills and a practice folder needs filled: asked, with what is usual as a suggestion."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import Any, cast

import yaml

from kitdocs.importing.found import NOTHING, BroughtRecord, Doubt, Found, Known, Refused
from kitdocs.importing.headings import plain_words
from kitdocs.importing.naming import name_written
from kitdocs.importing.needs_written import WrittenNeeds
from kitdocs.practice.message import Message, message

_FOLDER_OF_A_NEW_PRACTICE = ("practice", "name")
#: The name that a new folder has until somebody says another.
_NAME_OF_THE_STARTER = "Our practice"


def completed(found: Found, known: Known) -> Found:
    """Return what was found, with questions for what procedures need, and for the name of a new practice."""
    records: list[BroughtRecord] = []
    doubts, told = list(found.doubts), list(found.told)
    written = WrittenNeeds(found, known)
    for record in found.records:
        there = known.of("procedures").get(record.id)
        if record.stem != "procedures" or (isinstance(there, Mapping) and there.get("needs")):
            records.append(record)
            continue
        fields = {field: value for field, value in record.fields.items() if field != "needs"}
        listed = str(record.fields.get("needs", ""))
        answer = known.answer("needs", record.id) or listed
        needs, refused = written.read(answer) if answer and answer != NOTHING else ({}, ())
        if needs and not refused:
            records.append(replace(record, fields={**fields, "needs": needs}))
            told += [_told(record, needs)] if answer == listed else []
        else:
            records.append(replace(record, fields=fields))
            doubts += [] if answer == NOTHING else [_asked(record, written, listed)]
    settings = known.of("practice")
    if not settings or settings.get("name") == _NAME_OF_THE_STARTER:
        name = known.answer(*_FOLDER_OF_A_NEW_PRACTICE)
        if name and not _no_name(name):
            records.append(BroughtRecord(stem="practice", id="", fields={"name": name}))
        elif not settings:
            asked = message("import.ask.practice")
            doubts.append(Doubt(about=_FOLDER_OF_A_NEW_PRACTICE, asked=asked, needed=False, check=_no_name))
    return replace(found, records=tuple(records), doubts=tuple(doubts), told=tuple(told))


def _no_name(answer: str) -> Refused | None:
    """Why an answer cannot be printed as the name of a practice; None when it can."""
    return None if name_written(answer) == answer else Refused(why=(message("import.refused.letters"),))


def _told(record: BroughtRecord, needs: Mapping[str, str | int]) -> Message:
    """What was understood of a list's own words, to be checked."""
    said = ", ".join(id_ if often == "always" else f"{id_} {often}" for id_, often in needs.items())
    return message("import.told.needs", name=str(record.fields.get("name", record.id)), needs=said)


def _asked(record: BroughtRecord, written: WrittenNeeds, listed: str) -> Doubt:
    """The question for needs; suggested is what the list says, each word as it is likely meant, or what is usual."""
    name, drawn = str(record.fields.get("name", record.id)), written.drawn
    usual = {drawn[kind][0]: often for kind, often in _usual_for(name).items() if kind in drawn}
    suggested = ", ".join(id_ if often == "always" else f"{id_} {often}" for id_, often in usual.items())
    why: Message | str = message("import.why.usual") if suggested else ""
    if listed:
        suggested, why = written.likely(listed), message("import.why.listed", text=listed)
    return Doubt(
        about=("needs", record.id),
        asked=message("import.ask.needs", name=name),
        suggested=suggested,
        sure=0.5 if suggested else 0.0,
        why=why,
        sources=record.sources[:2],
        check=lambda answer: None if answer == NOTHING else written.check(answer),
    )


def _usual_for(name: str) -> Mapping[str, str]:
    words = plain_words(name).split()
    for entry in _usual():
        if all(any(w.startswith(each) for w in words for each in meant.split("|")) for meant in entry["words"]):
            return cast(Mapping[str, str], entry["needs"])
    return {}


@cache
def _usual() -> list[dict[str, Any]]:
    text = (Path(__file__).parent / "usual_needs.yaml").read_text("utf-8")
    return cast(list[dict[str, Any]], yaml.safe_load(text))
