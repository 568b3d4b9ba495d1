"""Choices of least cost: yes or no to each, under rules that are sums of them."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache
from typing import TYPE_CHECKING, Final

from msgspec import Struct, field

if TYPE_CHECKING:
    import highspy

_LONGEST: Final = 8.0  # s; a board of a thousand holes takes a few tenths


class UndecidedError(ArithmeticError):
    """A program that came to no proved end in the time it may take."""


class Choices(Struct):
    """What is chosen from, filled row by row.

    Args:
        costs: of a yes, one for each choice.
        rows: rules: factors by choice, the least and the most of their sum.
    """

    costs: list[float] = field(default_factory=list)
    rows: list[tuple[dict[int, float], float, float]] = field(default_factory=list)

    def add(self, cost: float) -> int:
        """One more choice; gives its number."""
        self.costs.append(cost)
        return len(self.costs) - 1

    def rule(self, factors: dict[int, float], least: float, most: float) -> None:
        """One more rule."""
        self.rows.append((factors, least, most))


def least_cost(choices: Choices) -> Sequence[bool]:
    """The choices of least cost in all, proved to be so.

    Solved by branch and cut on one thread (HiGHS): the same choices have the same answer.

    Raises:
        UndecidedError: nothing is allowed, or it came to no proved end in time.
    """
    if not choices.costs:
        return ()
    import highspy
    import numpy as np

    n = len(choices.costs)
    model = highspy.HighsLp()
    model.num_col_, model.num_row_ = n, len(choices.rows)
    model.col_cost_ = np.array(choices.costs, np.float64)
    model.col_lower_, model.col_upper_ = np.zeros(n), np.ones(n)
    model.row_lower_ = np.array([least for _, least, _ in choices.rows], np.float64)
    model.row_upper_ = np.array([most for _, _, most in choices.rows], np.float64)
    matrix = model.a_matrix_
    matrix.format_ = highspy.MatrixFormat.kRowwise
    matrix.num_col_, matrix.num_row_ = n, len(choices.rows)
    matrix.start_ = np.cumsum([0, *(len(factors) for factors, _, _ in choices.rows)])
    matrix.index_ = np.array([k for factors, _, _ in choices.rows for k in factors], np.int32)
    matrix.value_ = np.array([v for factors, _, _ in choices.rows for v in factors.values()], np.float64)
    model.integrality_ = [highspy.HighsVarType.kInteger] * n
    solver = _quiet_solver()()
    options: dict[str, bool | int | float | str] = {
        "output_flag": False, "threads": 1, "time_limit": _LONGEST, "mip_rel_gap": 0.0, "mip_abs_gap": 1e-6,
    }  # fmt: skip
    for name, value in options.items():
        solver.setOptionValue(name, value)
    solver.passModel(model)
    solver.run()
    if solver.getModelStatus() != highspy.HighsModelStatus.kOptimal:
        raise UndecidedError(solver.modelStatusToString(solver.getModelStatus()))
    return [value > 0.5 for value in solver.getSolution().col_value]


@cache
def _quiet_solver() -> type[highspy.Highs]:
    """The solver, without the callbacks, which it cannot set up but by writing its name to the terminal."""
    import highspy

    class QuietSolver(highspy.Highs):
        def enableCallbacks(self) -> None:  # noqa: N802 - the solver's own name for it
            pass

    return QuietSolver
