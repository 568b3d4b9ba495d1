"""The print doctor: from what was measured on a check sheet to what went wrong and what to change.

The rule. Within what a rule can be read to (0.25 mm), a print is true and nothing is offered. Up to 1 % off, it is the
printer itself, and a correction of each axis is offered. From 1 to 3 %, a wrong setting that explains both axes is
named and not corrected, because a correction would hide it and be wrong the next time; only a builder who says that
the dialog was right (``settings_checked``) is offered one, and one whom no known setting explains. Beyond 3 % nothing
is corrected. A print that is uneven or out of square cannot be corrected by factors at all.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

from msgspec import Struct

from app.catalogue.load import catalogue
from app.errors import LengthError
from app.model.printing import PrintCorrection, Printing
from app.paper.check.check_frame import CheckBar
from app.paper.check.doctor_causes import Range, Setting, matching, settings_for
from app.paper.check.doctor_reading import Reading, read
from app.paper.check.doctor_words import DoctorCase, advice_of
from app.units import Unit

_EQUAL = 1e-9


class Diagnosis(Struct, frozen=True):
    """What the doctor says.

    Args:
        cause: ``true``, ``printer``, ``skew``, ``misread``, ``exchanged``, ``typed-inches``, ``typed-mm``, ``unknown``,
            ``too-far``, or the id of a wrong setting (:mod:`app.paper.check.doctor_causes`).
        title: the cause in a few words.
        words: what was found, in plain sentences.
        advice: what to change.
        others: further causes that would explain the same, the likelier first, in words.
        ratio_x: measured over drawn length along the short side of the paper.
        ratio_y: the same along the long side.
        skew: largest difference between two opposite sides [mm].
        out_of_square: how far the sides are from a right angle [mm in 100 mm]; 0 if not both diagonals were measured.
        correctable: whether a correction is offered.
        correction: what to print with from now on, one already in force taken in; None if none is offered.
        error: how far off the farthest hole would be punched [mm]; None if that was not asked or cannot be told.
    """

    cause: str
    title: str
    words: str
    advice: str
    others: tuple[str, ...]
    ratio_x: float
    ratio_y: float
    skew: float
    out_of_square: float
    correctable: bool
    correction: PrintCorrection | None
    error: float | None

    @property
    def true(self) -> bool:
        """Whether the sheets can be used as they are printed."""
        return self.cause == "true"

    @property
    def per_100(self) -> tuple[float, float]:
        """Error along the short and the long side of the paper [mm in 100 mm]."""
        return (100 * (self.ratio_x - 1), 100 * (self.ratio_y - 1))


def diagnose(
    bars: Sequence[CheckBar],
    measured: Mapping[str, float],
    printing: Printing,
    *,
    reach: tuple[float, float] | None = None,
    settings_checked: bool = False,
    edges: Range | None = None,
    unit: Unit = Unit.MM,
) -> Diagnosis:
    """What is wrong with a print, if anything.

    Args:
        bars: what is on the check sheet (:class:`app.paper.check.check_sheet.CheckSheet`).
        measured: length of each bar that was measured, by its name [mm]; one along each axis at least.
        printing: paper and correction the check sheet was printed with.
        reach: the farthest hole from the lines its sheet is laid on, along the paper's short and long side [mm].
        settings_checked: whether the builder has said that the print dialog was right.
        edges: least and most the printer leaves white [mm]; None for what is usual.
        unit: unit of the words.

    Raises:
        LengthError: a length no print can have, an unknown bar, or an axis without any.
    """
    if reach is not None and not all(math.isfinite(v) and v >= 0 for v in reach):
        raise LengthError(
            f"The farthest hole is {reach[0]:g} and {reach[1]:g} mm from the lines its sheet is laid on; "
            "both are finite and 0 or more. Work them out from the board again."
        )
    found = read(bars, measured)
    cause, settings, correction = _judge(found, printing, settings_checked, edges)
    error = _error(found, reach) if reach is not None and not found.mistake else None
    words = advice_of(DoctorCase(found, printing, cause, settings, correction, error, settings_checked, unit))
    return Diagnosis(
        cause, words.title, words.text, words.advice, words.others, found.x, found.y, found.skew, found.shear,
        correction is not None, correction, error,
    )  # fmt: skip


def _judge(
    found: Reading, printing: Printing, checked: bool, edges: Range | None
) -> tuple[str, tuple[Setting, ...], PrintCorrection | None]:
    """The cause, the settings that would explain it (the first is the cause if it is one), and the correction."""
    if found.mistake:
        return found.mistake, (), None
    rule = catalogue().rule
    slack = tuple(rule("setting-tolerance") + rule("reading-accuracy") / length for length in found.lengths)
    settings = matching(settings_for(printing.paper, edges), found.x, found.y, (slack[0], slack[1]))
    off = max(abs(found.x - 1), abs(found.y - 1))
    if off > rule("printer-correctable") + _EQUAL:
        return (settings[0].id if settings else "unknown"), settings, None
    if off > rule("printer-error") + _EQUAL and settings and not checked:
        return settings[0].id, settings, None
    if found.skewed:
        return "skew", settings, None
    if found.true_x and found.true_y:
        return "true", (), None
    correction = _correction(found, printing.correction)
    return ("printer" if correction else "too-far"), settings, correction


def _correction(found: Reading, before: PrintCorrection) -> PrintCorrection | None:
    """The factors in force, divided by what is still measured; an axis that is true keeps its own.

    None if they would be more than is ever corrected.
    """
    x = before.x if found.true_x else before.x / found.x
    y = before.y if found.true_y else before.y / found.y
    most = catalogue().rule("printer-correctable") + _EQUAL
    if max(abs(1 / x - 1), abs(1 / y - 1)) > most:
        return None
    return PrintCorrection(x, y, before.printer)


def _error(found: Reading, reach: tuple[float, float]) -> float:
    """How far off a hole is punched, at worst [mm]: by the worse bar of each axis, and out of square along x."""
    dx = found.worst[0] * reach[0] + abs(found.shear) / 100 * reach[1]
    return math.hypot(dx, found.worst[1] * reach[1])
