"""Any edit, in a folder that is written in any style, comes back as that edit.

The folder is the data of the example, written by the dumper of PyYAML in a style that is drawn, with comments strewn
over it. What its files hold afterwards is read by the loader of PyYAML, which takes every value as it is written.
"""

from __future__ import annotations

import copy
import json
import re
from pathlib import Path
from typing import Any

import pytest
import yaml
from hypothesis import given
from hypothesis import strategies as st
from returning import Returning
from test_bringing_back import TEXTS, as_text, brought, loaded

from kitdocs.practice.schema import YAML_FILES
from kitdocs.starter import start
from kitdocs.workbook.sheets import sheets_of
from kitdocs.workbook.texts import data_of, read_texts

DATA = data_of(TEXTS)


@st.composite
def texts(draw: st.DrawFn) -> dict[str, str]:
    """The example's files in another style, with comments at the ends of lines and above them."""
    return {**TEXTS, **{stem: draw(written(DATA[stem])) for stem in YAML_FILES}}


@st.composite
def written(draw: st.DrawFn, data: Any) -> str:
    flow, step = draw(st.sampled_from([None, False])), draw(st.sampled_from([2, 3, 4]))
    dumped = yaml.safe_dump(
        data, width=10**6, allow_unicode=True, sort_keys=False, default_flow_style=flow, indent=step
    )
    lines = dumped.splitlines()
    found = []
    for n, line in enumerate(lines):
        where = draw(st.sampled_from(["", "", "", "", "beside", "above", "empty"]))
        indent = " " * (len(line) - len(line.lstrip()))
        found += [f"{indent}# above {n}."] if where == "above" else [""] if where == "empty" else []
        found.append(f"{line}  # beside {n}." if where == "beside" else line)
    eol = draw(st.sampled_from(["\n", "\r\n"]))
    return eol.join(["# head", *found, *draw(st.sampled_from([[], [""], ["# end", ""]]))])


def leaf(record: Any, path: tuple[str, ...]) -> Any:
    for part in path:
        record = record.get(part) if isinstance(record, dict) else None
    return record


def put(record: dict[str, Any], path: tuple[str, ...], value: Any) -> None:
    """Set a value, or take it out; a map that becomes empty goes."""
    first, *rest = path
    if rest:
        if not isinstance(record.get(first), dict):
            if value is None:
                return
            record[first] = {}
        put(record[first], tuple(rest), value)
        if not record[first]:
            del record[first]
    elif value is None:
        record.pop(first, None)
    else:
        record[first] = copy.deepcopy(value)


@pytest.mark.whole
@given(texts(), st.data())
def test_a_value_copied_from_another_record_stands_where_it_was_copied_to(
    folder: dict[str, str], data: st.DataObject
) -> None:
    returning = Returning(folder)
    assert brought(returning)[:2] == ({}, [])
    sheets = [sheet for sheet in sheets_of(data_of(folder)) if len(sheet.records) > 1 and sheet.form == "table"]
    wanted = {stem: loaded(text) for stem, text in folder.items() if stem in YAML_FILES}
    touched: set[tuple[str, ...]] = set()
    for _ in range(data.draw(st.integers(1, 3))):
        sheet = data.draw(st.sampled_from([sheet for sheet in sheets if sheet.path[0] != "stock"]))
        column = data.draw(st.sampled_from([column for column in sheet.columns if column.path[0] != "colour"]))
        source, target = (data.draw(st.sampled_from(list(sheet.records))) for _ in range(2))
        cell = sheet.cells(source)[column.key]
        returning.set(sheet.name, target, column.key, cell)
        records: Any = wanted[str(sheet.path[0])]
        original: Any = loaded(folder[str(sheet.path[0])])
        for part in sheet.path[1:]:
            records, original = records[part], original[part]
        put(records[target], column.path, leaf(original[source], column.path))
        touched.add((*map(str, sheet.path), str(target)))
    changed, problems, merged = brought(returning)
    assert problems == []
    after = {**folder, **changed}
    for stem, data_wanted in wanted.items():
        assert plain(loaded(after[stem])) == plain(data_wanted), stem
        eol = "\r\n" if "\r\n" in folder[stem] else "\n"
        assert eol == "\n" or "\n" not in after[stem].replace("\r\n", "")
        gone = set(re.findall(r"# (?:above|beside) \d+\.", folder[stem])) - set(re.findall(r"# \w+ \d+\.", after[stem]))
        assert gone <= set(merged.comments.get(stem, []))
    assert all(any(edit.path[: len(path)] == path for path in touched) for edit in merged.edits)


def plain(data: Any) -> str:
    """Data to compare: the order of keys does not count, nor does 9.50 beside 9.5."""

    def number(text: Any) -> Any:
        if isinstance(text, dict):
            return {key: number(part) for key, part in text.items()}
        if isinstance(text, list):
            return [number(part) for part in text]
        try:
            return float(text) if text.replace(".", "").isdigit() and "." in text else text
        except ValueError:
            return text

    def whole(value: Any) -> Any:
        if isinstance(value, dict):
            return {key: whole(part) for key, part in value.items()}
        if isinstance(value, list):
            return [whole(part) for part in value]
        return str(int(value)) if isinstance(value, float) and value.is_integer() else value

    return json.dumps(whole(number(as_text(data))), sort_keys=True)


def test_the_starter_comes_back(tmp_path: Path) -> None:
    start(tmp_path / "ours")
    returning = Returning(read_texts(tmp_path / "ours"), "es")
    returning.set("procedures", str(next(iter(data_of(returning.texts)["procedures"]))), "minutes", "35 min")
    changed, problems, _ = brought(returning)
    assert (list(changed), problems) == (["procedures"], [])
