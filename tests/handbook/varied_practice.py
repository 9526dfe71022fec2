"""Practices like the example's and the starter's, with other drawers, pouches, procedures and names."""

from __future__ import annotations

import dataclasses
from random import Random
from types import MappingProxyType

from kitdocs.practice.model import Chair, Pouch, Practice, Procedure


def varied(practice: Practice, luck: Random) -> Practice:
    """A practice of the same room and instruments in which everything that a question is about is drawn anew.

    Names may be given twice, and two instruments may have one drawing: what nobody can tell apart must not be asked.
    """
    chairs = _some(practice.chairs, luck)
    drawn = dataclasses.replace(
        practice,
        chairs=chairs,
        instruments=_alike(practice, luck),
        sets=_named_anew(practice.sets, luck),
        pouches=_named_anew({p: _refilled(practice, of, luck) for p, of in practice.pouches.items()}, luck),
        schedule=(),
        problems=(),
    )
    drawer = [p for p, of in drawn.pouches.items() if of.kind == "drawer"]
    add_ons = [p for p, of in drawn.pouches.items() if of.kind == "add-on"]
    room = practice.room.model_copy(
        update={"wrap": practice.room.wrap.model_copy(update={"strips": luck.randint(1, 6)})}
    )
    return dataclasses.replace(
        drawn,
        room=room,
        chairs={c: _with_drawer(of, drawer, luck) for c, of in chairs.items()},
        procedures=_named_anew(
            {p: _procedure(drawn, of, add_ons, luck) for p, of in _some(practice.procedures, luck).items()}, luck
        ),
    )


def _some(things, luck):
    return {id_: thing for id_, thing in things.items() if luck.random() < 0.7} or dict(list(things.items())[:1])


def _named_anew(things, luck):
    """One thing in six has the name of another."""
    names = [thing.name for thing in things.values()]
    return {
        id_: thing.model_copy(update={"name": luck.choice(names)}) if luck.random() < 1 / 6 else thing
        for id_, thing in things.items()
    }


def _alike(practice: Practice, luck: Random):
    drawings = [of.drawing for of in practice.instruments.values()]
    return {
        id_: of.model_copy(update={"drawing": luck.choice(drawings)}) if luck.random() < 0.2 else of
        for id_, of in _named_anew(practice.instruments, luck).items()
    }


def _refilled(practice: Practice, pouch: Pouch, luck: Random) -> Pouch:
    return pouch.model_copy(
        update={
            "contents": tuple(luck.sample(list(practice.instruments), luck.randint(1, 2))),
            "size": max(practice.room.pouch_sizes, key=lambda size: practice.room.pouch_sizes[size].width),
        }
    )


def _with_drawer(chair: Chair, drawer: list[str], luck: Random) -> Chair:
    chosen = [pouch for pouch in drawer if luck.random() < 0.5]
    return chair.model_copy(update={"drawer": MappingProxyType(dict.fromkeys(chosen, "auto"))})


def _procedure(practice: Practice, of: Procedure, add_ons: list[str], luck: Random) -> Procedure:
    chosen = luck.sample(add_ons, min(len(add_ons), luck.choice((0, 1, 1, 2))))
    return of.model_copy(
        update={
            "chairs": (),
            "per_day": round(of.per_day / 3, 1),
            "set": luck.choice(list(practice.sets)),
            "add_ons": MappingProxyType({p: luck.choice((1.0, 0.4)) for p in chosen}),
        }
    )
