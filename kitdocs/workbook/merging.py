"""A folder as it is to be: the edits of a workbook put into its files, where nothing else has changed the same."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Any

from kitdocs.practice.editing.csv_text import RowEdit, replace_cells
from kitdocs.practice.editing.edits import GONE, Edit, EditError, same
from kitdocs.practice.editing.yaml_text import replace_values
from kitdocs.practice.locations import Path
from kitdocs.practice.message import Message, message
from kitdocs.practice.schema import TABLES
from kitdocs.workbook.comparing import BookEdit, BookProblem
from kitdocs.workbook.texts import HEADERS, data_of


@dataclass(slots=True)
class Merged:
    """The texts of the files that change, by stem; the edits that do it; the comments that go with what goes."""

    texts: dict[str, str] = field(default_factory=dict)
    edits: list[BookEdit] = field(default_factory=list)
    problems: list[BookProblem] = field(default_factory=list)
    comments: dict[str, list[str]] = field(default_factory=dict)


def merge(
    edits: Sequence[BookEdit], base: Mapping[str, str], now: Mapping[str, str], last: Mapping[str, str] | None = None
) -> Merged:
    """Return what the edits of a workbook, made from the texts `base`, make of the texts `now` of a folder.

    A value that was changed in both, and not to the same, is a problem. `last` are the texts as they were when the same
    workbook was brought back before: what it changed then, it may change again.
    """
    merged = Merged()
    states = _States(data_of(base), data_of(now), data_of(last or {}))
    for edit in edits:
        theirs = _at(states.now, edit.path)
        if refused := states.refused(edit):
            merged.problems.append(BookProblem(where=edit.where, message=refused))
        elif not same(theirs, edit.value):
            merged.edits.append(replace(edit, before=theirs))
    for stem in dict.fromkeys(str(edit.path[0]) for edit in merged.edits):
        own = [edit for edit in merged.edits if edit.path[0] == stem]
        try:
            text = _edited_table(stem, own, now, states.now) if stem in TABLES else _edited_yaml(stem, own, now, merged)
        except EditError as error:
            edit = next((each for each in own if each.path[1:] == error.path), own[0])
            merged.problems.append(BookProblem(where=edit.where, message=message("workbook.cell.by-hand")))
            continue
        if text != now.get(stem, ""):
            merged.texts[stem] = text
    return merged


@dataclass(frozen=True, slots=True)
class _States:
    """What the files held: when the workbook was written, now, and when it was brought back before."""

    base: Mapping[str, Any]
    now: Mapping[str, Any]
    last: Mapping[str, Any]

    def refused(self, edit: BookEdit) -> Message | None:
        """Return why an edit must not be made; None when it may."""
        stem = str(edit.path[0])
        if same(self.base.get(stem), self.now.get(stem)):
            return None
        at = next((n for n, part in enumerate(edit.path) if isinstance(part, int)), None)
        if at is not None:  # the items of a list are known by their number alone
            base, now, last = (_at(state, edit.path[:at]) for state in (self.base, self.now, self.last))
            again = same(now, last) and isinstance(base, list) and isinstance(now, list) and len(base) == len(now)
            return None if again or same(base, now) else _changed_meanwhile(now)
        now = _at(self.now, edit.path)
        record = edit.path[:2]
        if len(edit.path) > 2 and isinstance(_at(self.base, record), dict) and _at(self.now, record) is GONE:
            return _changed_meanwhile(GONE)
        known = same(now, edit.value) or same(now, edit.before) or (self.last and same(now, _at(self.last, edit.path)))
        return None if known else _changed_meanwhile(now)


def _changed_meanwhile(now: Any) -> Message:
    if now is GONE:
        return message("workbook.cell.gone-meanwhile")
    return message("workbook.cell.changed-meanwhile", now=shown(now))


def _at(data: Any, path: Path) -> Any:
    for part in path:
        if isinstance(data, Mapping):
            data = data.get(part, GONE)
        elif isinstance(data, list) and isinstance(part, int) and part < len(data):
            data = data[part]
        else:
            return GONE
    return GONE if data is None else data


def shown(value: Any) -> str:
    """Return a value on one line, shortened."""
    if isinstance(value, dict):
        text = ", ".join(f"{key}: {shown(part)}" for key, part in value.items())
    elif isinstance(value, list):
        text = ", ".join(map(shown, value))
    elif isinstance(value, bool):
        text = str(value).lower()
    else:
        text = "–" if value is GONE or value is None else " ".join(str(value).split())
    return text if len(text) <= 70 else f"{text[:67]}..."


def _edited_yaml(stem: str, edits: Sequence[BookEdit], now: Mapping[str, str], merged: Merged) -> str:
    done = replace_values(
        now[stem], [Edit(path=edit.path[1:], value=edit.value, after=edit.after) for edit in _in_order(edits)]
    )
    if done.comments:
        merged.comments[stem] = done.comments
    return done.text


def _in_order(edits: Sequence[BookEdit]) -> list[BookEdit]:
    """Return edits so that numbers of items stay right: items are taken out last, the last of them first."""
    out = [edit for edit in edits if edit.value is GONE and edit.is_record and isinstance(edit.path[-1], int)]
    return [edit for edit in edits if edit not in out] + sorted(out, key=lambda edit: edit.path[-1], reverse=True)


def _edited_table(stem: str, edits: Sequence[BookEdit], now: Mapping[str, str], held: Mapping[str, Any]) -> str:
    """Return the text of a table with its edits made. A new row comes after the one above it."""
    rows = list(held.get(stem, {})) if stem == "stock" else list(range(len(held.get(stem, []))))
    made: dict[Any, RowEdit] = {}
    for edit in edits:
        key = edit.path[1]
        if edit.is_record and edit.value is not GONE and key in rows:  # it was brought before
            cells = {name: shown_cell(value) for name, value in edit.value.items()}
            made[key] = RowEdit(row=rows.index(key), cells=cells)
        elif edit.is_record and edit.value is not GONE:
            cells = {name: shown_cell(value) for name, value in edit.value.items()}
            cells |= {"instrument": str(key)} if stem == "stock" else {}
            place = rows.index(edit.after) + 1 if edit.after in rows else 0 if edit.after == "" else len(rows)
            made[key] = RowEdit(row=place, cells=cells, new=True)
        elif edit.is_record:
            made[key] = RowEdit(row=rows.index(key), cells=None)
        else:
            before = made[key].cells if key in made else None
            cell = "" if edit.value is GONE else shown_cell(edit.value)
            made[key] = RowEdit(row=rows.index(key), cells={**(before or {}), str(edit.path[2]): cell})
    return replace_cells(now.get(stem, ""), list(made.values()), HEADERS[stem])


def shown_cell(value: Any) -> str:
    """Return a value as a cell of a CSV file has it."""
    return " ".join(str(value).split())
