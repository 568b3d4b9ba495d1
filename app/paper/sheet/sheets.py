"""A template cut into printable pages: the same ink on every page, shifted and clipped to its window."""

from __future__ import annotations

from collections.abc import Sequence
from typing import overload

from msgspec import Struct
from propcache.api import cached_property

from app.catalogue.load import catalogue
from app.drafting.labels.crowding import CROWDED, crowding
from app.drafting.labels.word_key import WordKey, works_of
from app.drafting.template.drill_template import Template, drill_template
from app.drafting.words import unit_of
from app.errors import PaperError
from app.model.part import Face
from app.model.printing import Printing
from app.model.resolved import ResolvedBoard
from app.model.tooling import Bit, Paper
from app.paper.sheet.key_band import key_height
from app.paper.sheet.layout import Box, SheetLayout, layouts
from app.paper.sheet.page_ink import Sheets, page_ink, seams_beside
from app.paper.sheet.page_scene import furniture, page_scene
from app.paper.sheet.registration import ARM, Seam, seams
from app.paper.sheet.ruled import RuledLine, ruled_lines
from app.paper.sheet.shown_in_window import Stock
from app.paper.sheet.tiling import BLEED, Tiling, tile
from app.paper.sheet.title_strip import check_code
from app.scene.bounds import bounds
from app.scene.primitives import Group, Scene
from app.units import Unit
from app.values import replace


class SheetSet(Struct, frozen=True):
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
    printing: Printing | Paper,
    *,
    unit: Unit | None = None,
    only: Bit | None = None,
    above: tuple[RuledLine, ...] | None = None,
) -> SheetSet:
    """The sheets of a template, without drawing them.

    Args:
        board: the board.
        face: the face the template is stuck on.
        printing: the paper printed on, or how it is printed: margin, overlap, correction.
        unit: unit of the words; None for the design's own.
        only: draw only what this bit drills; None for everything.
        above: for the underside, the lines that are ruled on the top face; None if they have to be found.

    Raises:
        PaperError: the paper is too small for a sheet, or margin or overlap are not possible on it.
    """
    unit, printing = unit or unit_of(board), Printing.of(printing)
    above = _lines_above(board, face, printing, unit) if above is None else above
    template = drill_template(board, face, unit=unit, only=only)
    tiling = _tiling(board, printing, template, only)
    ruled = ruled_lines(board, template, tiling, unit, above)
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
    printing: Printing | Paper,
    *,
    unit: Unit | None = None,
    only: Bit | None = None,
    plan: SheetSet | None = None,
) -> tuple[Scene, ...]:
    """One scene per printed page, in page coordinates: origin at the page's lower left corner, true size.

    A place (x, y) of the drawing stands at (x, y) plus the ``offset`` of the page's tile, exactly; on the
    underside the drawing is mirrored, x' = width − x. Pages are in the order of ``plan_sheets(…).tiling.tiles``.

    Args:
        board: the board.
        face: the face the template is stuck on.
        printing: the paper printed on, or how it is printed: margin, overlap, correction.
        unit: unit of the words; None for the design's own.
        only: draw only what this bit drills; None for everything.
        plan: what :func:`plan_sheets` gives for the same, if that is at hand.

    Raises:
        PaperError: the paper is too small for a sheet, or margin or overlap are not possible on it.
    """
    return tuple(Pages(board, face, printing, unit=unit, only=only, plan=plan))


def _lines_above(board: ResolvedBoard, face: Face, printing: Printing, unit: Unit) -> tuple[RuledLine, ...]:
    """The lines that are on the top face by the time the underside is laid out."""
    if face == "top":
        return ()
    template = drill_template(board, "top", unit=unit)
    return ruled_lines(board, template, _tiling(board, printing, template, None), unit)


class Pages(Sequence[Scene]):
    """The pages of a template, each drawn when it is asked for.

    What only one page has to say is numbered from page to page. A page that has such a number asks for all before it;
    how far each has counted is remembered, their scenes are not.

    Args:
        board, face, printing, unit, only, plan: as of :func:`template_pages`.
    """

    def __init__(
        self,
        board: ResolvedBoard,
        face: Face,
        printing: Printing | Paper,
        *,
        unit: Unit | None = None,
        only: Bit | None = None,
        plan: SheetSet | None = None,
    ) -> None:
        self._unit = unit or unit_of(board)
        self.plan = plan or plan_sheets(board, face, printing, unit=self._unit, only=only)
        self._board = board

    @cached_property
    def _common(self) -> Sheets:
        template, tiling = self.plan.template, self.plan.tiling
        works, beside = works_of(template.marks), seams_beside(self.plan.seams)
        crowded = crowding(template) > CROWDED
        same = furniture(self._board, self.plan, self._unit)
        return Sheets(Stock(template), tiling.layout, self.plan.ruled, beside, works, crowded, self._unit, same)

    @cached_property
    def _free(self) -> list[int]:
        """The number that is free before each page, as far as they were drawn."""
        return [len(self._common.works) + 1]

    def __len__(self) -> int:
        return len(self.plan.tiling.tiles)

    @overload
    def __getitem__(self, index: int) -> Scene: ...
    @overload
    def __getitem__(self, index: slice) -> Sequence[Scene]: ...
    def __getitem__(self, index: int | slice) -> Scene | Sequence[Scene]:
        """The page of a sheet, from 0."""
        if isinstance(index, slice):
            return [self[k] for k in range(len(self))[index]]
        wanted = range(len(self))[index]
        ink = self._plain(wanted) if wanted >= len(self._free) else None
        if ink is not None:
            return self._scene(wanted, ink)
        for number in range(len(self._free) - 1, wanted):
            self._inked(number)
        return self._scene(wanted, self._inked(wanted))

    def _scene(self, number: int, ink: tuple[Group, ...]) -> Scene:
        return page_scene(self._board, self.plan, self.plan.tiling.tiles[number], self._common.furniture, ink)

    def _plain(self, number: int) -> tuple[Group, ...] | None:
        """What stands in the window of a page that has no number of its own; None if it has one."""
        key = WordKey(self._common.works, self._free[-1])
        ink = page_ink(self._common, self.plan.tiling.tiles[number], key)
        return None if key.numbered else ink

    def _inked(self, number: int) -> tuple[Group, ...]:
        """What stands in the window of a page, and the number that is free after it."""
        key = WordKey(self._common.works, self._free[number])
        ink = page_ink(self._common, self.plan.tiling.tiles[number], key)
        if len(self._free) == number + 1:
            self._free.append(key.next)
        return ink


def sheet_count(
    board: ResolvedBoard,
    face: Face,
    printing: Printing | Paper,
    *,
    unit: Unit | None = None,
    only: Bit | None = None,
) -> int:
    """How many sheets a template takes; ``unit`` plays no part, and is there so that all three are called alike.

    Raises:
        PaperError: the paper is too small for a sheet, or margin or overlap are not possible on it.
    """
    template = drill_template(board, face, unit=unit, only=only, crossed=False)
    return len(_tiling(board, Printing.of(printing), template, only).tiles)


def template_tiling(board: ResolvedBoard, face: Face, printing: Printing | Paper) -> Tiling:
    """Which sheets a template takes and what its seams run into, without the marks on them: for a part on the move.

    Raises:
        PaperError: the paper is too small for a sheet, or margin or overlap are not possible on it.
    """
    return _tiling(board, Printing.of(printing), drill_template(board, face, crossed=False), None)


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
