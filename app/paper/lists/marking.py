"""Marking without a template: tables of centres, of the lines that carry them, of the underside, and to check by."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

import numpy as np

from app.drafting.outline_words import marked_words
from app.drafting.words import bare, exact, thickness, unit_of
from app.model.resolved import ResolvedBoard
from app.paper.cover.measures import telling_pairs
from app.scene.table import Column, Table, Value
from app.shop.centres import Centre, centres_below, centres_of
from app.shop.rulings import Ruling, fewest_rulings
from app.units import Unit

_FACES: Final = {"top": "top", "under": "underside"}
_SORTS: Final = {"screw": "screw pilot"}

MOST_ALONG: Final = 20
"""Centres in one row of a table of lines: of more the row goes on, for it is read at arm's length."""

EXACT: Final = "No fewer lines carry them all: the number is worked out exactly."


def marking_tables(board: ResolvedBoard, reading: float) -> tuple[Table, ...]:
    """Every centre with its measures and what rounding adds, the fewest lines, the underside, and distances to check.

    Args:
        board: the board.
        reading: what the rule is divided in [mm].
    """
    unit, centres = unit_of(board), centres_of(board, reading)
    above = tuple(c for c in centres if c.face == "top")
    found = [_centres(centres, unit, reading), _lines(above, unit, reading)]
    below = centres_below(board, reading)
    if below:
        found.append(_below(board, below, unit, reading))
        struck = tuple(c for c in below if not c.pilot)
        if struck:
            found.append(_lines_below(struck, unit, reading))
    checks = _checks(above, unit, reading)
    return (*found, checks) if checks.rows else tuple(found)


def _centres(centres: Sequence[Centre], unit: Unit, reading: float) -> Table:
    rows = tuple(
        (
            c.name, _SORTS.get(c.sort, c.sort), _FACES[c.face], c.left_marked, c.front_marked,
            c.left_marked - c.left, c.front_marked - c.front, c.diagonal,
        )
        for c in centres
    )  # fmt: skip
    columns = (
        Column("centre", "Centre"),
        Column("what", "What"),
        Column("face", "From"),
        Column("left", "Left", "length", reading),
        Column("front", "Front", "length", reading),
        Column("left_off", "Left is off", "off"),
        Column("front_off", "Front is off", "off"),
        Column("diagonal", "From the corner", "length", reading),
    )
    notes = ("From the corner: straight from the datum corner to the mark, to check both measures at once.",)
    return Table("centres", "Every centre", columns, rows, unit, notes)


def _lines(centres: tuple[Centre, ...], unit: Unit, reading: float) -> Table:
    """The lines of the top face, from the datum edges."""
    words = ("along the front edge", "along the left edge")
    return _rulings("lines", "Top face: the fewest lines that carry them all", centres, words, unit, reading)


def _lines_below(centres: tuple[Centre, ...], unit: Unit, reading: float) -> Table:
    words = ("along the front edge", "along the edge at your left")
    return _rulings("lines_below", "Underside: the fewest lines", centres, words, unit, reading)


def _rulings(
    name: str, title: str, centres: tuple[Centre, ...], words: tuple[str, str], unit: Unit, reading: float
) -> Table:
    rows = tuple(
        row
        for number, ruling in enumerate(rulings_of(centres), 1)
        for row in _ruling_rows(number, ruling, centres, words, unit, reading)
    )
    columns = (
        Column("line", "Line", "count"),
        Column("way", "Strike it"),
        Column("at", "At", "length", reading),
        Column("carries", "Centres", "count"),
        Column("along", "Then along it, always from the same zero"),
    )
    return Table(name, title, columns, rows, unit, (EXACT,) if rows else ())


def rulings_of(centres: Sequence[Centre]) -> tuple[Ruling, ...]:
    """The fewest lines for centres where the rule puts them."""
    return fewest_rulings([c.left_marked for c in centres], [c.front_marked for c in centres])


def _ruling_rows(
    number: int, ruling: Ruling, centres: tuple[Centre, ...], words: tuple[str, str], unit: Unit, reading: float
) -> Iterator[tuple[Value, ...]]:
    """A ruling, in several rows where it carries many."""
    for first in range(0, len(ruling.centres), MOST_ALONG):
        some = ruling.centres[first : first + MOST_ALONG]
        far = ((centres[k].name, marked_words(along_of(ruling, centres[k]), reading, unit)) for k in some)
        along = ", ".join(f"{name} {words}" for name, words in far)
        yield number, words[ruling.edge == "left"], ruling.at, len(some), along


def along_of(ruling: Ruling, centre: Centre) -> float:
    """How far along a line a centre on it is, from the zero all are measured from [mm]."""
    return centre.left_marked if ruling.edge == "front" else centre.front_marked


def _below(board: ResolvedBoard, below: Sequence[Centre], unit: Unit, reading: float) -> Table:
    straight = {(c.placement, c.name): c for c in centres_of(board, reading)}

    def datum(c: Centre) -> float:
        """The same place from the datum edge: as the top face has it where a pilot comes through or a screw goes."""
        found = straight.get((c.placement, c.name))
        return found.left_marked if found is not None else board.width - c.left_marked

    rows = tuple(
        (
            c.name, _what_below(c, unit), c.left_marked, c.front_marked,
            c.left_marked - c.left, c.front_marked - c.front, datum(c),
        )
        for c in below
    )  # fmt: skip
    columns = (
        Column("centre", "Centre"),
        Column("what", "What"),
        Column("left", "From your left", "length", reading),
        Column("front", "Front", "length", reading),
        Column("left_off", "Left is off", "off"),
        Column("front_off", "Front is off", "off"),
        Column("datum", "From the datum edge, at your right", "length", reading),
    )
    return Table("below", "Underside up: mirrored", columns, rows, unit, (mirrored_words(board, unit),))


def mirrored_words(board: ResolvedBoard, unit: Unit) -> str:
    """From which edge the underside is measured, and when that may be done."""
    wide = thickness(board.width, unit)
    return (
        "Turn the board over sideways, its front edge still toward you. Left and right are exchanged: “from your left” "
        f"begins at the board’s right edge, and holds only if the board is exactly {wide} wide. "
        "If yours is not, measure from the datum edge, which is now at your right."
    )


def _what_below(c: Centre, unit: Unit) -> str:
    if c.sort == "screw":
        return "screw pilot"
    about = "about its pilot" if c.pilot else "about this mark"
    if c.sort == "recess":
        return f"recess {bare(c.size[0], unit)} × {exact(c.size[1], unit)}, {about}"
    return f"counterbore {exact(c.size[0], unit)}, {about}"


def _checks(centres: Sequence[Centre], unit: Unit, reading: float) -> Table:
    """Long distances between holes as they are marked: the longest, then what tells most besides."""
    holes = [c for c in centres if c.sort == "hole"]
    at = np.array([(c.left_marked, c.front_marked) for c in holes], float).reshape(-1, 2)
    rows = tuple((holes[a].name, holes[b].name, length) for (a, b), length, _ in telling_pairs(at))
    columns = (Column("from", "From"), Column("to", "To"), Column("distance", "Distance", "length", reading))
    notes = ("Measure these on the marks before you drill. If one is off by more than a step of your rule, look why.",)
    return Table("checks", "Cross-checks, from hole to hole", columns, rows, unit, notes)
