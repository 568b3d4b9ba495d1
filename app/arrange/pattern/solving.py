"""The pitch of a pattern from what is wanted of it: an open area, or a number of holes."""

from __future__ import annotations

import math
from typing import Final

from app.arrange.change import shown
from app.arrange.pattern.possible import possible
from app.document.pattern_schema import PatternEntry
from app.document.patterns import boundary_of, pattern_of
from app.errors import EditError, GeometryError, ModelError
from app.geometry.boundary import Boundary
from app.model.limits import PATTERN_HOLES
from app.model.open_area import LEAST_WEB, hole_area, pitch_for_open_area

STEP: Final = 0.01
"""Pitches that are worked out come in steps of this [mm]: finer than anybody marks out."""

_PACE: Final = 1.2
"""How much wider or narrower the next pitch is that is tried."""


def pitch_for_share(entry: PatternEntry, share: float, units: str) -> PatternEntry:
    """The pattern with the pitch at which a wide field of its holes is open by ``share`` [%].

    Raises:
        EditError: it is not from 1 to 80 %, or would leave less than ``LEAST_WEB`` between holes.
    """
    if not 1 <= share <= 80:
        raise EditError(f"Open area is from 1 to 80 %, got {share:g}. Enter one in that range.", "share")
    pitch = pitch_for_open_area(entry.order, entry.hole, share, entry.length, entry.gap)
    if pitch < entry.hole + LEAST_WEB:
        got, least = shown(pitch, units), shown(entry.hole + LEAST_WEB, units)
        said = f"That open area needs a pitch of {got}; holes of {shown(entry.hole, units)} need {least} or more."
        raise EditError(f"{said} Ask for less, or make the holes larger.", "share")
    return entry.model_copy(update={"pitch": round(pitch, 2)})


def pitch_for_number(entry: PatternEntry, wanted: int, units: str) -> PatternEntry:
    """The pattern with the pitch that gives the number of holes nearest to ``wanted``; of two as near the larger.

    An order that is the same on every side has some numbers and not others. Of the pitches that give the number the
    widest is taken, for its webs.

    Raises:
        EditError: so many do not fit, or nobody drills so many.
    """
    if not 1 <= wanted <= PATTERN_HOLES.most:
        raise EditError(f"A pattern has from 1 to {PATTERN_HOLES.most:,} holes, got {wanted:,}. Enter fewer.", "many")
    # Whole steps of the pitch, so that what is found is what is written down.
    least = math.ceil((entry.hole + LEAST_WEB) / STEP - 1e-9)
    low, high = _bracket(entry, wanted, least)
    if (most := _count(entry, low)) < wanted:
        holes, web = shown(entry.hole, units), shown(LEAST_WEB, units)
        said = f"At most {most:,} of {holes} fit in with {web} between them, got {wanted:,}."
        raise EditError(f"{said} Ask for fewer, or make the holes smaller.", "many")
    low, high = _narrowed(entry, low, high, wanted)
    more, fewer = _count(entry, low), _count(entry, high)
    if fewer > 0 and (wanted - fewer < more - wanted or more > PATTERN_HOLES.most):
        low = _narrowed(entry, high, max(high + 1, _widest(entry)), fewer)[0]
    return entry.model_copy(update={"pitch": round(low * STEP, 6)})


def _bracket(entry: PatternEntry, wanted: int, least: int) -> tuple[int, int]:
    """Pitches in steps: one that gives as many holes as wanted or is the least there may be, and one with fewer.

    Raises:
        EditError: the boundary cannot exist.
    """
    try:
        field = Boundary(boundary_of(entry.boundary)).polygon.area
    except GeometryError as error:
        raise EditError(str(error), "shape") from None
    own = hole_area(entry.hole, entry.length if entry.order == "slots" else 0.0)
    begin = pitch_for_open_area(entry.order, entry.hole, 100 * own * wanted / field, entry.length, entry.gap)
    low = high = max(least, math.floor(begin / STEP))
    while _count(entry, high) >= wanted and high < _widest(entry):
        high = math.ceil(_PACE * high)
    while _count(entry, low) < wanted and low > least:
        low = max(least, math.floor(low / _PACE))
    return low, high


def _widest(entry: PatternEntry) -> int:
    """A pitch in steps beyond which nothing changes: from side to side of the boundary."""
    x0, y0, x1, y1 = boundary_of(entry.boundary).bounds
    return math.ceil((math.hypot(x1 - x0, y1 - y0) + entry.hole) / STEP)


def _narrowed(entry: PatternEntry, low: int, high: int, many: int) -> tuple[int, int]:
    """The widest pitch in steps that still gives ``many`` holes, and the next, between one that does and another."""
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (middle, high) if _count(entry, middle) >= many else (low, middle)
    return low, high


def _count(entry: PatternEntry, steps: int) -> int:
    try:
        return len(pattern_of(entry.model_copy(update={"pitch": steps * STEP})).holes)
    except (GeometryError, ModelError):
        return 0


def solved(entry: PatternEntry, by: str, share: float, many: int, units: str) -> PatternEntry:
    """The pattern with the pitch that was asked for in one of three ways, and possible.

    Args:
        entry: the pattern, with its pitch as typed.
        by: ``pitch`` as it is, ``share`` or ``many``.
        share: open area of a wide field [%].
        many: number of holes.
        units: display units, for messages.

    Raises:
        EditError: beside its field.
    """
    if by == "share":
        entry = pitch_for_share(entry, share, units)
    elif by == "many":
        entry = pitch_for_number(entry, many, units)
    possible(entry, units, by if by in {"share", "many"} else "pitch")
    return entry
