"""What a part asks of the underside: the counterbore it needs, the height its lever comes to."""

from __future__ import annotations

from collections.abc import Sequence

from msgspec import Struct

from app.catalogue.load import catalogue
from app.fit.features.layout import layout_of
from app.fit.judging.counterbore_check import propose
from app.fit.limits.cut_depths import grip_range, held_thickness, holds, steps_about
from app.fit.words.lengths import steps
from app.model.part import NutFixing, Part
from app.model.recess_envelope import lever_height
from app.model.resolved import Placed, ResolvedBoard
from app.model.tooling import Bit
from app.units import Unit


class BoreAdvice(Struct, frozen=True):
    """The counterbore with which a part holds.

    Args:
        nut: whether a nut holds it; clips if not.
        thinnest, thickest: board that nut or clips hold [mm].
        thickness: of this board with its paint [mm].
        depth: of the shallowest that will do, on a step that is said in full in the unit on screen [mm]; 0 if the part
            holds without one, None if none will do.
        width: least width [mm].
        bit: the shop's smallest flat-bottomed bit that wide; None if it has none.
        ledge: what stays of the board [mm].
    """

    nut: bool
    thinnest: float
    thickest: float
    thickness: float
    depth: float | None
    width: float
    bit: Bit | None
    ledge: float


class LeverAdvice(Struct, frozen=True):
    """How high a stick's lever stands above the top face, and how high it should [mm]."""

    height: float
    low: float
    high: float


def bore_advice(board: ResolvedBoard, placed: Placed) -> BoreAdvice | None:
    """What counterbore a placement needs; None if neither nut nor clips hold its part."""
    grip = grip_range(placed.part)
    if grip is None:
        return None
    found = propose(layout_of(board, catalogue()), placed.part)
    depth = _as_said(board, placed.part, found.depth) if found.depth else found.depth
    return BoreAdvice(
        nut=isinstance(placed.part.fixing, NutFixing),
        thinnest=grip[0],
        thickest=grip[1],
        thickness=held_thickness(board.thickness, 0.0, board.paint),
        depth=depth,
        width=found.width,
        bit=found.bit,
        ledge=board.thickness - (depth or 0.0),
    )


def does_for_all(board: ResolvedBoard, placed: Sequence[Placed], depth: float) -> bool:
    """Whether every placement holds with a counterbore ``depth`` mm deep."""
    return all(holds(board.layers, one.part, depth, board.paint) for one in placed)


def _as_said(board: ResolvedBoard, part: Part, depth: float) -> float | None:
    """The plainest depth near one that will do which will do as well, as it is said in the unit on screen [mm]."""
    near = (deep for step in steps(Unit(board.units)) for deep in steps_about(depth, step))
    return next((deep for deep in near if holds(board.layers, part, deep, board.paint)), None)


def lever_advice(board: ResolvedBoard, placed: Placed) -> LeverAdvice | None:
    """How high the lever of a placement stands; None if it has none, or is not mounted below the board."""
    lever = placed.part.lever
    if lever is None or placed.part.mount != "under":
        return None
    height = lever_height(placed.part, board.thickness, placed.recess.depth if placed.recess else 0.0, board.paint)
    return LeverAdvice(height or 0.0, lever.height_min, lever.height_max)


def router_radius(board: ResolvedBoard) -> float:
    """Smallest inside radius the shop's router bits leave [mm]; 0 if it has none."""
    return min((b.diameter / 2 for b in board.tooling.bits if b.kind == "router"), default=0.0)
