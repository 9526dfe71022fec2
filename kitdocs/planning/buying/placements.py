"""The same practice with one instrument placed otherwise: in the sets, in an add-on pouch, or in the drawers.

Whatever held the instrument for the visits in question holds it no more; a pouch that becomes empty is taken
away. A new pouch holds the one instrument alone, as many as a visit needs, in the smallest stocked size that fits.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from types import MappingProxyType
from typing import Literal

from kitdocs.planning.measures.fit import fit_set, smallest_cassette
from kitdocs.planning.measures.pouch_fit import smallest_size
from kitdocs.practice.model import InstrumentSet, Pouch, Practice, passes
from kitdocs.practice.room import machines
from kitdocs.practice.values import Text

Where = Literal["set", "add-on", "drawer"]
WHERE: tuple[Where, ...] = ("set", "add-on", "drawer")


def procedures_needing(practice: Practice, instrument: str) -> tuple[str, ...]:
    """Return the procedures that may want the instrument."""
    return tuple(p for p, procedure in practice.procedures.items() if instrument in procedure.needs)


def most_needed(practice: Practice, instrument: str, procedures: Iterable[str]) -> int:
    """Return how many of the instrument a visit of one of the procedures needs at most; 0 when none needs it."""
    needs = (practice.procedures[p].needs.get(instrument) for p in procedures)
    return max((need.count for need in needs if need), default=0)


def sets_concerned(practice: Practice, instrument: str) -> tuple[str, ...]:
    """Return the sets of the procedures that may want the instrument."""
    used = {practice.procedures[p].set for p in procedures_needing(practice, instrument)}
    return tuple(s for s in practice.sets if s in used)


def placed(practice: Practice, instrument: str, where: Where) -> Practice | None:
    """Return the practice with the instrument in one kind of place.

    None when no cassette or pouch would hold it, or when it must not go the way of what it would be packed with.
    """
    otherwise = _placed(practice, instrument, where)
    return otherwise if otherwise is not None and _goes_its_way(otherwise, instrument) else None


def _placed(practice: Practice, instrument: str, where: Where) -> Practice | None:
    if where == "set":
        return _in_sets(_without_pouches(practice, instrument, ("add-on", "drawer")), instrument)
    if where == "add-on":
        return _in_add_ons(_without_pouches(_without_sets(practice, instrument), instrument, ("drawer",)), instrument)
    return _in_drawers(_without_pouches(_without_sets(practice, instrument), instrument, ("add-on",)), instrument)


def _goes_its_way(practice: Practice, instrument: str) -> bool:
    """Whether no set or pouch takes the instrument through a stage that it skips."""
    packs = [*practice.sets, *practice.pouches]
    holding = [pack for pack in packs if instrument in practice.contents(pack)]
    return not any(practice.passes(pack, stage) for pack in holding for stage in practice.instruments[instrument].skips)


def _in_sets(practice: Practice, instrument: str) -> Practice | None:
    sets = dict(practice.sets)
    for id_ in sets_concerned(practice, instrument):
        users = (p for p, procedure in practice.procedures.items() if procedure.set == id_)
        lacking = most_needed(practice, instrument, users) - sets[id_].contents.count(instrument)
        if lacking > 0:
            contents = (*sets[id_].contents, *(instrument,) * lacking)
            sets[id_] = sets[id_].model_copy(update={"contents": contents})
    return _in_cassettes_that_hold_them(replace(practice, sets=sets), instrument)


def _in_cassettes_that_hold_them(practice: Practice, instrument: str) -> Practice | None:
    """Sets that outgrow their cassette move to the smallest that holds them and passes every machine."""
    sets: dict[str, InstrumentSet] = dict(practice.sets)
    for id_ in sets_concerned(practice, instrument):
        if not fit_set(practice, id_).fits:
            contents = sets[id_].contents
            passing = {c: cassette for c, cassette in practice.cassettes.items() if _passes(practice, contents, c)}
            cassette = smallest_cassette(replace(practice, cassettes=passing), contents)
            if cassette is None:
                return None
            sets[id_] = sets[id_].model_copy(update={"cassette": cassette})
    return replace(practice, sets=sets)


def _in_add_ons(practice: Practice, instrument: str) -> Practice | None:
    """Procedures without an add-on that holds the instrument get one of its own, as often as it is wanted."""
    lacking = [
        p
        for p in procedures_needing(practice, instrument)
        if _held(practice, instrument, practice.procedures[p].add_ons) < most_needed(practice, instrument, (p,))
    ]
    if not lacking:
        return practice
    pouch = _pouch_for(practice, instrument, "add-on", most_needed(practice, instrument, lacking))
    if pouch is None:
        return None
    id_ = _new_id(practice, instrument)
    procedures = dict(practice.procedures)
    for p in lacking:
        record = procedures[p]
        add_ons = MappingProxyType({**record.add_ons, id_: record.needs[instrument].share})
        procedures[p] = record.model_copy(update={"add_ons": add_ons})
    return replace(practice, procedures=procedures, pouches={**practice.pouches, id_: pouch})


def _in_drawers(practice: Practice, instrument: str) -> Practice | None:
    """Chairs that lack a drawer pouch with the instrument, where it may be wanted, get one of its own."""
    needing = procedures_needing(practice, instrument)
    done_at = {c: [p for p in needing if c in practice.chairs_for(p)] for c in practice.chairs}
    lacking = [
        c
        for c, procedures in done_at.items()
        if _held(practice, instrument, practice.chairs[c].drawer) < most_needed(practice, instrument, procedures)
    ]
    if not lacking:
        return practice
    pouch = _pouch_for(practice, instrument, "drawer", most_needed(practice, instrument, needing))
    if pouch is None:
        return None
    id_ = _new_id(practice, instrument)
    chairs = dict(practice.chairs)
    for c in lacking:
        drawer = MappingProxyType({**chairs[c].drawer, id_: "auto"})
        chairs[c] = chairs[c].model_copy(update={"drawer": drawer})
    return replace(practice, chairs=chairs, pouches={**practice.pouches, id_: pouch})


def _without_sets(practice: Practice, instrument: str) -> Practice:
    """Without the instrument in the sets concerned; one that holds nothing else keeps it."""
    sets = dict(practice.sets)
    for id_ in sets_concerned(practice, instrument):
        left = tuple(i for i in sets[id_].contents if i != instrument)
        if left:
            sets[id_] = sets[id_].model_copy(update={"contents": left})
    return replace(practice, sets=sets)


def _without_pouches(practice: Practice, instrument: str, kinds: Iterable[str]) -> Practice:
    pouches: dict[str, Pouch] = {}
    for id_, pouch in practice.pouches.items():
        left = tuple(i for i in pouch.contents if i != instrument or pouch.kind not in kinds)
        if left:
            pouches[id_] = pouch if left == pouch.contents else pouch.model_copy(update={"contents": left})
    if len(pouches) == len(practice.pouches):
        return replace(practice, pouches=pouches)
    chairs = {
        c: chair.model_copy(update={"drawer": _kept(chair.drawer, pouches)}) for c, chair in practice.chairs.items()
    }
    procedures = {
        p: procedure.model_copy(update={"add_ons": _kept(procedure.add_ons, pouches)})
        for p, procedure in practice.procedures.items()
    }
    return replace(practice, pouches=pouches, chairs=chairs, procedures=procedures)


def _kept(by_pouch: Mapping[str, object], pouches: Mapping[str, Pouch]) -> Mapping[str, object]:
    return MappingProxyType({id_: value for id_, value in by_pouch.items() if id_ in pouches})


def _held(practice: Practice, instrument: str, pouches: Iterable[str]) -> int:
    """Return how many of the instrument one of each of the pouches holds."""
    return sum(practice.pouches[pouch].contents.count(instrument) for pouch in pouches)


def _pouch_for(practice: Practice, instrument: str, kind: Literal["add-on", "drawer"], count: int) -> Pouch | None:
    """Return a new pouch with `count` of the instrument and nothing else; None when no stocked size holds it."""
    contents = (instrument,) * count
    sizes = {s: size for s, size in practice.room.pouch_sizes.items() if _passes(practice, contents, s)}
    size = smallest_size(practice, contents, sizes)
    if size is None:
        return None
    name = Text(plain=f"{practice.instruments[instrument].name} alone")
    return Pouch(name=name, code="NEW", kind=kind, size=size, contents=contents)


def _passes(practice: Practice, contents: Sequence[str], size: str) -> bool:
    """Whether every machine that these instruments pass says how many of a cassette or pouch size it takes."""
    return all(
        size in stage.capacity
        for id_, stage in machines(practice.room.stages).items()
        if passes(practice.instruments, contents, id_, stage)
    )


def _new_id(practice: Practice, instrument: str) -> str:
    id_ = f"{instrument}-alone"
    while id_ in practice.pouches or id_ in practice.sets:
        id_ += "-2"
    return id_
