"""The set of a procedure that is new beside sets that there are: asked, with the one that holds what it needs."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any

from kitdocs.importing.add_ons_asked import asked_add_ons, contents_of
from kitdocs.importing.found import BroughtRecord, Doubt, Found, Known
from kitdocs.importing.naming import ThingNames
from kitdocs.practice.message import Joined, Message, message
from kitdocs.practice.needs import ALL_OF_THE_SET, NEVER, Need, need


def with_sets(found: Found, known: Known) -> Found:
    """Return what was found with the sets that were chosen, and a question for each that was not.

    A new chair gets what lies in every drawer. What a visit needs is asked before: without it, no set is better than
    another. In a folder without sets nothing is asked; `kitdocs propose` makes them.
    """
    sets = {id_: record for id_, record in known.of("sets").items() if isinstance(record, Mapping)}
    if not sets:
        return found
    records, doubts = [], list(found.doubts)
    drawer = _everywhere(known)
    at_chairs = {i for pouch in drawer for i in contents_of(known.of("pouches").get(pouch))}
    for record in found.records:
        if record.stem == "chairs" and record.id not in known.of("chairs") and drawer:
            records.append(replace(record, fields={**record.fields, "drawer": drawer}))
            continue
        there = known.of("procedures").get(record.id)
        whole = {**(there if isinstance(there, Mapping) else {}), **record.fields}
        chosen = known.chosen("set", record.id, among=sets)
        if record.stem != "procedures" or not (needs := _needs(whole.get("needs"))):
            records.append(record)
        elif chosen and whole.get("set", chosen) == chosen:
            held = contents_of(sets[chosen])
            lacking = {i: n for i, n in needs.items() if held.get(i, 0) < n.count and i not in at_chairs}
            add_ons, more = ({}, []) if whole.get("add_ons") else asked_add_ons(record, whole, lacking, known)
            doubts += more
            fields = {**record.fields, "set": chosen, **({"add_ons": add_ons} if add_ons else {})}
            records.append(replace(record, fields=fields))
        elif whole.get("set"):
            records.append(record)
        else:
            records.append(record)
            doubts.append(_asked(record, str(whole.get("name", record.id)), needs, sets, known))
    return replace(found, records=tuple(records), doubts=tuple(doubts))


def _everywhere(known: Known) -> dict[str, str]:
    """The drawer of a new chair: the pouches that lie at every other, for visits that are done anywhere."""
    drawers = [record.get("drawer") for record in known.of("chairs").values() if isinstance(record, Mapping)]
    held = [drawer if isinstance(drawer, Mapping) else {} for drawer in drawers]
    return {id_: "auto" for id_ in (held[0] if held else ()) if all(id_ in drawer for drawer in held)}


@dataclass(frozen=True, slots=True, kw_only=True)
class _Fit:
    """How far a set is what a procedure needs."""

    lacking: tuple[str, ...]
    beyond: int
    """How many kinds lie in it that the procedure does not need."""
    unmet: float
    """The shares of visits that want what it lacks, added up."""


def _asked(
    record: BroughtRecord, name: str, needs: Mapping[str, Need], sets: Mapping[str, Mapping[str, Any]], known: Known
) -> Doubt:
    fits = {id_: _fit(needs, kit) for id_, kit in sets.items()}
    best = min(fits, key=lambda id_: (fits[id_].unmet, fits[id_].beyond))
    whole = not fits[best].lacking
    things = ThingNames(known)
    return Doubt(
        about=("set", record.id),
        asked=message("import.ask.set", name=name),
        choices={id_: _meaning(things, id_, kit, fits[id_]) for id_, kit in sets.items()},
        suggested=best,
        sure=0.7 if whole else 0.4,
        why=message("import.why.set-holds" if whole else "import.why.set-nearest"),
        sources=record.sources[:2],
    )


def _meaning(things: ThingNames, id_: str, kit: Mapping[str, Any], fit: _Fit) -> Message | str:
    name = things.in_language(kit.get("name")) or id_
    if not fit.lacking:
        return message("import.choice.set", name=name)
    return message("import.choice.set-lacking", name=name, lacking=Joined(tuple(map(things.called, fit.lacking))))


def _fit(needs: Mapping[str, Need], kit: Mapping[str, Any]) -> _Fit:
    held = contents_of(kit)
    lacking = tuple(i for i, wanted in needs.items() if held.get(i, 0) < wanted.count)
    return _Fit(
        lacking=lacking,
        beyond=sum(i not in needs for i in held),
        unmet=sum(needs[i].share for i in lacking),
    )


def _needs(written: Any) -> dict[str, Need]:
    """What a visit needs by id, in any way of writing; what cannot be read is left out, and check tells it."""
    parts = written if isinstance(written, list) else [written]
    needs: dict[str, Need] = {}
    for part in parts:
        for id_, value in part.items() if isinstance(part, Mapping) else [(part, "always")]:
            if isinstance(id_, str) and id_ != ALL_OF_THE_SET and value != NEVER:
                try:
                    needs[id_] = need(value)
                except ValueError:
                    continue
    return needs
