"""Changes a builder makes that no button does: data, and the board as it is with one made, to see what comes of it.

What the program itself can change is in :mod:`app.model.fix`; both together are a :data:`Change`.
"""

from __future__ import annotations

from collections.abc import Callable
from math import copysign
from typing import Literal

from msgspec import Struct

from app.catalogue.load import Catalogue
from app.fit.changes.changed_board import fitted, with_fix
from app.geometry.shapes import Shape
from app.model.fix import BuyBit, Fix, MoveBy, Remake, Rewire, SeveralFixes
from app.model.part import Cutout, Part, ScrewFixing, SnapFixing
from app.model.resolved import Placed, ResolvedBoard
from app.units import INCH, Unit
from app.values import replace


class LeaveOut(Struct, frozen=True):
    """Cut no counterbore, or no recess, at placements."""

    placements: tuple[str, ...]
    cut: Literal["counterbore", "recess"]


class DeepenBox(Struct, frozen=True):
    """Make the box so much deeper under placements [mm]; it is judged as deeper everywhere, which harms nothing."""

    placements: tuple[str, ...]
    by: float


class ScrewsOf(Struct, frozen=True):
    """Screw placements on with screws of another length under the head [mm]."""

    placements: tuple[str, ...]
    length: float


class PackOut(Struct, frozen=True):
    """Put a ring of that thickness under the clips of placements, below the board [mm]."""

    placements: tuple[str, ...]
    by: float


class CutWider(Struct, frozen=True):
    """Cut the openings of placements that no bit makes so much wider, half of it on each side [mm]."""

    placements: tuple[str, ...]
    by: float


class ThickenBoard(Struct, frozen=True):
    """Make the board so thick in all, each layer thicker alike [mm]."""

    thickness: float


COARSE = {Unit.MM: 1.0, Unit.INCH: INCH / 16}
"""What screws and sheets are sold by, near enough [mm]."""

Amendment = LeaveOut | DeepenBox | ScrewsOf | PackOut | CutWider | ThickenBoard
Change = Fix | Amendment


def amended(board: ResolvedBoard, change: Change, catalogue: Catalogue) -> ResolvedBoard:
    """The board as it would be with the change made; placements of other ids stay as they are."""
    if isinstance(change, Fix):
        return with_fix(board, change, catalogue)
    if isinstance(change, DeepenBox):
        plane = board.free_depth
        return (
            board if plane is None else replace(board, free_depth=replace(plane, at_origin=plane.at_origin + change.by))
        )
    if isinstance(change, ThickenBoard):
        scale = change.thickness / board.thickness
        thicker = replace(
            board, layers=tuple(replace(layer, thickness=layer.thickness * scale) for layer in board.layers)
        )
        return replace(thicker, placements=tuple(fitted(p, p.part, thicker) for p in board.placements))
    if isinstance(change, LeaveOut):
        bare = {change.cut: None}
        return _each(board, change.placements, lambda p: fitted(replace(p, **bare), p.part, board))  # type: ignore[arg-type]
    return _with_parts(board, change)


def changed_ids(change: Change) -> tuple[str, ...] | None:
    """The placements a change is about; None where it is about the whole board or the shop."""
    if isinstance(change, MoveBy):
        return (change.placement,)
    if isinstance(change, BuyBit | Remake | Rewire | SeveralFixes | DeepenBox | ThickenBoard):
        return None
    return change.placements


def _with_parts(board: ResolvedBoard, change: ScrewsOf | PackOut | CutWider) -> ResolvedBoard:
    """The board with other measures of the parts themselves; one object for one part, as in a catalogue."""
    made: dict[int, Part] = {}

    def other(placed: Placed) -> Placed:
        part = made.setdefault(id(placed.part), _measured(placed.part, change))
        return fitted(placed, part, board)

    return _each(board, change.placements, other)


def _measured(part: Part, change: ScrewsOf | PackOut | CutWider) -> Part:
    fixing = part.fixing
    if isinstance(change, ScrewsOf) and isinstance(fixing, ScrewFixing):
        return replace(part, fixing=replace(fixing, screw_length=change.length))
    if isinstance(change, PackOut) and isinstance(fixing, SnapFixing):
        # A ring below the board is as much more for the clips to hold.
        grip = SnapFixing(max(0.0, fixing.grip_min - change.by), max(0.0, fixing.grip_max - change.by))
        return replace(part, fixing=grip)
    if isinstance(change, CutWider):
        return replace(part, cutouts=tuple(c if c.is_circle else _wider(c, change.by) for c in part.cutouts))
    return part


def _wider(cutout: Cutout, by: float) -> Cutout:
    """A slot, or an opening with straight sides, with each side further out; corners stay as round as they are."""
    shape = cutout.shape
    if len(shape.core) <= 2:
        wider = shape.grown(by / 2)
    else:
        cx, cy = shape.centre
        core = tuple((x + copysign(by / 2, x - cx), y + copysign(by / 2, y - cy)) for x, y in shape.core)
        wider = Shape(core, shape.radius)
    return Cutout(wider, cutout.smallest, max(cutout.largest, cutout.width + by))


def _each(board: ResolvedBoard, ids: tuple[str, ...], change: Callable[[Placed], Placed]) -> ResolvedBoard:
    wanted = set(ids)
    return board.populated(tuple(change(p) if p.id in wanted else p for p in board.placements))
