"""What a cutting plotter cuts of film: outlines of letters, a weeding box round each legend, registration crosses.

Each kind of line is a layer of its own in one colour, by which plotting programs tell them apart. Names of parts are
outlines too, in a layer that is not cut.
"""

from __future__ import annotations

from typing import Final

from app.catalogue.typeface import letters_lacking
from app.drafting.forms import box_path
from app.drafting.legend_paths import legend_path
from app.fit.lettering.ink import ink_of
from app.geometry.contours import Pose
from app.model.legend import Legend, Lettering
from app.model.resolved import ResolvedBoard
from app.paper.legends.pieces import CutPiece, cut_pieces, packed
from app.scene.primitives import Item, LineTo, Path, Scene, Style
from app.shop.legends import legend_rows

LETTERING: Final = "LETTERING"
WEEDING: Final = "WEEDING_BOXES"
REGISTRATION: Final = "REGISTRATION"
NAMES: Final = "NAMES_NOT_CUT"

_HAIR: Final = 0.1
_LOOKS: Final = {
    LETTERING: Style(stroke="#000000", width=_HAIR, role="lettering"),
    WEEDING: Style(stroke="#ff0000", width=_HAIR, role="weeding"),
    REGISTRATION: Style(stroke="#0000ff", width=_HAIR, role="registration"),
    NAMES: Style(stroke="#008000", width=_HAIR, role="names"),
}
MARGIN: Final = 12.0
"""Round all pieces, where the crosses are [mm]."""

ARM: Final = 4.0
"""Of a registration cross [mm]."""

_APART: Final = (5.0, 6.0)
_NAME: Final = 2.5


def plotter_scene(board: ResolvedBoard, width: float, *, mirrored: bool = False, stops: int = 0) -> Scene:
    """Every legend of a board, packed in rows on film.

    Args:
        board: the board.
        width: of the film; a legend that is wider makes it so [mm].
        mirrored: whether they are cut to be stuck behind a clear cover.
        stops: how many findings say that the board cannot be built as drawn.
    """
    pieces = cut_pieces(legend_rows(board), mirrored=mirrored)
    room = max([width - 2 * MARGIN, *(piece.size[0] for piece in pieces)])
    items: list[Item] = []
    y = 0.0
    for row in packed(pieces, room, _APART):
        high = max(piece.size[1] for piece, _ in row)
        y -= high
        for piece, x in row:
            items += _drawn(piece, x, y)
        y -= _APART[1]
    wide = room + 2 * MARGIN
    low = y + _APART[1] - MARGIN if pieces else -MARGIN
    top = MARGIN
    for cx in (-MARGIN / 2, wide - 1.5 * MARGIN):
        for cy in (low + MARGIN / 2, top - MARGIN / 2):
            items += _cross(cx, cy)
    way = "mirrored, to be stuck behind a clear cover" if mirrored else "to be read from the front"
    stopped = f", {stops} {'stop' if stops == 1 else 'stops'}: cannot be built as drawn" if stops else ""
    note = f"Legends in {board.lettering.colour}, {len(pieces)}, {way}; 1 unit = 1 mm{stopped}"
    return Scene(-MARGIN, low, wide - MARGIN, top, tuple(items), f"{board.title}: {board.name}, legends", note)


def _drawn(piece: CutPiece, x: float, y: float) -> list[Item]:
    wide, deep = piece.size
    items: list[Item] = [
        legend_path(piece.at(x, y), _LOOKS[LETTERING], LETTERING),
        box_path((x, y, x + wide, y + deep), _LOOKS[WEEDING], WEEDING),
    ]
    name = _name(piece.letter, x, y + deep + 1.0, wide + 0.5 * _APART[0])
    return [*items, name] if name else items


def _name(letter: str, x: float, y: float, room: float) -> Path | None:
    """The name of a part as outlines, as much of it as there is room for; none where the typeface lacks a letter."""
    ink = None
    while letter and not letters_lacking(letter):
        ink = ink_of(Legend(text=letter), Lettering(height=_NAME))
        if ink is None or ink.width <= room:
            break
        letter = letter[:-1].rstrip(" ,")
    if ink is None:
        return None
    pose = Pose(x=x - ink.box[0], y=y)
    return legend_path([c.placed(pose) for p in ink.pieces for c in p.contours], _LOOKS[NAMES], NAMES)


def _cross(x: float, y: float) -> list[Item]:
    style = _LOOKS[REGISTRATION]
    return [
        Path((x - ARM, y), (LineTo((x + ARM, y)),), style, layer=REGISTRATION),
        Path((x, y - ARM), (LineTo((x, y + ARM)),), style, layer=REGISTRATION),
    ]
