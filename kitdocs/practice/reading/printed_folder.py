"""Print runs in ``printed/``, each a YAML file, read as one table by the name of the run."""

from __future__ import annotations

import re
from collections.abc import Iterable
from pathlib import Path

from kitdocs.practice.printed import PRINTED
from kitdocs.practice.problems import Problem
from kitdocs.practice.reading.text_file import TextFile, file_problem, read_text
from kitdocs.practice.reading.yaml_file import YamlFile, read_yaml

#: Largest file (bytes): one run may record a whole handbook in several languages.
LARGEST_RUN = 8 * 1024 * 1024
_NAME = re.compile(r"(\d{4}-\d\d-\d\d)-[2-9A-Z]+\.yaml")


def read_printed(folder: Path, names: Iterable[str]) -> YamlFile:
    """Return the runs in the files of these names, by run. The ``printed`` folder is known to be within `folder`."""
    whole = YamlFile(data={})
    for name in names:
        if name.endswith((".yaml", ".yml")):
            _read(folder, name, whole)
    return whole


def _read(folder: Path, name: str, whole: YamlFile) -> None:
    """Read one run into the table of all."""
    run = name.rpartition(".")[0]
    at, path = (PRINTED, run), f"{PRINTED}/{name}"
    named = _NAME.fullmatch(name)
    if not named:
        whole.problems.append(file_problem(path, at, "printed-name"))
        return
    source = read_text(folder, path, at, largest=LARGEST_RUN)
    if isinstance(source, Problem):
        whole.problems.append(source)
        return
    read = read_yaml(source)
    whole.problems += read.problems or _odd(source, read, named[1])
    if read.data is not None:
        whole.data[run] = read.data
    for table, more in ((whole.keys, read.keys), (whole.values, read.values)):
        table.update(more)
    whole.silent |= read.silent


def _odd(source: TextFile, read: YamlFile, day: str) -> list[Problem]:
    """What is wrong with a file as a whole, though it is YAML."""
    if read.data is None:
        return [source.problem("empty-file", source.place(1), remedy="printed")]
    dated = read.data.get("date", day) if isinstance(read.data, dict) else day
    if isinstance(dated, str) and re.fullmatch(r"\d{4}-\d\d-\d\d", dated) and dated != day:
        at = (*source.at, "date")
        return [source.problem("printed-date", read.values[at], named=day, held=dated)]
    return []
