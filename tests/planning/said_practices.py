"""Small practices that between them make the plan say every sentence it has."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import Any

from invented_practice import CASSETTES, CHAIRS, POUCHES, PROCEDURES, ROOM, SETS, practice

from kitdocs.planning.colours.looks import propose_chairs
from kitdocs.practice.model import Practice, Visit
from kitdocs.practice.proposal import ProposalRecord

STEAM = {"type": "dynamic-air-removal", "temperature": "132 C", "exposure": "4 min", "drying": "30 min"}
STERILIZER = {
    **ROOM["stages"]["sterilize"],
    "cycle": "55 min",
    "wait": "10 min",
    "steam": STEAM,
    "chamber": {"shape": "round", "diameter": "300 mm", "depth": "500 mm"},
}
HAND = {"kind": "hand", "per_cassette": "3 min", "per_pouch": "2 min"}
STAGES: dict[str, Any] = {
    "receive": {"name": "Receive and sort", "area": "receiving", **HAND},
    "wash": {
        "name": "Washer",
        "area": "receiving",
        "kind": "machine",
        "machines": 2,
        "cycle": "40 min",
        "wait": "10 min",
        "capacity": {"slim": 10, "large": 6, "small-pouch": 20},
    },
    "pack": {"name": "Pack", "area": "packaging", **HAND, "people": 2},
    "sterilize": STERILIZER,
    "cool": {"name": "Cool", "area": "sterilization", "kind": "rest", "takes": "30 min"},
    "store": {"name": "Put away", "area": "storage", **HAND},
}
SUPPLIES = {
    "internal_indicator": {"pack": 250, "price": 31.0},
    "external_indicator": {"pack": 200, "price": 24.0},
    "spore_test": {"pack": 25, "price": 98.0, "lead_time": "2 weeks", "read_after": "24 h"},
    "air_removal_test": {"pack": 20},
    "tape": {"pack": 6, "price": 33.0, "roll": "55 m", "strip": "150 mm"},
    "outside_indicator": "label",
}
SHEETS = {
    "sheet-18": {"name": "18 in sheet", "side": "18 in", "pack": 100, "price": 34.0},
    "sheet-20": {"name": "20 in sheet", "side": "20 in", "pack": 100, "price": 41.0},
}
LARGEST = {"name": "24 in sheet", "side": "24 in", "pack": 100}
SHELF = {"name": "Shelf", "length": "2 m", "depth": "300 mm", "from_floor": "300 mm", "from_ceiling": "300 mm"}
DRAWERS = {
    kind: {"name": f"Drawer for {kind}", "holds": kind, "width": "700 mm", "depth": "600 mm"}
    for kind in ("sheets", "pouches", "supplies", "spares")
}
ROOMY: dict[str, Any] = {
    "stages": STAGES,
    "supplies": SUPPLIES,
    "sheets": SHEETS,
    "shelves": {"shelf": SHELF},
    "drawers": DRAWERS,
    "candidates": {
        "washer": {"name": "A third washer", "stage": "wash", "price": 4000.0},
        "packer": {"name": "A packer for the afternoon", "stage": "pack", "each_day": 60.0},
        "helper": {"name": "Somebody who puts away", "stage": "store"},
    },
}
SETTINGS: dict[str, Any] = {
    "day": {"opens": "08:00", "closes": "17:00", "pause": {"start": "12:00", "end": "13:00"}, "per_week": 4},
    "before": {
        "walks_per_day": 14.0,
        "glove_pairs_per_day": 60.0,
        "loose_instruments_per_day": 90.0,
        "technician_time_per_day": "5 h",
        "worth": {"walk": 0.5, "glove_pair": 0.15, "technician_hour": 25},
    },
}
WITH_ADD_ON: dict[str, Any] = {
    **POUCHES,
    "cuts": {"name": "Cutting pouch", "code": "CT", "kind": "add-on", "size": "small-pouch", "contents": ["cutter"]},
}
PLIER = {"name": "Weingart plier", "drawing": "weingart-plier", "length": "140 mm", "width": "50 mm"}
REPAIRED = {**PLIER, "price": 80.0, "repair": {"uses_between": 200.0, "days_away": "2 weeks"}}
EVERY_VISIT = {"mirror": "always", "explorer": "always"}
WHOLE: dict[str, Any] = {
    "settings": SETTINGS,
    "instruments": {
        "weingart": REPAIRED,
        "gauge": {"name": "Gauge", "drawing": "explorer", "length": "120 mm", "width": "20 mm", "price": 12.0},
    },
    "sets": {
        "core": {**SETS["core"], "contents": ["mirror", "explorer", "weingart"], "colour": "teal"},
        "exam": {
            "name": "Exam set", "code": "EX", "cassette": "slim", "mark": "two-bars", "colour": "navy",
            "contents": ["mirror", "explorer"],
        },
    },
    "pouches": WITH_ADD_ON,
    "chairs": {
        "chair-1": {**CHAIRS["chair-1"], "drawer": {"bends": "auto"}},
        "chair-2": {**CHAIRS["chair-2"], "drawer": {"bends": 3}},
        "chair-3": {"name": "Chair 3", "colour": "navy", "mark": "triangle"},
    },
    "procedures": {
        "wire-change": {
            **PROCEDURES["wire-change"],
            "add_ons": {"cuts": "40%"},
            "chairs": ["chair-1", "chair-2"],
            "needs": {**EVERY_VISIT, "weingart": "always", "bird-beak": "10%", "cutter": "40%"},
        },
        "check": {
            "name": "Check", "minutes": "15 min", "per_day": 6.0, "set": "exam",
            "needs": EVERY_VISIT,
        },
        "fit": {
            "name": "Fitting", "minutes": "20 min", "per_day": 2.0, "set": "exam", "chairs": ["chair-3"],
            "needs": EVERY_VISIT,
        },
    },
    "room": ROOMY,
    "stock": {"weingart": {"on_hand": 3, "in_repair": 6}, "explorer": {"on_hand": 90}, "mirror": {"on_hand": 2}},
}  # fmt: skip


#: Designs that differ in everything; the chosen one is not what the practice has, and was judged on as many days.
PROPOSALS = ProposalRecord.model_validate(
    {
        "chosen": "balanced",
        "days": 20,
        "seed": 1,
        "designs": {
            "balanced": {
                **{"to_buy": 900, "walks": 1.5, "from_drawers": 0.5, "kinds": 3},
                **{"loads": 4.0, "hands": "50 min", "ends": "17 h 30 min"},
            },
            "cheapest": {
                **{"to_buy": 700, "walks": 4.0, "from_drawers": 0.0, "kinds": 4},
                **{"loads": 4.5, "hands": "55 min", "ends": "17 h 40 min"},
            },
        },
        "today": {
            **{"to_buy": 1100, "walks": 2.0, "from_drawers": 3.0, "kinds": 5},
            **{"loads": 5.0, "hands": "60 min", "ends": "18 h"},
        },
        "made_of": {
            "balanced": {
                "kept": ["exam"],
                "procedures": {"wire-change": {"set": "core"}},
                "why": {
                    "core": {
                        "instruments": {
                            "weingart": [
                                {
                                    "place": "add-on",
                                    "of": ["wire-change"],
                                    "never": "pouches",
                                    "over": ["wire"],
                                    "most": 2,
                                },
                                {"place": "drawer", "of": ["wire-change", "wire"], "to_buy": 120, "from_drawers": 3.5},
                            ]
                        }
                    },
                    "bends": {
                        "pack": [{"place": "add-on", "of": ["wire-change"], "walks": 1.2, "from_drawers": -1.2}],
                        "instruments": {"bird-beak": [{"place": "set", "of": ["core"], "never": "cassette"}]},
                    },
                },
            }
        },
        "before": {
            "wire-change": {
                **{"set": "Everything set", "pouches": ["Odds pouch"], "walks": 2.0},
                "laid_out": ["mirror", "bird-beak", "gone-by-now"],
            },
            "wire": {"set": "Core set", "laid_out": ["mirror", "explorer", "weingart"]},
            "no-longer-done": {"set": "Everything set"},
        },
    }
)


def made(**changes: Any) -> Practice:
    """The whole practice; `settings`, `room` and `instruments` add to its own, the rest replaces it."""
    added = {name: {**WHOLE[name], **changes.pop(name, {})} for name in ("settings", "room", "instruments")}
    return practice(**{**WHOLE, **added, **changes})


def stages(**changes: Any) -> dict[str, Any]:
    """The room with other stages; None leaves one out."""
    return {"stages": {id_: stage for id_, stage in {**STAGES, **changes}.items() if stage}}


def sterilizer(**changes: Any) -> dict[str, Any]:
    return stages(sterilize={**STERILIZER, **changes})


def pouch_of(*contents: str) -> dict[str, Any]:
    return {**WITH_ADD_ON, "bends": {**POUCHES["bends"], "contents": list(contents)}}


def practices() -> Iterator[tuple[str, Practice]]:
    """A name and a practice that says something else."""
    priced = {
        "mirror": {"name": "Mirror", "drawing": "mouth-mirror", "length": "165 mm", "width": "22 mm", "price": 5.0}
    }
    yield "the whole of it", made(instruments=priced, settings={"drawer_service": "90%", "budget": 700})
    yield (
        "nothing to buy, nothing used up",
        practice(
            cassettes={id_: {**cassette, "on_hand": 90} for id_, cassette in CASSETTES.items()},
            stock={id_: {"on_hand": 99} for id_ in ("mirror", "explorer", "weingart", "cutter", "bird-beak")},
            procedures={"wire-change": {**PROCEDURES["wire-change"], "per_day": 2.0, "needs": {"weingart": "always"}}},
            pouches={},
            room={},
        ),
    )
    stated = {**WHOLE["sets"]["exam"], "place": "D5"}
    yield (
        "places that are stated",
        made(
            sets={"core": {**WHOLE["sets"]["core"], "place": "A1"}, "exam": stated},
            room={
                "shelves": {"shelf": {**SHELF, "length": "100 mm", "depth": "100 mm"}},
                "drawers": {**DRAWERS, "packs": {**DRAWERS["sheets"], "name": "Drawer for packs", "holds": "packs"}},
            },
        ),
    )
    visits = [
        (day, start, "chair-1", "wire-change", "30 min")
        for day, start in (("1", "09:00"), ("1", "10:00"), ("2", "09:00"))
    ]
    yield "real days", replace(
        made(settings={"before": None}),
        schedule=tuple(
            Visit.model_validate(dict(zip(("day", "start", "chair", "procedure", "minutes"), visit, strict=True)))
            for visit in visits
        ),
    )  # fmt: skip
    yield (
        "a design that was proposed",
        replace(made(procedures={**PROCEDURES, "wire": PROCEDURES["wire-change"]}), proposal=PROPOSALS),
    )
    yield (
        "people who go home",
        made(room={**stages(pack={**STAGES["pack"], "people": 1}), "people": TECHNICIANS, "candidates": LONGER}),
    )
    yield "a room that closes late", made(room={"closes": "23:50"})
    yield "part loads", made(room=sterilizer(machines=2, wait="0 min", cycle="2 h"))
    yield "past midnight", made(room=stages(store={**STAGES["store"], "per_cassette": "35 min"}))
    yield (
        "hands only",
        practice(room={"stages": {"wash": STAGES["receive"]}}, settings={"before": {"walks_per_day": 0.0}}),
    )
    yield (
        "many kinds",
        made(
            instruments={f"probe-{n}": {**PROBE, "name": f"Probe {n}"} for n in range(8)},
            sets={
                **WHOLE["sets"],
                "exam": {**WHOLE["sets"]["exam"], "contents": ["mirror", *(f"probe-{n}" for n in range(8))]},
            },
        ),
    )
    yield (
        "no prices",
        practice(
            instruments={"weingart": PLIER}, cassettes={**CASSETTES, "large": {**CASSETTES["large"], "price": None}}
        ),
    )
    yield "one in repair", made(stock={"weingart": {"on_hand": 3, "in_repair": 1}})
    yield (
        "two sizes of pouch",
        made(
            pouches={**WITH_ADD_ON, "cuts": {**WITH_ADD_ON["cuts"], "size": "large-pouch"}},
            room=stages(
                **{
                    id_: {**STAGES[id_], "capacity": {**STAGES[id_]["capacity"], "large-pouch": 8}}
                    for id_ in ("wash", "sterilize")
                }
            ),
        ),
    )
    accepted = {"warning": "price-missing", "at": "cassettes.slim", "reason": "A gift of the maker."}
    yield "a warning that is accepted", made(settings={"accepted": [accepted]})
    yield "a long way back", made(room=stages(store={**STAGES["store"], "per_cassette": "20 min"}))
    for access in ("overglove", "second-person", "cotton-plier"):
        yield f"drawers opened by {access}", made(settings={"drawer_access": access})
    yield (
        "parcel fold in two sheets",
        made(room={"wrap": {"fold": "parcel", "sheets": 2}, "shelves": {}, "sheets": {**SHEETS, "sheet-24": LARGEST}}),
    )
    yield "implants", made(instruments={"cutter": {**WHOLE_CUTTER, "implant_related": True}})
    yield "single use", made(instruments={"gauge": SINGLE_USE}, procedures=with_needs(gauge="50%"))
    yield "a tape that is the indicator", made(room={"supplies": {**SUPPLIES, "outside_indicator": "tape"}})
    yield "gravity, not in the table", made(room=sterilizer(steam={**STEAM, "type": "gravity", "temperature": "134 C"}))
    yield "short times", made(room=sterilizer(steam={**STEAM, "exposure": "3 min", "drying": "10 min"}))
    yield "a cycle shorter than its parts", made(room=sterilizer(cycle="30 min"))
    yield "a cycle that leaves too little", made(room=sterilizer(cycle="40 min"))
    yield "no cooling", made(room=stages(cool=None))
    yield "short cooling", made(room=stages(cool={**STAGES["cool"], "takes": "10 min"}))
    yield (
        "a square chamber that is too small",
        made(room=sterilizer(chamber={"shape": "square", "width": "100 mm", "height": "100 mm", "depth": "100 mm"})),
    )
    yield "a small chamber", made(room=sterilizer(chamber={"shape": "round", "diameter": "215 mm", "depth": "160 mm"}))
    yield "short shelves near everything", made(
        room={
            "shelves": {
                "shelf": {**SHELF, "length": "400 mm", "depth": "60 mm", "from_floor": "50 mm", "from_ceiling": "50 mm",
                          "from_outside_wall": "10 mm"}
            },
            "drawers": {"sheets": {**DRAWERS["sheets"], "width": "300 mm"}},
        }
    )  # fmt: skip
    yield "a full pouch", made(pouches=pouch_of("bird-beak", "explorer"), room={"pouch_sizes": CLOSE})
    yield (
        "a full pouch, and no larger one",
        made(pouches=pouch_of("bird-beak", "explorer"), room={"pouch_sizes": {"small-pouch": CLOSE["small-pouch"]}}),
    )
    yield (
        "a cassette that is too large",
        made(sets={**WHOLE["sets"], "exam": {**WHOLE["sets"]["exam"], "cassette": "large"}}),
    )
    yield (
        "places on the rails",
        made(
            cassettes={id_: {**cassette, "rails": 2, "positions": 8} for id_, cassette in CASSETTES.items()},
            settings={"opening": {"pliers": "10 mm"}},
        ),
    )
    yield (
        "a drawer that runs out",
        made(
            chairs={**WHOLE["chairs"], "chair-1": {**CHAIRS["chair-1"], "drawer": {"bends": 1}}},
            procedures=with_needs(**{"bird-beak": "always"}),
        ),
    )
    alike = {"name": "Clay", "hex": "#b98a5a"}, {"name": "Fern", "hex": "#a39a5a"}
    yield (
        "colours alike",
        made(
            chairs={
                "chair-1": {**CHAIRS["chair-1"], "colour": alike[0], "drawer": {"bends": "auto"}},
                "chair-2": {**CHAIRS["chair-2"], "colour": alike[1], "drawer": {"bends": "auto"}},
                "chair-3": {"name": "Chair 3", "colour": {"name": "Amber", "hex": "#f9a800"}, "mark": "triangle"},
            }
        ),
    )
    overrun = {"share": "40%", "median": "8 min", "most": "25 min"}
    wire_change = WHOLE["procedures"]["wire-change"]
    booked = {**wire_change, "when": {"morning": "35%", "13:00-15:00": "15%"}, "no_shows": "9%", "overrun": overrun}
    yield (
        "a packed book, late and absent",
        made(
            settings={"book": "packed", "no_shows": "5%", "overrun": overrun},
            procedures={**WHOLE["procedures"], "wire-change": booked},
        ),
    )
    afternoon = {**wire_change, "when": {"afternoon": "30%"}}
    yield (
        "visits that run over",
        made(
            settings={"overrun": overrun},
            procedures={**WHOLE["procedures"], "wire-change": afternoon},
            chairs={  # one drawer holds too few for the promise, and the other makes up for it
                **WHOLE["chairs"],
                "chair-1": {**CHAIRS["chair-1"], "drawer": {"bends": 2}},
                "chair-2": {**CHAIRS["chair-2"], "drawer": {"bends": "auto"}},
            },
        ),
    )
    yield "visits that are not kept", made(settings={"no_shows": "5%"})
    yield from (
        ("one chair", made(chairs={"chair-1": WHOLE["chairs"]["chair-1"]}, procedures={"wire-change": FEW})),
        ("many chairs", made(chairs=many_chairs(mixed_up={"chair-5": "chair-4", "chair-9": "chair-8"}))),
    )


def many_chairs(mixed_up: dict[str, str]) -> dict[str, Any]:
    """Return 13 chairs as they are proposed; of those mixed up, one has the colour of another, the rest its mark."""
    chairs: dict[str, Any] = {
        f"chair-{look.number}": {
            "name": f"Chair {look.number}",
            "colour": {"name": str(look.colour.name), "hex": look.colour.hex},
            "mark": look.mark,
            "drawer": {"bends": "auto"},
        }
        for look in propose_chairs((13,))
    }
    for (id_, other), field in zip(mixed_up.items(), ("colour", "mark"), strict=True):
        chairs[id_][field] = chairs[other][field]
    return chairs


TECHNICIANS = {
    "technician-a": {
        "name": "Technician A",
        "hours": {"start": "07:30", "end": "16:30"},
        "lunch": {"start": "12:00", "end": "12:45"},
    },
    "technician-b": {"name": "Technician B", "hours": {"start": "09:00", "end": "18:00"}},
}
LONGER = {"later": {"name": "A later evening", "person": next(iter(TECHNICIANS)), "each_day": 25.0}}
WHOLE_CUTTER = {"name": "Ligature cutter", "drawing": "ligature-cutter", "length": "125 mm", "width": "48 mm"}
PROBE = {"drawing": "explorer", "length": "120 mm", "width": "3 mm", "price": 3.0}
SINGLE_USE = {**WHOLE["instruments"]["gauge"], "single_use": {"pack": 50, "price": 9.0}}
FEW = {**PROCEDURES["wire-change"], "per_day": 6.0}
CLOSE = {
    "small-pouch": {"name": "Small pouch", "width": "70 mm", "length": "185 mm", "pack": 200},
    "large-pouch": ROOM["pouch_sizes"]["large-pouch"],
}


def with_needs(**needs: str) -> dict[str, Any]:
    wire_change = WHOLE["procedures"]["wire-change"]
    return {**WHOLE["procedures"], "wire-change": {**wire_change, "needs": {**wire_change["needs"], **needs}}}
