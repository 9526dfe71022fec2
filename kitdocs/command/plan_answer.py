"""The answer of `kitdocs plan`: the report, figures explained, or what a change moves; for people, or as JSON."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Any

from rich.console import Console
from rich.text import Text

from kitdocs.command.console import trimmed
from kitdocs.command.explained import show_comparison, show_figures
from kitdocs.command.plan_json import figures_json, plan_json, what_if_json
from kitdocs.command.problems_told import show_problems
from kitdocs.command.terminal import show_handbook
from kitdocs.command.what_if import changed_practice
from kitdocs.document.card import Handbook
from kitdocs.document.catalog import MessageCatalog, catalog_for
from kitdocs.planning.buying.placement import PlacementStudy, placement_figures, study_of_plan
from kitdocs.planning.compare import Comparison, compare
from kitdocs.planning.figure import Figure
from kitdocs.planning.find import figures_about, nearest_ids
from kitdocs.planning.plan import Plan, make_plan
from kitdocs.practice import read_practice
from kitdocs.practice.model import Practice
from kitdocs.practice.problems import Problem
from kitdocs.report.build_report import make_report

Tell = Callable[[str], None]

#: The parts of the report that are shown when nobody asks for others.
SHORT = ("summary", "sets", "drawers", "day", "buying", "supplies", "warnings")


class UnknownError(ValueError):
    """A figure or a part that does not exist."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Worked:
    """A plan, and with changes the plan without them too."""

    practice: Practice
    plan: Plan
    words: MessageCatalog
    """What the answer is said in."""
    studies: tuple[PlacementStudy, ...] = ()
    """Other places for the instruments; empty when nobody asked for it."""
    changes: Mapping[str, str] = field(default_factory=dict)
    before: Worked | None = None

    @property
    def figures(self) -> tuple[Figure, ...]:
        return (*self.plan.figures, *placement_figures(self.practice, self.studies))

    @property
    def comparison(self) -> Comparison | None:
        return compare(self.before.figures, self.figures) if self.before else None

    @property
    def new_problems(self) -> tuple[Problem, ...]:
        """Warnings that only the changed practice gets."""
        known = {(p.rule, p.path, p.message) for p in self.before.plan.problems} if self.before else set()
        return tuple(p for p in self.plan.problems if not p.accepted and (p.rule, p.path, p.message) not in known)


@dataclass(frozen=True, slots=True, kw_only=True)
class Work:
    """A request for a plan. With `study`, other places for the instruments too, which takes several times as long.

    `language` is that of the answer; empty for the practice's first.
    """

    days: int
    seed: int
    study: bool
    language: str = ""

    def done(self, practice: Practice, tell: Tell) -> Worked:
        """Work it out. Raises `KitdocsError` when nobody speaks the language."""
        words = catalog_for(self.language or practice.settings.languages[0], practice.words)
        tell(f"running {self.days:,} busy days")
        plan = make_plan(practice, days=self.days, seed=self.seed)
        if not self.study:
            return Worked(practice=practice, plan=plan, words=words)
        tell("trying other places for the instruments")
        return Worked(practice=practice, plan=plan, words=words, studies=study_of_plan(practice, plan.days))


def work_out(folder: Path, changes: Mapping[str, str], work: Work, tell: Tell) -> Worked:
    """Read the folder and work it out; with changes, a second time beside it, from the same seed."""
    tell("reading the practice folder")
    practice = read_practice(folder)
    changed = changed_practice(folder, changes) if changes else None
    worked = work.done(practice, tell)
    if changed is None:
        return worked
    return replace(work.done(changed, tell), changes=changes, before=worked)


def asks_for_study(why: str, parts: Sequence[str], as_json: bool) -> bool:
    """Whether the answer needs the placement study: that part, all as JSON, or all about one thing."""
    if why:
        return "." not in why or why.startswith("placement.")
    return as_json or bool({"placement", "all"} & set(parts))


def figures_for(figures: Sequence[Figure], wanted: str) -> tuple[Figure, ...]:
    """Return the figures that a person asks about; raises `UnknownError` with the nearest ids."""
    found = figures_about(figures, wanted)
    if not found:
        near = ", ".join(nearest_ids(figures, wanted))
        raise UnknownError(f"there is no figure '{wanted}'" + (f"; near to it: {near}" if near else ""))
    return found


def answer_json(worked: Worked, why: str) -> dict[str, Any]:
    """Return all of the plan, or the figures asked for."""
    words, comparison = worked.words, worked.comparison
    what_if = what_if_json(words, comparison, worked.changes) if comparison else None
    if why:
        return {"figures": figures_json(words, figures_for(worked.figures, why)), "what_if": what_if}
    return {**plan_json(words, worked.practice, worked.plan, worked.studies), "what_if": what_if}


def show_answer(console: Console, worked: Worked, why: str, parts: Sequence[str]) -> None:
    """Print the same for people: figures explained, a comparison, or the report."""
    words = worked.words
    with trimmed(console):
        if why:
            before = {figure.id: figure for figure in worked.before.figures} if worked.before else None
            show_figures(console, words, figures_for(worked.figures, why), before)
        elif worked.comparison:
            show_comparison(console, words, worked.comparison, worked.changes)
            show_problems(console, worked.new_problems)
        else:
            _show_report(console, worked, parts)


def _show_report(console: Console, worked: Worked, parts: Sequence[str]) -> None:
    report = make_report(worked.practice, worked.plan, worked.studies, language=worked.words.language)
    known = {_part(card.id): card.id for card in report.cards}
    wanted = [*known, "all"] if "all" in parts else [*(parts or SHORT)]
    for part in wanted:
        if part not in (*known, *SHORT, "placement", "all"):
            raise UnknownError(f"the report has no part '{part}'; it has {', '.join(known)}, and all")
    show_handbook(console, report, leave_out={id_ for part, id_ in known.items() if part not in wanted})
    _show_rest(console, report, wanted)


def _show_rest(console: Console, report: Handbook, shown: Sequence[str]) -> None:
    parts = dict.fromkeys((*(_part(card.id) for card in report.cards), "placement"))
    more = [part for part in parts if part not in shown and "all" not in shown]
    console.print()
    if more:
        console.print(Text(report.words("terminal.more", parts=", ".join(more))))


def _part(card_id: str) -> str:
    return card_id.removeprefix("plan/")
