"""The texts of a folder's data files, and what they hold as plain data, exactly as it is written there."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Any

from kitdocs.practice.editing.csv_text import csv_rows
from kitdocs.practice.editing.nodes import nodes_of
from kitdocs.practice.formats import STEM, refuse_older, unknown_format
from kitdocs.practice.problems import PracticeError, Problem
from kitdocs.practice.reading.common import SHARED, common_folder
from kitdocs.practice.reading.text_file import read_text
from kitdocs.practice.reading.yaml_file import plain, read_yaml
from kitdocs.practice.schema import TABLES, YAML_FILES

#: The first line of a table that is not there yet.
HEADERS: Mapping[str, tuple[str, ...]] = {
    "stock": ("instrument", "on_hand", "in_repair"),
    "schedule": ("day", "start", "chair", "procedure", "minutes"),
}


def file_of(stem: str) -> str:
    """Return the name of a file."""
    return f"{stem}.csv" if stem in TABLES else f"{stem}.yaml"


def read_texts(folder: Path) -> dict[str, str]:
    """Return the text of each data file of a folder, by stem; of those that may be missing, only what is there.

    Raises `PracticeError` when one cannot be read, is not YAML, or is in another format than this kitdocs writes.
    """
    texts: dict[str, str] = {}
    problems: list[Problem] = []
    for stem in (*YAML_FILES, *TABLES):
        if stem in TABLES and not (folder / file_of(stem)).exists():
            continue
        if stem in SHARED and common_folder(folder) and not (folder / file_of(stem)).exists():
            continue
        source = read_text(folder, file_of(stem), (stem,))
        if isinstance(source, Problem):
            problems.append(source)
            continue
        texts[stem] = source.text
        if stem in TABLES:
            continue
        read = read_yaml(source)
        problems += [problem for problem in read.problems if problem.severity == "error"]
        if stem == STEM and (problem := unknown_format(read) or refuse_older(read.data)):
            raise PracticeError([problem])
    if problems:
        raise PracticeError(problems)
    return texts


def data_of(texts: Mapping[str, str]) -> dict[str, Any]:
    """Return what texts hold, by stem: a YAML file its data, a table a list of its rows."""
    return {stem: _data(stem, text) for stem, text in texts.items()}


def _data(stem: str, text: str) -> Any:
    if stem not in TABLES:
        root = nodes_of(text)
        return root.data if root else None
    rows: list[dict[str, Any]] = []
    for row in csv_rows(text):
        cells = {name: plain(cell) if cell else None for name, cell in row.items()}
        rows.append({name: value for name, value in cells.items() if value is not None})
    if stem != "stock":
        return rows
    return {str(row.get("instrument", "")): {k: v for k, v in row.items() if k != "instrument"} for row in rows}
