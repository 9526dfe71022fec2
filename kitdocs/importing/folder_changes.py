"""Files of a practice folder with what was brought put in: new records behind the old ones, single values replaced.

What is there already is never replaced unless somebody says so; comments and order stay.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from kitdocs.importing.entries import SAME_LENGTH
from kitdocs.importing.found import BroughtRecord, Known
from kitdocs.importing.new_folder import base_texts
from kitdocs.importing.record_text import record_lines, with_notes_of
from kitdocs.practice import quantities
from kitdocs.practice.editing.csv_text import RowEdit, csv_rows, replace_cells
from kitdocs.practice.editing.edits import Edit
from kitdocs.practice.editing.yaml_text import replace_values
from kitdocs.practice.schema import TABLES

_COLUMNS = {
    "stock": ("instrument", "on_hand", "in_repair"),
    "schedule": ("day", "start", "chair", "procedure", "minutes"),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class ValueChange:
    """A value of the folder that the lists say otherwise."""

    file: str
    id: str
    field: str
    before: Any
    after: Any
    sources: tuple[str, ...]


@dataclass(slots=True)
class FolderChanges:
    """What is to be written. `added` are the ids of new records by file; `filled` values that were missing."""

    is_new: bool
    added: dict[str, list[str]] = field(default_factory=lambda: defaultdict(list))
    filled: list[ValueChange] = field(default_factory=list)
    changed: list[ValueChange] = field(default_factory=list)
    _new: dict[str, list[BroughtRecord]] = field(default_factory=lambda: defaultdict(list))
    _texts: dict[str, str] = field(default_factory=dict)
    _noted: dict[str, list[BroughtRecord]] = field(default_factory=lambda: defaultdict(list))
    _language: str = "en"

    def texts(self, *, with_changes: bool) -> dict[str, str]:
        """Return the files that differ from what there is; values that were there change only `with_changes`."""
        done = dict(self._texts)
        edits = [*self.filled, *(self.changed if with_changes else ())]
        for file in {change.file for change in edits} | {f"{stem}.csv" for stem in TABLES if self._new.get(stem)}:
            mine = [change for change in edits if change.file == file]
            stem = file.rpartition(".")[0]
            done[file] = (
                _table(stem, done.get(file, ""), mine, self._new.get(stem, ()), with_changes)
                if file.endswith(".csv")
                else _edited(done.get(file, ""), mine)
            )
        for file in {change.file for change in edits if change.file.endswith(".yaml")}:
            done[file] = self._with_notes(file, done[file], edits)
        for stem, records in self._new.items():
            if stem not in TABLES:
                done[f"{stem}.yaml"] = _appended(done.get(f"{stem}.yaml", ""), records, self._language)
        return done if self.is_new else {name: text for name, text in done.items() if text != self._texts.get(name)}

    def _with_notes(self, file: str, text: str, edits: Sequence[ValueChange]) -> str:
        """The file with the notes of each record of which all that differs is written."""
        held_back = {(each.file, each.id) for each in self.changed} - {(each.file, each.id) for each in edits}
        for record in self._noted.get(file, ()):
            fields = [edit.field for edit in edits if (edit.file, edit.id) == (file, record.id)]
            if fields and (file, record.id) not in held_back:
                text = with_notes_of(text, record, fields, self._language)
        return text


def changes_of(records: Iterable[BroughtRecord], known: Known) -> FolderChanges:
    """Return what the records change in the folder that is `known`."""
    records = list(records)
    is_new = not known.records
    texts = base_texts(frozenset(r.stem for r in records), known.language) if is_new else _texts_of(known.folder)
    changes = FolderChanges(is_new=is_new, _texts=texts, _language=known.language)
    for record in records:
        if record.stem == "schedule":
            changes._new["schedule"].append(record)
        elif record.stem == "practice":
            _compare(changes, record, {} if is_new else known.of("practice"), is_new=is_new)
        elif record.id in known.of(record.stem):
            _compare(changes, record, known.of(record.stem)[record.id], is_new=False)
            changes._noted[f"{record.stem}.yaml"].append(record)
        elif "name" in record.fields or record.stem in TABLES:
            changes.added[record.stem].append(record.id)
            changes._new[record.stem].append(record)
    if lines := changes._new.get("schedule"):
        changes.added["schedule"] = [line.fields["day"] for line in lines]
        if there := csv_rows(changes._texts.get("schedule.csv", "")):
            before, after = f"{len(there)}", f"{len(lines)}"
            changes.changed.append(
                ValueChange(file="schedule.csv", id="", field="", before=before, after=after, sources=lines[0].sources)
            )
    return changes


def _texts_of(folder: Path | None) -> dict[str, str]:
    assert folder
    files = [*folder.glob("*.yaml"), *folder.glob("*.csv")]
    return {file.name: file.read_bytes().decode("utf-8-sig") for file in files}


def _compare(changes: FolderChanges, record: BroughtRecord, now: Any, *, is_new: bool) -> None:
    there = now if isinstance(now, Mapping) else {}
    file = f"{record.stem}.{'csv' if record.stem in TABLES else 'yaml'}"
    for name, after in record.fields.items():
        before = there.get(name)
        change = ValueChange(file=file, id=record.id, field=name, before=before, after=after, sources=record.sources)
        if before is None or is_new:
            if name not in record.usual and not (record.stem in TABLES and after == 0):
                changes.filled.append(change)
        elif name != "name" and name not in record.usual and not _same(before, after):
            changes.changed.append(change)


def _same(before: Any, after: Any) -> bool:
    """Whether two ways of writing mean the same value, or measures that differ by no more than people's do."""
    if before == after or str(before) == str(after):
        return True
    readers = ((quantities.length, SAME_LENGTH), (quantities.duration, 0.0), (quantities.money, 0.0))
    return any(_near(read, before, after, apart) for read, apart in readers)


