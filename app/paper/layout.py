"""How a page is divided: check bars at the left and below, the title strip at the foot, the rest for the board."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from app.catalogue.load import catalogue
from app.errors import PaperError
from app.model.shop import Paper

Box = tuple[float, float, float, float]
"""A rectangle (x0, y0, x1, y1) [mm]."""

Orientation = Literal["portrait", "landscape"]

STRIP = 15.0
"""Height of the title strip [mm]."""

BARS = 7.4
"""Height of the band with the horizontal check bars, above the title strip [mm]."""

SIDE = 9.0
"""Width of the column with the vertical check bars and the corner mark [mm]."""

GAP = 0.5
"""Gap between the parts of a page [mm]."""

NARROWEST = 180.0
"""Least width of the ink for a title strip that can be read at arm's length [mm]."""


@dataclass(frozen=True, slots=True)
class SheetLayout:
    """Where things stand on a page, from its lower left corner [mm].

    Args:
        paper: the paper.
        orientation: upright or lying.
        margin: edge of the paper left free [mm].
        page: width and height of the page as it is printed [mm].
        ink: rectangle all ink stays inside.
        strip: title strip.
        bars: band of the horizontal check bars.
        side: column of the vertical check bars.
        window: where the board is drawn.
    """

    paper: Paper
    orientation: Orientation
    margin: float
    page: tuple[float, float]
    ink: Box
    strip: Box
    bars: Box
    side: Box
    window: Box

    @property
    def room(self) -> tuple[float, float]:
        """Width and height of the window [mm]."""
        x0, y0, x1, y1 = self.window
        return (x1 - x0, y1 - y0)


def layouts(paper: Paper) -> tuple[SheetLayout, ...]:
    """The ways to use a paper, best first: upright before lying, the usual margin before the least.

    Raises:
        PaperError: the paper is too small for a title strip and both check bars.
    """
    rule = catalogue().rule
    found = [
        made
        for margin in (rule("paper-margin"), rule("paper-margin-least"))
        for orientation in ("portrait", "landscape")
        if (made := _layout(paper, "portrait" if orientation == "portrait" else "landscape", margin)) is not None
    ]
    if not found:
        least = rule("paper-margin-least")
        width = NARROWEST + 2 * least
        height = rule("check-bar-inch") + STRIP + BARS + 2 * GAP + 2 * least
        raise PaperError(
            f"Paper {paper.name} is {paper.width:g} × {paper.height:g} mm; a sheet with its title strip and both "
            f"check bars needs at least {width:.0f} × {height:.0f} mm, upright or lying. Choose a larger paper."
        )
    return tuple(found)


def _layout(paper: Paper, orientation: Orientation, margin: float) -> SheetLayout | None:
    width, height = sorted((paper.width, paper.height))
    page = (width, height) if orientation == "portrait" else (height, width)
    ink = _ink_box(paper, page, orientation, margin)
    x0, y0, x1, y1 = ink
    strip = (x0, y0, x1, y0 + STRIP)
    bars = (x0, strip[3] + GAP, x1, strip[3] + GAP + BARS)
    window = (x0 + SIDE, bars[3] + GAP, x1, y1)
    side = (x0, bars[3] + GAP, x0 + SIDE, y1)
    if x1 - x0 < NARROWEST or window[3] - window[1] < catalogue().rule("check-bar-inch"):
        return None
    return SheetLayout(paper, orientation, margin, page, ink, strip, bars, side, window)


def _ink_box(paper: Paper, page: tuple[float, float], orientation: Orientation, margin: float) -> Box:
    """The page less its margins; for A4 and Letter the part both have, centred on the page.

    A sheet made for one of the two and printed on the other, at actual size and centred, is then still whole.
    """
    width, height = page[0] - 2 * margin, page[1] - 2 * margin
    papers = catalogue().papers
    twins = [papers["a4"], papers["letter"]]
    if any(sorted((paper.width, paper.height)) == sorted((twin.width, twin.height)) for twin in twins):
        short, long = min(t.width for t in twins), min(t.height for t in twins)
        common = (short, long) if orientation == "portrait" else (long, short)
        width, height = min(width, common[0] - 2 * margin), min(height, common[1] - 2 * margin)
    x0, y0 = (page[0] - width) / 2, (page[1] - height) / 2
    return (x0, y0, x0 + width, y0 + height)
