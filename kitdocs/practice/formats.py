"""Formats of a practice folder: which one its files are in, what each format changed, and the data of an older one.

A folder says its format in practice.yaml; one that does not is in the oldest. Each step from a format to the next is
told as changes of plain data, so that a folder is read (`brought_up`) and rewritten (`upgrading`) by the same list. A
step finds nothing to change in a file that has been changed already: what a killed upgrade left half done is finished
by the next.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from kitdocs.practice.editing.edits import Edit, with_value
from kitdocs.practice.locations import Path
from kitdocs.practice.message import message
from kitdocs.practice.problems import Problem, problem_at
from kitdocs.practice.reading.text_file import file_problem
from kitdocs.practice.reading.yaml_file import YamlFile

#: The format of a folder that names none.
OLDEST = 1
#: Where a folder says its format: the file and the key.
STEM, KEY = "practice", "format"


@dataclass(frozen=True, slots=True, kw_only=True)
class KeyRenamed:
    """The key at a path (without the file's stem) is now called otherwise; what belongs to it stays."""

    path: Path
    to: str


@dataclass(frozen=True, slots=True, kw_only=True)
class FormatChange:
    """One change of the data of one YAML file."""

    stem: str
    change: Edit | KeyRenamed


@dataclass(frozen=True, slots=True, kw_only=True)
class FormatStep:
    """What one format changed. `news` is the key of the sentence that tells it; `changes` are those of the data."""

    news: str
    changes: Callable[[Mapping[str, Any]], Iterable[FormatChange]]


#: The steps from each format to the next, the oldest first.
STEPS: tuple[FormatStep, ...] = ()


def newest() -> int:
    """Return the format that this kitdocs writes."""
    return OLDEST + len(STEPS)


def format_of(settings: Any) -> int:
    """Return the format that the data of practice.yaml names; the oldest for none, or one that is no format at all."""
    named = settings.get(KEY, OLDEST) if isinstance(settings, dict) else OLDEST
    return named if isinstance(named, int) and not isinstance(named, bool) and named >= OLDEST else OLDEST


def unknown_format(settings: YamlFile) -> Problem | None:
    """Return what there is to say of a folder in a format that this kitdocs does not know: nothing else is read."""
    number = format_of(settings.data)
    if number <= newest():
        return None
    return problem_at(settings.values[STEM, KEY], (STEM, KEY), "newer-format", number=number, newest=newest())


def refuse_older(settings: Any) -> Problem | None:
    """Return why nothing can be written into a folder in an older format."""
    number = format_of(settings)
    if number >= newest():
        return None
    return file_problem(f"{STEM}.yaml", (STEM, KEY), "older-format", number=number, newest=newest())


def brought_up(files: Mapping[str, YamlFile]) -> Iterator[Problem]:
    """Bring the data of a folder's files up to the newest format; yield a warning for each step, with what is new."""
    settings = files[STEM]
    first = format_of(settings.data)
    place = settings.values.get((STEM, KEY)) or settings.values.get((STEM,))
    for number, step in enumerate(STEPS[first - OLDEST :], first):
        for done in step.changes({stem: file.data for stem, file in files.items()}):
            _make(done.change, files[done.stem], done.stem)
        if place:
            yield Problem(
                rule="old-format",
                severity="warning",
                place=place,
                path=f"{STEM}.{KEY}",
                message=message("problems.old-format.message", number=number, next=number + 1, news=message(step.news)),
                remedy=message("problems.old-format.remedy"),
            )
    if first < newest() and isinstance(settings.data, dict):
        settings.data = {**settings.data, KEY: newest()}


def _make(change: Edit | KeyRenamed, file: YamlFile, stem: str) -> None:
    if isinstance(change, Edit):
        file.data = with_value(file.data, change.path, change.value)
        return
    file.data = renamed(file.data, change)
    old, new = (stem, *change.path), (stem, *change.path[:-1], change.to)
    for table in (file.keys, file.values):
        table.update({(*new, *at[len(old) :]): place for at, place in table.items() if at[: len(old)] == old})


def renamed(data: Any, change: KeyRenamed) -> Any:
    """Return plain data with a key renamed, in its place among the others; as it is where there is no such key."""
    *before, last = change.path
    holder: Any = data
    for part in before:
        holder = holder.get(part) if isinstance(holder, dict) else None
    if not isinstance(holder, dict) or last not in holder:
        return data
    entries = {(change.to if key == last else key): value for key, value in holder.items()}
    return with_value(data, tuple(before), entries) if before else entries
