"""The ink of a legend before it has a place: its pieces, each a letter or a sign, on a baseline from x = 0."""

from __future__ import annotations

from functools import lru_cache

from msgspec import Struct
from propcache.api import cached_property

from app.catalogue.signs import sign_contours
from app.catalogue.typeface import typeface
from app.geometry.contours import Box, Contour, Pose, box_of
from app.model.legend import LIGHT, Legend, Lettering


class InkPiece(Struct, frozen=True, dict=True):
    """A letter or a sign.

    Args:
        drawn: its rings, 1 high from x = 0.
        x: where it stands on the baseline [mm].
        height: of capitals, or of the sign [mm].
        box: round it, where it stands [mm].
        middle: of the room it takes along the baseline [mm].
    """

    drawn: tuple[Contour, ...]
    x: float
    height: float
    box: Box
    middle: float

    @cached_property
    def contours(self) -> tuple[Contour, ...]:
        """Its rings at true size, where it stands; not made before they are drawn [mm]."""
        pose = Pose(x=self.x, size=self.height)
        return tuple(contour.placed(pose) for contour in self.drawn)


class Ink(Struct, frozen=True):
    """All of a legend's ink.

    Args:
        pieces: from the left; blanks are only the room between them.
        height: of capitals, or of the sign [mm].
        box: round all of it [mm].
        length: from the first letter's room to the last one's [mm].
    """

    pieces: tuple[InkPiece, ...]
    height: float
    box: Box
    length: float

    @property
    def width(self) -> float:
        """How wide the ink itself is [mm]."""
        return self.box[2] - self.box[0]


def height_of(legend: Legend, lettering: Lettering) -> float:
    """How high its capitals are [mm]."""
    return legend.height if legend.height is not None else lettering.height


def ink_of(legend: Legend, lettering: Lettering) -> Ink | None:
    """The ink of a legend; None where there is nothing to see.

    Raises:
        CatalogueError: the typeface lacks a letter, or there is no such sign.
    """
    return _ink(legend.text, legend.sign, height_of(legend, lettering), lettering.colour in LIGHT)


@lru_cache(maxsize=4096)
def _ink(text: str, sign: str, height: float, light: bool) -> Ink | None:
    pieces: list[InkPiece] = []
    x = 0.0
    if sign:
        drawn = sign_contours(sign)
        box = _scaled(box_of(drawn), 0.0, height)
        pieces, x = [InkPiece(drawn, 0.0, height, box, (box[0] + box[2]) / 2)], box[2]
    else:
        face = typeface(light=light)
        for letter in text:
            glyph, wide = face.glyph(letter), face.glyph(letter).advance * height
            if glyph.contours:
                box = _scaled(glyph.box, x, height)
                pieces.append(InkPiece(glyph.contours, x, height, box, x + wide / 2))
            x += wide
    if not pieces:
        return None
    boxes = [piece.box for piece in pieces]
    whole = (boxes[0][0], min(b[1] for b in boxes), max(b[2] for b in boxes), max(b[3] for b in boxes))
    return Ink(tuple(pieces), height, whole, x)


def _scaled(box: Box, x: float, height: float) -> Box:
    return (x + height * box[0], height * box[1], x + height * box[2], height * box[3])
