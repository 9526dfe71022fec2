"""The add-on pouches of a procedure whose set lacks what it needs: asked, with those that hold it."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from typing import Any

from kitdocs.importing.found import NOTHING, BroughtRecord, Doubt, Known, Refused
from kitdocs.importing.naming import ThingNames
from kitdocs.importing.needs_written import parts_of
from kitdocs.importing.vocabulary import folded
from kitdocs.practice.message import Joined, Message, message
from kitdocs.practice.needs import COUNT_FIRST, Need, need

_COUNT_FIRST = re.compile(COUNT_FIRST)
#: A pouch with the share of visits that it goes with: `strips 8%`.
_WITH_SHARE = re.compile(r"(.+?)(?:[\s:=]+(always|siempre|\d+(?:[.,]\d+)?\s*%))?")


def asked_add_ons(
    record: BroughtRecord, procedure: Mapping[str, Any], lacking: Mapping[str, Need], known: Known
) -> tuple[dict[str, str], list[Doubt]]:
    """Return the add-ons that were chosen for what a procedure's set lacks, or the question for them.

    Where no add-on holds any of it, nothing is asked: `kitdocs check` says what to do.
    """
    pouches = {
        id_: pouch
        for id_, pouch in known.of("pouches").items()
        if isinstance(pouch, Mapping) and pouch.get("kind") == "add-on"
    }
    likely = _likely(lacking, pouches)
    if not likely:
        return {}, []
    written = _Written(pouches, known.language)
    answer = known.answer("add-ons", record.id)
    if answer == NOTHING:
        return {}, []
    if answer and not written.check(answer):
        return dict(written.read(answer)), []
    name = name_in(procedure, known.language) or record.id
    lacks = Joined(tuple(map(ThingNames(known).called, lacking)))
    suggested = ", ".join(id_ if share == "always" else f"{id_} {share}" for id_, share in likely.items())
    meaning = Joined(tuple(written.meant(id_, share) for id_, share in likely.items()))
    doubt = Doubt(
        about=("add-ons", record.id),
        asked=message("import.ask.add-ons", name=name, lacking=lacks),
        choices={
            suggested: message("import.choice.add-ons", pouches=meaning),
            NOTHING: message("import.choice.no-add-on"),
        },
        suggested=suggested,
        sure=0.6,
        sources=record.sources[:2],
        any_text=True,
        check=written.check,
    )
    return {}, [doubt]


def _likely(lacking: Mapping[str, Need], pouches: Mapping[str, Mapping[str, Any]]) -> dict[str, str]:
    """The pouches that hold what is lacking, smallest first, each with the largest share that one of these needs."""
    left = dict(lacking)
    found: dict[str, str] = {}
    contents = {id_: contents_of(pouch) for id_, pouch in pouches.items()}
    for id_ in lacking:
        holding = [pouch for pouch, held in contents.items() if held.get(id_, 0) >= lacking[id_].count]
        if id_ in left and holding:
            best = min(holding, key=lambda pouch: (-len(left.keys() & contents[pouch]), len(contents[pouch])))
            served = [left.pop(each) for each in [*left] if contents[best].get(each, 0) >= left[each].count]
            found[best] = str(Need(max(each.share for each in served)))
    return found


class _Written:
    """Add-ons as a person writes them: `strips 8%, detailing`."""

    def __init__(self, pouches: Mapping[str, Mapping[str, Any]], language: str) -> None:
        self._names = {id_: name_in(pouch, language) or id_ for id_, pouch in pouches.items()}
        self._ids = {folded(text): id_ for id_, name in self._names.items() for text in (name, id_)}

    def read(self, answer: str) -> Iterator[tuple[str, str]]:
        """Yield each pouch with its share. Raise ValueError for what is none."""
        for part in parts_of(answer):
            found = _WITH_SHARE.fullmatch(part)
            id_ = self._ids.get(folded(found[1])) if found else None
            if not (found and id_):
                raise ValueError(part)
            always = found[2] in (None, "always", "siempre")
            yield id_, "always" if always else str(need(found[2]))

    def check(self, answer: str) -> Refused | None:
        """Return why add-ons are not understood; None when they are."""
        try:
            understood = bool(dict(self.read(answer)))
        except ValueError:
            understood = False
        return None if understood else Refused(why=(message("import.refused.add-ons", pouches=", ".join(self._names)),))

    def meant(self, id_: str, share: str) -> Message | str:
        name = self._names[id_]
        return name if share == "always" else message("import.choice.add-on-share", name=name, share=share)


def name_in(record: Mapping[str, Any], language: str) -> str:
    """Return the name of a record in a language; '' where it has none."""
    name = record.get("name", "")
    return str(name.get(language, next(iter(name.values()), "")) if isinstance(name, Mapping) else name)


def contents_of(kit: Any) -> dict[str, int]:
    """Return the instruments of a set or pouch with how many of each, in any way of writing."""
    contents = kit.get("contents") if isinstance(kit, Mapping) else ()
    counts: dict[str, int] = {}
    for entry in contents if isinstance(contents, list) else ():
        pairs = entry.items() if isinstance(entry, Mapping) else [(entry, 1)]
        for name, count in pairs:
            first = _COUNT_FIRST.fullmatch(str(name))
            id_, more = (first[2], int(first[1])) if first else (str(name), count if isinstance(count, int) else 1)
            counts[id_] = counts.get(id_, 0) + more
    return counts
