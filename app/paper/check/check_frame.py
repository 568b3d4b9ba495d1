"""The frame on a check sheet: as large as the paper allows, its sides and diagonals are what is measured."""

from __future__ import annotations

import math
from typing import Literal

from msgspec import Struct

from app.catalogue.load import catalogue
from app.errors import PaperError
from app.model.printing import Printing
from app.scene.primitives import Point
from app.units import Unit

Axis = Literal["x", "y", "diagonal"]

_LEAST = 100.0  # shortest side of a frame with words in it that can be read [mm]


class CheckBar(Struct, frozen=True):
    """A length to measure on a check sheet, from outer edge of the ink to outer edge.

    Args:
        name: one letter.
        axis: ``x`` along the short side of the paper, ``y`` along the long one, or ``diagonal``.
        place: where it is, as ``bottom``.
        length: how long it is if the print is true [mm].
        a, b: its ends on the true page, from the lower left corner [mm].
    """

    name: str
    axis: Axis
    place: str
    length: float
    a: Point
    b: Point


class CheckFrame(Struct, frozen=True):
    """Where the frame stands on the upright page, all as it comes out if the print is true.

    Args:
        page: width and height of the window [mm]: the paper's size divided by the correction.
        stretch: factors the page is enlarged by when it is written.
        box: outer edges of the frame (x0, y0, x1, y1) [mm].
        bars: its sides ``A`` bottom, ``B`` top, ``C`` left, ``D`` right, and the diagonals ``E`` and ``F``.
    """

    page: tuple[float, float]
    stretch: tuple[float, float]
    box: tuple[float, float, float, float]
    bars: tuple[CheckBar, ...]


def check_frame(printing: Printing, unit: Unit) -> CheckFrame:
    """The largest frame with round sides that fits, centred on the paper; a roll is cut off as long as it needs.

    On A4 and Letter it fits what the two have in common, so that a sheet for the one printed on the other is
    whole. With a correction both what is written and what comes out stay inside.

    Raises:
        PaperError: the paper is too small, or the margin too large, for a frame with words in it.
    """
    paper, stretch = printing.paper, printing.correction.on(lying=False)
    width, height = (paper.width, paper.height) if paper.roll else sorted((paper.width, paper.height))
    margin = catalogue().rule("paper-margin") if printing.margin is None else printing.margin
    room = _common(width, height)
    sides = [_round((r - 2 * margin) / max(1.0, s), unit) for r, s in zip(room, stretch, strict=True)]
    if min(sides) < _LEAST:
        raise PaperError(
            f"Paper {paper.name} with a margin of {margin:g} mm leaves a frame of {max(sides[0], 0.0):g} × "
            f"{max(sides[1], 0.0):g} mm to measure; {_LEAST:g} × {_LEAST:g} mm are needed. Choose a larger "
            "paper or a smaller margin."
        )
    if paper.roll:
        height = math.ceil(sides[1] * max(1.0, stretch[1]) + 2 * margin)  # cut off below the frame
    page = (width / stretch[0], height / stretch[1])
    x0, y0 = (page[0] - sides[0]) / 2, (page[1] - sides[1]) / 2
    box = (x0, y0, x0 + sides[0], y0 + sides[1])
    return CheckFrame(page, stretch, box, _bars(box))


def _common(width: float, height: float) -> tuple[float, float]:
    """The paper's sides, or for A4 and Letter those of what both have [mm]."""
    twins = [catalogue().papers[name] for name in ("a4", "letter")]
    if any((width, height) == (twin.width, twin.height) for twin in twins):
        return min(t.width for t in twins), min(t.height for t in twins)
    return width, height


def _round(room: float, unit: Unit) -> float:
    rule = catalogue().rule
    step = rule("check-step-inch" if unit is Unit.INCH else "check-step-mm")
    return math.floor(min(room, rule("check-side-most")) / step + 1e-9) * step


def _bars(box: tuple[float, float, float, float]) -> tuple[CheckBar, ...]:
    x0, y0, x1, y1 = box
    across = math.hypot(x1 - x0, y1 - y0)
    return (
        CheckBar("A", "x", "bottom", x1 - x0, (x0, y0), (x1, y0)),
        CheckBar("B", "x", "top", x1 - x0, (x0, y1), (x1, y1)),
        CheckBar("C", "y", "left", y1 - y0, (x0, y0), (x0, y1)),
        CheckBar("D", "y", "right", y1 - y0, (x1, y0), (x1, y1)),
        CheckBar("E", "diagonal", "bottom left to top right", across, (x0, y0), (x1, y1)),
        CheckBar("F", "diagonal", "bottom right to top left", across, (x1, y0), (x0, y1)),
    )
