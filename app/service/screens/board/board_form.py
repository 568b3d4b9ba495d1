"""What a board is, in the measures by which it is typed: rings, areas, layers, edges, what is below, shapes."""

from __future__ import annotations

from msgspec import Struct

from app.arrange.board import drag as board_drag
from app.arrange.board.drag import grip_of
from app.arrange.board.presets import SHAPES, usual_offsets
from app.arrange.board.rings import Ring, box_of, rings_of
from app.catalogue.load import catalogue
from app.document.resolve import find_board
from app.document.schema import BoardEntry
from app.errors import NotFoundError
from app.geometry.outline import EDGE_NAMES
from app.model.part import Face
from app.service.drawings.board_sheets import shape_picture
from app.service.edits.board_changes import Box
from app.service.screens.words import capital
from app.service.sight import Sight

Grip = board_drag.Grip
"""What a handle moves."""


class CornerSeen(Struct, frozen=True):
    """A corner: its place, its easing before and after it, and the way to the next one [mm]."""

    x: float
    y: float
    setback: tuple[float, float] | None
    run: float
    rise: float


class RingSeen(Struct, frozen=True):
    """The rim, or an opening.

    Args:
        corners: once round.
        box: front-left corner, width and height [mm].
        setback: by which every corner is set back, on both sides [mm]; 0 for none, None if they differ.
        offsets: across and along, with which a corner is cut off or a shape begins [mm].
    """

    corners: tuple[CornerSeen, ...]
    box: Box
    setback: float | None
    offsets: tuple[float, float]


class AreaSeen(Struct, frozen=True):
    """An area to keep clear: its face, its words, its front-left corner, width and height [mm]."""

    face: Face
    label: str
    box: Box


class LayerSeen(Struct, frozen=True):
    """A layer: id of its material, and its thickness [mm]."""

    material: str
    thickness: float


class EdgeSeen(Struct, frozen=True):
    """An edge: its name, the depth of its slot and the width of its rail [mm]."""

    name: str
    slot: float
    rail: float


class ShapeSeen(Struct, frozen=True):
    """A common shape: its name, words, and picture, inline SVG."""

    name: str
    words: str
    picture: str


class BoardForm(Struct, frozen=True):
    """A board as it can be typed, in mm.

    Args:
        name: of the board.
        rings: the rim, then the openings.
        areas: to keep clear.
        layers: top to underside.
        edges: each with its slot and its rail.
        width, depth, thickness: of it all.
        below: free depth below the front and the back edge; that of a new deck where nothing is below.
        free_below: whether nothing is below.
        new_box: a rectangle in the middle, for a new opening or area to begin with.
    """

    name: str
    rings: tuple[RingSeen, ...]
    areas: tuple[AreaSeen, ...]
    layers: tuple[LayerSeen, ...]
    edges: tuple[EdgeSeen, ...]
    width: float
    depth: float
    thickness: float
    below: tuple[float, float]
    free_below: bool
    new_box: Box


def board_form(sight: Sight) -> BoardForm:
    """The board in view."""
    board, entry = sight.checked.resolved, find_board(sight.design, sight.checked.board)
    rings = tuple(map(_ring, rings_of(entry)))
    return BoardForm(
        name=board.name,
        rings=rings,
        areas=tuple(AreaSeen(k.face, k.label, (k.x, k.y, k.width, k.height)) for k in entry.keep_clear),
        layers=tuple(LayerSeen(layer.material.id, layer.thickness) for layer in board.layers),
        edges=tuple(EdgeSeen(name, board.edge(name).slot_depth, board.edge(name).rail) for name in EDGE_NAMES),
        width=board.width,
        depth=board.depth_front_to_back,
        thickness=board.thickness,
        below=_below(entry),
        free_below=entry.depth_below is None,
        new_box=_new_box(rings[0]),
    )


def shapes_of(rim: RingSeen) -> tuple[ShapeSeen, ...]:
    """Common shapes as wide and deep as a rim, drawn with the offsets to begin with."""
    _, _, width, depth = rim.box
    return tuple(
        ShapeSeen(name, capital(words), shape_picture(name, width, depth, *rim.offsets))
        for name, words in SHAPES.items()
    )


def grip_named(handle: str) -> Grip | None:
    """What a handle of that name moves: its kind, and the numbers of its ring and corner; None if it is none."""
    try:
        return grip_of(handle) if handle else None
    except NotFoundError:
        return None


def _ring(ring: Ring) -> RingSeen:
    x0, y0, x1, y1 = box_of(ring)
    after = (*ring[1:], ring[0])
    setbacks = {corner.setback or (0.0, 0.0) for corner in ring}
    one = setbacks.pop() if len(setbacks) == 1 else None
    return RingSeen(
        corners=tuple(CornerSeen(a.x, a.y, a.setback, b.x - a.x, b.y - a.y) for a, b in zip(ring, after, strict=True)),
        box=(x0, y0, x1 - x0, y1 - y0),
        setback=one[0] if one is not None and one[0] == one[1] else None,
        offsets=usual_offsets(x1 - x0, y1 - y0, catalogue()),
    )


def _below(entry: BoardEntry) -> tuple[float, float]:
    rule, below = catalogue().rule, entry.depth_below
    return (below.front, below.back) if below else (rule("deck-depth-front"), rule("deck-depth-back"))


def _new_box(rim: RingSeen) -> Box:
    """A rectangle in the middle of a board, for a form to begin with."""
    x, y, width, height = rim.box
    across, along = rim.offsets
    return (round(x + width / 2) - across, round(y + height / 2 - along / 2), 2 * across, along)
