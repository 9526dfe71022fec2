"""What `kitdocs plan` answers: the report, figures explained, or what a change moves; for people, or as JSON."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from rich.console import Console
from rich.text import Text

from kitdocs.explained import show_comparison, show_figures
from kitdocs.handbook.card import Handbook
from kitdocs.handbook.plan_report import make_report
from kitdocs.plan_json import figures_json, plan_json, what_if_json
from kitdocs.planning.compare import Comparison, compare
from kitdocs.planning.figure import Figure
from kitdocs.planning.find import figures_about, nearest_ids
from kitdocs.planning.plan import Plan, make_plan
from kitdocs.practice import read_practice
from kitdocs.practice.model import Practice
from kitdocs.practice.problems import Problem
from kitdocs.progress import Progress
from kitdocs.report import show_problems
from kitdocs.terminal import show_handbook, trimmed
from kitdocs.what_if import changed_practice

#: The parts of the report that are shown when nobody asks for others.
SHORT = ("summary", "sets", "drawers", "day", "buying", "supplies", "warnings")


class UnknownError(ValueError):
    """A figure or a part that does not exist."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Worked:
    """A plan, and with changes the plan without them too."""

    practice: Practice
    plan: Plan
    changes: Mapping[str, str] = field(default_factory=dict)
    before: Plan | None = None

    @property
    def comparison(self) -> Comparison | None:
        return compare(self.before.figures, self.plan.figures) if self.before else None

    @property
    def new_problems(self) -> tuple[Problem, ...]:
        """The warnings that only the changed practice gets."""
        known = {(p.rule, p.path, p.message) for p in self.before.problems} if self.before else set()
        return tuple(p for p in self.plan.problems if not p.accepted and (p.rule, p.path, p.message) not in known)


def work_out(folder: Path, changes: Mapping[str, str], *, days: int, seed: int, tell: Progress) -> Worked:
    """Read the folder and make its plan; with changes, a second one beside it, from the same seed."""
    tell("reading the practice folder")
    practice = read_practice(folder)
    changed = changed_practice(folder, changes) if changes else None
    tell(f"running {days:,} busy days")
    plan = make_plan(practice, days=days, seed=seed)
    if changed is None:
        return Worked(practice=practice, plan=plan)
    tell(f"running {days:,} busy days with the change")
    after = make_plan(changed, days=days, seed=seed)
    return Worked(practice=changed, plan=after, changes=changes, before=plan)


def figures_for(plan: Plan, wanted: str) -> tuple[Figure, ...]:
    """The figures that a person asks about; raises `UnknownError` with the nearest ids."""
    found = figures_about(plan.figures, wanted)
    if not found:
        near = ", ".join(nearest_ids(plan.figures, wanted))
        raise UnknownError(f"there is no figure '{wanted}'" + (f"; near to it: {near}" if near else ""))
    return found


def answer_json(worked: Worked, why: str) -> dict[str, Any]:
    """All of the plan, or the figures asked for."""
    comparison = worked.comparison
    what_if = what_if_json(comparison, worked.changes) if comparison else None
    if why:
        return {"figures": figures_json(figures_for(worked.plan, why)), "what_if": what_if}
    return {**plan_json(worked.practice, worked.plan), "what_if": what_if}


def show_answer(console: Console, worked: Worked, why: str, parts: Sequence[str]) -> None:
    """The same for people: figures explained, a comparison, or the report."""
    with trimmed(console):
        if why:
            before = {figure.id: figure for figure in worked.before.figures} if worked.before else None
            show_figures(console, figures_for(worked.plan, why), before)
        elif worked.comparison:
            show_comparison(console, worked.comparison, worked.changes)
            show_problems(console, worked.new_problems)
        else:
            _show_report(console, worked, parts)


def _show_report(console: Console, worked: Worked, parts: Sequence[str]) -> None:
    report = make_report(worked.practice, worked.plan)
    known = {_part(card.id): card.id for card in report.cards}
    wanted = [*known] if "all" in parts else [*(parts or SHORT)]
    for part in wanted:
        if part not in known and part not in SHORT:
            raise UnknownError(f"the report has no part '{part}'; it has {', '.join(known)}, and all")
    show_handbook(console, report, leave_out={id_ for part, id_ in known.items() if part not in wanted})
    _show_rest(console, report, wanted)


def _show_rest(console: Console, report: Handbook, shown: Sequence[str]) -> None:
    more = [part for part in (_part(card.id) for card in report.cards) if part not in shown]
    console.print()
    if more:
        console.print(Text(f"More with --part: {', '.join(more)}, or all. One figure with --why, as in --why core."))


def _part(card_id: str) -> str:
    return card_id.removeprefix("plan/")
