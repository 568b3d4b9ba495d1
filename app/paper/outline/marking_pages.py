"""The pages that say how an outline is marked out: blocks set below one another, with head, check bars and foot."""

from __future__ import annotations

from collections.abc import Sequence

from app.drafting.forms import box_path
from app.drafting.words import revision_words, unit_of
from app.model.printing import Printing
from app.model.resolved import ResolvedBoard
from app.paper.outline.marking_blocks import Block, marking_blocks
from app.paper.sheet.bars import check_bars
from app.paper.sheet.layout import SheetLayout, layouts
from app.paper.sheet.stopped import head_items
from app.paper.sheet.title_strip import CAUTIONS
from app.scene.metrics import fitting_size, shortened
from app.scene.palette import FRAME, TEXT, TEXT_MUTED
from app.scene.primitives import Group, Item, Line, Scene, Text
from app.shop.outline_marks import OutlineMarks

_HEAD = 15.0
_NEED = (178.0, 232.0)
_HALF_PEN = 0.175  # all ink of a frame stays inside its box [mm]


class MarkingPages(Sequence[Scene]):
    """The pages, each set when it is asked for.

    Args:
        board: the board.
        printing: how they are printed.
        marks: what has to be marked out.
        code: check code of the true-size sheets that belong to them.
    """

    def __init__(self, board: ResolvedBoard, printing: Printing, marks: OutlineMarks, code: str) -> None:
        found = layouts(printing, _NEED)
        self.layout = next((one for one in found if one.orientation == "portrait"), found[0])
        self._board, self._printing, self._code = board, printing, code
        x0, y0, x1, y1 = self.layout.window
        room = y1 - y0 - _HEAD - 2.0
        blocks = marking_blocks(board, marks, x0 + 1.0, x1 - x0 - 2.0, room, unit_of(board))
        self._pages = _paged(blocks, room)

    def __len__(self) -> int:
        return len(self._pages)

    def __getitem__(self, index: int) -> Scene:  # type: ignore[override]
        """A page, from 0."""
        number = range(len(self))[index]
        layout, board = self.layout, self._board
        top = layout.window[3]
        items: list[Item] = _head(board, layout)
        y = top - _HEAD
        for block in self._pages[number]:
            items += block.draw(y)
            y -= block.height
        width, height = layout.page
        groups = (
            Group(tuple(items), name="marking"),
            *head_items(layout, self._printing.stops),
            *check_bars(layout),
            Group(self._foot(number + 1), name="marking-foot"),
        )
        return Scene(
            0.0, 0.0, width, height, groups, title=f"{board.title}: {board.name}, marking out the outline",
            note=f"{layout.paper.name}, page {number + 1} of {len(self)}, code {self._code}", stretch=layout.stretch,
        )  # fmt: skip

    def _foot(self, number: int) -> tuple[Item, ...]:
        """In the place of a sheet's title strip: which page it is, its code, and the usual cautions."""
        x0, y0, x1, y1 = self.layout.strip
        cut = x0 + 60.0
        pen = _HALF_PEN
        items: list[Item] = [
            box_path((x0 + pen, y0 + pen, x1 - pen, y1 - pen), FRAME),
            Line((cut, y0 + pen), (cut, y1 - pen), FRAME),
            Text((x0 + 2.0, y1 - 5.0), f"page {number} of {len(self)}", 3.4, TEXT, bold=True),
            Text((x0 + 2.0, y1 - 10.5), f"belongs to sheets with code {self._code}", 3.0, TEXT),
        ]
        said = [*CAUTIONS, "Print at actual size; the measures here are to be read, not to be laid on."]
        for n, text in enumerate(said):
            items.append(Text((cut + 2.0, y1 - 4.2 - 4.4 * n), text, fitting_size(text, x1 - cut - 4.0, 3.0), TEXT))
        return tuple(items)


def _head(board: ResolvedBoard, layout: SheetLayout) -> list[Item]:
    x0, _, x1, top = layout.window
    left, room = x0 + 1.0, x1 - x0 - 2.0
    units = "inches" if board.units == "inch" else "mm"
    words = f"{board.title}, {revision_words(board)}, {board.name[:1].lower()}{board.name[1:]}; measures in {units}"
    size = max(fitting_size(words, room, 3.2), 2.6)
    return [
        Text((left, top - 6.0), "MARK OUT THE OUTLINE", 5.6, TEXT, bold=True),
        Text((left, top - 11.0), shortened(words, room, size), size, TEXT_MUTED),
    ]


def _paged(blocks: Sequence[Block], room: float) -> list[list[Block]]:
    """Blocks page by page; one that is held stays with the one after it, if a page has room for both."""
    pages: list[list[Block]] = [[]]
    left = room
    for block, following in zip(blocks, [*blocks[1:], None], strict=True):
        need = block.height + (following.height if block.held and following is not None else 0.0)
        if pages[-1] and (block.height > left or (need > left and need <= room)):
            pages.append([])
            left = room
        pages[-1].append(block)
        left -= block.height
    return pages
