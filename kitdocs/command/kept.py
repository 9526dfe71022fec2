"""Results that commands keep between runs: the plan, the study of instrument places, the whole handbook."""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING, TypeVar

from kitdocs.cache import Cache, key_of, user_cache

if TYPE_CHECKING:
    from kitdocs.document.card import Handbook
    from kitdocs.planning.buying.placement import PlacementStudy
    from kitdocs.planning.day.breaking import Breakdown
    from kitdocs.planning.plan import Plan
    from kitdocs.practice.model import Practice
    from kitdocs.practice.problems import Problem

T = TypeVar("T")

#: Folders inside a practice folder that are read; whatever else is in it has no effect.
_READ = ("drawings", "pages", "photos", "printed")


@dataclass(frozen=True, slots=True, kw_only=True)
class BuiltHandbook:
    """Everything that `kitdocs handbook` writes and says."""

    files: Mapping[str, bytes] = field(repr=False)
    editions: Mapping[str, str] = field(repr=False)
    """The edition of each card that is printed, by language and card: ``en r/chair-1``."""
    cards: int
    problems: tuple[Problem, ...]


def entries(folder: Path, inside: Sequence[str] = _READ) -> list[Path]:
    """Return what may be read of a practice folder: its own entries, and all in some of the folders inside it."""
    own = [entry for entry in folder.iterdir() if not entry.name.startswith(".")]
    return own + [path for name in inside for path in (folder / name).rglob("*")]


def content_of(folder: Path) -> dict[str, str]:
    """Return the digest of each file of a practice folder that may be read, by path; empty when it cannot be read."""
    try:
        content = {path.relative_to(folder).as_posix(): _digest(path) for path in entries(folder)}
        return content | _content_shared(folder)
    except OSError:
        return {}


def _content_shared(folder: Path) -> dict[str, str]:
    """Return the digests of the folder whose records a practice shares, if it names one: its pages with a slash."""
    from kitdocs.practice.reading.common import common_folder

    shared = common_folder(folder)
    paths = sorted(shared.rglob("*")) if shared else []
    return {f"(common) {path.relative_to(shared).as_posix()}": _digest(path) for path in paths if shared}


def _digest(path: Path) -> str:
    return hashlib.sha256(path.read_bytes()).hexdigest() if path.is_file() else ""


class Results:
    """Results for a practice folder as its files are now."""

    def __init__(self, cache: Cache, folder: Path) -> None:
        self.cache = cache
        self.folder = folder
        self._content = content_of(folder)

    def result(self, name: str, make: Callable[[], T], *, depends_on: Callable[[str], bool] = bool) -> T:
        """Return what an earlier run made, or make it; kept unless somebody has changed the folder meanwhile.

        `depends_on` chooses the files, by path, that have an effect on it.
        """
        key = key_of(name, {path: digest for path, digest in self._content.items() if depends_on(path)})
        found: T | None = self.cache.get(key) if self._content else None
        if found is None:
            found = make()
            if self._content and content_of(self.folder) == self._content:
                self.cache.put(key, found)
                self.cache.evict()
        return found

    def plan(self, practice: Practice) -> Plan:
        """Return the practice's plan. Raises `PracticeError`."""
        from kitdocs.command.kept_days import KeptDays
        from kitdocs.planning.plan import make_plan

        return self.result("plan", lambda: make_plan(practice, run=KeptDays(self.cache)))

    def study(self, practice: Practice, plan: Plan) -> tuple[PlacementStudy, ...]:
        """Return the study of instrument places. Pages, photos and printed cards have no effect on it."""
        from kitdocs.command.kept_days import KeptDays
        from kitdocs.planning.buying.placement import placement_study

        return self.result(
            "study",
            lambda: placement_study(practice, plan.days, run=KeptDays(self.cache)),
            depends_on=lambda path: "/" not in path,
        )

    def breakdowns(self, practice: Practice, plan: Plan) -> tuple[Breakdown, ...]:
        """Return what happens when something breaks."""
        from kitdocs.command.kept_days import KeptDays

        return KeptDays(self.cache).breakdowns(practice, plan.days)


def read_and_plan(folder: Path, tell: Callable[[str], None]) -> tuple[Practice, Plan, tuple[Handbook, ...]]:
    """Return the practice, its plan and its handbooks. Raises `PracticeError`."""
    from kitdocs.handbook.build_handbook import make_handbooks

    practice, plan = _planned(Results(user_cache(), folder), tell)
    return practice, plan, make_handbooks(practice, plan)


def _planned(results: Results, tell: Callable[[str], None]) -> tuple[Practice, Plan]:
    from kitdocs.practice.reading.reader import read_practice

    tell("reading the practice folder")
    practice = read_practice(results.folder)
    tell("working out the figures")
    return practice, results.plan(practice)


def build_handbook(folder: Path, cache: Cache, tell: Callable[[str], None]) -> BuiltHandbook:
    """Return the handbook of a practice folder, made anew where anything changed. Raises `KitdocsError`."""
    results = Results(cache, folder)
    return results.result("handbook", lambda: _build(results, tell))


def _build(results: Results, tell: Callable[[str], None]) -> BuiltHandbook:
    from kitdocs.handbook.build_handbook import make_handbook
    from kitdocs.publish.handbook_folder import handbook_files
    from kitdocs.report.build_report import make_reports
    from kitdocs.report.tables import make_tables

    practice, plan = _planned(results, tell)
    made: list[Handbook] = []

    def handbooks() -> Iterator[Handbook]:
        for language in practice.settings.languages:
            made.append(make_handbook(practice, plan, language))
            yield made[-1]

    files = handbook_files(
        handbooks(),
        tell,
        reports=lambda: make_reports(practice, plan, results.study(practice, plan), results.breakdowns(practice, plan)),
        tables=make_tables(practice, plan),
        cache=results.cache,
    )
    return BuiltHandbook(
        files=files,
        editions={f"{book.language} {card.id}": card.edition for book in made for card in book.kept},
        cards=sum(len(each.kept) for each in made),
        problems=plan.problems,
    )


def write_handbook(
    folder: Path, to: Path, cache: Cache, tell: Callable[[str], None], say: Callable[[str], None]
) -> tuple[BuiltHandbook, bool]:
    """Write the handbook of a practice folder, all or nothing; return it, and whether anything changed.

    Raises `KitdocsError`.
    """
    from kitdocs.practice.last_handbook import remember_handbook
    from kitdocs.publish.folder import write_folder

    built = build_handbook(folder, cache, tell)
    tell("writing the folder")
    changed = write_folder(to, built.files, say)
    remember_handbook(folder, built.editions)
    return built, changed
