"""Boards with legends."""

from __future__ import annotations

from typing import Any

from app.model.legend import Legend
from app.model.resolved import ResolvedBoard
from app.values import replace
from tests.unit.fit.boards import at, board


def lettered(*legends: Legend, pitch: float = 100.0, **more: Any) -> ResolvedBoard:
    """Buttons in a row, ``pitch`` mm apart from x = 200, y = 150, each with a legend."""
    placed = [replace(at(200 + pitch * k, 150, name="abcdefgh"[k]), legend=each) for k, each in enumerate(legends)]
    return board(*placed, **more)
