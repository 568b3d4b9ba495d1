"""Wiring of 60 inputs, and of 10 to 1,000 parts, beside the least tree of the same points by scipy."""

from __future__ import annotations

from typing import Final

import numpy as np
import scipy.sparse as sparse
from scipy.sparse import csgraph

from app.catalogue.load import catalogue
from app.document.outline_schema import CornerEntry, OutlineEntry
from app.document.resolve import resolve
from app.document.schema import ArrangementEntry, BoardEntry, Design, LayerEntry, PlacementEntry
from app.model.resolved import ResolvedBoard
from app.shop.wiring.harness import harness_of
from app.values import replace
from tests.bench.timing import Aim, ms, print_table, work_in_turns

WIRING: Final = 500.0
"""How long ways, pins, nets and lengths of 60 inputs may take [ms]."""

_SIZES: Final = ((5, 2, 1), (12, 5, 2), (20, 5, 3), (19, 10, 5), (40, 25, 21))


def wired(columns: int, rows: int, encoders: int) -> ResolvedBoard:
    """Buttons in a field, 42 mm apart, with encoder boards behind them."""
    wide, deep = 42.0 * columns + 80, 42.0 * rows + 160
    parts = [
        PlacementEntry(id=f"p{i}-{j}", part="button-28-nut-long", x=60 + 42.0 * i, y=60 + 42.0 * j)
        for i in range(columns)
        for j in range(rows)
    ]
    parts += [
        PlacementEntry(id=f"e{k}", part="encoder-48-pin", x=wide * (k + 0.5) / encoders, y=deep - 50)
        for k in range(encoders)
    ]
    corners = tuple(CornerEntry(x=x, y=y) for x, y in ((0.0, 0.0), (wide, 0.0), (wide, deep), (0.0, deep)))
    board = BoardEntry(
        id="deck",
        name="Deck",
        outline=OutlineEntry(corners=corners),
        layers=(LayerEntry(material="mdf", thickness=18),),
        arrangements=(ArrangementEntry(id="one", placements=tuple(parts)),),
    )
    return resolve(Design(title="Wired", boards=(board,)), None, None, catalogue())


def measure() -> list[Aim]:
    """Measure, print the table, and return the aims."""
    rows, aims = [], []
    for columns, deep, encoders in _SIZES:
        board = wired(columns, deep, encoders)
        points = np.array([(p.x, p.y) for p in board.placements])
        apart = np.hypot(*(points[:, None] - points[None]).transpose(2, 0, 1))
        runs = (
            lambda board=board: harness_of(replace(board), catalogue()),  # another object, so that nothing is kept
            lambda apart=apart: csgraph.minimum_spanning_tree(sparse.csr_matrix(apart)),
        )
        ours, theirs = work_in_turns(runs, 3)
        made = harness_of(board, catalogue())
        said = "ways" if made is not None and made.routed else "connections alone"
        rows.append([f"{columns * deep:,} inputs", ms(ours), ms(theirs), said])
        if columns * deep == 60:
            beside = f"{ms(theirs)} ms, scipy's straight tree alone"
            aims.append(Aim("wiring of 60 inputs", f"{ms(ours)} ms", f"< {WIRING:.0f} ms", ours < WIRING, beside))
    print_table("Wiring [ms]", ["board", "ours", "scipy, least tree, straight", "what"], rows)
    return aims
