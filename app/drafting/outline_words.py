"""How a builder marks out a curve or a sloped line, in words: set-backs, rise and run, and points, never an angle."""

from __future__ import annotations

from app.drafting.words import exact
from app.geometry.outline import EdgeName
from app.geometry.shapes import Point
from app.shop.outline_marks import Leg, MarkedCurve, MarkedLine
from app.units import INCH, Unit, format_exact, format_length

_SAME = 0.005  # mm
_SWUNG = 1000.0  # the largest radius a builder swings on a bench [mm]; common practice, no source


def place_words(at: Point, unit: Unit) -> str:
    """As ``560 mm from the left, 180 mm from the front``."""
    return f"{exact(_zero(at[0]), unit)} from the left, {exact(_zero(at[1]), unit)} from the front"


def reading_words(reading: float, unit: Unit) -> str:
    """As ``0.5 mm`` or ``1/32 in``."""
    return f"1/{round(INCH / reading)} in" if unit is Unit.INCH else f"{format_exact(reading)} mm"


def marked_words(mm: float, reading: float, unit: Unit) -> str:
    """A length as it is read on a rule: ``5.5`` or ``7/32"``."""
    if unit is Unit.INCH:
        return format_length(_zero(mm), unit, denominator=round(INCH / reading)).replace("-", "−")
    return format_exact(round(_zero(mm), 1)).replace("-", "−")


def off_words(off: float) -> str:
    """What rounding adds, in mm whatever the rule reads: ``+0.14``, ``−0.08``; ``0`` where it adds nothing."""
    off = round(off, 2)
    return "0" if off == 0 else f"{'+' if off > 0 else '−'}{abs(off):.2f}"


def strays_words(mm: float) -> str:
    """How far a batten runs from the true curve, never said as less than it is: ``0.31 mm``."""
    return f"{-int(-mm * 100 // 1) / 100:.2f} mm"


def curve_name(curve: MarkedCurve) -> str:
    """As ``Curve 3, back right corner``."""
    edges = {leg.edge for leg in curve.legs}
    ends = [name for name in ("front", "back") if name in edges] + [n for n in ("left", "right") if n in edges]
    where = f"{' '.join(ends)} corner" if len(edges) == 2 and len(ends) == 2 and _crossed(edges) else _on(curve)
    return f"Curve {curve.number}, {where}{_ring(curve.ring)}"


def line_name(line: MarkedLine) -> str:
    """As ``Line 1, at the front``."""
    where = f"at the {line.edge}"
    if line.corner is not None:
        edges = {leg.edge for leg in line.corner[1]}
        depth = "front" if "front" in edges else "back"
        where = f"{depth} {'left' if 'left' in edges else 'right'} corner cut off"
    return f"Line {line.number}, {where}{_ring(line.ring)}"


def curve_steps(curve: MarkedCurve, unit: Unit) -> tuple[str, ...]:
    """What to do, a sentence a step."""
    whose = _of(curve.ring)
    steps = [_measured(curve.corner, curve.legs, unit, whose, "the curve")]
    if not curve.within:
        steps = [
            "Its edges meet beyond the blank: mark its two ends from the datum edges, and join them with the curve."
        ]
    a, b = curve.ends
    steps.append(f"It begins {place_words(a, unit)}, and ends {place_words(b, unit)}.")
    if curve.circle is not None:
        centre, radius = curve.circle
        said = f"It is part of a circle: its third point is {place_words(curve.middle, unit)}."
        if radius <= _SWUNG:
            said += f" With a compass or trammel: radius {exact(radius, unit)}, centre {place_words(centre, unit)}."
        steps.append(said)
    if curve.joins:
        steps.append(f"It runs into curve {curve.joins} without a straight piece: bend one batten along both.")
    return tuple(steps)


