"""Room made on a crowded two-player deck, beside scipy's SLSQP on the very same needs of the very same board."""

from __future__ import annotations

import random
import time
from dataclasses import replace

import numpy as np
import numpy.typing as npt

from app.catalogue.load import catalogue
from app.document.resolve import resolve
from app.document.scenarios import load_scenario
from app.fit.change import moved
from app.fit.layout import layout_of
from app.model.resolved import ResolvedBoard
from app.room.freedom import freedom_of
from app.room.ground import ground_of
from app.room.make import attempt
from tests.bench.timing import Aim, median_ms, ms, print_table

Floats = npt.NDArray[np.float64]
LIMIT = 500.0
"""Longest that making room on a two-player deck may take [ms]."""

DECK = "harbour-lane-two-seater"
THROWN = (2.0, 5.0, 9.0)
"""Each part is off its place by up to this, along and across [mm]."""

_FAR = 30.0  # mm of slack beyond which the reference need not know


def crowded(amount: float) -> ResolvedBoard:
    """The two-player scenario with every part thrown about by a fixed die."""
    board = resolve(load_scenario(DECK), None, None, catalogue())
    die = random.Random(round(amount * 10))
    parts = (moved(p, die.uniform(-amount, amount), die.uniform(-amount, amount)) for p in board.placements)
    return replace(board, placements=tuple(parts))


def reference(board: ResolvedBoard) -> tuple[float, float]:
    """Time [ms] and sum of distances [mm] of SLSQP; infinite distances where it finds no way."""
    from scipy.optimize import minimize

    freedom = freedom_of(board)
    ground = ground_of(layout_of(board, catalogue()), freedom, lambda *_: False)
    m = len(freedom)

    def slack(moves: Floats) -> Floats:
        rows = ground.rows(moves.reshape(m, 2), _FAR)
        worst = np.full((m + 1, m + 1), _FAR)
        np.minimum.at(worst, (rows.first, rows.second), rows.slack)
        return worst.ravel()

    def total(moves: Floats) -> float:
        return float((np.sqrt((moves.reshape(m, 2) ** 2).sum(axis=1) + 1e-8) * freedom.weights).sum())

    began = time.perf_counter()
    limits = {"type": "ineq", "fun": slack}
    found = minimize(total, np.full(2 * m, 1e-3), method="SLSQP", constraints=limits, options={"maxiter": 40})
    took = (time.perf_counter() - began) * 1000
    return took, float(found.fun) if slack(found.x).min() > -1e-3 else float("inf")


def measure() -> list[Aim]:
    """Print the table; the aims are those of the slowest deck."""
    rows, times = [], []
    for amount in THROWN:
        board = crowded(amount)
        found = attempt(board, catalogue())
        took = median_ms(lambda board=board: attempt(board, catalogue()), 5)  # type: ignore[misc]
        slow, far = reference(board)
        times.append(took)
        said = f"{found.total:.2f} mm" if found.after else "no way"
        rows.append([f"thrown by {amount:g} mm", str(len(found.wanted)), ms(took), said, ms(slow), f"{far:.2f} mm"])
    head = ["two-player deck", "findings", "room made [ms]", "moved", "SLSQP [ms]", "moved"]
    print_table("Making room, all in one run", head, rows)
    slowest = max(times)
    return [Aim("room made on a two-player deck", f"{ms(slowest)} ms", f"under {LIMIT:g} ms", slowest < LIMIT)]
