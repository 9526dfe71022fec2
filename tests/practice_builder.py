"""Small practices for the tests, in the words of the practice folder."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import Any

from kitdocs.practice.model import Chair, Instrument, InstrumentSet, Pouch, Practice, Procedure, Visit
from kitdocs.practice.room import Room
from kitdocs.practice.settings import Settings

MARKS = ("circle", "square", "triangle", "diamond")
COLOURS = ("teal", "pink", "navy", "lime")
WASHER: Mapping[str, Any] = {
    "name": "Washer",
    "area": "receiving",
    "kind": "machine",
    "cycle": "30 min",
    "wait": "10 min",
    "capacity": {"slim": 4, "large": 2, "small-pouch": 8},
}


def washer(**changes: Any) -> dict[str, Any]:
    return {**WASHER, **changes}


def hand(people: int = 1, cassette: str = "3 min", pouch: str = "1 min") -> dict[str, Any]:
    return {
        "name": "By hand",
        "area": "packaging",
        "kind": "hand",
        "people": people,
        "per_cassette": cassette,
        "per_pouch": pouch,
    }


def rest(takes: str = "15 min") -> dict[str, Any]:
    return {"name": "Cool", "area": "sterilization", "kind": "rest", "takes": takes}


def person(start: str, end: str, *stages: str, lunch: tuple[str, str] | None = None) -> dict[str, Any]:
    return {
        "name": "Technician",
        "hours": {"start": start, "end": end},
        "lunch": {"start": lunch[0], "end": lunch[1]} if lunch else None,
        "stages": stages,
    }


def procedure(**changes: Any) -> dict[str, Any]:
    plain = {"name": "Visit", "minutes": "30 min", "per_day": 8.0, "set": "core", "needs": {"mirror": "always"}}
    return {**plain, **changes}


def build(
    *,
    procedures: Mapping[str, Mapping[str, Any]] | None = None,
    sets: Mapping[str, tuple[str, Iterable[str]]] | None = None,
    pouches: Mapping[str, tuple[str, Iterable[str]]] | None = None,
    drawers: Iterable[Mapping[str, Any]] = ({}, {}),
    stages: Mapping[str, Mapping[str, Any]] | None = None,
    day: Mapping[str, Any] | None = None,
    service: str = "95%",
    setup: str = "5 min",
    carry: str = "5 min",
    restock: Iterable[str] = ("07:30", "12:30"),
    schedule: Iterable[tuple[str, str, str, str, str]] = (),
    instruments: Mapping[str, Mapping[str, Any]] | None = None,
    supplies: Mapping[str, Any] | None = None,
    people: Mapping[str, Mapping[str, Any]] | None = None,
    settings: Mapping[str, Any] | None = None,
    **hours: str,
) -> Practice:
    """A practice; a chair for each of `drawers`. Sets as (cassette, contents), pouches as (kind, contents),
    a schedule as (day, start, chair, procedure, minutes), `hours` as when the room opens and closes."""
    sets = sets or {"core": ("slim", ["mirror"])}
    visits = [dict(zip(("day", "start", "chair", "procedure", "minutes"), v, strict=True)) for v in schedule]
    supply = {"name": "Sheet", "side": "18 in", "pack": 100}
    return Practice(
        folder=Path(),
        settings=Settings.model_validate(
            {
                "name": "A practice",
                "card": {"width": "6 in", "height": "4 in"},
                "service": service,
                "day": day or {"opens": "08:00", "closes": "17:00", "pause": {"start": "12:00", "end": "13:00"}},
                **(settings or {}),
            }
        ),
        chairs={
            f"chair-{n + 1}": Chair.model_validate(
                {"name": f"Chair {n + 1}", "colour": COLOURS[n], "mark": MARKS[n], "drawer": drawer}
            )
            for n, drawer in enumerate(drawers)
        },
        instruments={
            id_: Instrument.model_validate(
                {"name": id_, "drawing": "scaler", "length": "160 mm", "width": "9 mm", **instrument}
            )
            for id_, instrument in (instruments or {}).items()
        },
        cassettes={},
        sets={
            id_: InstrumentSet.model_validate(
                {
                    "name": id_,
                    "code": id_[:2].upper(),
                    "cassette": cassette,
                    "mark": "one-bar",
                    "contents": contents,
                }
            )
            for id_, (cassette, contents) in sets.items()
        },
        pouches={
            id_: Pouch.model_validate(
                {
                    "name": id_,
                    "code": id_[:2].upper(),
                    "kind": kind,
                    "size": "small-pouch",
                    "contents": contents,
                }
            )
            for id_, (kind, contents) in (pouches or {}).items()
        },
        procedures={
            id_: Procedure.model_validate(dict(p)) for id_, p in (procedures or {"visit": procedure()}).items()
        },
        room=Room.model_validate(
            {
                "setup": setup,
                "carry": carry,
                "restock": restock,
                "stages": stages or {"wash": washer()},
                "sheets": {"sheet": supply},
                "supplies": supplies or {},
                "people": people or {},
                **hours,
                "pouch_sizes": {"small-pouch": {"name": "Small", "width": "3 in", "length": "9 in", "pack": 200}},
            }
        ),
        stock={},
        schedule=tuple(Visit.model_validate(v) for v in visits),
    )


def at(clock: str) -> int:
    """``08:30`` in seconds after midnight."""
    hours, minutes = clock.split(":")
    return int(hours) * 3600 + int(minutes) * 60
