"""Legends at true size in rows, to be printed and cut out: frames, the middle of each, and registration crosses."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from app.drafting.forms import box_path
from app.drafting.legend_paths import legend_fill, legend_path
from app.errors import PaperError
from app.model.legend import LIGHT, LegendColour
from app.model.printing import Printing
from app.paper.legends.pieces import CutPiece, packed
from app.paper.lists.block import Block
from app.scene.metrics import shortened
from app.scene.palette import INK, TEXT
from app.scene.primitives import Group, Item, Line, Style, Text
from app.values import replace

INSET: Final = 6.0
"""Free of pieces at either end of a row, where its registration crosses are [mm]."""

_NAME: Final = 2.6
_ABOVE, _BELOW = 6.0, 3.0  # a row: room for names above its frames, air below them [mm]
_APART: Final = (5.0, 5.0)
_TICK: Final = 1.6
_ARM: Final = 2.0
_FRAME = Style(stroke="#8a8f94", width=0.13, dash=(1.0, 1.0), role="cut-line")
_MARK = Style(stroke=INK, width=0.13, role="tick")
_CROSS = Style(stroke=INK, width=0.13, role="registration")


def print_blocks(
    pieces: Sequence[CutPiece], colour: LegendColour, left: float, width: float, room: float, printing: Printing
) -> list[Block]:
    """A block for each row of pieces.

    Args:
        pieces: what is cut out.
        colour: of the letters; light ones are drawn in outline, since paper is light too.
        left: where rows begin [mm].
        width: of a row [mm].
        room: height of a page [mm].
        printing: for the words where a piece is too large for it.

    Raises:
        PaperError: a piece is larger than a page.
    """
    most = (width - 2 * INSET, room - _ABOVE - _BELOW)
    for piece in pieces:
        if piece.size[0] > most[0] + 1e-6 or piece.size[1] > most[1] + 1e-6:
            raise PaperError(
                f"The legend of {piece.letter} is {piece.size[0]:.0f} × {piece.size[1]:.0f} mm with its frame, and a "
                f"page of {printing.paper.name} has room for {most[0]:.0f} × {most[1]:.0f} mm. Choose a larger paper, "
                "make the legend lower, or let a plotter cut it."
            )
    style = legend_fill(colour)
    if colour in LIGHT:
        style = replace(style, fill="#ffffff", stroke=INK, width=0.13)
    return [_block(row, style, left, width) for row in packed(pieces, most[0], _APART)]


def _block(row: list[tuple[CutPiece, float]], style: Style, left: float, width: float) -> Block:
    high = max(piece.size[1] for piece, _ in row)

    def draw(top: float) -> list[Item]:
        base = top - _ABOVE - high
        items: list[Item] = []
        for piece, x in row:
            items.append(Group(tuple(_piece(piece, left + INSET + x, base, style)), role="legend-piece"))
        for x in (left + _ARM + 0.2, left + width - _ARM - 0.2):
            items += _cross(x, base + high / 2, _ARM, _CROSS)
        return items

    return Block(_ABOVE + high + _BELOW, draw)


def _piece(piece: CutPiece, x: float, y: float, style: Style) -> list[Item]:
    (wide, deep), (mx, my) = piece.size, piece.middle
    name = shortened(piece.letter, max(wide, 12.0), _NAME, bold=True)
    items: list[Item] = [
        box_path((x, y, x + wide, y + deep), _FRAME),
        Text((x, y + deep + _TICK + 0.8), name, _NAME, TEXT, bold=True),
        Line((x + mx, y + deep), (x + mx, y + deep + _TICK), _MARK),
        Line((x + mx, y), (x + mx, y - _TICK), _MARK),
        Line((x - _TICK, y + my), (x, y + my), _MARK),
        Line((x + wide, y + my), (x + wide + _TICK, y + my), _MARK),
        legend_path(piece.at(x, y), style),
    ]
    return [*items, *_cross(x + mx, y + my, 1.5, _MARK)] if piece.is_ring else items


def _cross(x: float, y: float, arm: float, style: Style) -> list[Item]:
    return [Line((x - arm, y), (x + arm, y), style), Line((x, y - arm), (x, y + arm), style)]
