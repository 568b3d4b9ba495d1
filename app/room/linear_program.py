"""Linear programs: amounts of least cost whose weighed sums keep within limits."""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING

import numpy as np
from msgspec import Struct

from app.fit.features.features import Floats, Ints

if TYPE_CHECKING:
    import highspy


_LONGEST = 1.5
"""How long one program may take [s]: a hundred times what the largest of a crowded deck takes. Nothing else can end
it, and whoever waits for room waits no longer than a few seconds in all."""


class UnsolvedError(ArithmeticError):
    """A program that has neither an answer nor a proof that there is none."""


class Entries(Struct, frozen=True, eq=False):
    """What is not 0 in a matrix: the row and the column of each value, shape (k,); values of one place add up."""

    rows: Ints
    columns: Ints
    values: Floats


class Program(Struct, frozen=True, eq=False):
    """What is asked: the cheapest amounts whose sums are allowed.

    Args:
        costs: of one of each amount, shape (n,).
        most: of each amount, which is at least 0, shape (n,); infinite where there is no limit.
        sums: how much of each amount is in each sum, m rows and n columns.
        lower: limits of the sums, shape (m,); minus infinity where there is none.
        upper: the same, plus infinity where there is none.
    """

    costs: Floats
    most: Floats
    sums: Entries
    lower: Floats
    upper: Floats


def cheapest(program: Program) -> Floats | None:
    """The amounts of least cost, shape (n,), limits kept to within 1e-7; None if no amounts are allowed.

    Solved by the dual simplex method (Q. Huangfu and J. A. J. Hall, Parallelizing the dual revised simplex method,
    Mathematical Programming Computation 10, 2018), on one thread: the same program has the same answer.

    Raises:
        UnsolvedError: costs fall without end, or the arithmetic came to no end, or to none in the time it may take.
        ValueError: a number of the program is none.
    """
    import highspy

    solver = _quiet_solver()()
    # Programs are so small that making them smaller first takes longer than solving them.
    options: dict[str, bool | int | float | str] = {
        "output_flag": False,
        "threads": 1,
        "solver": "simplex",
        "presolve": "off",
        "time_limit": _LONGEST,
    }
    for name, value in options.items():
        solver.setOptionValue(name, value)
    numbers = (program.costs, program.most, program.sums.values, program.lower, program.upper)
    # The solver itself takes a cost that is no number for 0.
    if np.isnan(np.concatenate(numbers)).any() or solver.passModel(_model(program)) == highspy.HighsStatus.kError:
        raise ValueError("a number of the linear program is none")
    solver.run()
    status = solver.getModelStatus()
    if status == highspy.HighsModelStatus.kInfeasible:
        return None
    if status not in (highspy.HighsModelStatus.kOptimal, highspy.HighsModelStatus.kModelEmpty):
        raise UnsolvedError(solver.modelStatusToString(status))
    return np.array(solver.getSolution().col_value, np.float64)


def _model(program: Program) -> highspy.HighsLp:
    """The program as the solver takes it, its matrix by columns."""
    import highspy

    n, m = len(program.costs), len(program.lower)
    model = highspy.HighsLp()
    model.num_col_, model.num_row_ = n, m
    model.col_cost_, model.col_lower_, model.col_upper_ = program.costs, np.zeros(n), program.most
    model.row_lower_, model.row_upper_ = program.lower, program.upper
    places, which = np.unique(program.sums.columns * m + program.sums.rows, return_inverse=True)
    matrix = model.a_matrix_
    matrix.format_ = highspy.MatrixFormat.kColwise
    matrix.num_col_, matrix.num_row_ = n, m
    matrix.start_ = np.searchsorted(places, np.arange(n + 1) * m)
    matrix.index_ = places % m if m else places
    matrix.value_ = np.bincount(which, program.sums.values, len(places)).astype(np.float64)
    return model


@cache
def _quiet_solver() -> type[highspy.Highs]:
    """The solver, without the callbacks, which it cannot set up but by writing its name to the terminal."""
    import highspy

    class QuietSolver(highspy.Highs):
        def enableCallbacks(self) -> None:  # noqa: N802 - the solver's own name for it
            pass

    return QuietSolver
