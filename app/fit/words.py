"""Lengths, names and places as a builder says them."""

from __future__ import annotations

from collections.abc import Sequence

from app.model.resolved import ResolvedBoard
from app.units import INCH, Unit, format_length

_SHOWN = 6  # names listed before “and 9 more”
_SIXTY_FOURTH = 64
_SHADE = INCH / 2000  # half a thousandth of an inch, below which three decimals of an inch are 0 [mm]
_ON_STEP = 1e-4  # of a sixty-fourth


def say(mm: float, unit: Unit) -> str:
    """A length to two decimals of a millimetre, or to 1/64 in; a smaller one to a thousandth of an inch."""
    if unit is Unit.INCH:
        if mm and abs(mm) < INCH / _SIXTY_FOURTH:
            return _decimal_inch(mm, 3)
        return format_length(mm, unit, denominator=_SIXTY_FOURTH)
    return _millimetres(mm, 2)


def off(mm: float, unit: Unit) -> str:
    """How much something is off, by what it is too wide, too near or too long: never “0 mm”, but “a shade”."""
    return "a shade" if nothing(mm) else say(abs(mm), unit)


def nothing(mm: float) -> bool:
    """Whether a length is so short that a builder calls it nothing: it would be said as 0 in one unit or the other."""
    return abs(mm) < _SHADE


def steps(unit: Unit) -> tuple[float, ...]:
    """Steps that :func:`typed` says in full, the plainest first [mm]: 0.01 mm, or 1/64 in and then 0.001 in."""
    return (INCH / _SIXTY_FOURTH, INCH / 1000) if unit is Unit.INCH else (0.01,)


def typed(mm: float, unit: Unit) -> str:
    """A length to be set or typed, said in full where it is on one of :func:`steps`."""
    parts = mm / INCH * _SIXTY_FOURTH
    if unit is Unit.INCH and abs(parts - round(parts)) > _ON_STEP:
        return _decimal_inch(mm, 3)
    return say(mm, unit)


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


def whose(what: str, board: ResolvedBoard, ids: Sequence[str]) -> str:
    """“The recess of A”, “The recesses of A and B”."""
    return f"The {what if len(ids) == 1 else plural(what)} of {names(board, ids)}"


def plural(what: str) -> str:
    """More than one of a thing."""
    irregular = {"body": "bodies", "recess": "recesses"}
    return irregular.get(what, f"{what}s")


def are(ids: Sequence[str]) -> str:
    """“is” of one, “are” of several."""
    return "is" if len(ids) == 1 else "are"


def verb(ids: Sequence[str], many: str) -> str:
    """“leaves” of one, “leave” of several."""
    irregular = {"have": "has", "go": "goes", "do": "does", "reach": "reaches"}
    return irregular.get(many, f"{many}s") if len(ids) == 1 else many


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
