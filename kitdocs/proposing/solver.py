"""HiGHS, a solver for programs of whole numbers (MIT licence): one program in, values and bound out."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from math import inf

import highspy

#: The solver stops when it is this near to sure, or after so many branchings: not after so many seconds, because the
#: same folder gives the same proposals on every machine.
GAP, MOST_NODES = 0.01, 40


@dataclass(slots=True)
class Row:
    """One condition: the sum of factors × columns lies from `low` to `high`. A column may be added more than once."""

    low: float
    high: float
    factors: dict[int, float] = field(default_factory=dict)

    def add(self, column: int, factor: float) -> None:
        self.factors[column] = self.factors.get(column, 0.0) + factor


class _Silent(highspy.Highs):
    """The solver without its banner, which it prints as soon as it is made."""

    def enableCallbacks(self) -> None:  # noqa: N802 - the solver's own name
        self.silent()
        super().enableCallbacks()  # type: ignore[no-untyped-call]


def solved(
    costs: Sequence[float], upper: Sequence[float], rows: Sequence[Row], *, gap: float = GAP, nodes: int = MOST_NODES
) -> tuple[list[float], float, float]:
    """Return the values of the columns, their cost, and the bound, below which no other values can cost.

    A column is 0 or 1 where its `upper` is 1, and any number from 0 on where that is infinite. No values, an infinite
    cost and no bound where there is no answer.
    """
    solver = _Silent()  # type: ignore[no-untyped-call]
    options = {"threads": 1, "random_seed": 0, "mip_rel_gap": gap, "mip_max_nodes": nodes}
    for option, value in options.items():
        solver.setOptionValue(option, value)
    solver.passModel(_model(costs, upper, rows))
    solver.run()
    info = solver.getInfo()
    if info.primal_solution_status != highspy.SolutionStatus.kSolutionStatusFeasible:
        return [], inf, -inf
    return list(solver.getSolution().col_value), info.objective_function_value, info.mip_dual_bound


def _model(costs: Sequence[float], upper: Sequence[float], rows: Sequence[Row]) -> highspy.HighsLp:
    model = highspy.HighsLp()
    model.num_col_, model.num_row_ = len(costs), len(rows)
    model.col_cost_ = list(costs)
    model.col_lower_ = [0.0] * len(costs)
    model.col_upper_ = list(upper)
    model.row_lower_ = [row.low for row in rows]
    model.row_upper_ = [row.high for row in rows]
    whole, any_number = highspy.HighsVarType.kInteger, highspy.HighsVarType.kContinuous
    model.integrality_ = [whole if most == 1 else any_number for most in upper]
    starts, index, factors = [0], list[int](), list[float]()
    for row in rows:
        index += row.factors
        factors += row.factors.values()
        starts.append(len(index))
    model.a_matrix_.format_ = highspy.MatrixFormat.kRowwise
    model.a_matrix_.start_, model.a_matrix_.index_, model.a_matrix_.value_ = starts, index, factors
    return model
