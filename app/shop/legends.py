"""The legends of a board for the bench: what each says, how high it is and where its middle comes."""

from __future__ import annotations

from msgspec import Struct

from app.catalogue.load import catalogue
from app.catalogue.signs import SIGNS
from app.fit.features.layout import layout_of
from app.fit.lettering.laid import LaidLegend
from app.geometry.shapes import Point
from app.model.legend import LegendPlace
from app.model.resolved import ResolvedBoard


class LegendRow(Struct, frozen=True):
    """A legend.

    Args:
        placement: id of its part.
        letter: of its part on the plan; the part's name where it has none.
        says: its text, or the words of its sign.
        sign: name of its sign; empty for a text.
        source: where the sign comes from; empty for a text.
        height: of its capitals [mm].
        place: where it stands.
        left, front: middle of what is lettered, of a ring the middle of its part, from the datum edges [mm].
        turn: of its baseline, anticlockwise; of a ring how far its middle is from the back [degrees].
        width, deep: of what is lettered, as it lies on the board [mm].
        middle: the same in the coordinates of the board [mm].
        trouble: what is wrong with its place, in words; empty if nothing is.
        laid: where all of it is.
    """

    placement: str
    letter: str
    says: str
    sign: str
    source: str
    height: float
    place: LegendPlace
    left: float
    front: float
    turn: float
    width: float
    deep: float
    middle: Point
    trouble: str
    laid: LaidLegend


_TROUBLE = {"": "", "no room": "no clear place", "too long": "too long for its ring"}


def legend_rows(board: ResolvedBoard) -> tuple[LegendRow, ...]:
    """Every legend of a board, in the order of its parts."""
    x0, y0, _, _ = board.outline.bounds
    found = []
    for laid in layout_of(board, catalogue()).legends:
        placed, legend = board.drilled[laid.owner], laid.legend
        low, high = laid.quads.min(axis=(0, 1)), laid.quads.max(axis=(0, 1))
        x, y = laid.anchor if laid.straight else (placed.x, placed.y)
        sign = SIGNS.get(legend.sign)
        found.append(
            LegendRow(
                placement=placed.id,
                letter=placed.label or placed.part.name,
                says=sign.words if sign else legend.text.strip(),
                sign=legend.sign,
                source=sign.source if sign else "",
                height=laid.ink.height,
                place=legend.place,
                left=x - x0,
                front=y - y0,
                turn=legend.turn,
                width=float(high[0] - low[0]),
                deep=float(high[1] - low[1]),
                middle=(x, y),
                trouble=_TROUBLE[laid.trouble],
                laid=laid,
            )
        )
    return tuple(found)
