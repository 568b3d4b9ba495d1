"""Legends as lines and fills at true size: outlines of their letters, never words of a font."""

from __future__ import annotations

from collections.abc import Iterable
from types import MappingProxyType
from typing import Final

from app.geometry.contours import Contour, Piece
from app.model.legend import LegendColour
from app.scene.palette import INK, WHITE
from app.scene.primitives import CubicTo, LineTo, MoveTo, Path, Step, Style

FILLS: Final = MappingProxyType[LegendColour, str](
    {
        "black": INK,
        "white": WHITE,
        "grey": "#6d7278",
        "silver": "#c3c7cb",
        "red": "#b3261e",
        "yellow": "#e3bf2d",
        "green": "#2f7d4f",
        "blue": "#2456a6",
    }
)
"""What each colour of film is drawn in. Common colours of film by their plain names; choice of this program."""


def legend_fill(colour: LegendColour) -> Style:
    """The look of a legend of that colour on a drawing."""
    return Style(stroke=None, fill=FILLS[colour], role=f"legend legend-{colour}")


def legend_path(contours: Iterable[Contour], style: Style, layer: str = "") -> Path:
    """The rings of a legend, one at least, as one path."""
    first, *rest = contours
    steps = [_step(piece) for piece in first.pieces]
    for contour in rest:
        steps.append(MoveTo(contour.start))
        steps += [_step(piece) for piece in contour.pieces]
    return Path(first.start, tuple(steps), style, closed=True, layer=layer)


def _step(piece: Piece) -> Step:
    return LineTo(piece[0]) if len(piece) == 1 else CubicTo(piece[0], piece[1], piece[2])
