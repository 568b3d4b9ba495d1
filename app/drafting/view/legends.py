"""The legends on the top face of a board, where they will be."""

from __future__ import annotations

from app.catalogue.load import catalogue
from app.drafting.legend_paths import legend_fill, legend_path
from app.fit.features.layout import layout_of
from app.model.resolved import ResolvedBoard
from app.scene.primitives import Group


def legends(board: ResolvedBoard) -> tuple[Group, ...]:
    """The group ``legends``; none on a board without any."""
    if all(placed.legend is None for placed in board.drilled):
        return ()
    found = layout_of(board, catalogue()).legends
    style = legend_fill(board.lettering.colour)
    return (Group(tuple(legend_path(laid.contours, style) for laid in found), name="legends"),) if found else ()
