"""List of the treatment chairs: a name, and a colour or mark where it has one."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from kitdocs.importing import columns
from kitdocs.importing.chair_looks import ChairLooks, is_said, looks_of
from kitdocs.importing.found import BroughtRecord, Found, KindOfList, Known
from kitdocs.importing.grids import Grid
from kitdocs.importing.naming import id_free, ids_by_name
from kitdocs.importing.vocabulary import folded
from kitdocs.practice.message import message
from kitdocs.practice.sentences import shipped_sentences
from kitdocs.practice.values import as_id

_LOOK = ("colour", "mark")


def score(grid: Grid, known: Known) -> float:
    """Return how surely a sheet is a list of chairs."""
    return columns.score("chairs", grid, known, ("name",), ("colour", "mark"))


def take(grids: Sequence[Grid], known: Known) -> Found:
    """Return the chairs, each with a colour and a mark that no other has."""
    listed = columns.NamedLines("chairs", grids, known, ("name",))
    lines: dict[str, columns.Line] = {}
    for name, line in listed.beside(lines):
        lines.setdefault(name, line)
    ids: dict[str, columns.Line] = {}
    for line in lines.values():
        ids[id_free(_id_of(line.text("name"), known), set(ids))] = line
    new = {id_: line for id_, line in ids.items() if id_ not in known.of("chairs")}
    stated = [{field: line.text(field) for field in _LOOK} for line in new.values()]
    looks = dict(zip(new, looks_of(stated, ChairLooks(known.of("chairs").values(), known.language)), strict=True))
    records = []
    for id_, line in ids.items():
        look = looks.get(id_, {})
        usual = []
        for field in _LOOK:
            if not is_said(field, line.text(field), look.get(field) or _field(known, id_, field)):
                usual.append(field)
                if line.text(field):
                    listed.unused.append(line.unused(field, message("import.unused.no-choice")))
        fields = {"name": _named(line.text("name"), known.language), **look}
        records.append(BroughtRecord(stem="chairs", id=id_, fields=fields, sources=(line.place(),), usual=tuple(usual)))
    return Found(records=tuple(records), doubts=tuple(listed.doubts), unused=tuple(listed.unused))


def _field(known: Known, id_: str, field: str) -> Any:
    record = known.of("chairs").get(id_)
    return record.get(field) if isinstance(record, dict) else None


def _id_of(name: str, known: Known) -> str:
    if there := ids_by_name(known.of("chairs")).get(folded(name)):
        return there
    return as_id(f"chair-{name}" if name.isdigit() else folded(name)) or "chair"


def _named(name: str, language: str) -> str:
    return f"{shipped_sentences(language)['tables.column.chair']} {name}" if name.isdigit() else name


KIND = KindOfList(name="chairs", score=score, take=take)
