"""The board itself as it can be changed: size, corners, openings, layers, edges, depth below, areas, shapes."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

from msgspec import Struct

from app.arrange.board import below, openings, presets
from app.arrange.board import corners as board_corners
from app.arrange.board import drag as board_drag
from app.arrange.board import layers as board_layers
from app.arrange.board import name as board_name
from app.arrange.board import size as board_size
from app.arrange.board.corners import CornerIndex
from app.arrange.board.drag import datum_shift, drag
from app.arrange.board.rings import rings_of
from app.arrange.change import Edit
from app.arrange.pattern.numbers import check_following
from app.catalogue.load import catalogue
from app.document.resolve import find_board, resolve
from app.document.schema import Design
from app.document.where import Where
from app.geometry.outline import EDGE_NAMES
from app.service.checks.checking import CheckResult, judged
from app.service.edits.changes import DesignChange
from app.values import replace

Pull = board_drag.Pull
"""How a handle is dragged."""

EDGES: Final = EDGE_NAMES
"""The edges of a board, by which slots and rails are named."""

Box = tuple[float, float, float, float]
"""Front-left corner from the datum edges, width, height [mm]."""


class Dragged(Struct, frozen=True):
    """A board as it would be with a handle dragged; nothing is kept.

    Args:
        edit: what it would come to.
        seen: the board, judged.
        shift: how much farther everything would be from the datum edges [mm].
    """

    edit: Edit
    seen: CheckResult
    shift: tuple[float, float]


def size_set(
    where: Where,
    name: str | None,
    sides: tuple[float | None, float | None],
    materials: Mapping[int, str],
    thicknesses: Mapping[int, float],
) -> DesignChange:
    """Name, width and depth [mm], materials and thicknesses [mm] of a board in one step; None leaves what it is."""

    def change(design: Design) -> Edit:
        after, said = design, list[str]()
        steps: list[DesignChange] = [] if name is None else [lambda d: board_name.rename_board(d, where.board, name)]
        steps.append(lambda d: board_size.set_size(d, where.board, catalogue(), *sides))
        steps.append(layers_set(where, materials, thicknesses))
        for step in steps:
            done = step(after)
            said += [done.summary] if done.design != after else []
            after = done.design
        return Edit(after, "; ".join(said) or "Left the board as it was")

    return change


def corner_set(where: Where, corner: CornerIndex, asked: Mapping[str, float]) -> DesignChange:
    """Place, set back and slope a corner: ``x``, ``y``, ``before``, ``after``, ``run``, ``rise`` [mm], those named."""
    return lambda design: board_corners.set_corner(design, where.board, corner, catalogue(), **asked)


def corner_added(where: Where, corner: CornerIndex) -> DesignChange:
    """Put a corner in the middle of the edge after a corner."""
    return lambda design: board_corners.add_corner(design, where.board, corner, catalogue())


def corner_removed(where: Where, corner: CornerIndex) -> DesignChange:
    """Take a corner out."""
    return lambda design: board_corners.remove_corner(design, where.board, corner, catalogue())


def corner_cut(where: Where, corner: CornerIndex, before: float, after: float) -> DesignChange:
    """Cut a corner off straight, by offsets before and after it [mm]."""
    return lambda design: board_corners.cut_corner(design, where.board, corner, before, after, catalogue())


def opening_added(where: Where, box: Box, setback: float) -> DesignChange:
    """Cut a rectangular opening with its corners set back alike [mm]."""
    return lambda design: openings.add_opening(design, where.board, box, catalogue(), setback)


def opening_set(where: Where, opening: int, asked: Mapping[str, float]) -> DesignChange:
    """Place and size an opening, set its corners back: ``x``, ``y``, ``width``, ``height``, ``setback`` [mm]."""
    return lambda design: openings.set_opening(design, where.board, opening, catalogue(), **asked)


def opening_removed(where: Where, opening: int) -> DesignChange:
    """Close an opening."""
    return lambda design: openings.remove_opening(design, where.board, opening, catalogue())


def layers_set(where: Where, materials: Mapping[int, str], thicknesses: Mapping[int, float]) -> DesignChange:
    """Change materials and thicknesses [mm] of layers, by number from 0 at the top."""
    return lambda design: board_layers.set_layers(design, where.board, materials, thicknesses, catalogue())


def layer_added(where: Where, material: str, thickness: float) -> DesignChange:
    """Put a layer below the others, ``thickness`` mm thick."""
    return lambda design: board_layers.add_layer(design, where.board, material, thickness, catalogue())


def layer_removed(where: Where, index: int) -> DesignChange:
    """Take a layer away."""
    return lambda design: board_layers.remove_layer(design, where.board, index, catalogue())


def layer_moved(where: Where, index: int, by: int) -> DesignChange:
    """Move a layer up (−1) or down (1)."""
    return lambda design: board_layers.move_layer(design, where.board, index, by, catalogue())


def edges_set(where: Where, slots: Mapping[str, float], rails: Mapping[str, float]) -> DesignChange:
    """Set slot depths and rail widths [mm] by edge."""
    return lambda design: below.set_edges(design, where.board, slots, rails)


def free_depth_set(where: Where, front: float | None, back: float | None) -> DesignChange:
    """Say how much free depth there is below the front and the back edge [mm]; None keeps one."""
    return lambda design: below.set_free_depth(design, where.board, catalogue(), front, back)


def free_depth_cleared(where: Where) -> DesignChange:
    """Say that nothing is below the board."""
    return lambda design: below.clear_free_depth(design, where.board)


def area_added(where: Where, face: str, box: Box, label: str) -> DesignChange:
    """Keep a rectangle clear on one face [mm]."""
    return lambda design: below.add_area(design, where.board, face, box, label)


def area_set(
    where: Where, index: int, lengths: Mapping[str, float], face: str | None, label: str | None
) -> DesignChange:
    """Change an area to keep clear: ``x``, ``y``, ``width``, ``height`` [mm], those named; None keeps the others."""
    return lambda design: below.set_area(design, where.board, index, face=face, label=label, **lengths)


def area_removed(where: Where, index: int) -> DesignChange:
    """Keep an area no longer clear."""
    return lambda design: below.remove_area(design, where.board, index)


def shape_set(where: Where, shape: str, across: float, along: float) -> DesignChange:
    """Give the board a common shape with the offsets asked for [mm]."""
    return lambda design: presets.set_shape(design, where.board, shape, across, along, catalogue())


def dragged(where: Where, handle: str, pull: Pull) -> DesignChange:
    """Drag a handle."""
    return lambda design: drag(design, where.board, handle, pull, catalogue())


def drag_preview(design: Design, where: Where, handle: str, pull: Pull, units: str) -> Dragged:
    """The board as it would be with a handle dragged, shown in ``units``.

    Raises:
        NotFoundError: no such board, arrangement or handle.
        EditError: no board can be so.
    """
    edit = drag(design, where.board, handle, pull, catalogue())
    check_following(edit.design)
    board = resolve(edit.design, where.board, where.arrangement, catalogue())
    seen = judged(board if board.units == units else replace(board, units=units))
    return Dragged(edit, seen, datum_shift(design, edit.design, where.board, handle))


def newest(done: Edit, where: Where, kind: str) -> str:
    """The handle of the ``opening`` or the ``area`` to keep clear that was added last."""
    board = find_board(done.design, where.board)
    return f"opening-{len(board.outline.openings)}" if kind == "opening" else f"clear-{len(board.keep_clear) - 1}"


def corner_after(done: Edit, where: Where, corner: CornerIndex) -> str:
    """The handle of the corner that comes after one of ring and number ``corner``."""
    ring, index = corner
    return f"corner-{ring}-{(index + 1) % len(rings_of(find_board(done.design, where.board))[ring])}"
