"""A template cut into printable pages: the same ink on every page, shifted and clipped to its window."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from app.catalogue.load import catalogue
from app.drafting.crowding import CROWDED, crowding
from app.drafting.drill_template import Template, drill_template
from app.drafting.word_key import WordKey, works_of
from app.drafting.words import unit_of
from app.errors import PaperError
from app.model.part import Face
from app.model.printing import Printing
from app.model.resolved import ResolvedBoard
from app.model.shop import Bit, Paper
from app.paper.bars import check_bars
from app.paper.key_band import key_height
from app.paper.layout import Box, SheetLayout, layouts
from app.paper.page_ink import Sheets, page_ink
from app.paper.registration import ARM, Seam, seams
from app.paper.ruled import RuledLine, ruled_lines
from app.paper.stock import Stock
from app.paper.strip import check_code, special, title_strip
from app.paper.tiling import BLEED, Tile, Tiling, tile
from app.scene.bounds import bounds
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
        printing: how they are printed.
        only: the bit whose work alone is drawn; None for all.
    """

    template: Template
    tiling: Tiling
    ruled: tuple[RuledLine, ...]
    seams: tuple[Seam, ...]
    code: str
    printing: Printing
    only: Bit | None = None


def plan_sheets(
    board: ResolvedBoard,
    face: Face,
    paper: Paper | Printing,
    *,
    unit: Unit | None = None,
    only: Bit | None = None,
) -> SheetSet:
    """The sheets of a template, without drawing them.

    Args:
        board: the board.
        face: the face the template is stuck on.
        paper: the paper printed on, or how it is printed: margin, overlap, correction.
        unit: unit of the words; None for the design's own.
        only: draw only what this bit drills; None for everything.

    Raises:
        PaperError: the paper is too small for a sheet, or margin or overlap are not possible on it.
    """
    unit, printing = unit or unit_of(board), Printing.of(paper)
    template = drill_template(board, face, unit=unit, only=only)
    tiling = _tiling(board, printing, template, only)
    ruled = ruled_lines(board, template, tiling, unit)
    level, upright = ([r.at for r in ruled if r.axis == axis] for axis in ("y", "x"))
    return SheetSet(
        template,
        tiling,
        ruled,
        seams(tiling, template.circles, level, upright),
        check_code(board, face, tiling, printing, only),
        printing,
        only,
    )


def template_pages(
    board: ResolvedBoard,
    face: Face,
    paper: Paper | Printing,
    *,
    unit: Unit | None = None,
    only: Bit | None = None,
) -> tuple[Scene, ...]:
    """One scene per printed page, in page coordinates: origin at the page's lower left corner, true size.

    A place (x, y) of the drawing stands at (x, y) plus the ``offset`` of the page's tile, exactly; on the
    underside the drawing is mirrored, x' = width − x. Pages are in the order of ``plan_sheets(…).tiling.tiles``.

    Args:
        board: the board.
        face: the face the template is stuck on.
        paper: the paper printed on, or how it is printed: margin, overlap, correction.
        unit: unit of the words; None for the design's own.
        only: draw only what this bit drills; None for everything.

    Raises:
        PaperError: the paper is too small for a sheet, or margin or overlap are not possible on it.
    """
    unit = unit or unit_of(board)
    plan = plan_sheets(board, face, paper, unit=unit, only=only)
    crowded = crowding(plan.template) > CROWDED
    common = Sheets(
        Stock(plan.template), plan.tiling.layout, plan.ruled, plan.seams, works_of(plan.template.marks), crowded, unit
    )
    pages, free = [], len(common.works) + 1
    for shown in plan.tiling.tiles:
        key = WordKey(common.works, free)
        pages.append(_page(board, plan, shown, common, key))
        free = key.next
    return tuple(pages)


def sheet_count(
    board: ResolvedBoard,
    face: Face,
    paper: Paper | Printing,
    *,
    unit: Unit | None = None,
    only: Bit | None = None,
) -> int:
    """How many sheets a template takes; ``unit`` plays no part, and is there so that all three are called alike.

    Raises:
        PaperError: the paper is too small for a sheet, or margin or overlap are not possible on it.
    """
    template = drill_template(board, face, unit=unit, only=only)
    return len(_tiling(board, Printing.of(paper), template, only).tiles)


def template_tiling(board: ResolvedBoard, face: Face, paper: Paper | Printing) -> Tiling:
    """Which sheets a template takes and what its seams run into, without the marks on them: for a part on the move.

    Raises:
        PaperError: the paper is too small for a sheet, or margin or overlap are not possible on it.
    """
    return _tiling(board, Printing.of(paper), drill_template(board, face), None)


def _tiling(board: ResolvedBoard, printing: Printing, template: Template, only: Bit | None) -> Tiling:
    """The sheets of a template; of one bit's only those it has work on, as each is laid by its own ruled lines."""
    view = template.view
    rim = view.outline(board.outline).flattened(0.05)
    openings = [view.outline(o).flattened(0.05) for o in board.openings]
    x0, y0, x1, y1 = board.outline.bounds
    ways = layouts(printing, (x1 - x0 + 2 * BLEED, y1 - y0 + 2 * BLEED), key_height(template))
    overlap = _overlap(printing, ways)
    tiling = tile(board.outline.bounds, template.circles, ways, overlap, rim=rim, openings=openings)
    if only is None:
        return tiling
    cuts = [box for item in template.holes if (box := bounds((item,)))]
    worked = tuple(one for one in tiling.tiles if any(_meet(one.cell, cut) for cut in cuts))
    return replace(tiling, tiles=worked or tiling.tiles)


def _meet(a: Box, b: Box) -> bool:
    return a[0] <= b[2] and b[0] <= a[2] and a[1] <= b[3] and b[1] <= a[3]


def _overlap(printing: Printing, ways: Sequence[SheetLayout]) -> float:
    """The overlap asked for, if the marks on the seams fit into it and it leaves the sheets something to show."""
    if printing.overlap is None:
        return catalogue().rule("tile-overlap")
    least, most = 2 * ARM + 1.0, max(min(layout.room) for layout in ways) / 2 - 1.0
    if not least <= printing.overlap <= most:
        raise PaperError(
            f"An overlap of {printing.overlap:g} mm cannot be used on {printing.paper.name}: the marks on the seams "
            f"need {least:g} mm, and beyond {most:.0f} mm there are more sheets than help. Enter one between."
        )
    return printing.overlap


def _page(board: ResolvedBoard, plan: SheetSet, shown: Tile, common: Sheets, key: WordKey) -> Scene:
    layout, template = plan.tiling.layout, plan.template
    face = "top face" if template.face == "top" else "UNDERSIDE, mirrored"
    more = special(plan.printing, plan.only, lying=layout.orientation == "landscape")
    place = f"row {shown.row} of {plan.tiling.rows}, column {shown.column} of {plan.tiling.columns}"
    return Scene(
        0.0,
        0.0,
        *layout.page,
        (
            *page_ink(common, shown, key),
            *check_bars(layout),
            *title_strip(board, template.face, plan.tiling, shown, plan.code, common.unit, more),
        ),
        stretch=layout.stretch,
        title=f"{board.title}: {board.name}, {board.arrangement_name}, {face}",
        note=f"{place}, {layout.paper.name}, 1:1, code {plan.code}",
    )
