"""Gaps that no list fills and a practice folder needs filled: asked, with what is usual as a suggestion."""

from __future__ import annotations

import re
from collections.abc import Mapping
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
from kitdocs.practice.needs import ALL_OF_THE_SET, need

#: Between two instruments; a comma in ``12,5%`` is none.
_BETWEEN = re.compile(r";|,(?!\d+\s*%)")
#: An instrument with how often it is needed behind it, or with how many of it before.
_OFTEN = re.compile(r"(.+?)[\s:]+((?:\d+ at )?(?:always|never|\d+(?:[.,]\d+)?\s*%|0?[.,]\d+))")
_COUNT_FIRST = re.compile(r"([1-9])\s+(?:[x×]\s+)?(\D.*)")

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
    """The needs that a person wrote: ``mirror, bird-beak 12%``; None when a part is no one instrument."""
    needs: dict[str, str] = {}
    for part in filter(None, map(str.strip, _BETWEEN.split(answer))):
        text, often = _often(part)
        id_ = text if text == ALL_OF_THE_SET else _id_of(text, names, drawn)
        if not id_ or not often:
            return None
        needs[id_] = often
    return needs or None


def _often(part: str) -> tuple[str, str]:
    """What is needed, and how often as the folder writes it; '' for what cannot be meant: ``mirror 120%``."""
    if first := _COUNT_FIRST.fullmatch(part):
        return first[2], first[1]
    found = _OFTEN.fullmatch(part)
    if found is None:
        return part, "always"
    try:
        return found[1], str(need(found[2]))
    except ValueError:
        return found[1], ""


def _id_of(text: str, names: ThingNames, drawn: Mapping[str, list[str]]) -> str:
    every = {id_ for ids in drawn.values() for id_ in ids}
    if text in every:
        return text
    match = match_name(text)
    if existing := names.existing(text, match):
        return existing
    if not match.certain or not match.kind:
        return ""
    ids = drawn.get(match.kind, [])
    exact = names.id_of((match.kind, *match.qualifiers), text)
    if exact in ids:
        return exact
    return ids[0] if len(ids) == 1 and not match.qualifiers else ""
