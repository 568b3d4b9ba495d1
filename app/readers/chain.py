"""What a file holds: chains of pieces, each on a layer, and the units they are in."""

from __future__ import annotations

from dataclasses import dataclass

from app.readers.pieces import Piece


@dataclass(frozen=True, slots=True)
class Chain:
    """Pieces end to end, as one item of a file draws them."""

    layer: str
    pieces: tuple[Piece, ...]


@dataclass(frozen=True, slots=True)
class Lines:
    """Every line of a file.

    Args:
        chains: in the units of the file, y up.
        mm: mm in such a unit; None if the file does not say.
        curves: how many curves that are no circles were made of bends.
        off: how far those bends are from the curves at most, in the units of the file.
    """

    chains: tuple[Chain, ...]
    mm: float | None
    curves: int
    off: float
