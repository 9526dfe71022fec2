"""Files brought to what they come to: each sheet recognised, taken, and put together with all others."""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from kitdocs.importing.completing import completed
from kitdocs.importing.found import (
    NOTHING,
    About,
    BroughtRecord,
    Doubt,
    Found,
    KindOfList,
    Known,
    UnusedCells,
    as_about,
)
from kitdocs.importing.grids import Grid
from kitdocs.importing.headings import plain_words
from kitdocs.importing.memory import beside_a_new_one
from kitdocs.importing.minutes_asked import with_minutes
from kitdocs.importing.recognising import kinds_of_list, read_file, recognise_file
from kitdocs.importing.sets_asked import with_sets
from kitdocs.practice.message import message
from kitdocs.practice.problems import PracticeError
from kitdocs.practice.reading.folder import read_folder
from kitdocs.shipped import shipped_languages

#: Problems of a file that is not there, or empty, as many of a new folder are.
_LACKING = ("no-file", "empty-file")

#: How far ahead questions are looked for: an answer raises a question, whose answer raises another.
_AHEAD = 3


@dataclass(frozen=True, slots=True, kw_only=True)
class Brought:
    """What files come to. `lists` are their sheets, each with the name of its kind; '' where that is unclear."""

    known: Known
    lists: tuple[tuple[str, str], ...]
    found: Found

    @property
    def needed(self) -> tuple[Doubt, ...]:
        """What is still to be asked, and without which something is left out."""
        return tuple(doubt for doubt in self.found.doubts if doubt.needed)


def known_of(folder: Path, answers: Mapping[About, str], language: str = "") -> Known:
    """Return what a folder holds, and what was answered.

    Raises `PracticeError` for a file of it that is no YAML or table: nothing could be put in.
    """
    records: dict[str, Mapping[str, Any]] = {}
    if folder.is_dir() and any(path.name not in beside_a_new_one(folder) for path in folder.iterdir()):
        found = read_folder(folder)
        if not found.files or found.older:
            raise PracticeError([found.older] if found.older else found.problems)
        files = found.files
        broken = [p for file in files.values() if file.data is None for p in file.problems if p.rule not in _LACKING]
        if broken:
            raise PracticeError(broken)
        for stem, file in files.items():
            if isinstance(file.data, dict):
                records[stem] = file.data
            elif isinstance(file.data, list):
                records[stem] = {str(n): line for n, line in enumerate(file.data)}
    languages = records.get("practice", {}).get("languages")
    first = languages[0] if isinstance(languages, list) and languages else "en"
    spoken = language or (first if first in shipped_languages() else "en")
    return Known(answers=answers, records=records, folder=folder, language=spoken)


#: Files, each with its sheets.
FilesRead = Sequence[tuple[Path, Sequence[Grid]]]


def read_files(files: Sequence[Path]) -> FilesRead:
    """Return the sheets of files. Raises `UnreadableError` for a file that cannot be read."""
    return [(path, read_file(path)) for path in files]


def bring(files: Sequence[Path], known: Known) -> Brought:
    """Return what the files come to, with the questions that answers raise.

    Raises `UnreadableError` for a file that cannot be read.
    """
    read = read_files(files)
    return with_foreseen(read, bring_read(read, known))


def with_foreseen(read: FilesRead, brought: Brought) -> Brought:
    """Return what files come to with the questions, too, that come up when those of now are answered as suggested.

    One sheet of questions is enough then. Who answers at a terminal is asked anew after each answer.
    """
    known, doubts = brought.known, brought.found.doubts
    for _ in range(_AHEAD):
        suggested = {as_about(*doubt.about): doubt.suggested for doubt in doubts if doubt.suggested}
        if not suggested:
            break
        asked = {as_about(*doubt.about) for doubt in doubts}
        then = bring_read(read, replace(known, answers={**known.answers, **suggested})).found.doubts
        more = tuple(doubt for doubt in then if as_about(*doubt.about) not in asked)
        if not more:
            break
        doubts += more
    return replace(brought, found=replace(brought.found, doubts=doubts))


