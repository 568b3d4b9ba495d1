"""How far parts are from each other, measured for the screen."""

from __future__ import annotations

from app.catalogue.load import catalogue
from app.fit.features.measure import PartDistances, measure
from app.model.resolved import Placed, ResolvedBoard


def between(board: ResolvedBoard, first: str, second: str) -> PartDistances:
    """The five distances from one placement to another [mm].

    Raises:
        NotFoundError: there is no such placement.
    """
    return measure(board, first, second, catalogue())


def nearest(board: ResolvedBoard, placement: Placed) -> Placed | None:
    """The other part whose centre is nearest; None if there is no other."""
    others = (p for p in board.placements if p.id != placement.id)
    return min(others, key=lambda p: ((p.x - placement.x) ** 2 + (p.y - placement.y) ** 2, p.id), default=None)
