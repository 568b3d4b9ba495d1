"""A sheet that several boards share: their blocks side by side, with check bars, head and title strip."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from typing import Final

from msgspec import Struct

from app.drafting.forms import box_path
from app.drafting.words import counted_stops, revision_words, stop_words
from app.model.printing import Printing
from app.paper.boards.block import BoardBlock
from app.paper.cover.text import Paragraph, set_text, wrapped
from app.paper.sheet.bars import check_bars
from app.paper.sheet.layout import SheetLayout
from app.paper.sheet.stopped import head_items
from app.paper.sheet.title_strip import PRINTING, caution_items, corner_items, special
from app.scene.metrics import fitting_size, shortened, text_width
from app.scene.palette import FRAME, TEXT
from app.scene.primitives import Group, Item, Line, Point, Scene, Style, Text

_CELL: Final = Style(stroke="#23272b", width=0.18, role="frame")
_FACE, _PRINT, _PLACE = 45.0, 35.0, 24.0  # widths of the cells of the strip but the one in the middle [mm]
_SIZES: Final = (2.6, 2.4, 2.2, 2.0, 1.8)


class LaidBlock(Struct, frozen=True):
    """A block on a sheet.

    Args:
        block: the board as it is drawn.
        corner: its lower left corner on the page [mm].
        turned: whether it is turned by a quarter, anticlockwise.
    """

    block: BoardBlock
    corner: Point
    turned: bool

    def on_board(self, p: Point) -> Point:
        """The place of the drawing that stands at a place of the page [mm]."""
        x, y = p[0] - self.corner[0], p[1] - self.corner[1]
        if self.turned:
            x, y = y, self.block.size[1] - x
        return (x - self.block.at[0], y - self.block.at[1])


class SharedSheet(Struct, frozen=True):
    """A sheet with several boards.

    Args:
        layout: how the page is divided.
        printing: how it is printed, with the stops of all boards on it.
        laid: the boards on it.
    """

    layout: SheetLayout
    printing: Printing
    laid: tuple[LaidBlock, ...]

    def scene(self, number: int, count: int) -> Scene:
        """The page, of true size; ``number`` of ``count`` in its file."""
        blocks = [one.block for one in self.laid]
        first, layout = blocks[0], self.layout
        items: list[Group] = []
        for index, one in enumerate(self.laid):
            items += one.block.placed(one.corner, turned=one.turned, name=f"board-{index + 1}")
        face = "top face" if first.face == "top" else "UNDERSIDE, mirrored"
        return Scene(
            0.0,
            0.0,
            *layout.page,
            (
                *items,
                *head_items(layout, self.printing.stops, _stopped(blocks, layout)),
                *check_bars(layout),
                self._strip(number, count),
            ),
            stretch=layout.stretch,
            title=f"{first.board.title}: {len(blocks)} boards, {face}",
            note=f"page {number} of {count}, {layout.paper.name}, 1:1, codes {', '.join(b.code for b in blocks)}",
        )

    def _strip(self, number: int, count: int) -> Group:
        """What it is, which boards are on it, how to print it, and which page of its file it is."""
        layout, blocks = self.layout, [one.block for one in self.laid]
        x0, y0, x1, y1 = layout.strip
        cuts = (x0, x0 + _FACE, x1 - _PLACE - _PRINT, x1 - _PLACE, x1)
        items: list[Item] = [box_path((x0 + 0.175, y0 + 0.175, x1 - 0.175, y1 - 0.175), FRAME)]
        items += [Line((x, y0 + 0.175), (x, y1 - 0.175), _CELL) for x in cuts[1:-1]]
        cells = [(a + 1.8, b - 1.8) for a, b in pairwise(cuts)]
        name = "TOP FACE" if blocks[0].face == "top" else "UNDERSIDE"
        items += _lines(cells[0], y1, [name, _mirrored(blocks)], (7.2, 2.8), (8.2, 12.6))
        items += self._boards(cells[1])
        items += _lines(cells[2], y1, PRINTING, (2.9, 2.9, 2.9), (4.6, 8.8, 13.0))
        place = (f"page {number}", f"of {count}", layout.paper.name)
        items += _lines(cells[3], y1, place, (3.6, 2.9, 2.6), (5.0, 9.0, 13.0))
        items += caution_items(layout)
        items += corner_items(layout)
        return Group(tuple(items), name="title")

    def _boards(self, cell: tuple[float, float]) -> list[Item]:
        """The design and its revision, and each board with its stops."""
        blocks = [one.block for one in self.laid]
        board, (left, right) = blocks[0].board, cell
        _, y0, _, y1 = self.layout.strip
        units = "inches" if board.units == "inch" else "mm"
        more = special(self.printing, None, lying=self.layout.orientation == "landscape")
        head = "; ".join((f"{board.title}, {revision_words(board)}, {units}", *more))
        size = max(fitting_size(head, right - left, 3.0, bold=True), 2.2)
        items: list[Item] = [Text((left, y1 - 4.2), shortened(head, right - left, size, True), size, TEXT, bold=True)]
        words, room = _named(blocks), y1 - y0 - 6.2
        for size in _SIZES:
            if len(wrapped(words, right - left, size)) * 1.32 * size <= room:
                break
        else:
            words = f"{len(blocks)} boards, each named below its drawing, with its revision and its stops"
        return items + set_text([Paragraph(words)], left, y1 - 5.6, right - left, size)[0]


def _named(blocks: Sequence[BoardBlock]) -> str:
    """``Deck, 2 stops; Fan plate``."""
    return "; ".join(f"{b.board.name}, {counted_stops(b.stops)}" if b.stops else b.board.name for b in blocks)


def _stopped(blocks: Sequence[BoardBlock], layout: SheetLayout) -> str:
    """Which boards cannot be built as drawn; how many stops in all where there is no room for their names."""
    stopped = [block for block in blocks if block.stops]
    words = f"NOT BUILDABLE AS DRAWN: {_named(stopped)}"
    if text_width(words, 3.0, bold=True) <= layout.head[2] - layout.head[0] - 6.0:
        return words
    return f"{stop_words(sum(block.stops for block in stopped))} on {len(stopped)} boards"


def _mirrored(blocks: Sequence[BoardBlock]) -> str:
    return f"{'mirrored; ' if blocks[0].face == 'under' else ''}{len(blocks)} boards, to be cut apart"


def _lines(
    cell: tuple[float, float], top: float, lines: Sequence[str], sizes: Sequence[float], down: Sequence[float]
) -> list[Item]:
    items: list[Item] = []
    for n, (text, size, by) in enumerate(zip(lines, sizes, down, strict=True)):
        fitted = fitting_size(text, cell[1] - cell[0], size, bold=n == 0)
        items.append(Text((cell[0], top - by), text, fitted, TEXT, bold=n == 0))
    return items
