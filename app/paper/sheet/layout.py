"""How a page is divided: check bars at the left and below, the title strip at the foot, the rest for the board."""

from __future__ import annotations

import math
from typing import Literal

from msgspec import Struct

from app.catalogue.load import catalogue
from app.errors import PaperError
from app.model.printing import Printing
from app.model.tooling import Paper
from app.values import replace

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

HEAD = 9.0
"""Height of the band at the head of a sheet of a board that cannot be built as drawn [mm]."""

NARROWEST = 180.0
"""Least width of the ink for a title strip that can be read at arm's length [mm]."""


class SheetLayout(Struct, frozen=True):
    """Where things stand on a page, from its lower left corner [mm].

    All as it comes out on the paper: a page corrected for its printer is written larger by ``stretch``.

    Args:
        paper: the paper.
        orientation: upright or lying.
        margin: edge of the paper left free [mm].
        page: width and height of the page as it comes out [mm]: those of the paper, less the correction.
        ink: rectangle all ink stays inside.
        strip: title strip.
        bars: band of the horizontal check bars.
        side: column of the vertical check bars.
        window: where the board is drawn.
        stretch: factors the page is enlarged by when it is written.
        key: band for the words there is no room for in the window; of no height where none is kept.
        head: band above everything for the words that the board cannot be built; of no height where it can.
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
    stretch: tuple[float, float] = (1.0, 1.0)
    key: Box = (0.0, 0.0, 0.0, 0.0)
    head: Box = (0.0, 0.0, 0.0, 0.0)

    @property
    def room(self) -> tuple[float, float]:
        """Width and height of the window [mm]."""
        x0, y0, x1, y1 = self.window
        return (x1 - x0, y1 - y0)


def layouts(
    asked: Paper | Printing, need: tuple[float, float] = (0.0, 0.0), key: float = 0.0
) -> tuple[SheetLayout, ...]:
    """The ways to use a paper, best first: upright before lying, the usual margin before the least.

    Args:
        asked: the paper, or how it is printed: its own margin, a correction.
        need: width and height of what is drawn [mm], which tells how long a roll is cut off.
        key: height to keep for a key below the board, if the paper is high enough for it [mm].

    Raises:
        PaperError: the paper is too small for a title strip and both check bars, or the margin too wide.
    """
    printing = Printing.of(asked)
    found = [
        made
        for margin in _margins(printing)
        for orientation in _ORIENTATIONS
        if (made := _layout(printing, orientation, margin, need, key)) is not None
    ]
    if not found:
        raise PaperError(_too_small(printing))
    return tuple(found)


def upright(asked: Paper | Printing, need: tuple[float, float]) -> SheetLayout:
    """The page upright if a sheet can be so, else lying; arguments and errors as of :func:`layouts`."""
    found = layouts(asked, need)
    return next((one for one in found if one.orientation == "portrait"), found[0])


def lying(asked: Paper | Printing, need: tuple[float, float]) -> SheetLayout:
    """The page lying if a sheet can be so, else upright; arguments and errors as of :func:`layouts`."""
    found = layouts(asked, need)
    return next((one for one in found if one.orientation == "landscape"), found[0])


_ORIENTATIONS: tuple[Orientation, ...] = ("portrait", "landscape")


def _margins(printing: Printing) -> tuple[float, ...]:
    rule = catalogue().rule
    if printing.margin is None:
        return (rule("paper-margin"), rule("paper-margin-least"))
    if not 0.0 <= printing.margin <= printing.paper.width / 2:
        raise PaperError(
            f"A margin of {printing.margin:g} mm cannot be kept on {printing.paper.name}. Enter one from 0 mm; "
            f"printers need {rule('paper-margin-least'):g} mm or less."
        )
    return (printing.margin,)


def _too_small(printing: Printing) -> str:
    paper, rule = printing.paper, catalogue().rule
    margin = rule("paper-margin-least") if printing.margin is None else printing.margin
    width = NARROWEST + 2 * margin
    height = rule("check-bar-inch") + STRIP + BARS + 2 * GAP + 2 * margin + _head(printing)
    if paper.roll:
        return f"A {paper.name} is too narrow; a sheet needs {min(width, height):.0f} mm. Choose a wider roll."
    remedy = "Choose a larger paper." if printing.margin is None else "Choose a larger paper or a smaller margin."
    return (
        f"Paper {paper.name} is {paper.width:g} × {paper.height:g} mm; a sheet with its title strip, both check "
        f"bars and a margin of {margin:g} mm needs at least {width:.0f} × {height:.0f} mm, portrait or "
        f"landscape. {remedy}"
    )


def _layout(
    printing: Printing, orientation: Orientation, margin: float, need: tuple[float, float], key: float
) -> SheetLayout | None:
    stretch = printing.correction.on(lying=orientation == "landscape")
    kept, head = key + GAP if key else 0.0, _head(printing)
    paper = _cut_off(printing.paper, orientation, margin, (need[0], need[1] + kept), stretch, head)
    short, long = (paper.width, paper.height) if paper.roll else sorted((paper.width, paper.height))
    written = (short, long) if orientation == "portrait" else (long, short)
    page = (written[0] / stretch[0], written[1] / stretch[1])
    ink = _ink_box(paper, written, orientation, margin, stretch)
    x0, y0, x1, y1 = ink
    strip = (x0, y0, x1, y0 + STRIP)
    bars = (x0, strip[3] + GAP, x1, strip[3] + GAP + BARS)
    low, top = bars[3] + GAP, y1 - head
    if top - low - kept < catalogue().rule("check-bar-inch"):
        key = kept = 0.0
    window = (x0 + SIDE, low + kept, x1, top)
    side = (x0, low, x0 + SIDE, top)
    if x1 - x0 < NARROWEST or window[3] - window[1] < catalogue().rule("check-bar-inch"):
        return None
    band = (x0 + SIDE, low, x1, low + key)
    above = (x0, top + (GAP if head else 0.0), x1, y1)
    return SheetLayout(paper, orientation, margin, page, ink, strip, bars, side, window, stretch, band, above)


def _head(printing: Printing) -> float:
    """What the head of a sheet takes with the gap below it [mm]."""
    return HEAD + GAP if printing.stops else 0.0


def _cut_off(
    paper: Paper,
    orientation: Orientation,
    margin: float,
    need: tuple[float, float],
    stretch: tuple[float, float],
    head: float,
) -> Paper:
    """A roll cut as long as the drawing needs along it; any other paper as it is."""
    if not paper.roll:
        return paper
    rule = catalogue().rule
    if orientation == "portrait":
        room = max(need[1], rule("check-bar-inch")) + STRIP + BARS + 2 * GAP + head
        length = room * stretch[1] + 2 * margin
    else:
        length = max(need[0] + SIDE, NARROWEST) * stretch[0] + 2 * margin
    return replace(paper, height=min(math.ceil(length + 1e-6), paper.height))


def _ink_box(
    paper: Paper, page: tuple[float, float], orientation: Orientation, margin: float, stretch: tuple[float, float]
) -> Box:
    """The page less its margins, as it comes out; for A4 and Letter the part both have, centred on the page.

    A sheet made for one of the two and printed on the other, at actual size and centred, is then still whole. Both
    what is written and what comes out keep the margin.
    """
    width, height = page[0] - 2 * margin, page[1] - 2 * margin
    papers = catalogue().papers
    twins = [papers["a4"], papers["letter"]]
    sides = sorted((paper.width, paper.height))
    if not paper.roll and any(sides == sorted((twin.width, twin.height)) for twin in twins):
        short, long = min(t.width for t in twins), min(t.height for t in twins)
        common = (short, long) if orientation == "portrait" else (long, short)
        width, height = min(width, common[0] - 2 * margin), min(height, common[1] - 2 * margin)
    width, height = width / max(1.0, stretch[0]), height / max(1.0, stretch[1])
    x0, y0 = (page[0] / stretch[0] - width) / 2, (page[1] / stretch[1] - height) / 2
    return (x0, y0, x0 + width, y0 + height)
