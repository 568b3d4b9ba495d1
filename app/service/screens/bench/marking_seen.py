"""What the page of marking out an outline says: what to measure, tables of offsets, and how they can be had."""

from __future__ import annotations

from collections.abc import Mapping

from msgspec import Struct

from app.drafting.outline_picture import outline_picture
from app.drafting.outline_words import (
    batten_words,
    curve_name,
    curve_steps,
    line_name,
    line_steps,
    reading_words,
    row_words,
    strays_words,
)
from app.drafting.words import exact
from app.errors import PaperError
from app.model.plotting import READINGS, SPACINGS, Plotting
from app.model.resolved import ResolvedBoard
from app.paper.outline.marking_blocks import NOTHING
from app.paper.outline.outline_plan import plotting_of
from app.scene.primitives import Scene
from app.service.drawings.printers import PrintRequest, printing_asked
from app.service.screens.choices import Choice, papers
from app.service.screens.words import counted
from app.service.sight import Sight
from app.service.workshop import Workshop
from app.shop.outline_marks import OutlineMarks, outline_marks
from app.units import Unit
from app.writers import svg

_WIDE, _HIGH = 240.0, 110.0  # of the picture [mm]
_MOST = 1500  # points on the page; the sheets have them all


class MarkedSeen(Struct, frozen=True):
    """A curve or a sloped line.

    Args:
        name: which it is.
        steps: what to do.
        batten: how near a batten comes; empty of a line.
        rows: number, left, front, what rounding adds; empty of a line, and of curves beyond what a page holds.
    """

    name: str
    steps: tuple[str, ...]
    batten: str
    rows: tuple[tuple[str, str, str, str], ...]


class MarkingSeen(Struct, frozen=True):
    """How an outline is marked out.

    Args:
        drawing: the outline with its numbers, inline SVG.
        summed: what there is to mark out, in words.
        marked: every curve, then every sloped line.
        left_out: how many curves have their points on the sheets alone.
        paper: the paper asked for, or the shop's.
        spacing: of the ordinates, as it is typed.
        spacings: usual ones, as they are typed.
        readings, papers: to choose from.
        problems: sentence by field that could not be taken.
    """

    drawing: str
    summed: str
    marked: tuple[MarkedSeen, ...]
    left_out: int
    paper: str
    spacing: str
    spacings: tuple[str, ...]
    readings: tuple[Choice, ...]
    papers: tuple[Choice, ...]
    problems: Mapping[str, str]


def marking_seen(workshop: Workshop, sight: Sight, asked: PrintRequest) -> MarkingSeen:
    """The outline of the board in view, plotted as asked; as usual if that is empty or cannot be."""
    board, unit = sight.checked.resolved, sight.unit
    paper = asked.paper or sight.design.shop.paper
    plotting = Plotting.usual(unit)
    problems: Mapping[str, str]
    try:
        printing, problems = printing_asked(asked, sight.checked, workshop.printers, unit)
        plotting = plotting_of(board, printing)
    except PaperError as error:
        problems = {"paper": str(error)}
    marks = outline_marks(board, plotting)
    marked, left_out = _marked(marks, unit)
    return MarkingSeen(
        drawing=_drawing(board, marks),
        summed=_summed(marks),
        marked=marked,
        left_out=left_out,
        paper=paper,
        spacing=asked.spacing if "spacing" in problems else exact(plotting.spacing, unit),
        spacings=tuple(exact(one, unit) for one in SPACINGS[unit]),
        readings=tuple(
            Choice(reading_words(one, unit), reading_words(one, unit), one == plotting.reading)
            for one in READINGS[unit]
        ),
        papers=papers(paper),
        problems=problems,
    )


def _marked(marks: OutlineMarks, unit: Unit) -> tuple[tuple[MarkedSeen, ...], int]:
    found, points, left_out = [], 0, 0
    for curve in marks.curves:
        points += len(curve.plot.axes)
        shown = points <= _MOST
        left_out += not shown
        batten = batten_words(curve, marks.plotting.reading, unit)
        rows = row_words(curve, unit) if shown else ()
        found.append(MarkedSeen(curve_name(curve), curve_steps(curve, unit), batten, rows))
    found += [MarkedSeen(line_name(line), line_steps(line, unit), "", ()) for line in marks.lines]
    return tuple(found), left_out


def _summed(marks: OutlineMarks) -> str:
    if not (marks.curves or marks.lines):
        return NOTHING
    curves, lines = counted(len(marks.curves), "curve"), counted(len(marks.lines), "sloped line")
    said = " and ".join(words for words, many in ((curves, marks.curves), (lines, marks.lines)) if many)
    near = f"; a batten stays within {strays_words(marks.strays)} of the true curve" if marks.curves else ""
    return f"{said}{near}."


def _drawing(board: ResolvedBoard, marks: OutlineMarks) -> str:
    x0, y0, x1, y1 = board.outline.bounds
    k = min(_WIDE / (x1 - x0), _HIGH / (y1 - y0))
    wide, high = k * (x1 - x0) + 12.0, k * (y1 - y0) + 12.0
    picture = outline_picture(board, marks, (6.0, 6.0, wide - 6.0, high - 6.0))
    return svg.embed(Scene(0.0, 0.0, wide, high, (picture,), title="The outline, its curves by number"), role="drawing")
