"""What stands on the pages that say how an outline is marked out, as blocks of known height one below the other."""

from __future__ import annotations

from collections.abc import Sequence

from app.drafting.outline_picture import outline_picture
from app.drafting.outline_words import (
    batten_words,
    curve_name,
    curve_steps,
    line_name,
    line_steps,
    reading_words,
    row_words,
)
from app.drafting.words import exact
from app.model.resolved import ResolvedBoard
from app.paper.cover.text import Paragraph
from app.paper.lists.block import SIZE, Block, words_block
from app.scene.palette import TEXT, TEXT_MUTED
from app.scene.primitives import Item, Line, Style, Text
from app.shop.outline_marks import MarkedCurve, OutlineMarks
from app.units import Unit

_PITCH = 4.4
_WORDED = 45.0  # kept on a page for the words before a table [mm]
_PICTURE = 62.0
_RULE = Style(stroke="#5a5f64", width=0.13, role="rule")
_CELLS = {Unit.MM: (5.5, 17.5, 29.5, 40.5), Unit.INCH: (5.5, 23.0, 40.5, 52.0)}
"""Right ends of the cells of a table from the left of their column [mm]; fractions are wider than decimals."""

_APART = 1.5  # least gap between two columns of a table [mm]


NOTHING = "Every line of this board is level or upright, and there is no curve: a rule and a square mark it out."


Row = tuple[str, str, str, str]


def marking_blocks(
    board: ResolvedBoard, marks: OutlineMarks, left: float, width: float, room: float, unit: Unit
) -> list[Block]:
    """The picture, how to read the tables, then every curve and every sloped line.

    Args:
        board: the board.
        marks: what has to be marked out.
        left: where the blocks begin [mm].
        width: of the blocks [mm].
        room: height of a page for them [mm].
        unit: unit of the words.
    """
    if not (marks.curves or marks.lines):
        return [words_block([Paragraph(NOTHING)], left, width)]
    found = [_picture(board, marks, left, width), words_block(_how(marks, unit), left, width, air=3.0)]
    for curve in marks.curves:
        said = [*curve_steps(curve, unit), batten_words(curve, marks.plotting.reading, unit)]
        found.append(words_block(_headed(curve_name(curve), said), left, width, held=True))
        found += _table(curve, left, width, room, unit)
    for line in marks.lines:
        found.append(words_block(_headed(line_name(line), line_steps(line, unit)), left, width, air=3.0))
    return found


def _headed(name: str, said: Sequence[str]) -> list[Paragraph]:
    return [Paragraph(name, bold=True), *(Paragraph(each) for each in said)]


def _how(marks: OutlineMarks, unit: Unit) -> list[Paragraph]:
    every, reading = exact(marks.plotting.spacing, unit), reading_words(marks.plotting.reading, unit)
    return [
        Paragraph(
            "Left and front are measured from the left and the front datum edge of the blank, square to them: mark "
            "every point, drive a pin at each, bend a batten (a thin, even strip) along the pins and draw along it. "
            "Let the batten run on past both ends, along the straight edges."
        ),
        Paragraph(
            f"Ordinates every {every}, rounded to {reading}. “Off” is what rounding adds, in mm; at an end the larger "
            "of its two. The sheets at true size show the true curve, with a tick at every ordinate."
        ),
    ]


def _picture(board: ResolvedBoard, marks: OutlineMarks, left: float, width: float) -> Block:
    def draw(top: float) -> list[Item]:
        return [outline_picture(board, marks, (left + 1.0, top - _PICTURE + 3.0, left + width - 1.0, top - 1.0))]

    return Block(_PICTURE, draw)


def _table(curve: MarkedCurve, left: float, width: float, room: float, unit: Unit) -> list[Block]:
    """A curve's points in columns, read down one after the other; a long table in several such blocks."""
    rows, cells = row_words(curve, unit), _CELLS[unit]
    many = max(1, int(width // (cells[-1] + _APART)))
    full = max(4, int((room - _WORDED) / _PITCH)) * many
    return [_columns(rows[k : k + full], left, many, width / many, cells) for k in range(0, len(rows), full)]


def _columns(rows: Sequence[Row], left: float, many: int, wide: float, cells: Sequence[float]) -> Block:
    deep = max(-(-len(rows) // many), min(len(rows), 6))
    columns = [rows[k : k + deep] for k in range(0, len(rows), deep)]
    total = _PITCH * (deep + 1) + 4.0

    def draw(top: float) -> list[Item]:
        items: list[Item] = []
        for number, column in enumerate(columns):
            x = left + number * wide
            heads = zip(("left", "front", "off, mm"), cells[1:], strict=True)
            items += [Text((x + end, top - 3.4), words, 2.5, TEXT_MUTED, "end") for words, end in heads]
            items.append(Line((x, top - _PITCH), (x + cells[-1], top - _PITCH), _RULE))
            for k, row in enumerate(column, start=1):
                items += _row(row, x, top - 3.4 - k * _PITCH, cells)
        return items

    return Block(total, draw)


def _row(row: Row, x: float, y: float, cells: Sequence[float]) -> list[Item]:
    number, left, front, off = row
    return [
        Text((x + cells[0], y), number, 0.85 * SIZE, TEXT_MUTED, "end"),
        Text((x + cells[1], y), left, SIZE, TEXT, "end", bold=True),
        Text((x + cells[2], y), front, SIZE, TEXT, "end", bold=True),
        Text((x + cells[3], y), off, 0.85 * SIZE, TEXT_MUTED, "end"),
    ]
