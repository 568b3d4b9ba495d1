"""Recesses that make a lever stand right, or take what lies in them, from what the shop can rout."""

from __future__ import annotations

from collections.abc import Sequence

from app.fit.features.layout import Layout
from app.fit.limits.cut_depths import SLIGHT, ledge_below, rounded_up
from app.model.material import Layer
from app.model.part import Part
from app.model.recess_envelope import lever_height, recess_envelope_of
from app.model.resolved import Recess


def depth_steps(layout: Layout) -> tuple[float, ...]:
    """Steps of depth stops, of metric ones first [mm]: the same whatever unit is on screen, so that advice is too."""
    return tuple(layout.default(f"counterbore-step-{unit}").value for unit in ("mm", "inch"))


def recess_wanted(layout: Layout, part: Part) -> float | None:
    """As :func:`recess_depth`, on the first step of a depth stop that will do [mm]."""
    board = layout.board
    found = (recess_depth(board.layers, part, step, board.paint) for step in depth_steps(layout))
    return next((depth for depth in found if depth is not None), None)


def recess_depth(layers: Sequence[Layer], part: Part, step: float, paint: float) -> float | None:
    """Depth of the shallowest recess with which the lever stands high enough and the ledge carries [mm].

    Returns:
        0 if none is needed; None if none will do.
    """
    thickness = sum(layer.thickness for layer in layers)
    height = lever_height(part, thickness, 0.0, paint)
    if part.lever is None or height is None:
        return 0.0
    if height >= part.lever.height_min - SLIGHT:
        return 0.0 if height <= part.lever.height_max + SLIGHT else None
    depth = rounded_up(part.lever.height_min - height, step)
    high = height + depth > part.lever.height_max + SLIGHT
    fits = part.mount == "under" and not high and ledge_below(layers, depth).carries
    return depth if fits else None


def propose_recess(layout: Layout, part: Part, depth: float) -> Recess:
    """The smallest recess of that depth for a part, with the shop's narrowest router bit that reaches [mm]."""
    rule = layout.default
    envelope = recess_envelope_of(part, rule("spanner-room").value, rule("clip-room").value)
    return envelope.pocket(rule("recess-gap").value, inside_radius(layout, depth), depth, step_of(layout))


def inside_radius(layout: Layout, depth: float) -> float:
    """Inside radius the shop can rout at that depth: of its narrowest router bit, else of a usual one [mm]."""
    routers = [b for b in layout.board.tooling.bits if b.kind == "router"]
    long_enough = [b for b in routers if b.reach >= depth - SLIGHT] or routers
    return min((b.diameter / 2 for b in long_enough), default=layout.default("router-bit").value / 2)


def step_of(layout: Layout) -> float:
    """The step that sizes are rounded to where any step will do [mm]."""
    return depth_steps(layout)[0]
