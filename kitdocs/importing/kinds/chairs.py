"""List of the treatment chairs: a name, and a colour or mark where it has one."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, get_args

from kitdocs.importing import columns
from kitdocs.importing.found import BroughtRecord, Found, KindOfList, Known
from kitdocs.importing.grids import Grid
from kitdocs.importing.naming import id_free
from kitdocs.importing.vocabulary import folded
from kitdocs.practice.colours import NAMED
from kitdocs.practice.kinds import ChairMark
from kitdocs.practice.message import message
from kitdocs.practice.values import as_id

_MARKS: tuple[str, ...] = get_args(ChairMark)


def score(grid: Grid, known: Known) -> float:
    """Return how surely a sheet is a list of chairs."""
    return columns.score("chairs", grid, known, ("name",), ("colour", "mark"))


def take(grids: Sequence[Grid], known: Known) -> Found:
    """Return the chairs, each with a colour and a mark that no other has."""
    listed = columns.NamedLines("chairs", grids, known, ("name",))
    lines: dict[str, columns.Line] = {}
    for name, line in listed.beside(lines):
        lines.setdefault(name, line)
    there = [record for record in known.of("chairs").values() if isinstance(record, dict)]
    colours = _Free(tuple(NAMED), [record.get("colour") for record in there])
    marks = _Free(_MARKS, [record.get("mark") for record in there])
    for line in lines.values():
        colours.keep(folded(line.text("colour")))
        marks.keep(folded(line.text("mark")))
    taken: set[str] = set()
    records = []
    for line in lines.values():
        name = line.text("name")
        id_ = id_free(_id_of(name, known), taken)
        taken.add(id_)
        fields: dict[str, Any] = {"name": _named(name, known.language)}
        usual = []
        for field, free in (("colour", colours), ("mark", marks)):
            said = folded(line.text(field))
            value = free.said(said) or free.next()
            if value:
                fields[field] = value
            if value != said:
                usual.append(field)
                if said:
                    listed.unused.append(line.unused(field, message("import.unused.no-choice")))
        records.append(BroughtRecord(stem="chairs", id=id_, fields=fields, sources=(line.place(),), usual=tuple(usual)))
    return Found(records=tuple(records), doubts=tuple(listed.doubts), unused=tuple(listed.unused))


def _id_of(name: str, known: Known) -> str:
    for id_, record in known.of("chairs").items():
        if isinstance(record, dict) and folded(str(record.get("name", ""))) == folded(name):
            return id_
    return as_id(f"chair-{name}" if name.isdigit() else folded(name)) or "chair"


def _named(name: str, language: str) -> str:
    return f"{'Sillón' if language == 'es' else 'Chair'} {name}" if name.isdigit() else name


class _Free:
    """Words of which each is given once."""

    def __init__(self, words: Sequence[str], taken: Sequence[Any]) -> None:
        self.words = list(words)
        self.gone = {str(word) for word in taken}
        self.kept: set[str] = set()

    def keep(self, word: str) -> None:
        if word in self.words and word not in self.gone:
            self.kept.add(word)

    def said(self, word: str) -> str:
        if word in self.kept:
            self.kept.discard(word)
            self.gone.add(word)
            return word
        return ""

    def next(self) -> str:
        free = next((word for word in self.words if word not in self.gone | self.kept), "")
        self.gone.add(free)
        return free


KIND = KindOfList(name="chairs", score=score, take=take)
