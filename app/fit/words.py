"""Lengths, names and places as a builder says them."""

from __future__ import annotations

from collections.abc import Sequence

from app.model.resolved import ResolvedBoard
from app.units import INCH, Unit, format_length

_SHOWN = 6  # names listed before “and 9 more”
_SIXTY_FOURTH = 64


def say(mm: float, unit: Unit) -> str:
    """A length to two decimals of a millimetre, or to 1/64 in; a smaller one to a thousandth of an inch."""
    if unit is Unit.INCH:
        if mm and abs(mm) < INCH / _SIXTY_FOURTH:
            return _decimal_inch(mm, 3)
        return format_length(mm, unit, denominator=_SIXTY_FOURTH)
    return _millimetres(mm, 2)


def say_both(measured: float, required: float, unit: Unit) -> tuple[str, str]:
    """Two lengths, as exactly as it takes to see which is the longer."""
    pair = say(measured, unit), say(required, unit)
    decimals = 3
    while pair[0] == pair[1] and abs(measured - required) > 1e-7 and decimals <= 7:
        write = _decimal_inch if unit is Unit.INCH else _millimetres
        pair = write(measured, decimals), write(required, decimals)
        decimals += 1
    return pair


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


def edge_name(edge: object) -> str:
    """“the left edge”, “a corner”, “an inner opening”."""
    if edge == "opening":
        return "an inner opening"
    return "a corner" if edge == "corner" else f"the {edge} edge"


def side_words(dx: float, dy: float, unit: Unit) -> str:
    """A move as a player at the deck sees it: “3 mm to the right and 1.5 mm to the back”."""
    steps = [(dx, "to the right", "to the left"), (dy, "to the back", "to the front")]
    said = [f"{say(abs(d), unit)} {more if d > 0 else less}" for d, more, less in steps if abs(d) >= 0.005]
    return " and ".join(said) or say(0.0, unit)


def _millimetres(mm: float, decimals: int) -> str:
    text = format_length(mm, Unit.MM, decimals=decimals, suffix=False)
    return f"{text.rstrip('0').rstrip('.')} mm"


def _decimal_inch(mm: float, decimals: int) -> str:
    return f'{mm / INCH:.{decimals}f}"'
