"""A small invented practice, built in code, with whatever a test wants otherwise."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from kitdocs.practice.model import (
    Cassette,
    Chair,
    Instrument,
    InstrumentSet,
    Pouch,
    Practice,
    Procedure,
    StockLine,
)
from kitdocs.practice.room import Room
from kitdocs.practice.settings import Settings

Written = dict[str, Any]

SETTINGS: Written = {
    "name": "Lantern Hill Orthodontics",
    "card": {"width": "6 in", "height": "4 in"},
    "day": {"opens": "08:00", "closes": "17:00"},
    # So that widths can be added up by hand; what opening adds has tests of its own.
    "opening": {"pliers": "0 mm", "cutters": "0 mm", "removers": "0 mm", "locking": "0 mm"},
}

INSTRUMENTS: Written = {
    "mirror": {"name": "Mouth mirror", "drawing": "mouth-mirror", "length": "165 mm", "width": "22 mm"},
    "explorer": {"name": "Explorer", "drawing": "explorer", "length": "165 mm", "width": "8 mm"},
    "weingart": {
        "name": "Weingart plier",
        "drawing": "weingart-plier",
        "length": "140 mm",
        "width": "50 mm",
        "price": 80.0,
        "repair": {"uses_between": 200.0, "days_away": "2 weeks"},
    },
    "cutter": {"name": "Ligature cutter", "drawing": "ligature-cutter", "length": "125 mm", "width": "48 mm"},
    "bird-beak": {"name": "Bird-beak plier", "drawing": "bird-beak-plier", "length": "130 mm", "width": "50 mm"},
}

CASSETTES: Written = {
    "slim": {
        "name": "Slim cassette",
        "inside": {"length": "190 mm", "width": "75 mm", "height": "14 mm"},
        "outside": {"length": "203 mm", "width": "83 mm", "height": "20 mm"},
    },
    "large": {
        "name": "Large cassette",
        "inside": {"length": "190 mm", "width": "142 mm", "height": "28 mm"},
        "outside": {"length": "203 mm", "width": "152 mm", "height": "34 mm"},
        "price": 120.0,
    },
}

SETS: Written = {
    "core": {
        "name": "Core set",
        "code": "CO",
        "cassette": "large",
        "mark": "one-bar",
        "contents": ["mirror", "explorer", "weingart", "cutter"],
    },
}

POUCHES: Written = {
    "bends": {
        "name": "Bending pouch",
        "code": "BW",
        "kind": "drawer",
        "size": "small-pouch",
        "contents": ["bird-beak"],
    },
}

CHAIRS: Written = {
    "chair-1": {"name": "Chair 1", "colour": "teal", "mark": "circle"},
    "chair-2": {"name": "Chair 2", "colour": "pink", "mark": "square"},
}

PROCEDURES: Written = {
    "wire-change": {
        "name": "Archwire change",
        "minutes": "30 min",
        "per_day": 20.0,
        "set": "core",
        "needs": {"weingart": "always", "bird-beak": "10%"},
    },
}

ROOM: Written = {
    "setup": "5 min",
    "carry": "4 min",
    "restock": ["08:00"],
    "stages": {
        "sterilize": {
            "name": "Steam sterilizer",
            "area": "sterilization",
            "kind": "machine",
            "cycle": "45 min",
            "capacity": {"slim": 8, "large": 4, "small-pouch": 16},
        },
    },
    "sheets": {
        "sheet-18": {"name": "18 in sheet", "side": "18 in", "pack": 100},
        "sheet-20": {"name": "20 in sheet", "side": "20 in", "pack": 100},
    },
    "pouch_sizes": {
        "small-pouch": {"name": "Small pouch", "width": "90 mm", "length": "230 mm", "pack": 200},
        "large-pouch": {"name": "Large pouch", "width": "190 mm", "length": "330 mm", "pack": 200},
    },
}


def practice(
    *,
    settings: Written | None = None,
    instruments: Written | None = None,
    cassettes: Written | None = None,
    sets: Written | None = None,
    pouches: Written | None = None,
    chairs: Written | None = None,
    procedures: Written | None = None,
    room: Written | None = None,
    stock: Written | None = None,
) -> Practice:
    """The small practice; `settings`, `room` and `instruments` add to or replace its own, the rest replace all."""
    return Practice(
        folder=Path("invented"),
        settings=Settings.model_validate(SETTINGS | (settings or {})),
        chairs=_records(Chair, CHAIRS if chairs is None else chairs),
        instruments=_records(Instrument, INSTRUMENTS | (instruments or {})),
        cassettes=_records(Cassette, CASSETTES if cassettes is None else cassettes),
        sets=_records(InstrumentSet, SETS if sets is None else sets),
        pouches=_records(Pouch, POUCHES if pouches is None else pouches),
        procedures=_records(Procedure, PROCEDURES if procedures is None else procedures),
        room=Room.model_validate(ROOM | (room or {})),
        stock={i: StockLine.model_validate({"instrument": i} | line) for i, line in (stock or {}).items()},
    )


def _records(kind: Any, written: Written) -> Any:
    return {id_: kind.model_validate(record) for id_, record in written.items()}
