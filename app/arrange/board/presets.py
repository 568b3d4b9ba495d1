"""Common shapes of decks, named by what they look like, drawn into the size a board has."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from types import MappingProxyType
from typing import Final

from app.arrange.board.rings import Ring, box_of, replaced, rings_of, with_rings
from app.arrange.change import Edit, number, shown
from app.catalogue.load import Catalogue
from app.document.resolve import find_board
from app.document.schema import Design
from app.errors import EditError
from app.geometry.outline import Corner

_Way = Callable[[float, float, float, float], Ring]
"""From width, depth, and the two offsets of the shape, across and along [mm], to corners from the datum corner."""

_SET_BACK: Final = ("rounded-back", "rounded")
"""Shapes whose offsets are set-backs, which may meet in the middle of a side."""

_QUARTER: Final = 4
"""An offset to begin with takes no more than this part of a side."""


def _rectangle(w: float, d: float, _a: float, _b: float) -> Ring:
    return (Corner(0, 0), Corner(w, 0), Corner(w, d), Corner(0, d))


def _rounded_back(w: float, d: float, a: float, b: float) -> Ring:
    return (Corner(0, 0), Corner(w, 0), Corner(w, d, (b, a)), Corner(0, d, (a, b)))


def _rounded(w: float, d: float, a: float, b: float) -> Ring:
    return (Corner(0, 0, (b, a)), Corner(w, 0, (a, b)), Corner(w, d, (b, a)), Corner(0, d, (a, b)))


def _oval(w: float, d: float, _a: float, _b: float) -> Ring:
    return _rounded(w, d, w / 2, d / 2)


def _round_ends(w: float, d: float, _a: float, _b: float) -> Ring:
    half = min(w, d) / 2
    return _rounded(w, d, half, half)


def _cut_back(w: float, d: float, a: float, b: float) -> Ring:
    return (Corner(0, 0), Corner(w, 0), Corner(w, d - b), Corner(w - a, d), Corner(a, d), Corner(0, d - b))


def _sloped_front(w: float, d: float, a: float, b: float) -> Ring:
    return (Corner(a, 0), Corner(w - a, 0), Corner(w, b), Corner(w, d), Corner(0, d), Corner(0, b))


def _cut(w: float, d: float, a: float, b: float) -> Ring:
    front = (Corner(a, 0), Corner(w - a, 0), Corner(w, b))
    return (*front, Corner(w, d - b), Corner(w - a, d), Corner(a, d), Corner(0, d - b), Corner(0, b))


def _notched_back(w: float, d: float, a: float, b: float) -> Ring:
    right = (Corner(w, d - b), Corner(w - a, d - b), Corner(w - a, d))
    return (Corner(0, 0), Corner(w, 0), *right, Corner(a, d), Corner(a, d - b), Corner(0, d - b))


def _narrow_front(w: float, d: float, a: float, _b: float) -> Ring:
    return (Corner(a, 0), Corner(w - a, 0), Corner(w, d), Corner(0, d))


def _waisted(w: float, d: float, a: float, b: float) -> Ring:
    low, high = (d - b) / 2, (d + b) / 2
    right = (Corner(w, 0), Corner(w - a, low), Corner(w - a, high), Corner(w, d))
    return (Corner(0, 0), *right, Corner(0, d), Corner(a, high), Corner(a, low))


_WAYS: Final[Mapping[str, tuple[str, _Way, float, float]]] = MappingProxyType(
    {
        # name: words, corners, and how many of each offset a side is longer than, across and along.
        "rectangle": ("rectangle", _rectangle, 0, 0),
        "rounded-back": ("rounded back corners", _rounded_back, 2, 1),
        "rounded": ("rounded corners", _rounded, 2, 2),
        "round-ends": ("round ends", _round_ends, 0, 0),
        "oval": ("round, or oval", _oval, 0, 0),
        "cut-back": ("cut-off back corners", _cut_back, 2, 1),
        "sloped-front": ("sloped front corners", _sloped_front, 2, 1),
        "cut": ("cut-off corners", _cut, 2, 2),
        "notched-back": ("notched back corners", _notched_back, 2, 1),
        "narrow-front": ("narrower at the front", _narrow_front, 2, 0),
        "waisted": ("waisted sides", _waisted, 2, 1),
    }
)

SHAPES: Final[Mapping[str, str]] = MappingProxyType({name: words for name, (words, *_) in _WAYS.items()})
"""Words for each shape, by its name."""


def usual_offsets(width: float, front_to_back: float, catalogue: Catalogue) -> tuple[float, float]:
    """Offsets across and along to begin with [mm]: the set-back of a new deck, less on a small board."""
    setback = catalogue.rule("deck-setback")
    return min(setback, width / _QUARTER), min(setback, front_to_back / _QUARTER)


def shape_ring(shape: str, width: float, front_to_back: float, across: float, along: float) -> Ring:
    """The corners of a shape from the datum corner [mm].

    Raises:
        EditError: no such shape, or an offset that its side has no room for; fields ``shape``, ``across``, ``along``.
    """
    if shape not in _WAYS:
        raise EditError(f"There is no shape “{shape[:40]}”. Choose one of: {', '.join(SHAPES.values())}.", "shape")
    _, way, times_across, times_along = _WAYS[shape]
    for value, field, side, times, name in (
        (across, "across", width, times_across, "width"),
        (along, "along", front_to_back, times_along, "depth"),
    ):
        if not times:
            continue
        number(value, f"The offset {field} in mm", field, 0, side, above=True)
        if value * times > side or (value * times == side and shape not in _SET_BACK):
            most = f"{'at most' if shape in _SET_BACK else 'less than'} {side / times:,.6g} mm"
            raise EditError(
                f"The offset {field} must be {most} for the board’s {name}, got {value:,.6g} mm. "
                "Enter less, or make the board larger first.",
                field,
            )
    return way(width, front_to_back, across, along)


def set_shape(
    design: Design, board_id: str | None, shape: str, across: float, along: float, catalogue: Catalogue
) -> Edit:
    """Give a board a common shape, as wide and deep as it is; its openings stay.

    Args:
        design: the design.
        board_id: the board; None for the deck.
        shape: a name of :data:`SHAPES`.
        across: offset of the shape's corners along its width [mm].
        along: offset of the shape's corners front to back [mm].
        catalogue: for the largest board.

    Raises:
        NotFoundError: no such board.
        EditError: no such shape, an offset without room, or an opening that would be cut.
    """
    rings = rings_of(find_board(design, board_id))
    x0, y0, x1, y1 = box_of(rings[0])
    ring = shape_ring(shape, x1 - x0, y1 - y0, across, along)
    moved = tuple(Corner(x0 + c.x, y0 + c.y, c.setback) for c in ring)
    after = with_rings(design, board_id, replaced(rings, 0, moved), catalogue, "shape")
    words, _, times_across, times_along = _WAYS[shape]
    sizes = [shown(v, design.units) for v, times in ((across, times_across), (along, times_along)) if times]
    return Edit(after, f"Shaped the board: {words}" + (f", {' × '.join(sizes)}" if sizes else ""))
