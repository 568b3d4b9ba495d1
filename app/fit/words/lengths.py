"""Lengths, names and places as a builder says them."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from functools import partial

import numpy as np

from app.fit.finding import Finding
from app.fit.limits.cut_depths import TINY
from app.geometry.outline import EDGE_NAMES
from app.model.resolved import ResolvedBoard
from app.units import FRACTION, INCH, SAID, Unit, format_inches, format_length, fraction_error

_SHOWN = 6  # names listed before “and 9 more”
_HUNDREDTH = 0.01  # mm
_SIXTY_FOURTH, _THOUSANDTH = INCH / FRACTION, INCH / 1000


def say(mm: float, unit: Unit) -> str:
    """A length to the nearest 0.01 mm, or 1/64 in; one shorter than that to a thousandth of an inch."""
    return format_inches(mm) if unit is Unit.INCH else _millimetres(mm)


def least(mm: float, unit: Unit) -> str:
    """What is needed at least, or is too much: as :func:`say`, rounded up, so that what is said is enough."""
    return say(_up(mm, unit), unit)


def most(mm: float, unit: Unit) -> str:
    """What there is, or may be at most: as :func:`say`, rounded down, so that it never looks more than it is."""
    return say(_down(mm, unit), unit)


def off(mm: float, unit: Unit) -> str:
    """How much something is off, by what it is too wide, too near or too long: never “0 mm”, but “a shade”."""
    return "a shade" if nothing(mm) else least(abs(mm), unit)


def nothing(mm: float) -> bool:
    """Whether a length is so short that a builder calls it nothing: it would be said as 0 in one unit or the other."""
    return abs(mm) < _THOUSANDTH - TINY


def _up(mm: float, unit: Unit) -> float:
    step = _step(mm, unit)
    return math.ceil((mm - TINY) / step) * step


def _down(mm: float, unit: Unit) -> float:
    step = _step(mm, unit)
    return math.floor((mm + TINY) / step) * step


def _step(mm: float, unit: Unit) -> float:
    """What a length is rounded to [mm]."""
    if unit is Unit.MM:
        return _HUNDREDTH
    return _THOUSANDTH if abs(mm) < _SIXTY_FOURTH - TINY else _SIXTY_FOURTH


def steps(unit: Unit) -> tuple[float, ...]:
    """Steps that :func:`typed` says in full, the plainest first [mm]: 0.01 mm, or 1/64 in and then decimals of an inch.

    0.0001 in is for what fits to a hundredth of a millimetre and no wider, as 13 mm does: it is found in both units.
    """
    return (_SIXTY_FOURTH, _THOUSANDTH, _THOUSANDTH / 10) if unit is Unit.INCH else (_HUNDREDTH,)


def move_steps(unit: Unit) -> tuple[float, ...]:
    """Steps that moves are made on, the plainest first [mm]: 0.5 mm or 1/32 in, finer where they do not fit."""
    return (2 * _SIXTY_FOURTH, *steps(unit)) if unit is Unit.INCH else (0.5, 0.1, *steps(unit))


def typed(mm: float, unit: Unit) -> str:
    """A length to be set or typed, said in full where it is on one of :func:`steps`."""
    if unit is Unit.MM:
        return _millimetres(mm)
    on_step = abs(mm - round(mm / _THOUSANDTH) * _THOUSANDTH) < TINY
    return format_inches(mm, exactly=True, decimals=3 if on_step else 4)


def span(low: float, high: float, unit: Unit) -> tuple[str, str]:
    """From what to what something may be, rounded inward, so that all of what is said will do.

    Where less than a step lies between, both are said in full.
    """
    if _up(low, unit) < _down(high, unit):
        return least(low, unit), most(high, unit)
    return typed(low, unit), typed(high, unit)


def apart(one: float, other: float, unit: Unit) -> tuple[str, str]:
    """Two lengths as :func:`say`; in full where they are not the same and would be said so."""
    said = (say(one, unit), say(other, unit))
    return said if said[0] != said[1] else (typed(one, unit), typed(other, unit))


def sizes(bit: float, others: Sequence[float], unit: Unit) -> Callable[[float], str]:
    """How the size of a bit, and of what it is for, are written: in full, for what a rule tells as one may be two bits.

    To 0.001 mm or, where no fraction says it, 0.001 in; to 0.0001 in where a bit would be said like what it is not.
    """
    plain = partial(format_inches, exactly=True) if unit is Unit.INCH else _to_thousandth
    if unit is Unit.MM or all(plain(bit) != plain(other) or abs(bit - other) <= TINY for other in others):
        return plain
    return lambda mm: f'{mm / INCH:.4f}"'


def sold(bit: float, unit: Unit) -> str:
    """The size of a bit as it is asked for in a shop: a fraction where one says it in full, else in millimetres.

    In millimetres first where that is the unit, and a tenth says it.
    """
    fraction = abs(fraction_error(bit, FRACTION)) <= SAID
    tenths = abs(bit - round(bit, 1)) <= TINY
    return format_inches(bit) if fraction and (unit is Unit.INCH or not tenths) else _to_thousandth(bit)


def say_both(measured: float, required: float, unit: Unit) -> tuple[str, str]:
    """What there is and what is wanted: the longer rounded up, the shorter down, so that one is seen to be the longer.

    It is the rounding that what is needed and what there is are judged by: a builder who keeps what is said is safe.
    """
    if abs(measured - required) <= 3 * TINY:
        return say(measured, unit), say(required, unit)
    return (
        (most(measured, unit), least(required, unit))
        if measured < required
        else (
            least(measured, unit),
            most(required, unit),
        )
    )


def names(board: ResolvedBoard, ids: Sequence[str]) -> str:
    """What the plan calls placements: “A”, “A and B”, “A, B, C and 4 more”."""
    called = [name(board, one) for one in ids]
    if len(called) > _SHOWN:
        called = [*called[: _SHOWN - 1], f"{len(called) - _SHOWN + 1} more"]
    if len(called) == 1:
        return called[0]
    return f"{', '.join(called[:-1])} and {called[-1]}"


def name(board: ResolvedBoard, placement_id: str) -> str:
    """The letter of a placement; the name of its part where it has none."""
    placed = board.placed(placement_id)
    if placed is None:
        return placement_id
    return placed.label or placed.part.name


def whose(what: str, board: ResolvedBoard, ids: Sequence[str]) -> str:
    """“The recess of A”, “The recesses of A and B”."""
    return f"The {what if len(ids) == 1 else plural(what)} of {names(board, ids)}"


def plural(what: str) -> str:
    """More than one of a feature."""
    irregular = {"body": "bodies", "recess": "recesses"}
    return irregular.get(what, f"{what}s")


def are(ids: Sequence[str]) -> str:
    """“is” of one, “are” of several."""
    return "is" if len(ids) == 1 else "are"


def verb(ids: Sequence[str], many: str) -> str:
    """“leaves” of one, “leave” of several."""
    irregular = {"have": "has", "go": "goes", "do": "does", "reach": "reaches"}
    return irregular.get(many, f"{many}s") if len(ids) == 1 else many


def edge_name(board: ResolvedBoard, *findings: Finding) -> str:
    """“the left edge”, “a corner”, “an inner opening”; “the left side” where the rim is sloped or round.

    An edge is what a rule or a square is laid to, as places are measured from it; a side, what the rim has there.

    Args:
        board: the board.
        findings: about one edge, which their detail names.
    """
    edge = findings[0].detail.edge
    if edge == "opening":
        return "an inner opening"
    side = next((name for name in EDGE_NAMES if name == edge), None)
    if side is None:
        return f"a {edge}"
    x, y = np.array([finding.where for finding in findings]).T
    return f"the {edge} {'edge' if board.boundary.square_at(x, y, side).all() else 'side'}"


def side_words(dx: float, dy: float, unit: Unit) -> str:
    """A move as a player at the deck sees it: “3 mm to the right and 1.5 mm to the back”."""
    ways = [(dx, "to the right", "to the left"), (dy, "to the back", "to the front")]
    said = [f"{typed(abs(d), unit)} {more if d > 0 else less}" for d, more, less in ways if abs(d) >= 0.005]
    return " and ".join(said) or say(0.0, unit)


def _to_thousandth(mm: float) -> str:
    return _millimetres(mm, 3)


def _millimetres(mm: float, decimals: int = 2) -> str:
    text = format_length(mm, Unit.MM, decimals=decimals, suffix=False)
    return f"{text.rstrip('0').rstrip('.')} mm"
