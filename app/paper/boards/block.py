"""A board that shares its sheet: drawn whole in a window of its own, its name, size and key below it."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from msgspec import Struct

from app.drafting.forms import box_path
from app.drafting.labels.crowding import CROWDED, crowding
from app.drafting.labels.placer import Placer
from app.drafting.labels.word_key import WordKey, works_of
from app.drafting.template.drill_template import Template, drill_template
from app.drafting.words import board_size, revision_words, stop_words, thickness, unit_of
from app.model.part import Face
from app.model.printing import Printing
from app.model.resolved import ResolvedBoard
from app.paper.boards.one_rectangle import Sides
from app.paper.boards.turning import quartered
from app.paper.cover.text import Paragraph, height, set_text
from app.paper.sheet.layout import Box, SheetLayout
from app.paper.sheet.page_ink import Sheets, page_ink
from app.paper.sheet.ruled import RuledLine, ruled_lines
from app.paper.sheet.seams import Cost
from app.paper.sheet.sheet_words import in_the_window
from app.paper.sheet.shown_in_window import Stock
from app.paper.sheet.tiling import BLEED, Tile, Tiling
from app.paper.sheet.title_strip import check_code
from app.scene.bounds import bounds
from app.scene.metrics import text_width
from app.scene.palette import SHEET_EDGE, TEXT_MUTED
from app.scene.primitives import Group, Item, LineTo, Path, Point, Style, Text
from app.values import replace

PAD: Final = 7.0
"""Paper round a board for words beside its edges, and for the ends of ruled lines [mm]."""

_LEAST: Final = (62.0, 34.0)  # the smallest window that words of one hole fit in, whatever they are [mm]
_NARROW: Final = (54.0, 46.0, 38.0)  # widths tried, where the words of a board may do with less [mm]
_INSET: Final = 1.5  # between the line a block is cut along and its window [mm]
_NAME, _SMALL = 3.6, 2.5  # sizes of the words below it [mm]
_FILLED: Final = Style(stroke=None, fill="#23272b", role="front-mark")


class BoardBlock(Struct, frozen=True):
    """A board as it stands on a shared sheet.

    Args:
        board: the board.
        face: the face it is of.
        stops: how many findings say that it cannot be built as drawn.
        template: what is drawn.
        tile: what of it is shown: all.
        ruled: lines to rule on the board first.
        code: its check code.
        size: width and height of all of it, with its words [mm].
        at: where the corner of the drawing's coordinates lies in it [mm].
        items: what is drawn, in the coordinates of the block.
    """

    board: ResolvedBoard
    face: Face
    stops: int
    template: Template
    tile: Tile
    ruled: tuple[RuledLine, ...]
    code: str
    size: Sides
    at: Point
    items: tuple[Group, ...]

    def placed(self, corner: Point, *, turned: bool, name: str) -> tuple[Group, ...]:
        """What is drawn where its lower left corner lies at a place of the page [mm]."""
        x, y = corner
        groups = quartered(self.items) if turned else self.items
        by = (x + self.size[1], y) if turned else (x, y)
        return tuple(
            replace(g, name=f"{name}-{g.name}", shift=(g.shift[0] + by[0], g.shift[1] + by[1]))
            for g in groups
            if isinstance(g, Group)
        )


def least_size(board: ResolvedBoard) -> Sides:
    """What a block takes at least [mm]; told without drawing it."""
    x0, y0, x1, y1 = board.outline.bounds
    window = (max(x1 - x0 + 2 * PAD, _NARROW[-1]), max(y1 - y0 + 2 * PAD, _LEAST[1]))
    return (window[0] + 2 * _INSET, window[1] + 2 * _INSET + _NAME)


def block_of(board: ResolvedBoard, face: Face, printing: Printing, layout: SheetLayout) -> BoardBlock:
    """A board drawn to stand beside others.

    Args:
        board: the board.
        face: the face its template is stuck on.
        printing: how it is printed, with the stops of the board.
        layout: of a sheet, which says on which paper; where it lies on that is not settled yet.
    """
    plain = _drawn(board, face, printing, layout, _LEAST[0])
    if board.width + 2 * PAD >= _LEAST[0]:
        return plain.block
    found = [plain]
    for wide in _NARROW:  # each takes as long as the board itself: the first that loses words is the last
        one = _drawn(board, face, printing, layout, wide)
        if not one.says_all or one.words < plain.words or one.left > plain.left:
            break
        found.append(one)
    return min(found, key=lambda one: one.block.size[0] * one.block.size[1]).block


class _Drawn(Struct, frozen=True):
    """A block of some width, and how well its words go into it.

    Args:
        block: what is drawn.
        words: how many stand in its window.
        left: how many had no place there.
        says_all: whether no word below it had to be cut short.
    """

    block: BoardBlock
    words: int
    left: int
    says_all: bool


def _drawn(board: ResolvedBoard, face: Face, printing: Printing, layout: SheetLayout, least: float) -> _Drawn:
    """A board drawn in a window as wide as its ink needs, and ``least`` mm at least."""
    unit = unit_of(board)
    template = drill_template(board, face, unit=unit)
    window = _window(template, least)
    x0, y0, x1, y1 = board.outline.bounds
    tile = Tile(1, 1, window, (x0 - BLEED, y0 - BLEED, x1 + BLEED, y1 + BLEED), (0.0, 0.0))
    tiling = Tiling(layout, 1, 1, (), (), (tile,), 0.0, Cost(0, 0, 0, 0.0))
    above: tuple[RuledLine, ...] = ()
    if face == "under":
        above = ruled_lines(board, drill_template(board, "top", unit=unit), tiling, unit)
    ruled = ruled_lines(board, template, tiling, unit, above)
    left: list[str] = []

    def listing(
        key: WordKey, _: SheetLayout, tile: Tile, placer: Placer, /, *, cut: bool
    ) -> tuple[list[Item], list[Item]]:
        """In the window what has a free place there; the rest is left for the words below."""
        inside, rest = in_the_window(list(key.entries), tile, placer, "" if cut else "Key:")
        left.extend(rest)
        return [], inside

    works = works_of(template.marks)
    sheets = Sheets(Stock(template), layout, ruled, {}, works, crowding(template) > CROWDED, unit, ())
    ink = page_ink(sheets, tile, WordKey(works, len(works) + 1), listing)
    code = check_code(board, face, tiling, printing)
    said = _said(board, face, printing.stops, code, left)
    wide, high = window[2] - window[0], window[3] - window[1]
    foot = height(said[:1], wide, _NAME) + height(said[1:], wide - 4.0, _SMALL) + 2.0
    size = (wide + 2 * _INSET, high + foot + 2 * _INSET)
    at = (_INSET - window[0], _INSET + foot - window[1])
    moved = tuple(replace(group, shift=at) for group in ink if group.name != "key")
    below = Group((*_below(said, wide, foot), *_frame(size)), name="caption")
    block = BoardBlock(board, face, printing.stops, template, tile, ruled, code, size, at, (*moved, below))
    whole = all(
        text_width(word, _NAME if p is said[0] else _SMALL, p.bold) <= (wide if p is said[0] else wide - 4.0)
        for p in said
        for word in p.text.split()
    )
    return _Drawn(block, _texts(moved), len(left), whole)


def _texts(items: Sequence[Item]) -> int:
    """How many words stand among what is drawn."""
    return sum(_texts(item.items) if isinstance(item, Group) else isinstance(item, Text) for item in items)


def _window(template: Template, least: float) -> Box:
    """All ink of a template with paper round it for words, at least as large as those of one hole need.

    Args:
        template: what is drawn.
        least: its least width [mm].
    """
    around = bounds((*template.outline, *template.holes, *template.crosses, *template.datum))
    x0, y0, x1, y1 = around or template.box
    bx0, by0, bx1, by1 = template.box
    x0, y0, x1, y1 = (
        min(x0 - 1.0, bx0 - PAD),
        min(y0 - 1.0, by0 - PAD),
        max(x1 + 1.0, bx1 + PAD),
        max(y1 + 1.0, by1 + PAD),
    )
    more = (max(least - (x1 - x0), 0.0) / 2, max(_LEAST[1] - (y1 - y0), 0.0) / 2)
    return (x0 - more[0], y0 - more[1], x1 + more[0], y1 + more[1])


def _said(board: ResolvedBoard, face: Face, stops: int, code: str, key: list[str]) -> list[Paragraph]:
    """What stands below a board: all that says which it is once the sheet is cut up."""
    unit = unit_of(board)
    made = " on ".join(f"{thickness(layer.thickness, unit)} {layer.material.name}" for layer in board.layers)
    side = "TOP FACE" if face == "top" else "UNDERSIDE, mirrored"
    return [
        Paragraph(board.name, bold=True),
        Paragraph(f"{side}; this edge towards the player", bold=True),
        *([Paragraph(stop_words(stops), bold=True)] if stops else []),
        Paragraph(f"{board_size(board)}; {made}"),
        Paragraph(f"{board.arrangement_name}, {revision_words(board)}, code {code}", style=TEXT_MUTED),
        *(Paragraph(f"Key: {entry}" if n == 0 else entry) for n, entry in enumerate(key)),
    ]


def _below(said: list[Paragraph], wide: float, foot: float) -> list[Item]:
    """The words below a window, with an arrow to its front edge beside them."""
    top = _INSET + foot - 0.4
    named, low = set_text(said[:1], _INSET, top, wide, _NAME)
    items, _ = set_text(said[1:], _INSET + 4.0, low - 0.5, wide - 4.0, _SMALL)
    y = low - 3.1
    arrow = Path((_INSET + 1.3, y), (LineTo((_INSET, y + 2.2)), LineTo((_INSET + 2.6, y + 2.2))), _FILLED, closed=True)
    return [*named, arrow, *items]


def _frame(size: Sides) -> tuple[Item, ...]:
    """The line a block is cut along."""
    return (box_path((0.0, 0.0, *size), SHEET_EDGE),)
