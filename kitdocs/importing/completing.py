"""Gaps that no list fills and a practice folder needs filled: asked, with what is usual as a suggestion."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import Any, cast

import yaml

from kitdocs.importing.found import NOTHING, BroughtRecord, Doubt, Found, Known
from kitdocs.importing.headings import plain_words
from kitdocs.importing.names import match_name
from kitdocs.importing.naming import ThingNames
from kitdocs.practice.message import message
from kitdocs.practice.needs import ALL_OF_THE_SET

_FOLDER_OF_A_NEW_PRACTICE = ("practice", "name")


def completed(found: Found, known: Known) -> Found:
    """Return what was found, with questions for what procedures need, and for the name of a new practice."""
    records: list[BroughtRecord] = []
    doubts = list(found.doubts)
    names = ThingNames(known)
    drawn = _instruments(found, known)
    for record in found.records:
        there = known.of("procedures").get(record.id)
        has_needs = "needs" in record.fields or (isinstance(there, Mapping) and there.get("needs"))
        if record.stem != "procedures" or has_needs:
            records.append(record)
            continue
        answer = known.answer("needs", record.id)
        needs = _needs(answer, names, drawn) if answer else None
        if needs:
            records.append(replace(record, fields={**record.fields, "needs": needs}))
        elif answer == NOTHING:
            records.append(record)
        else:
            records.append(record)
            doubts.append(_asked(record, drawn))
    if name := known.answer(*_FOLDER_OF_A_NEW_PRACTICE):
        if not known.of("practice"):
            records.append(BroughtRecord(stem="practice", id="", fields={"name": name}))
    elif not known.of("practice"):
        about = _FOLDER_OF_A_NEW_PRACTICE
        doubts.append(Doubt(about=about, asked=message("import.ask.practice"), needed=False))
    return replace(found, records=tuple(records), doubts=tuple(doubts))


def _instruments(found: Found, known: Known) -> dict[str, list[str]]:
    """The ids of the instruments that there will be, by the kind that is drawn."""
    ids: dict[str, list[str]] = {}
    both = [*known.of("instruments").items(), *((r.id, r.fields) for r in found.records if r.stem == "instruments")]
    for id_, record in both:
        if isinstance(record, Mapping) and "drawing" in record:
            ids.setdefault(str(record["drawing"]), []).append(id_)
    return ids


def _asked(record: BroughtRecord, drawn: Mapping[str, list[str]]) -> Doubt:
    name = str(record.fields.get("name", record.id))
    usual = {drawn[kind][0]: often for kind, often in _usual_for(name).items() if kind in drawn}
    suggested = ", ".join(id_ if often == "always" else f"{id_} {often}" for id_, often in usual.items())
    return Doubt(
        about=("needs", record.id),
        asked=message("import.ask.needs", name=name),
        suggested=suggested,
        sure=0.5 if suggested else 0.0,
        why=message("import.why.usual") if suggested else "",
        sources=record.sources[:2],
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


def _needs(answer: str, names: ThingNames, drawn: Mapping[str, list[str]]) -> dict[str, str] | None:
    """The needs that a person wrote: ``mirror, bird-beak 12%``; None when one of them is no instrument."""
    needs: dict[str, str] = {}
    for part in answer.replace(";", ",").split(","):
        words = part.split()
        often = words.pop() if words and words[-1].rstrip("%").isdigit() and words[-1].endswith("%") else "always"
        text = " ".join(words)
        if not text:
            continue
        id_ = text if text == ALL_OF_THE_SET else _id_of(text, names, drawn)
        if not id_:
            return None
        needs[id_] = often
    return needs or None


def _id_of(text: str, names: ThingNames, drawn: Mapping[str, list[str]]) -> str:

    every = {id_ for ids in drawn.values() for id_ in ids}
    if text in every:
        return text
    match = match_name(text)
    if existing := names.existing(text, match):
        return existing
    ids: Iterator[str] = iter(drawn.get(match.kind or "", ()))
    return next(ids, "") if match.certain else ""
