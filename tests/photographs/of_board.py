"""A rendered photograph of a board of a design, with its holes a little off."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from app.model.part import Face
from app.model.resolved import ResolvedBoard
from app.service.photo import photo_asked
from tests.photographs.render import Photograph, Shot, random_shot
from tests.photographs.scene import Board, Hole


def board_to_photograph(
    board: ResolvedBoard,
    face: Face = "top",
    *,
    off: Mapping[str, tuple[float, float]],
    undrilled: frozenset[str],
    real: tuple[float, float] | None = None,
) -> Board:
    """A real board made to a design: true but for the holes that are named.

    Args:
        board: the design.
        face: the face that is up.
        off: how far to the right and to the back, on that face, holes came out, by their code [mm].
        undrilled: codes of holes that are not there.
        real: its width and depth, where they are not as drawn [mm].
    """
    asked = photo_asked(board, real)
    cards = asked.plans[face].cards
    assert cards is not None
    holes = []
    for wanted in asked.wanted[face]:
        dx, dy = off.get(wanted.code, (0.0, 0.0))
        holes.append(Hole(wanted, wanted.x + dx, wanted.y + dy, wanted.diameter, wanted.code not in undrilled))
    return Board(cards, ((0.0, 0.0, 0.0),) * 4, (1.0, 1.0), tuple(holes), 18.0, (), 0.0, seed=5)


def photograph(
    board: ResolvedBoard,
    face: Face = "top",
    *,
    off: Mapping[str, tuple[float, float]] | None = None,
    undrilled: frozenset[str] = frozenset(),
    size: tuple[int, int] = (2000, 1500),
    tilt: float = 4.0,
    real: tuple[float, float] | None = None,
) -> bytes:
    """The file of a photograph taken from nearly straight above, over something dark."""
    made = board_to_photograph(board, face, off=off or {}, undrilled=undrilled, real=real)
    return Photograph(made, dark_shot(size, tilt)).jpeg


def dark_shot(size: tuple[int, int], tilt: float) -> Shot:
    """A photograph as one should take it."""
    drawn = random_shot(np.random.default_rng(3), size)
    return Shot(
        size, tilt, 30.0, 2.0, 1.1, (0.01, 0.0), drawn.middle, 0.7, 2.0, 90, 0.95, 0.1, 40.0, 0.04, 0.5, 0.92
    )  # fmt: skip
