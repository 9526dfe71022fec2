"""``import.yaml`` in a practice folder: what people said of their lists, so that the next list asks nothing."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

from kitdocs.importing.found import About, as_about
from kitdocs.practice.message import Message, message
from kitdocs.practice.problems import Problem
from kitdocs.practice.reading.text_file import read_text
from kitdocs.practice.reading.yaml_file import read_yaml
from kitdocs.practice.writing import scalar

MEMORY = "import.yaml"


def remembered(folder: Path) -> tuple[dict[About, str], tuple[Problem, ...]]:
    """Return what import.yaml of a folder holds, nothing where there is none; and what is wrong with it."""
    if not (folder / MEMORY).exists():
        return {}, ()
    source = read_text(folder, MEMORY, ("import",))
    if isinstance(source, Problem):
        return {}, (source,)
    file = read_yaml(source)
    return dict(_flat((), file.data)) if isinstance(file.data, dict) else {}, tuple(file.problems)


def _flat(about: tuple[str, ...], data: Mapping[Any, Any]) -> Iterator[tuple[About, str]]:
    for key, value in data.items():
        here = (*about, str(key))
        if isinstance(value, dict):
            yield from _flat(here, value)
        elif isinstance(value, str | int | float) and not isinstance(value, bool):
            yield as_about(*here), str(value)


def beside_a_new_one(folder: Path) -> frozenset[str]:
    """Return what may lie in a folder in which a practice is begun: answers of a run that was stopped, hidden files."""
    names = {path.name for path in folder.iterdir()} if folder.is_dir() else set()
    return frozenset(name for name in names if name == MEMORY or name.startswith("."))


def memory_text(answers: Mapping[About, str], head: str) -> str:
    """Return the text of import.yaml; `head` is the comment at its top."""
    tree: dict[str, Any] = {}
    for about, answer in sorted(answers.items()):
        inner = tree
        for part in about[:-1]:
            inner = inner.setdefault(part, {})
        inner[about[-1]] = answer
    lines = [f"# {line}" for line in head.splitlines()]
    return "\n".join([*lines, *_lines(tree, "")]) + "\n"


def _lines(tree: Mapping[str, Any], indent: str) -> Iterator[str]:
    for key, value in tree.items():
        if isinstance(value, dict):
            yield f"{indent}{scalar(key)}:"
            yield from _lines(value, indent + "  ")
        else:
            yield f"{indent}{scalar(key)}: {scalar(value)}"


def head_message() -> Message:
    """Return the comment at the top of the file."""
    return message("import.memory")
