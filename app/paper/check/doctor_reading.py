"""What was measured on a check sheet, checked for slips of the hand and turned into ratios."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

from msgspec import Struct

from app.catalogue.load import catalogue
from app.errors import LengthError
from app.paper.check.check_frame import CheckBar
from app.units import INCH

_SLIP = 0.03  # two bars that are drawn alike and differ by more than this are not printed so: one is misread
_LEAST, _MOST = 0.3, 3.0  # four pages on a sheet give 0.5, the smallest paper on the largest 2.05


class Reading(Struct, frozen=True):
    """Ratios of measured to drawn length.

    Args:
        x: mean along the short side of the paper.
        y: mean along the long side.
        lengths: drawn length along both [mm].
        worst: largest error of any one bar along each, as a share of its length.
        skew: largest difference between two opposite sides [mm]; 0 if only one of them was measured.
        shear: out of square [mm in 100 mm], positive if the upper edge is too far to the right.
        true_x: whether x cannot be told from true with a steel rule.
        true_y: the same along y.
        skewed: whether sides or diagonals differ by more than two readings do.
        mistake: ``misread``, ``exchanged``, ``typed-inches`` or ``typed-mm`` if they look like that, else empty.
        measured: what was measured, by the names of the bars [mm].
    """

    x: float
    y: float
    lengths: tuple[float, float]
    worst: tuple[float, float]
    skew: float
    shear: float
    true_x: bool
    true_y: bool
    skewed: bool
    mistake: str
    measured: Mapping[str, float]


def read(bars: Sequence[CheckBar], measured: Mapping[str, float]) -> Reading:
    """Ratios from what was measured.

    Raises:
        LengthError: a length no print can have, an unknown bar, or an axis without any.
    """
    known = {bar.name: bar for bar in bars}
    for name in measured:
        if name not in known:
            raise LengthError(f"There is no bar {name[:20]} on this check sheet; there are {', '.join(known)}.")
    along = {axis: [b for b in bars if b.axis == axis and b.name in measured] for axis in ("x", "y", "diagonal")}
    for axis in ("x", "y"):
        if not along[axis]:
            names = " or ".join(b.name for b in bars if b.axis == axis)
            raise LengthError(
                f"Nothing was measured along {axis}; at least one of the bars {names} is needed. Measure it "
                "and type it."
            )
    ratios = {b.name: _ratio(b, measured[b.name]) for group in along.values() for b in group}
    mistake = _typed(list(ratios.values()))
    if not mistake:
        for group in along.values():
            for bar in group:
                _check_size(bar, measured[bar.name])
    return _reading(along, measured, ratios, mistake)


def _reading(
    along: Mapping[str, Sequence[CheckBar]], measured: Mapping[str, float], ratios: Mapping[str, float], mistake: str
) -> Reading:
    accuracy = catalogue().rule("reading-accuracy")
    xs, ys = ([ratios[b.name] for b in along[axis]] for axis in ("x", "y"))
    x, y = sum(xs) / len(xs), sum(ys) / len(ys)
    lengths = (along["x"][0].length, along["y"][0].length)
    skew = max(_spread([measured[b.name] for b in along[axis]]) for axis in ("x", "y"))
    shear, apart = _shear(along["diagonal"], measured, x * lengths[0], y * lengths[1])
    alike = all(_spread([ratios[b.name] for b in group]) <= _SLIP for group in along.values())
    alike = alike and _agrees(along["diagonal"], measured, x * lengths[0], y * lengths[1])
    return Reading(
        x, y, lengths,
        (max(abs(r - 1) for r in xs), max(abs(r - 1) for r in ys)),
        skew, shear,
        abs(x - 1) * lengths[0] <= accuracy + 1e-9, abs(y - 1) * lengths[1] <= accuracy + 1e-9,
        max(skew, apart) > 2 * accuracy + 1e-9,
        mistake or ("" if alike else "misread") or _exchanged(x, y, lengths),
        dict(measured),
    )  # fmt: skip


def _spread(values: Sequence[float]) -> float:
    return max(values) - min(values) if values else 0.0


def _shear(diagonals: Sequence[CheckBar], measured: Mapping[str, float], a: float, b: float) -> tuple[float, float]:
    """Out of square [mm in 100 mm], and by how much the diagonals differ [mm].

    In a parallelogram with sides a and b, 90° less g between them at the lower left, the diagonals are
    e² = a² + b² + 2ab sin g and f² = a² + b² − 2ab sin g (law of cosines).
    """
    if len(diagonals) < 2:
        return 0.0, 0.0
    e, f = (measured[bar.name] for bar in diagonals)
    return 100 * (e * e - f * f) / (4 * a * b), abs(e - f)


def _agrees(diagonals: Sequence[CheckBar], measured: Mapping[str, float], a: float, b: float) -> bool:
    """Whether the diagonals can belong to the sides: e² + f² = 2 (a² + b²) in a parallelogram."""
    if len(diagonals) < 2:
        return True
    e, f = (measured[bar.name] for bar in diagonals)
    return abs(math.sqrt((e * e + f * f) / (2 * (a * a + b * b))) - 1) <= _SLIP


def _ratio(bar: CheckBar, length: float) -> float:
    if not math.isfinite(length) or length <= 0:
        raise LengthError(
            f"Bar {bar.name} measures {length:g} mm; a length above 0 is needed. It is drawn {bar.length:g} mm long: "
            "measure it from outer edge to outer edge and type what the rule says."
        )
    return length / bar.length


def _check_size(bar: CheckBar, length: float) -> None:
    ratio = length / bar.length
    if _LEAST <= ratio <= _MOST:
        return
    slip = ""
    for factor, what in ((0.1, "It looks like centimetres. "), (10.0, "A decimal point may be missing. ")):
        if abs(ratio / factor - 1) < 0.1:
            slip = what
    for factor, what in ((1 / INCH, "inches"), (INCH, "millimetres typed as inches")):
        if abs(ratio / factor - 1) < 0.1:
            slip = f"It looks like {what}. "
    raise LengthError(
        f"Bar {bar.name} is drawn {bar.length:g} mm long and cannot measure {length:g} mm; "
        f"{_LEAST * bar.length:.0f} to {_MOST * bar.length:.0f} mm are possible. {slip}Check the number and the unit."
    )


def _typed(ratios: Sequence[float]) -> str:
    """Whether every length was typed in the other unit: the bars would all be 25.4 times too short or too long."""
    for name, factor in (("typed-inches", 1 / INCH), ("typed-mm", INCH)):
        if all(abs(r / factor - 1) <= 0.1 for r in ratios):
            return name
    return ""


def _exchanged(x: float, y: float, lengths: tuple[float, float]) -> str:
    """Whether the two axes were taken for each other."""
    turned = lengths[1] / lengths[0]
    if turned < 1 + 2 * _SLIP:
        return ""  # nearly square: cannot be told
    return "exchanged" if abs(x / turned - 1) <= _SLIP and abs(y * turned - 1) <= _SLIP else ""