def line_steps(line: MarkedLine, unit: Unit) -> tuple[str, ...]:
    """What to do, a sentence a step."""
    steps = []
    if line.corner is not None:
        steps.append(_measured(*line.corner, unit, _of(line.ring), "a straight line"))
    a, b = line.ends
    steps.append(f"From {place_words(a, unit)} to {place_words(b, unit)}, straight.")
    way = "rises" if line.rise >= 0 else "falls"
    steps.append(
        f"Check: over a run of {exact(line.run, unit)} along the front datum edge it {way} "
        f"{exact(abs(line.rise), unit)}."
    )
    return tuple(steps)


def batten_words(curve: MarkedCurve, asked: float, unit: Unit) -> str:
    """How near a batten comes, and what was done for it."""
    plot = curve.plot
    said = f"A batten through the marks stays within {strays_words(plot.strays)} of the true curve."
    if plot.reading < asked:
        coarse, fine = reading_words(asked, unit), reading_words(plot.reading, unit)
        said += f" Read to {fine} here: to {coarse} it would run {strays_words(plot.asked)} off."
    added = sum(plot.added)
    if added:
        points = "1 point between those is" if added == 1 else f"{added} points between those are"
        said += f" {points} there for the batten."
    return said


def row_words(curve: MarkedCurve, unit: Unit) -> tuple[tuple[str, str, str, str], ...]:
    """The table of a curve: number of the point, from the left, from the front, what rounding adds.

    An end is rounded both ways; what is said of it is the larger.
    """
    plot = curve.plot
    rows = zip(plot.axes, plot.true.tolist(), plot.marked.tolist(), strict=True)
    found = []
    for number, (axis, true, marked) in enumerate(rows, start=1):
        left, front = (marked_words(v, plot.reading, unit) for v in marked)
        offs = [m - t for t, m in zip(true, marked, strict=True)]
        off = max(offs, key=abs) if axis < 0 else offs[1 - axis]
        found.append((str(number), left, front, off_words(off)))
    return tuple(found)


def _measured(corner: Point, legs: tuple[Leg, Leg], unit: Unit, whose: str, how: str) -> str:
    """The two marks of a corner and what joins them; by places alone where both edges bear one name."""
    meet = f"its edges meet {place_words(corner, unit)}"
    if legs[0].edge == legs[1].edge:
        a, b = (exact(leg.back, unit) for leg in legs)
        return (
            f"Rule both edges on until they cross: {meet}. Measure {a} and {b} back from there; join them with {how}."
        )
    first, second = (_leg_words(leg, other, unit, whose) for leg, other in _paired(legs))
    return f"From the corner, where {meet}, measure {first}, {second}; join the two marks with {how}."


def _paired(legs: tuple[Leg, Leg]) -> tuple[tuple[Leg, Leg], tuple[Leg, Leg]]:
    """Each leg with the other, the one along the front or back first."""
    first, second = legs
    if first.edge in ("left", "right") and second.edge in ("front", "back"):
        first, second = second, first
    return ((first, second), (second, first))


def _leg_words(leg: Leg, other: Leg, unit: Unit, whose: str) -> str:
    slope = "" if leg.square else "sloped "
    if leg.edge in ("left", "right"):
        way = {"front": "up", "back": "down"}.get(other.edge, "along")
        return f"{exact(leg.back, unit)} {way} the {slope}{leg.edge} edge{whose}"
    return f"{exact(leg.back, unit)} along the {slope}{leg.edge} edge{whose}"


def _crossed(edges: set[EdgeName]) -> bool:
    return bool(edges & {"front", "back"}) and bool(edges & {"left", "right"})


def _on(curve: MarkedCurve) -> str:
    return f"on the {curve.legs[0].edge}"


def _ring(ring: int) -> str:
    return f" of opening {ring}" if ring else ""


def _of(ring: int) -> str:
    return f" of opening {ring}" if ring else ""


def _zero(mm: float) -> float:
    return 0.0 if abs(mm) < _SAME else mm