def bring_read(read: FilesRead, known: Known) -> Brought:
    """Return what files come to that were read."""
    of_kind: defaultdict[tuple[str, str], list[Grid]] = defaultdict(list)
    kinds = {kind.name: kind for kind in kinds_of_list()}
    lists: list[tuple[str, str]] = []
    doubts: list[Doubt] = []
    unused: list[UnusedCells] = []
    for path, of_file in read:
        for recognised in recognise_file(of_file, known):
            kind = recognised.kind
            for grid in recognised.grids:
                kind = kind or _said_of(grid, known, doubts, unused, kinds)
                lists.append((grid.name, kind.name if kind else ""))
            if kind:
                of_kind[kind.name, str(path) if kind.whole_file else ""] += recognised.grids
    found: list[Found] = []
    for (name, _), grids in sorted(of_kind.items(), key=lambda item: bool(kinds[item[0][0]].speaks_of)):
        found.append(kinds[name].take(grids, _knowing(known, found, kinds[name].speaks_of)))
    together = Found(
        records=_joined(record for each in found for record in each.records),
        doubts=(*doubts, *(doubt for each in found for doubt in each.doubts)),
        merged=tuple(merged for each in found for merged in each.merged),
        unused=(*unused, *(cells for each in found for cells in each.unused)),
        told=tuple(told for each in found for told in each.told),
        details=tuple(told for each in found for told in each.details),
        likely={about: answer for each in found for about, answer in each.likely.items()},
        remembered={about: answer for each in found for about, answer in each.remembered.items()},
    )
    for with_what_is_asked in (with_minutes, completed, with_sets):
        together = with_what_is_asked(together, known)
    return Brought(known=known, lists=tuple(lists), found=together)


def _knowing(known: Known, found: Sequence[Found], stems: Sequence[str]) -> Known:
    """Return what is known with the records of some files that other lists have brought."""
    brought = [record for each in found for record in each.records if record.stem in stems]
    new = {stem: {record.id: record.fields for record in brought if record.stem == stem} for stem in stems}
    return replace(known, records={**known.records, **{stem: {**new[stem], **known.of(stem)} for stem in stems}})


def _said_of(
    grid: Grid, known: Known, doubts: list[Doubt], unused: list[UnusedCells], kinds: Mapping[str, KindOfList]
) -> KindOfList | None:
    """Which kind a person says that a sheet is; it is asked where nobody said."""
    stem = re.sub(r"[\d_\-. ]+", " ", grid.file.rpartition(".")[0])
    about = ("sheets", plain_words(f"{stem} {grid.sheet}") or "list")
    answer = known.answer(*about)
    if answer and answer in kinds:
        return kinds[answer]
    if answer == NOTHING:
        unused.append(UnusedCells(where=grid.name, why=message("import.unused.said")))
        return None
    unused.append(UnusedCells(where=grid.name, why=message("import.unused.no-kind")))
    choices = {name: message(f"import.kind.{name}") for name in kinds}
    doubts.append(
        Doubt(
            about=about,
            asked=message("import.ask.sheet", sheet=grid.name),
            choices={**choices, NOTHING: message("import.choice.nothing")},
            sources=(grid.name,),
        )
    )
    return None


def _joined(records: Any) -> tuple[BroughtRecord, ...]:
    """The records, those of one thing put together: what was said first of a field holds."""
    whole: dict[tuple[str, str], BroughtRecord] = {}
    lines: list[BroughtRecord] = []
    for record in records:
        key = (record.stem, record.id)
        if record.stem == "schedule":
            lines.append(record)
        elif before := whole.get(key):
            told = {k: v for k, v in record.fields.items() if k not in before.fields or k in before.usual}
            whole[key] = replace(
                before,
                fields={**before.fields, **told},
                sources=(*before.sources, *record.sources),
                usual=tuple(field for field in before.usual if field not in told or field in record.usual),
                notes=(*before.notes, *record.notes),
            )
        else:
            whole[key] = record
    return (*whole.values(), *lines)
