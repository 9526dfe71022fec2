"""What each role has to show, and by which card, in the order of its work."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Literal, TypeAlias

from kitdocs.handbook.blocks import Cell, Picture
from kitdocs.handbook.chairs import colour_name
from kitdocs.handbook.move.move import Move
from kitdocs.handbook.move.plan import busiest
from kitdocs.handbook.pictures import chair_mark_of, set_mark_of, tip_of
from kitdocs.practice.room import MachineStage

Trained: TypeAlias = Literal["assistant", "technician", "temporary", "office"]
TRAINED: tuple[Trained, ...] = ("assistant", "technician", "temporary", "office")

Row: TypeAlias = tuple[Cell, ...]
"""What is shown, and the card that shows how."""

Groups: TypeAlias = Iterator[tuple[str, list[Row]]]


def shown_by(move: Move, role: Trained) -> Groups:
    """The rows of a role in groups, each with the last part of the group's key in move.yaml; a group may be empty."""
    groups = {"assistant": _assistant, "technician": _technician, "temporary": _temporary, "office": _office}
    return groups[role](move)


def _assistant(move: Move) -> Groups:
    brief = move.brief
    procedure = next(iter(brief.practice.procedures))
    yield (
        "before",
        [
            _row(move, "assistant.find", "map", procedure=brief.procedure(procedure)),
            _row(move, "assistant.mark", "key", codes=_set_codes(move)),
            _row(move, "assistant.look", "storage-map"),
        ],
    )
    during = [_row(move, "assistant.add-on", "map")] if _has_add_ons(move) else []
    chair = next((chair for chair, of in brief.practice.chairs.items() if of.drawer), "")
    if chair:
        during.append(_row(move, "assistant.drawer", f"drawer/{chair}"))
        during.append(_row(move, "assistant.opened", f"drawer/{chair}"))
    yield "during", during
    yield (
        "after",
        [
            _row(move, "assistant.wipe", ""),
            _row(move, "assistant.places", f"t/{busiest(move)}"),
            _row(move, "assistant.dull", "repair"),
            _row(move, "assistant.carry", "first-day"),
            _row(move, "assistant.lacking", "move/first-week"),
        ],
    )


def _technician(move: Move) -> Groups:
    practice = move.brief.practice
    yield (
        "receive",
        [
            _row(move, "technician.way", "first-day"),
            _row(move, "technician.indicator", ""),
            _tag(move),
            *_machines(move, "receiving", "technician.wash"),
        ],
    )
    strips = move.words.count("card.fact.strips", practice.room.wrap.strips)
    yield (
        "pack",
        [
            *(_set(move, set_id) for set_id in practice.sets),
            _row(move, "technician.looks", f"t/{busiest(move)}"),
            _row(move, "technician.wrap", "wrap-guide", strips=strips),
            *([_row(move, "technician.pouch", "pouch-guide", codes=_pouch_codes(move))] if practice.pouches else []),
        ],
    )
    yield (
        "sterilize",
        [
            *_machines(move, "sterilization", "technician.wash"),
            _row(move, "technician.log", "forms/load-log"),
            _row(move, "technician.wet", "storage-map"),
            _row(move, "technician.spore", "spore-test"),
        ],
    )
    yield (
        "store",
        [
            _row(move, "technician.away", "storage-map"),
            *(_drawer(move, chair) for chair, of in practice.chairs.items() if of.drawer),
            _row(move, "technician.order", "stock"),
        ],
    )


def _temporary(move: Move) -> Groups:
    brief = move.brief
    set_id, chair = busiest(move), next(iter(brief.practice.chairs))
    yield (
        "look",
        [
            _row(move, "temporary.way", "first-day"),
            _row(move, "temporary.nevers", "first-day"),
            _row(move, "temporary.ask", "first-day"),
            _row(move, "temporary.colours", "key", colours=_colours(move)),
        ],
    )
    yield (
        "do",
        [
            _row(move, "temporary.lay", f"t/{set_id}", picture=set_mark_of(brief, set_id), set=brief.set(set_id)),
            *([_row(move, "temporary.pouch", "pouch-guide")] if brief.practice.pouches else []),
            _row(move, "temporary.wrap", "wrap-guide"),
            *(
                [
                    _row(
                        move,
                        "temporary.refill",
                        f"r/{chair}",
                        picture=chair_mark_of(brief, chair),
                        chair=brief.chair(chair),
                    )
                ]
                if brief.practice.chairs[chair].drawer
                else []
            ),
        ],
    )
    yield (
        "stop",
        [
            _row(move, "temporary.damaged", "repair"),
            _row(move, "temporary.wet", "storage-map"),
            _row(move, "temporary.alone", "first-day"),
        ],
    )


def _office(move: Move) -> Groups:
    yield (
        "folder",
        [
            _row(move, "office.plan", ""),
            _row(move, "office.change", ""),
            _row(move, "office.current", "current"),
            _row(move, "office.exchange", ""),
        ],
    )
    yield (
        "orders",
        [
            _row(move, "office.order", "stock"),
            _row(move, "office.count", "forms/count-sheet"),
            _row(move, "office.repair", "forms/repair-log"),
        ],
    )
    yield (
        "records",
        [
            _row(move, "office.logs", "forms/load-log"),
            _row(move, "office.spore", "spore-test"),
            _row(move, "office.sign", "forms/training"),
            _row(move, "office.privacy", ""),
        ],
    )


def _row(move: Move, key: str, card: str, *, picture: Picture | None = None, **values: object) -> Row:
    return Cell(text=move.words(f"move.training.{key}", **values), picture=picture), move.see(card)


def _set(move: Move, set_id: str) -> Row:
    brief = move.brief
    name, code = brief.set(set_id), brief.practice.sets[set_id].code
    mark = set_mark_of(brief, set_id)
    return _row(move, "technician.lay", f"t/{set_id}", picture=mark, set=name, code=code)


def _drawer(move: Move, chair: str) -> Row:
    brief = move.brief
    name, colour = brief.chair(chair), colour_name(brief, chair)
    mark = chair_mark_of(brief, chair)
    return _row(move, "technician.refill", f"r/{chair}", picture=mark, chair=name, colour=colour)


def _machines(move: Move, area: str, key: str) -> list[Row]:
    stages = move.brief.practice.room.stages
    return [
        _row(move, key, f"load/{stage_id}", machine=move.brief.say(stage.name))
        for stage_id, stage in stages.items()
        if isinstance(stage, MachineStage) and stage.area == area
    ]


def _tag(move: Move) -> Row:
    """What is most often away for repair is what will be tagged first."""
    away = {line.id: line.spares for line in move.brief.plan.orders.lines if line.spares}
    if not away:
        return _row(move, "technician.tag", "repair")
    dullest = max(away, key=lambda instrument: away[instrument])
    name = move.brief.instrument(dullest)
    return _row(move, "technician.tag-spare", "repair", picture=tip_of(move.brief, dullest), instrument=name)


def _has_add_ons(move: Move) -> bool:
    return any(pouch.kind == "add-on" for pouch in move.brief.practice.pouches.values())


def _set_codes(move: Move) -> str:
    return " · ".join(of.code for of in move.brief.practice.sets.values())


def _pouch_codes(move: Move) -> str:
    return " · ".join(of.code for of in move.brief.practice.pouches.values())


def _colours(move: Move) -> str:
    return " · ".join(colour_name(move.brief, chair) for chair in move.brief.practice.chairs)
