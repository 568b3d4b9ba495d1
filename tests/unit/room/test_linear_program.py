"""Linear programs beside scipy's solver, and what a program without an answer is taken for."""

from __future__ import annotations

import math
import os
import subprocess
import sys
from collections import Counter

import numpy as np
import numpy.typing as npt
import pytest
from scipy.optimize import Bounds, LinearConstraint, milp

from app.room.linear_program import Entries, Program, UnsolvedError, cheapest
from tests.tools import ROOT

Floats = npt.NDArray[np.float64]
SOLVED, NONE = 0, 2  # of the statuses that the page of scipy's milp names; 4 may be none too
KEPT = 1e-6
"""By how much a limit may be missed: the solver allows 1e-7, but to each of a few sums of a few amounts."""


def program(costs: Floats, most: Floats, sums: Floats, lower: Floats, upper: Floats, die: int = 0) -> Program:
    """The program with each entry as two that add up, all in an order thrown by a die."""
    down, across = np.nonzero(sums)
    order = np.random.default_rng(die).permutation(2 * len(down))
    parts = np.concatenate((sums[down, across] - 3, np.full(len(down), 3.0)))
    entries = Entries(np.tile(down, 2)[order], np.tile(across, 2)[order], parts[order])
    return Program(costs, most, entries, lower, upper)


def thrown(die: int) -> tuple[Program, Floats]:
    """A small program of small whole numbers, so that ties and limits that leave no room are common; and its sums."""
    rng = np.random.default_rng(die)
    n, m = int(rng.integers(1, 7)), int(rng.integers(0, 8))
    sums = rng.integers(-4, 5, (m, n)).astype(float)
    lower = rng.integers(-6, 7, m).astype(float)
    upper = lower + rng.integers(0, 9, m).astype(float)
    lower[rng.random(m) < 0.3] = -math.inf
    upper[rng.random(m) < 0.3] = math.inf
    costs, most = rng.integers(-3, 7, n).astype(float), rng.integers(0, 6, n).astype(float)
    most[rng.random(n) < 0.5] = math.inf
    return program(costs, most, sums, lower, upper, die), sums


def test_a_program_costs_what_scipy_says_or_has_no_answer_where_it_has_none() -> None:
    seen = Counter[str]()
    for die in range(300):
        asked, sums = thrown(die)
        limits = LinearConstraint(sums, asked.lower, asked.upper) if len(sums) else None
        other = milp(asked.costs, constraints=limits, bounds=Bounds(0.0, asked.most))
        try:
            found = cheapest(asked)
        except UnsolvedError:
            assert other.status not in (SOLVED, NONE), die
            seen["falls without end"] += 1
            continue
        if found is None:
            assert other.status != SOLVED, die
            seen["none"] += 1
            continue
        assert other.status == SOLVED, die
        assert asked.costs @ found == pytest.approx(other.fun, rel=1e-6, abs=KEPT), die
        assert (found >= -KEPT).all() and (found <= asked.most + KEPT).all(), die
        assert (sums @ found >= asked.lower - KEPT).all() and (sums @ found <= asked.upper + KEPT).all(), die
        seen["solved"] += 1
    assert min(seen[kind] for kind in ("solved", "none", "falls without end")) >= 10, seen


ONE = np.ones(1)


def test_a_cost_that_falls_without_end_is_not_taken_for_limits_that_leave_no_room() -> None:
    with pytest.raises(UnsolvedError):
        cheapest(program(-ONE, ONE * math.inf, np.ones((1, 1)), ONE, ONE * math.inf))


@pytest.mark.parametrize("where", range(5))
def test_a_number_that_is_none_is_refused(where: int) -> None:
    costs, most, sums, lower, upper = (ONE * (math.nan if k == where else 1) for k in range(5))
    with pytest.raises(ValueError, match="is none"):
        cheapest(program(costs, most, sums[None], lower, upper))


def test_nothing_asked_is_nothing_answered() -> None:
    none = np.zeros(0)
    found = cheapest(program(none, none, np.zeros((0, 0)), none, none))
    assert found is not None
    assert len(found) == 0


def test_the_solver_writes_nothing_to_the_terminal_and_starts_no_threads() -> None:
    """The first solver of a process would; so a process is started for it."""
    code = """
        import os
        import numpy as np
        from app.room.linear_program import Entries, Program, cheapest
        one, at = np.ones(1), np.zeros(1, np.intp)
        count = lambda: len(os.listdir("/proc/self/task")) if os.path.exists("/proc/self/task") else 0
        before = count()
        assert cheapest(Program(one, 9 * one, Entries(at, at, one), 2 * one, 3 * one)).tolist() == [2.0]
        assert count() == before
    """
    ran = subprocess.run(
        [sys.executable, "-c", "if True:" + code],
        cwd=ROOT,
        env={**os.environ, "PYTHONPATH": str(ROOT)},
        capture_output=True,
        text=True,
        check=False,
    )
    assert (ran.returncode, ran.stdout, ran.stderr) == (0, "", "")
