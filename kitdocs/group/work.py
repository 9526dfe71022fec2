"""The work on one practice of a group: read, planned, its handbook made. It runs anywhere, and knows only its data."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from kitdocs.cache import user_cache
from kitdocs.command.kept import BuiltHandbook, Results, build_handbook
from kitdocs.errors import KitdocsError, mistake_of_kitdocs
from kitdocs.group.found import PackedPractice, unpacked
from kitdocs.group.summary import Summary, summary_of
from kitdocs.practice.problems import PracticeError, Problem
from kitdocs.practice.reading.reader import read_practice


@dataclass(frozen=True, slots=True, kw_only=True)
class WorkedOn:
    """What came of one practice. With `summary`, it could be planned; `failed` says why its handbook was not made."""

    name: str
    problems: tuple[Problem, ...] = ()
    failed: str = ""
    summary: Summary | None = None
    files: Mapping[str, bytes] = field(default_factory=dict, repr=False)
    editions: Mapping[str, str] = field(default_factory=dict, repr=False)

    @property
    def is_good(self) -> bool:
        return self.summary is not None and not self.failed


def work_on(practice: PackedPractice, *, handbook: bool, fresh: bool = False) -> WorkedOn:
    """Return what comes of a practice, and its handbook if it is wanted. Raises nothing: what is wrong is in it."""
    summary: Summary | None = None
    try:
        with unpacked(practice) as folder:
            cache = user_cache(fresh=fresh)
            read = read_practice(folder)
            plan = Results(cache, folder).plan(read)
            summary = summary_of(read, plan)
            built = build_handbook(folder, cache, lambda step: None) if handbook else None
            return _worked(practice.name, plan.problems, summary, built)
    except PracticeError as error:
        return WorkedOn(name=practice.name, problems=error.problems)
    except KitdocsError as error:
        return WorkedOn(name=practice.name, failed=str(error), summary=summary)
    except Exception as error:
        return WorkedOn(name=practice.name, failed=mistake_of_kitdocs(error), summary=summary)


def _worked(name: str, problems: tuple[Problem, ...], summary: Summary, built: BuiltHandbook | None) -> WorkedOn:
    return WorkedOn(
        name=name,
        problems=problems,
        summary=summary,
        files=dict(built.files) if built else {},
        editions=dict(built.editions) if built else {},
    )
