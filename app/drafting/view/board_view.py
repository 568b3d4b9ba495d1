"""The board for the screen and for a picture: plan or underside, elevation, rulers, what is wrong."""

from __future__ import annotations

from collections.abc import Collection, Sequence

import numpy as np

from app.drafting.facing import Facing, facing
from app.drafting.forms import Box, shape_item
from app.drafting.hardware.part_letters import rim_radius, seen_shapes
from app.drafting.labels.tags import word_boxes
from app.drafting.view.dimensions import dimensions
from app.drafting.view.elevation import elevation, elevation_foot
from app.drafting.view.finding_marks import halos
from app.drafting.view.layers import layered
from app.drafting.view.plan import blank, plan
from app.drafting.view.rulers import RULER_DEPTH, rulers
from app.drafting.view.underside import heading, underside
from app.drafting.weights import weighted
from app.drafting.words import board_size, face_words, unit_of
from app.fit.finding import Finding
from app.model.part import Face
from app.model.resolved import ResolvedBoard
from app.scene.palette import CAP, FLANGE, HOLE_OFF, HOLE_OPEN, KNOB, TEXT_MUTED
from app.scene.primitives import Circle, Group, Item, Scene, Text
from app.units import Unit

FULL_SCALE = (390.0, 345.0)
"""A drawing this wide, or with its elevation this tall, fills the screen with letters at their nominal size [mm]."""


_FADING = 2.0
"""Scale from which lines of the nominal weights would be too fine on a screen."""

_TOLD_APART = 600
"""Of more holes than this a small picture shows what lies round them all."""


def view_scale(board: ResolvedBoard) -> float:
    """Size of letters and thin details, so that they look alike on a small, a wide and a tall board."""
    tall = board.outline.bounds[3] - elevation_foot(board)
    return min(max(board.width / FULL_SCALE[0], tall / FULL_SCALE[1], 0.3), 12.0)


def line_weight(scale: float) -> float:
    """How many times heavier lines are than in the styles, so that those of a large board do not fade."""
    return max(1.0, scale / _FADING)


def board_scene(
    board: ResolvedBoard,
    findings: Sequence[Finding] = (),
    *,
    face: Face = "top",
    unit: Unit | None = None,
    selected: Sequence[str] = (),
    with_rulers: bool = True,
    with_elevation: bool = True,
    to: str = "",
    accepted: Collection[str] = (),
    layers: Collection[str] | None = None,
) -> Scene:
    """The board as on screen: groups ``board``, ``parts``, ``elevation``, ``rulers``, ``halos`` and ``dims``.

    The order is that of drawing. Each can be exchanged alone; ``parts`` holds one group ``part-<id>`` for
    each placement, with the id in its data.

    Args:
        board: the board.
        findings: what the rules found.
        face: ``top``, or ``under`` for the mirror image with what hangs below.
        unit: unit of rulers; None for the design's own.
        selected: ids of the selected placements, the one in hand first: its row is cut, its measures shown.
        with_rulers: whether to draw rulers.
        with_elevation: whether to draw the elevation.
        to: id of the part that distances are shown to; if two parts are selected it is the other one.
        accepted: ids of placements of which something was accepted as it is.
        layers: those drawn besides the usual ones, for a page that shows and hides them; None for a file or picture.
    """
    scale, view = view_scale(board), facing(board, face)
    hand = selected[0] if selected else None
    chosen = frozenset(selected)
    drawn = plan if face == "top" else underside
    main = drawn(board, selected=chosen, hand=hand or "", scale=scale)
    items: list[Item] = [*(main if layers is None else layered(main, board, view, layers, scale))]
    if with_elevation:
        items.append(elevation(board, view=view, selected=hand, scale=scale))
    items.append(Group(_front_words(board, view, scale), name="words"))
    if with_rulers:
        items.append(rulers(board, unit or unit_of(board), facing=view, scale=scale))
    marks = halos(board, findings, view=view, scale=scale, accepted=accepted)
    other = selected[1] if len(selected) == 2 else to
    # Lines of measures run below the words of what is wrong, not through them.
    items += [dimensions(board, hand or "", view=view, scale=scale, avoid=word_boxes(marks), to=other), marks]
    x0, y0, x1, y1 = board.outline.bounds
    a, b, c, d = _reach(board, view, 8.0 * scale)
    beside = (RULER_DEPTH + 8.0 if with_rulers else 26.0) * scale
    foot = elevation_foot(board, scale) if with_elevation else y0 - 20.0 * scale
    return Scene(
        min(x0 - beside, a),
        min(foot, b),
        max(x1 + 22.0 * scale, c),
        max(y1 + (RULER_DEPTH if with_rulers else 12.0) * scale, d),
        weighted(items, line_weight(scale)),
        title=f"{board.title}: {board.name}, {board.arrangement_name}",
        note=_note(board, face),
    )


def _reach(board: ResolvedBoard, view: Facing, more: float) -> Box:
    """Round the rims of all parts, those too that lie beyond the board, and ``more`` mm for their marks [mm]."""
    rims = np.array([(view.x(p.x), p.y, rim_radius(p) + more) for p in board.placements]).reshape(-1, 3)
    if not len(rims):
        return board.outline.bounds
    low, high = (rims[:, :2] - rims[:, 2:]).min(axis=0), (rims[:, :2] + rims[:, 2:]).max(axis=0)
    return float(low[0]), float(low[1]), float(high[0]), float(high[1])


def _note(board: ResolvedBoard, face: Face) -> str:
    return f"{face_words(face)}, {board_size(board)}, drawn in mm"


def _front_words(board: ResolvedBoard, view: Facing, scale: float) -> tuple[Item, ...]:
    if view.mirrored:
        return heading(board, scale)
    x0, y0, x1, _ = board.outline.bounds
    size = 5.6 * scale
    words = "front edge, towards the player" if board.role == "deck" else "front edge"
    return (Text(((x0 + x1) / 2 + 4.0 * scale, y0 - 1.55 * size), words, size, TEXT_MUTED),)


def thumbnail(board: ResolvedBoard) -> Scene:
    """A small true drawing of the deck for the shelf: board, rims and knobs, no words."""
    view = facing(board, "top")
    items: list[Item] = list(blank(board, view, view_scale(board)))
    for placed in board.placements:
        shapes = seen_shapes(placed, _TOLD_APART)
        if placed.drill and placed.part.lever is not None:
            items.append(Circle((placed.x, placed.y), max(placed.part.lever.knob / 2, 5.0), KNOB))
        elif not placed.drill or placed.flange is None:
            items += [shape_item(each, HOLE_OPEN if placed.drill else HOLE_OFF) for each in shapes]
        else:
            items.append(shape_item(placed.flange, FLANGE))
            if placed.flange.is_circle:
                items.append(Circle(placed.flange.centre, 0.7 * placed.flange.radius, CAP))
    x0, y0, x1, y1 = board.outline.bounds
    a, b, c, d = _reach(board, view, 0.0)
    x0, y0, x1, y1 = min(x0, a), min(y0, b), max(x1, c), max(y1, d)
    edge = 0.02 * (x1 - x0)
    return Scene(x0 - edge, y0 - edge, x1 + edge, y1 + edge, tuple(items), title=f"{board.title}: {board.name}")