def _near(read: Callable[[Any], Any], before: Any, after: Any, apart: float) -> bool:
    try:
        return abs(float(read(before)) - float(read(after))) <= apart
    except (ValueError, TypeError):
        return False


def _edited(text: str, changes: Sequence[ValueChange]) -> str:
    edits = [
        Edit(path=(change.id, change.field) if change.id else (change.field,), value=change.after) for change in changes
    ]
    return replace_values(text, edits).text


def _appended(text: str, records: Iterable[BroughtRecord], language: str) -> str:
    blocks = ["\n".join(record_lines(record, language)) for record in records]
    return (text.rstrip("\n") + "\n" if text.strip() else "") + "".join(f"\n{block}\n" for block in blocks)


def _table(
    stem: str, text: str, changes: Sequence[ValueChange], new: Iterable[BroughtRecord], with_changes: bool
) -> str:
    names = _COLUMNS[stem]
    rows = csv_rows(text)
    lines = [{**({names[0]: r.id} if stem == "stock" else {}), **_cells(r.fields)} for r in new]
    if stem == "schedule":
        if rows and not with_changes:
            return text
        if rows and not set(names) <= rows[0].keys():
            rows, text = [], ""  # an export under the name of a schedule
        edits = [RowEdit(row=n, cells=None) for n in range(len(rows))]
        return replace_cells(text, [*edits, *(RowEdit(row=len(rows), cells=line, new=True) for line in lines)], names)
    row_of = {row.get(names[0], ""): n for n, row in enumerate(rows)}
    edits = [RowEdit(row=row_of[c.id], cells=_cells({c.field: c.after})) for c in changes]
    return replace_cells(text, [*edits, *(RowEdit(row=len(rows), cells=line, new=True) for line in lines)], names)


def _cells(fields: Mapping[str, Any]) -> dict[str, str]:
    return {name: str(value) for name, value in fields.items()}
