"""A template cut into printable pages: the same ink on every page, shifted and clipped to its window."""

from __future__ import annotations

from dataclasses import dataclass

from app.catalogue.load import catalogue
from app.drafting.drill_template import Template, drill_template
from app.drafting.facing import facing
from app.drafting.words import unit_of
from app.model.part import Face
from app.model.resolved import ResolvedBoard
from app.model.shop import Paper
from app.paper.bars import check_bars
from app.paper.layout import layouts
from app.paper.page_ink import page_ink
from app.paper.registration import Seam, seams
from app.paper.ruled import RuledLine, ruled_lines
from app.paper.strip import check_code, title_strip
from app.paper.tiling import Circle, Tile, Tiling, tile
from app.scene.primitives import Scene
from app.units import Unit


@dataclass(frozen=True, slots=True)
class SheetSet:
    """Everything known about the sheets of one template.

    Args:
        template: what is drawn.
        tiling: which sheets show what; each tile's ``offset`` leads from the drawing to its page.
        ruled: lines to rule on the board first.
        seams: where sheets meet, and their marks.
        code: check code that stands on every sheet.
    """

    template: Template
    tiling: Tiling
    ruled: tuple[RuledLine, ...]
    seams: tuple[Seam, ...]
    code: str


def plan_sheets(board: ResolvedBoard, face: Face, paper: Paper, *, unit: Unit | None = None) -> SheetSet:
    """The sheets of a template, without drawing them.

    Raises:
        PaperError: the paper is too small for a sheet.
    """
    unit = unit or unit_of(board)
    template = drill_template(board, face, unit=unit)
    tiling = _tiling(board, face, paper, template.circles)
    ruled = ruled_lines(board, template, tiling, unit)
    level, upright = ([r.at for r in ruled if r.axis == axis] for axis in ("y", "x"))
    return SheetSet(
        template,
        tiling,
        ruled,
        seams(tiling, template.circles, level, upright),
        check_code(board, face, tiling),
    )


def template_pages(board: ResolvedBoard, face: Face, paper: Paper, *, unit: Unit | None = None) -> tuple[Scene, ...]:
    """One scene per printed page, in page coordinates: origin at the page's lower left corner, true size.

    A place (x, y) of the drawing stands at (x, y) plus the ``offset`` of the page's tile, exactly; on the
    underside the drawing is mirrored, x' = width − x. Pages are in the order of ``plan_sheets(…).tiling.tiles``.

    Args:
        board: the board.
        face: the face the template is stuck on.
        paper: the paper printed on.
        unit: unit of the words; None for the design's own.

    Raises:
        PaperError: the paper is too small for a sheet.
    """
    unit = unit or unit_of(board)
    plan = plan_sheets(board, face, paper, unit=unit)
    return tuple(_page(board, plan, t, unit) for t in plan.tiling.tiles)


def sheet_count(board: ResolvedBoard, face: Face, paper: Paper) -> int:
    """How many sheets a template takes.

    Raises:
        PaperError: the paper is too small for a sheet.
    """
    return len(_tiling(board, face, paper, drill_template(board, face).circles).tiles)


def _tiling(board: ResolvedBoard, face: Face, paper: Paper, circles: tuple[Circle, ...]) -> Tiling:
    view = facing(board, face)
    rim = view.outline(board.outline).flattened(0.05)
    openings = [view.outline(o).flattened(0.05) for o in board.openings]
    overlap = catalogue().rule("tile-overlap")
    return tile(board.outline.bounds, circles, layouts(paper), overlap, rim=rim, openings=openings)


def _page(board: ResolvedBoard, plan: SheetSet, shown: Tile, unit: Unit) -> Scene:
    layout, template = plan.tiling.layout, plan.template
    face = "top face" if template.face == "top" else "UNDERSIDE, mirrored"
    place = f"row {shown.row} of {plan.tiling.rows}, column {shown.column} of {plan.tiling.columns}"
    return Scene(
        0.0,
        0.0,
        *layout.page,
        (
            *page_ink(plan.template, shown, plan.ruled, plan.seams, unit),
            *check_bars(layout),
            *title_strip(board, template.face, plan.tiling, shown, plan.code, unit),
        ),
        title=f"{board.title}: {board.name}, {board.arrangement_name}, {face}",
        note=f"{place}, {layout.paper.name}, 1:1, code {plan.code}",
    )
