"""Holes of a pattern over the edge of their board: told beside what was typed; dragged there, they are a finding."""

from __future__ import annotations

import numpy as np

from app.arrange.change import shown
from app.document.board_patterns import board_boundary, pattern_on
from app.document.outlines import outline_of
from app.document.resolve import find_board, placements_in
from app.document.schema import BoardEntry, Design, PlacementEntry
from app.errors import EditError
from app.geometry.boundary import Boundary

_SAME = 1e-6  # mm; what is left of binary arithmetic


def over_edge(design: Design, board: BoardEntry, at: PlacementEntry) -> tuple[float, bool]:
    """How far holes of a pattern reach over the edge of their board, and whether they do so across its own height.

    Args:
        design: the design.
        board: the board.
        at: a placement on it; one of a part reaches nowhere.

    Returns:
        The farthest, at least 0 [mm]; whether that is along the pattern's own y, not its x.
    """
    entry = next((p for p in design.patterns if p.id == at.part), None)
    if entry is None:
        return 0.0, False
    pattern = pattern_on(entry, board, at)
    rim = outline_of(board_boundary(board, at.x, at.y, at.angle, 0.0).corners)
    centres = pattern.holes.centres
    if not len(centres):
        return 0.0, False
    inside = Boundary(rim).inside_distances(pattern.holes_at(centres))[0]
    worst = int(inside.argmin())
    if inside[worst] > -_SAME:
        return 0.0, False
    x0, y0, x1, y1 = rim.bounds
    x, y = np.abs(centres[worst] - ((x0 + x1) / 2, (y0 + y1) / 2)) - ((x1 - x0) / 2, (y1 - y0) / 2)
    return -float(inside[worst]), bool(y > x)


def refuse_over_edge(
    before: Design | None, after: Design, board_id: str | None, placements: tuple[str, ...], fields: tuple[str, str]
) -> None:
    """Refuse an edit after which holes of patterns reach farther over the edge of their board than they did.

    Args:
        before: the design; None where the board is new.
        after: the same after the edit.
        board_id: the board; None for the deck.
        placements: ids of what was put there or changed.
        fields: what a refusal stands beside: where it is too wide, and too high.

    Raises:
        EditError: how far over, and what to do.
    """
    board = find_board(after, board_id)
    was = {b.id: b for b in before.boards}.get(board.id) if before is not None else None
    had = {p.id: p for p in placements_in(was)} if was is not None else {}
    for at in placements_in(board):
        if at.id not in placements:
            continue
        over, upward = over_edge(after, board, at)
        old = over_edge(before, was, had[at.id])[0] if before is not None and was is not None and at.id in had else 0.0
        if over > old + _SAME:
            raise EditError(
                f"Its holes reach {shown(over, after.units)} over the edge of {board.name or board.id}. "
                "Make what they lie in smaller, or move it inward.",
                fields[upward],
            )
