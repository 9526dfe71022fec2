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
from kitdocs.practice.message import message

_FOLDER_OF_A_NEW_PRACTICE = ("practice", "name")
#: The name that a new folder has until somebody says another.
_NAME_OF_THE_STARTER = "Our practice"


def completed(found: Found, known: Known) -> Found:
    """Return what was found, with questions for what procedures need, and for the name of a new practice."""
    records: list[BroughtRecord] = []
    doubts = list(found.doubts)
    written = WrittenNeeds(found, known)
    for record in found.records:
        there = known.of("procedures").get(record.id)
        has_needs = "needs" in record.fields or (isinstance(there, Mapping) and there.get("needs"))
        if record.stem != "procedures" or has_needs:
            records.append(record)
            continue
        answer = known.answer("needs", record.id)
        needs, refused = written.read(answer) if answer and answer != NOTHING else ({}, ())
        if needs and not refused:
            records.append(replace(record, fields={**record.fields, "needs": needs}))
        else:
            records.append(record)
            doubts += [] if answer == NOTHING else [_asked(record, written)]
    settings = known.of("practice")
    if not settings or settings.get("name") == _NAME_OF_THE_STARTER:
        name = known.answer(*_FOLDER_OF_A_NEW_PRACTICE)
        if name and not _no_name(name):
            records.append(BroughtRecord(stem="practice", id="", fields={"name": name}))
        elif not settings:
            asked = message("import.ask.practice")
            doubts.append(Doubt(about=_FOLDER_OF_A_NEW_PRACTICE, asked=asked, needed=False, check=_no_name))
    return replace(found, records=tuple(records), doubts=tuple(doubts))


def _no_name(answer: str) -> Refused | None:
    """Why an answer cannot be printed as the name of a practice; None when it can."""
    return None if name_written(answer) == answer else Refused(why=(message("import.refused.letters"),))


def _asked(record: BroughtRecord, written: WrittenNeeds) -> Doubt:
    name, drawn = str(record.fields.get("name", record.id)), written.drawn
    usual = {drawn[kind][0]: often for kind, often in _usual_for(name).items() if kind in drawn}
    suggested = ", ".join(id_ if often == "always" else f"{id_} {often}" for id_, often in usual.items())
    return Doubt(
        about=("needs", record.id),
        asked=message("import.ask.needs", name=name),
        suggested=suggested,
        sure=0.5 if suggested else 0.0,
        why=message("import.why.usual") if suggested else "",
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
