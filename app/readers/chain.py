"""What a file holds: chains of pieces, each on a layer, and the units they are in."""

from __future__ import annotations

from typing import Final

from msgspec import Struct

from app.catalogue.load import catalogue
from app.errors import DocumentError
from app.geometry.shapes import Point
from app.model.limits import BOARD_SIDE
from app.readers.pieces import Piece

MOST_PIECES: Final = 10_000
"""Most lines, arcs and curves of a file; an outline has some hundreds at most, a drawing with all its holes more."""


class Chain(Struct, frozen=True):
    """Pieces end to end, as one item of a file draws them."""

    layer: str
    pieces: tuple[Piece, ...]


class Lines(Struct, frozen=True):
    """Every line of a file.

    Args:
        chains: in the units of the file, y up.
        mm: mm in such a unit; None if the file does not say.
        curves: how many curves that are no circles were made of bends.
        off: how far those bends are from the curves at most, in the units of the file.
        down: whether the file counts from its top, downwards.
    """

    chains: tuple[Chain, ...]
    mm: float | None
    curves: int
    off: float
    down: bool = False

    def place(self, at: Point) -> str:
        """A place as whoever drew it finds it, in mm if the file says what they are."""
        mm = self.mm or 1.0
        across, up = f"{at[0] * mm + 0.0:.6g}", f"{(-at[1] if self.down else at[1]) * mm + 0.0:.6g}"
        unit = " mm" if self.mm else ""
        return f"{across}{unit} from the left and {up}{unit} from the top" if self.down else f"{across}, {up}{unit}"

    def length(self, value: float) -> str:
        """A length in mm if the file says what they are."""
        return f"{value * self.mm:.4g} mm" if self.mm else f"{value:.4g} of the file’s units"


def check_count(pieces: int) -> None:
    """Refuse a file with more lines than a drawing of a board can have.

    Raises:
        DocumentError: it has.
    """
    if pieces > MOST_PIECES:
        raise DocumentError(
            f"It has more than {MOST_PIECES:,} lines, more than any board’s outline. Export the outline alone."
        )


def finest(share: float, size: float, mm: float | None) -> float:
    """How far a bend may be from a curve: a share of a drawing's size, never more than the rule has in mm.

    All in the units of the file; where those are not known, or make a drawing no board can be part of, the share
    alone tells.
    """
    within = share * size
    if mm is None or size * mm > 20 * BOARD_SIDE.most:
        return within
    return min(within, catalogue().rule("outline-off") / mm)
