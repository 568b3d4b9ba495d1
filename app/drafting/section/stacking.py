"""Dimension lines beside and above a drawing, stacked so that neither lines nor words run into each other.

Heights stand in columns at the left and the right, the shortest nearest to the part; their words stand in one
list beside the columns, pushed apart where they would touch, each led to its line. Widths stand in rows above
and below. Lines end in arrowheads, or in oblique strokes where those would not fit (ISO 129-1 allows both).
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Literal

from msgspec import Struct

from app.scene.metrics import CAP_HEIGHT, text_width
from app.scene.palette import CAUTION, DIMENSION, INK, STOP, TEXT, TEXT_CAUTION, TEXT_MUTED, TEXT_STOP
from app.scene.primitives import Item, Line, LineTo, Path, Point, Style, Text

Tone = Literal["plain", "faint", "stop", "caution"]

SIZE = 4.0
"""Letters of a section on paper [mm]."""

WIDER = 1.15
"""A screen's own font may be wider than the one words are measured by."""

_PITCH = 5.2
_FIRST = 6.0
_ROW = 6.6
_LIST = 7.0
_SPACING = 1.42 * SIZE
_ARROW, _SLIM = 2.4, 0.55
_BEYOND = 1.4
_TICK = 1.1

_WITNESS = Style(stroke=INK, width=0.13, opacity=0.6, role="witness")
_LEAD = Style(stroke=INK, width=0.13, opacity=0.6, role="lead")
_LINES: dict[Tone, Style] = {
    "plain": DIMENSION,
    "faint": DIMENSION,
    "stop": Style(stroke=STOP, width=0.7, role="bite-stop"),
    "caution": Style(stroke=CAUTION, width=0.7, dash=(1.6, 1.0), role="bite-caution"),
}
_HEADS: dict[Tone, Style] = {
    "plain": Style(stroke=None, fill=INK, role="arrow"),
    "faint": Style(stroke=None, fill=INK, role="arrow"),
    "stop": Style(stroke=None, fill=STOP, role="bite-stop"),
    "caution": Style(stroke=None, fill=CAUTION, role="bite-caution"),
}
_WORDS: dict[Tone, Style] = {"plain": TEXT, "faint": TEXT_MUTED, "stop": TEXT_STOP, "caution": TEXT_CAUTION}


class Span(Struct, frozen=True):
    """One measure: from ``low`` to ``high`` along its own axis, in the drawing [mm of paper].

    Args:
        low, high: its ends.
        words: what it is and how long.
        near: where its extension lines begin, along the other axis.
        tone: a plain measure, or a finding.
        broken: whether the line is drawn shorter than it stands for.
    """

    low: float
    high: float
    words: str
    near: float = 0.0
    tone: Tone = "plain"
    broken: bool = False


class Note(Struct, frozen=True):
    """Words led to a point of the drawing [mm of paper]."""

    at: Point
    words: str
    tone: Tone = "plain"


def beside(spans: Iterable[Span], notes: Iterable[Note], edge: float, side: int) -> tuple[Item, ...]:
    """Heights in columns beyond the vertical line ``edge``, and their words in a list; ``side`` is -1 or 1."""
    columns = _columns(sorted(spans, key=lambda s: (s.high - s.low, -s.high)))
    out = [edge + side * (_FIRST + _PITCH * k) for k in range(len(columns))]
    last = out[-1] if out else edge
    items: list[Item] = [*_extensions(columns, out, side)]
    leads: list[tuple[Point, str, Tone]] = []
    for column, x in zip(columns, out, strict=True):
        for span in column:
            items += _measure((x, span.low), (x, span.high), span)
            leads.append(((x, 0.0), span.words, span.tone))
    anchors = _anchors([span for column in columns for span in column])
    leads = [((x, y), words, tone) for ((x, _), words, tone), y in zip(leads, anchors, strict=True)]
    leads += [(note.at, note.words, note.tone) for note in notes]
    items += _dots(notes)
    return (*items, *_listed(leads, last, side))


def across(spans: Iterable[Span], level: float, up: int, taken: float) -> tuple[Item, ...]:
    """Widths in rows beyond the horizontal line ``level``, the narrowest nearest; ``up`` is 1 above, -1 below.

    Words wider than what they measure stand beside the rows, where those are beyond ``taken``, the farthest
    level of other words; else in the middle all the same.
    """
    rows = sorted(spans, key=lambda s: s.high - s.low)
    items: list[Item] = []
    for k, span in enumerate(rows):
        y = level + up * (_ROW * k + (2.0 if up > 0 else _ROW - 1.0))
        items += [Line((x, span.near), (x, y + up * _BEYOND), _WITNESS) for x in (span.low, span.high)]
        items += _measure((span.low, y), (span.high, y), span)
        style, bold = _WORDS[span.tone], _bold(span.tone)
        fits = words_width(span.words, bold=bold) <= span.high - span.low
        if fits or span is rows[-1] or up * (y - up * SIZE - taken) < 0:
            items.append(Text(((span.low + span.high) / 2, y + 1.0), span.words, SIZE, style, "middle", bold=bold))
            continue
        start = max(s.high for s in rows) + 3.0
        items.append(Line((span.high, y), (start - 1.0, y), _LEAD))
        items.append(Text((start, y - CAP_HEIGHT * SIZE / 2), span.words, SIZE, style, bold=bold))
    return tuple(items)


