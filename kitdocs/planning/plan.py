"""The plan of a practice: every figure that is worked out, in one value that cards and reports read from."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from kitdocs.planning.colour_check import colour_problems
from kitdocs.planning.day import BusyDays, busy_days
from kitdocs.planning.fit import Fit, fit_problems, fit_set
from kitdocs.planning.items import Takings
from kitdocs.planning.loads import LoadGuide, load_guides
from kitdocs.planning.pouch_fit import pouch_problems
from kitdocs.planning.wrap import SheetChoice, sheets_for_cassettes, wrap_problems
from kitdocs.practice.model import Practice
from kitdocs.practice.problems import PracticeError, Problem, in_order


@dataclass(frozen=True, slots=True, kw_only=True)
class Plan:
    """What kitdocs worked out. Ids as in the practice folder; lengths in millimetres."""

    days: BusyDays
    fits: Mapping[str, Fit]
    """By set."""
    sheets: Mapping[str, SheetChoice]
    """By set."""
    load_guides: tuple[LoadGuide, ...]
    drawer_pouches: Mapping[str, Mapping[str, float]]
    """By procedure: the drawer pouches that it may open, with the share of its visits that do."""
    problems: tuple[Problem, ...]
    """The practice's warnings and the plan's, sorted by place."""

    @property
    def par(self) -> Mapping[tuple[str, str], int]:
        """How many of a pouch should be in a drawer, by (chair, pouch)."""
        return self.days.par


def make_plan(practice: Practice, *, days: int = 1000, seed: int = 1) -> Plan:
    """Work the figures out from `days` busy days drawn from `seed`.

    Raises `PracticeError` with everything that keeps the practice from working as described.
    """
    problems = [*practice.problems, *static_problems(practice)]
    try:
        ran = busy_days(practice, days=days, seed=seed)
    except PracticeError as error:
        raise PracticeError([*problems, *error.problems]) from None
    problems += ran.problems
    if any(problem.severity == "error" for problem in problems):
        raise PracticeError(problems)
    sheets = sheets_for_cassettes(practice)
    return Plan(
        days=ran,
        fits={set_id: fit_set(practice, set_id) for set_id in practice.sets},
        sheets={set_id: sheets[of.cassette] for set_id, of in practice.sets.items()},
        load_guides=load_guides(practice),
        drawer_pouches=_drawer_pouches(practice),
        problems=in_order(problems),
    )


def static_problems(practice: Practice) -> tuple[Problem, ...]:
    """What does not fit, by measure alone: no day needs to be drawn."""
    checks = (fit_problems, pouch_problems, wrap_problems, colour_problems)
    return in_order(problem for check in checks for problem in check(practice))


def _drawer_pouches(practice: Practice) -> dict[str, dict[str, float]]:
    """By procedure; the largest share where its chairs differ."""
    takings = Takings(practice)
    drawer = {kind.id for kind in takings.kinds if kind.role == "drawer"}
    opened: dict[str, dict[str, float]] = {}
    for procedure in practice.procedures:
        shares = opened.setdefault(procedure, {})
        for chair in practice.chairs_for(procedure):
            for pouch, share in takings.mean_taken(procedure, chair).items():
                if pouch in drawer:
                    shares[pouch] = max(share, shares.get(pouch, 0.0))
    return opened
