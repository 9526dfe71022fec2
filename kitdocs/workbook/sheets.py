"""The sheets of a practice's workbook: which there are, their columns, and what stands in each cell."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any, Literal, TypeAlias

from kitdocs.practice.locations import Path
from kitdocs.practice.schema import schema_of
from kitdocs.workbook.cells import Cell, cell_of
from kitdocs.workbook.columns import SheetColumn, columns_of

#: What a row is about: the id of a record, the number of an item or line (from 0), the key of a setting.
RowKey: TypeAlias = str | int

#: ``table``: records by id; ``items``: a list of records; ``settings``: one record, a row for each value.
Form = Literal["settings", "items", "table"]

#: Every sheet: where its records stand, and their form. A table in room.yaml has a sheet of its own.
_PLACES: tuple[tuple[Path, Form], ...] = (
    (("practice",), "settings"),
    (("practice", "ask"), "items"),
    (("practice", "accepted"), "items"),
    (("chairs",), "table"),
    (("instruments",), "table"),
    (("cassettes",), "table"),
    (("sets",), "table"),
    (("pouches",), "table"),
    (("procedures",), "table"),
    (("room",), "settings"),
    (("room", "stages"), "table"),
    (("room", "people"), "table"),
    (("room", "sheets"), "table"),
    (("room", "pouch_sizes"), "table"),
    (("room", "maintenance"), "table"),
    (("room", "drawers"), "table"),
    (("room", "hooks"), "table"),
    (("room", "shelves"), "table"),
    (("room", "candidates"), "table"),
    (("stock",), "table"),
    (("schedule",), "items"),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class WorkbookSheet:
    """One sheet. `path` begins with the stem of the file."""

    path: Path
    form: Form
    columns: tuple[SheetColumn, ...]
    records: Mapping[RowKey, Any]
    """As read from the file, by id or number; of settings, the whole record under ''."""

    @property
    def name(self) -> str:
        """Its path as people read it: ``room.stages``."""
        return ".".join(map(str, self.path))

    def cells(self, key: RowKey) -> dict[str, Cell]:
        """Return what stands in the cells of one record, by column; nothing for what is not written."""
        return {column.key: cell_of(value_at(self.records[key], column.path), column) for column in self.columns}


def value_at(record: Any, path: tuple[str, ...]) -> Any:
    """Return a value of a record; None where it is not written."""
    for part in path:
        record = record.get(part) if isinstance(record, dict) else None
    return record


def sheets_of(files: Mapping[str, Any]) -> tuple[WorkbookSheet, ...]:
    """Return the sheets of the files of a folder, by stem, as they were read."""
    return tuple(_sheet(path, form, files) for path, form in _PLACES)


def _sheet(path: Path, form: Form, files: Mapping[str, Any]) -> WorkbookSheet:
    stem = str(path[0])
    data: Any = files.get(stem)
    for part in path[1:]:
        data = data.get(part) if isinstance(data, dict) else None
    records: dict[RowKey, Any]
    if form == "settings":
        records = {"": data if isinstance(data, dict) else {}}
    elif form == "items":
        records = dict(enumerate(data)) if isinstance(data, list) else {}
    else:
        records = dict(data) if isinstance(data, dict) else {}
    columns = columns_of(_schema(path, form), stem, list(records.values()))
    if form == "settings":
        own = {inner[1] for inner, _ in _PLACES if len(inner) == 2 and inner[0] == stem}
        columns = tuple(column for column in columns if column.path[0] not in own)
    if stem == "stock":
        columns = tuple(column for column in columns if column.key != "instrument")
    return WorkbookSheet(path=path, form=form, columns=columns, records=records)


def _schema(path: Path, form: Form) -> Mapping[str, Any]:
    """Return the schema of the records at a path."""
    root = schema_of(str(path[0]))
    part: Mapping[str, Any] = root
    for name in path[1:]:
        part = part["properties"][name]
    if form == "table":
        part = part["additionalProperties"]
    if form == "items":
        part = part["items"]
    return root["$defs"][part["$ref"].rpartition("/")[2]] if "$ref" in part else part


def rows(sheet: WorkbookSheet) -> Iterator[tuple[RowKey, dict[str, Cell]]]:
    """Yield the rows of a sheet from top to bottom, each with its cells."""
    for key in sheet.records:
        yield key, sheet.cells(key)