def words_width(words: str, *, bold: bool = False) -> float:
    """Room for words, on a screen with a wider font too [mm]."""
    return WIDER * text_width(words, SIZE, bold)


def _bold(tone: Tone) -> bool:
    return tone in ("stop", "caution")


def _columns(spans: Sequence[Span]) -> list[list[Span]]:
    """Shortest spans first into the first column where they are free; never inside of one they contain."""
    columns: list[list[Span]] = []
    for span in spans:
        place = 0
        for k, column in enumerate(columns):
            if any(span.low < other.high - 0.3 and other.low < span.high - 0.3 for other in column):
                place = k + 1
        if place == len(columns):
            columns.append([])
        columns[place].append(span)
    return columns


def _extensions(columns: Sequence[Sequence[Span]], out: Sequence[float], side: int) -> list[Item]:
    """One extension line for each height, from what it measures to the farthest column that needs it."""
    levels: dict[float, tuple[float, float]] = {}
    for column, x in zip(columns, out, strict=True):
        for span in column:
            for y in (round(span.low, 3), round(span.high, 3)):
                near, far = levels.get(y, (span.near, x))
                levels[y] = (min(near, span.near, key=lambda v: side * v), max(far, x, key=lambda v: side * v))
    return [Line((near, y), (far + side * _BEYOND, y), _WITNESS) for y, (near, far) in levels.items()]


def _measure(a: Point, b: Point, span: Span) -> list[Item]:
    """A dimension line with its ends; one that stands for more than its length has a zigzag in the middle."""
    tone = span.tone
    items: list[Item] = [Line(a, b, _LINES[tone])]
    across_ = a[1] == b[1]
    length = span.high - span.low
    if span.broken:
        items = [_zigzag(a, b, _LINES[tone])]
    if length >= 2.2 * _ARROW:
        items += [_head(a, 1.0, across_, _HEADS[tone]), _head(b, -1.0, across_, _HEADS[tone])]
    else:
        solid = Style(_LINES[tone].stroke, max(_LINES[tone].width, 0.3), role=_LINES[tone].role)
        items += [Line((x - _TICK, y - _TICK), (x + _TICK, y + _TICK), solid) for x, y in (a, b)]
    return items


def _head(tip: Point, inward: float, across_: bool, style: Style) -> Path:
    x, y = tip
    if across_:
        feet = ((x + inward * _ARROW, y - _SLIM), (x + inward * _ARROW, y + _SLIM))
    else:
        feet = ((x - _SLIM, y + inward * _ARROW), (x + _SLIM, y + inward * _ARROW))
    return Path(tip, tuple(LineTo(p) for p in feet), style, closed=True)


def _zigzag(a: Point, b: Point, style: Style) -> Path:
    """A vertical line with the mark of a break in its middle."""
    x, middle = a[0], (a[1] + b[1]) / 2
    steps = ((x, middle - 1.8), (x + 1.6, middle - 0.6), (x - 1.6, middle + 0.6), (x, middle + 1.8), b)
    return Path(a, tuple(LineTo(p) for p in steps), style)


def _anchors(spans: Sequence[Span]) -> list[float]:
    """A height within each span to lead its words from, apart from the others where there is room."""
    taken: list[float] = []
    for span in spans:
        length = span.high - span.low
        tries = [span.low + length * t for t in (0.5, 0.62, 0.38, 0.74, 0.26, 0.84, 0.16)]
        taken.append(max(tries, key=lambda y: min([1.5, *(abs(y - other) for other in taken)])))
    return taken


def _dots(notes: Iterable[Note]) -> list[Item]:
    """A short stroke across the end of each lead, so that it is seen what it points at."""
    return [Line((n.at[0] - 0.8, n.at[1] - 0.8), (n.at[0] + 0.8, n.at[1] + 0.8), DIMENSION) for n in notes]


def _listed(leads: Sequence[tuple[Point, str, Tone]], last: float, side: int) -> list[Item]:
    """Words one below another, each level with what it is led from as far as there is room."""
    rows = sorted(leads, key=lambda lead: -lead[0][1])
    levels = _spread([lead[0][1] for lead in rows])
    bend, start = last + side * 2.5, last + side * (2.5 + _LIST)
    items: list[Item] = []
    for ((x, y), words, tone), level in zip(rows, levels, strict=True):
        steps = [(bend, y), (start - side * 1.0, level)]
        items.append(Path((x, y), tuple(LineTo(p) for p in steps), _LEAD))
        at = (start, level - CAP_HEIGHT * SIZE / 2)
        items.append(Text(at, words, SIZE, _WORDS[tone], "start" if side > 0 else "end", bold=_bold(tone)))
    return items


def _spread(wanted: Sequence[float]) -> list[float]:
    """Levels from top to bottom, at least a line apart, as near to ``wanted`` as that allows.

    Neighbours that would touch form a block, which settles about the mean of what its members want.
    """
    blocks: list[tuple[float, int]] = []  # top level, members
    for y in wanted:
        blocks.append((y, 1))
        while len(blocks) > 1 and blocks[-2][0] - blocks[-2][1] * _SPACING < blocks[-1][0]:
            (top, n), (low, m) = blocks[-2], blocks[-1]
            blocks[-2:] = [((n * top + m * (low + n * _SPACING)) / (n + m), n + m)]
    return [top - k * _SPACING for top, n in blocks for k in range(n)]
