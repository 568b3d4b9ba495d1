"""Room made on a crowded two-player deck, beside scipy's SLSQP on the very same needs of the very same board."""

from __future__ import annotations

import random
import time
from collections.abc import Callable
from typing import Final, TypeVar

import numpy as np
import numpy.typing as npt

from app.catalogue.load import catalogue
from app.document.resolve import resolve
from app.document.scenarios import load_scenario
from app.fit.features.layout import layout_of
from app.model.resolved import ResolvedBoard
from app.room.constraints import constraints_of
from app.room.degrees_of_freedom import degrees_of_freedom
from app.room.make import attempt
from app.room.reasons import reason_for, stretched
from app.values import replace
from tests.bench.timing import Aim, median_ms, ms, percentile, print_table, ratio_aim

Floats = npt.NDArray[np.float64]
T = TypeVar("T")
SHARE: Final = 0.1
"""As much of the optimiser's time making room on a deck may take, at p95."""

DECK = "harbour-lane-two-seater"
THROWN = (2.0, 5.0, 9.0)
"""Each part is off its place by up to this, along and across [mm]."""

DECKS, MOST = 40, 12.0
"""How many decks are timed, and how far their parts are off at most [mm]."""

REFERRED: Final = 5
"""Of how many of them the optimiser is timed as well."""

NARROWER = -500.0
"""By so much the deck is made narrower to leave no room for its parts [mm]."""

_FAR = 30.0  # mm of slack beyond which the reference need not know


def crowded(amount: float) -> ResolvedBoard:
    """The two-player scenario with every part thrown about by a fixed die."""
    board = resolve(load_scenario(DECK), None, None, catalogue())
    die = random.Random(round(amount * 10))
    parts = (p.moved(die.uniform(-amount, amount), die.uniform(-amount, amount)) for p in board.placements)
    return replace(board, placements=tuple(parts))


def reference(board: ResolvedBoard) -> tuple[float, float]:
    """Time [ms] and sum of distances [mm] of SLSQP; infinite distances where it finds no way."""
    from scipy.optimize import minimize

    freedom = degrees_of_freedom(board)
    constraints = constraints_of(layout_of(board, catalogue()), freedom, lambda *_: False)
    m = len(freedom)

    def slack(moves: Floats) -> Floats:
        rows = constraints.rows(moves.reshape(m, 2), _FAR)
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


def thrown(count: int) -> list[ResolvedBoard]:
    """The two-player scenario, each time thrown about by another die, and by another amount up to ``MOST``."""
    board = resolve(load_scenario(DECK), None, None, catalogue())
    found = []
    for k in range(count):
        die = random.Random(k)
        amount = die.uniform(1.0, MOST)
        parts = (p.moved(die.uniform(-amount, amount), die.uniform(-amount, amount)) for p in board.placements)
        found.append(replace(board, placements=tuple(parts)))
    return found


def measure_many() -> list[Aim]:
    """Print what making room on many decks takes, and on one without room, by the processor; the aims beside SLSQP."""
    boards = thrown(DECKS)
    attempt(boards[0], catalogue())  # imports what is only then needed
    ours, theirs, clear = list[float](), list[float](), 0
    for number, board in enumerate(boards):
        took, found = _worked(lambda board=board: attempt(board, catalogue()))  # type: ignore[misc]
        ours.append(took)
        clear += found.after is not None
        if number < REFERRED:
            took, (_, far) = _worked(lambda board=board: reference(board))  # type: ignore[misc]
            theirs += [took] if far < float("inf") else []
    kept = resolve(load_scenario(DECK), None, None, catalogue())
    none, narrow = _worked(lambda: attempt(stretched(kept, NARROWER, 0.0), catalogue()))
    why, _ = _worked(lambda: reason_for(narrow, catalogue()))
    said = "a way was found" if narrow.after else "proven that there is none" if narrow.proven else "none found"
    slow, solved = percentile(ours, 95), percentile(theirs, 50)
    rows = [
        [f"{DECKS} decks thrown by 1 to {MOST:g} mm", f"{clear} clear", ms(percentile(ours, 50)), ms(slow)],
        [f"SLSQP on the first {REFERRED}", f"{len(theirs)} clear", ms(solved), ms(percentile(theirs, 95))],
        [f"{-NARROWER:g} mm narrower than it may be", said, ms(none), ""],
        ["what would give room then", "", ms(why), ""],
    ]
    print_table("Making room on two-player decks [ms of the processor]", ["", "", "p50", "p95"], rows)
    beside = f"{ms(solved)} ms, SLSQP"
    return [
        ratio_aim("room made on a deck, p95", slow, beside, solved, most=SHARE),
        ratio_aim("no room on a deck", none, beside, solved, most=1.0),
    ]


def _worked(run: Callable[[], T]) -> tuple[float, T]:
    """What a run took of the processor [ms], and what came of it."""
    began = time.process_time()
    found = run()
    return (time.process_time() - began) * 1000, found


def measure() -> list[Aim]:
    """Print the tables; the aims are those of many decks."""
    rows = []
    for amount in THROWN:
        board = crowded(amount)
        found = attempt(board, catalogue())
        took = median_ms(lambda board=board: attempt(board, catalogue()), 5)  # type: ignore[misc]
        slow, far = reference(board)
        said = f"{found.total:.2f} mm" if found.after else "no way"
        rows.append([f"thrown by {amount:g} mm", str(len(found.wanted)), ms(took), said, ms(slow), f"{far:.2f} mm"])
    head = ["two-player deck", "findings", "room made [ms]", "moved", "SLSQP [ms]", "moved"]
    print_table("Making room, all in one run", head, rows)
    return measure_many()
