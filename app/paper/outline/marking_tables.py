"""What has to be marked out of an outline, as tables: points of curves, and ends of sloped lines."""

from __future__ import annotations

from app.drafting.outline_words import curve_name, line_name
from app.scene.table import Column, Table, Value
from app.shop.outline_marks import MarkedCurve, OutlineMarks

_POINT = (Column("curve", "Curve"), Column("point", "Point", "count"))
_END = (
    Column("line", "Line"),
    Column("end", "End"),
    Column("left", "Left", "length"),
    Column("front", "Front", "length"),
)


def outline_tables(marks: OutlineMarks) -> tuple[Table, Table]:
    """The offsets of every curve, as they are read on the rule, and where every sloped line begins and ends."""
    # Where rounding strays too far, a curve is read finer than the others; each length is what is read for its own.
    finest = min((curve.plot.reading for curve in marks.curves), default=marks.plotting.reading)
    left, front = (Column(name, name.title(), "length", finest) for name in ("left", "front"))
    offs = Column("left_off", "Left is off", "off"), Column("front_off", "Front is off", "off")
    points = tuple(row for curve in marks.curves for row in _points(curve))
    unit = marks.plotting.unit
    ends = tuple(
        (line_name(line), which, *at)
        for line in marks.lines
        for which, at in zip(("left", "right"), line.ends, strict=True)
    )
    return (
        Table("offsets", "Points of the curves", (*_POINT, left, front, *offs), points, unit),
        Table("lines", "Ends of the sloped lines", _END, ends, unit),
    )


def _points(curve: MarkedCurve) -> list[tuple[Value, ...]]:
    pairs = zip(curve.plot.true.tolist(), curve.plot.marked.tolist(), strict=True)
    return [
        (curve_name(curve), number, *marked, marked[0] - true[0], marked[1] - true[1])
        for number, (true, marked) in enumerate(pairs, start=1)
    ]
