"""The page of a pattern of holes: its picture, and what follows from its measures, in words."""

from __future__ import annotations

from typing import Final

from msgspec import Struct

from app.arrange.maker.made import Figure
from app.arrange.pattern.edit import find_pattern
from app.arrange.pattern.figured import pattern_figures
from app.catalogue.load import catalogue
from app.document.board_patterns import entry_on
from app.document.resolve import find_board, resolve, resolve_shop
from app.document.schema import Design
from app.document.where import Where
from app.drafting.view.pattern_view import pattern_view
from app.drafting.words import pattern_words
from app.errors import NotFoundError
from app.fit.finding import Severity
from app.fit.report.report import check
from app.fit.words.messages import message
from app.paper.lists.drilling import time_words
from app.service.edits.changes import DesignChange
from app.service.edits.makers import figure_words
from app.service.edits.patterns import PatternAsked
from app.service.screens.board.finding_seen import SEVERITY_WORDS
from app.service.screens.words import as_typed, exact, minus
from app.shop.rates import rates_of
from app.units import Unit
from app.writers import svg

ORDER_WORDS: Final = {
    "staggered-60": "staggered at 60°",
    "staggered-45": "staggered at 45°",
    "square": "in squares",
    "rings": "in rings",
    "slots": "slots in rows",
}
SHAPE_WORDS: Final = {
    "circle": "a circle",
    "rectangle": "a rectangle, corners rounded",
    "board": "the board’s outline, which it follows",
    "outline": "the outline it has",
}
BY_WORDS: Final = {"pitch": "the pitch", "share": "an open area", "many": "a number of holes"}
MIDDLE_WORDS: Final = {"hole": "a hole", "gap": "a gap"}

_MOST: Final = 3
"""Findings that are told before the pattern is on the board, where the report tells all."""


class PatternFinding(Struct, frozen=True):
    """A finding about a pattern: how grave it is, the same in words, and what is wrong."""

    severity: Severity
    severity_words: str
    sentence: str


class PatternSeen(Struct, frozen=True):
    """A pattern as it is, or would be, on its board.

    Args:
        name: what it is called, with its letter: ``Grille A, 61 holes of 5 mm``.
        drawing: the pattern on its board, inline SVG.
        figures: words and value of each.
        pitch_typed: its pitch, as it would stand in a field.
        findings: the gravest of what the fit report has to say about it.
        more: how many others there are.
    """

    name: str
    drawing: str
    figures: tuple[tuple[str, str], ...]
    pitch_typed: str
    findings: tuple[PatternFinding, ...]
    more: int


def pattern_tried(design: Design, where: Where, change: DesignChange, unit: Unit) -> PatternSeen:
    """What comes of a change that puts a pattern or changes one; nothing is kept.

    Raises:
        EditError: the change cannot be made.
    """
    done = change(design)
    return pattern_seen(done.design, where, done.placement, unit)


def pattern_seen(design: Design, where: Where, placement: str, unit: Unit) -> PatternSeen:
    """The pattern at a placement.

    Raises:
        NotFoundError: there is none.
    """
    board = resolve(design, where.board, where.arrangement, catalogue())
    placed = board.placed(placement)
    if placed is None or placed.part.pattern is None:
        raise NotFoundError(f"There is no pattern of holes “{placement[:40]}” on this board any more.")
    entry = find_pattern(design, placed.part.id)
    name = pattern_words(placed, unit)
    shop = resolve_shop(design.shop, catalogue())
    rate = rates_of(shop).hole
    there = entry_on(entry, find_board(design, where.board), placed.x, placed.y, placed.angle)
    figures = pattern_figures(there, shop.drilling, rate)
    own = [f for f in check(board, catalogue()).open if placement in f.subjects and f.severity != "note"]
    found = tuple(PatternFinding(f.severity, SEVERITY_WORDS[f.severity], message(f, board, unit)) for f in own)
    return PatternSeen(
        name=name,
        drawing=svg.embed(pattern_view(board, placed, placed.part.pattern, name), ident="pattern-svg", role="drawing"),
        figures=tuple(_row(figure, unit, rate) for figure in figures),
        pitch_typed=as_typed(entry.pitch, unit),
        findings=found[:_MOST],
        more=max(len(found) - _MOST, 0),
    )


def _row(figure: Figure, unit: Unit, rate: float) -> tuple[str, str]:
    words, _, value = figure_words(figure, unit).partition(": ")
    if figure.kind == "length":
        return (words, exact(figure.value, unit))
    return (words, f"{value}, at {time_words(rate)} a hole" if figure.kind == "minutes" else value)


def field_texts(asked: PatternAsked, unit: Unit) -> dict[str, str]:
    """The text of every field of a pattern's form."""
    entry, boundary = asked.entry, asked.entry.boundary
    lengths = {
        "hole": entry.hole,
        "pitch": entry.pitch,
        "length": entry.length or 4 * entry.hole,
        "width": boundary.width,
        "height": boundary.height,
    }
    # What is 0 is not there, and its field is empty.
    spare = {"gap": entry.gap, "corner": boundary.corner, "inset": boundary.inset}
    return {
        "name": entry.name,
        "order": entry.order,
        "shape": asked.shape,
        "by": asked.by,
        "middle": entry.middle,
        "angle": minus(f"{round(asked.angle, 2) + 0.0:g}°"),
        "share": f"{asked.share:g} %",
        "many": str(asked.many),
        **{name: as_typed(value, unit) for name, value in lengths.items()},
        **{name: as_typed(value, unit) if value else "" for name, value in spare.items()},
    }


def measure_rows(asked: PatternAsked, unit: Unit) -> tuple[tuple[str, str], ...]:
    """The measures of a pattern to read, where they are not to be typed."""
    entry, boundary = asked.entry, asked.entry.boundary
    slots, box = entry.order == "slots", boundary.shape == "rectangle"
    rows = [
        ("They stand", ORDER_WORDS[entry.order]),
        ("Width of slot" if slots else "Hole", exact(entry.hole, unit)),
        ("Length of slot, over all", exact(entry.length, unit) if slots else ""),
        ("Row to row" if slots else "Pitch, centre to centre", exact(entry.pitch, unit)),
        ("Between slot ends" if slots else "Ring to ring", exact(entry.gap, unit) if entry.gap else ""),
        ("In the middle is", MIDDLE_WORDS[entry.middle]),
        ("Shape", SHAPE_WORDS[boundary.shape]),
        ("Width", exact(boundary.width, unit) if boundary.shape not in {"outline", "board"} else ""),
        ("Front to back", exact(boundary.height, unit) if box else ""),
        ("Corner radius", exact(boundary.corner, unit) if box and boundary.corner else ""),
        ("Holes keep inside by", exact(boundary.inset, unit) if boundary.inset else ""),
    ]
    return tuple((words, value) for words, value in rows if value)
