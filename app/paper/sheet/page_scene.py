"""A page of a template put together: what stands in its window, and what every page has."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from app.model.resolved import ResolvedBoard
from app.paper.sheet.bars import check_bars
from app.paper.sheet.stopped import head_items
from app.paper.sheet.tiling import Tile
from app.paper.sheet.title_strip import place_cell, special, title_strip
from app.scene.primitives import Group, Scene
from app.units import Unit

if TYPE_CHECKING:
    from app.paper.sheet.sheets import SheetSet


def furniture(board: ResolvedBoard, plan: SheetSet, unit: Unit) -> tuple[Group, ...]:
    """What every page of a template has at the same place."""
    layout = plan.tiling.layout
    more = special(plan.printing, plan.only, lying=layout.orientation == "landscape")
    return (
        *head_items(layout, plan.printing.stops),
        *check_bars(layout),
        title_strip(board, plan.template.face, layout, plan.tiling, unit, more),
    )


def page_scene(
    board: ResolvedBoard, plan: SheetSet, shown: Tile, furniture: Sequence[Group], ink: Sequence[Group]
) -> Scene:
    """A page of a template.

    Args:
        board: the board.
        plan: its sheets.
        shown: the one that is drawn.
        furniture: what :func:`furniture` gives.
        ink: what stands in its window.
    """
    layout, template = plan.tiling.layout, plan.template
    face = "top face" if template.face == "top" else "UNDERSIDE, mirrored"
    place = f"row {shown.row} of {plan.tiling.rows}, column {shown.column} of {plan.tiling.columns}"
    return Scene(
        0.0,
        0.0,
        *layout.page,
        (*ink, *furniture, place_cell(layout, plan.tiling, shown, plan.code)),
        stretch=layout.stretch,
        title=f"{board.title}: {board.name}, {board.arrangement_name}, {face}",
        note=f"{place}, {layout.paper.name}, 1:1, code {plan.code}",
    )
