"""How deep a counterbore has to be for a nut or clip to reach, and what it leaves of the board.

Board thickness ``t``, thread ``L``, nut ``n``, washer ``w``, spare thread ``s``: the grip is
``g = L − n − w − s``. Where ``t > g``, the counterbore is ``c = t − g`` deep, rounded up to a step a depth
stop can be set to; the ledge ``h = t − c`` stays. A film of paint ``p`` on both faces, or on the top face and the
floor of the counterbore, makes what is held thicker by ``2·p``; the ledge is bare board.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import accumulate

from msgspec import Struct

from app.model.material import Layer
from app.model.part import NutFixing, Part, SnapFixing

TINY = 1e-6
"""Lengths closer than this are the same length [mm]; far above rounding, far below any tool."""

SLIGHT = 0.005
"""What is short by no more than this is not short [mm]: half of the last figure that is said, so that no finding is
about what its words cannot tell; a tenth of what a careful workshop measures (common practice, no source)."""


class Ledge(Struct, frozen=True):
    """What a counterbore leaves.

    Args:
        thickness: material above the counterbore [mm], 0 or less if it breaks through.
        floor: the least it may be [mm].
        layer: the remaining layer that asks for most; None if nothing remains.
    """

    thickness: float
    floor: float
    layer: Layer | None

    @property
    def carries(self) -> bool:
        """Whether there is a ledge, and it is not thinner than its material's floor."""
        return self.layer is not None and self.thickness >= self.floor - SLIGHT


def rounded_up(depth: float, step: float) -> float:
    """``depth`` up to the next multiple of ``step`` [mm]; a depth within 0.000001 mm of one stays on it."""
    return max(0.0, math.ceil((depth - TINY) / step)) * step


def outward(length: float, step: float) -> float:
    """A signed length up to the next multiple of ``step``, away from zero [mm]."""
    return round(math.copysign(rounded_up(abs(length), step), length), 9)


def inward(length: float, step: float) -> float:
    """A length down to the next multiple of ``step``, at least 0 [mm]."""
    return round(max(0.0, math.floor((length + TINY) / step)) * step, 9)


def ledge_below(layers: Sequence[Layer], depth: float) -> Ledge:
    """The ledge that a counterbore ``depth`` mm deep from the underside leaves of the layers, top to underside."""
    left = sum(layer.thickness for layer in layers) - depth
    tops = [0.0, *accumulate(layer.thickness for layer in layers)]
    kept = [layer for layer, top in zip(layers, tops, strict=False) if top < left - TINY]
    strictest = max(kept, key=lambda layer: layer.material.limits.ledge_floor, default=None)
    return Ledge(left, strictest.material.limits.ledge_floor if strictest else 0.0, strictest)


def bored_layers(layers: Sequence[Layer], depth: float) -> tuple[Layer, ...]:
    """The layers that a counterbore ``depth`` mm deep from the underside cuts into: at least the lowest."""
    left = sum(layer.thickness for layer in layers) - depth
    bottoms = accumulate(layer.thickness for layer in layers)
    found = tuple(layer for layer, bottom in zip(layers, bottoms, strict=True) if bottom > left + TINY)
    return found or tuple(layers[-1:])


def grip_range(part: Part) -> tuple[float, float] | None:
    """Thinnest and thickest board the part's nut or clips can hold [mm]; None for a part held by screws."""
    if isinstance(part.fixing, NutFixing):
        return (0.0, part.fixing.grip)
    if isinstance(part.fixing, SnapFixing):
        return (part.fixing.grip_min, part.fixing.grip_max)
    return None


def depth_needed(layers: Sequence[Layer], part: Part, step: float, paint: float = 0.0) -> float | None:
    """Depth of the shallowest counterbore with which the part holds and the ledge carries [mm].

    Tried are the depth rounded up to ``step`` and then the depths at which a whole layer is gone. ``paint`` mm on
    each face counts as board.

    Returns:
        0 if none is needed; None if none will do.
    """
    grip = grip_range(part)
    if grip is None:
        return 0.0
    thickness = sum(layer.thickness for layer in layers) + 2 * paint
    least = thickness - grip[1]
    if least <= SLIGHT:
        return 0.0 if thickness >= grip[0] - SLIGHT else None
    whole_layers = accumulate(layer.thickness for layer in reversed(layers))
    for depth in (rounded_up(least, step), *(d for d in whole_layers if d >= least - TINY)):
        if thickness - depth >= grip[0] - SLIGHT and ledge_below(layers, depth).carries:
            return depth
    return None


def holds(layers: Sequence[Layer], part: Part, depth: float, paint: float = 0.0) -> bool:
    """Whether nut or clips hold what a counterbore ``depth`` mm deep leaves, and what it leaves carries."""
    grip = grip_range(part)
    held = held_thickness(sum(layer.thickness for layer in layers), depth, paint)
    return grip is None or (grip[0] - SLIGHT <= held <= grip[1] + SLIGHT and ledge_below(layers, depth).carries)


def steps_about(depth: float, step: float) -> list[float]:
    """The steps next to a depth, the deeper first [mm]."""
    up = rounded_up(depth, step)
    return [up] if up - depth <= TINY or up <= step else [up, up - step]


def bore_width(part: Part, spanner_room: float, clip_room: float) -> float:
    """Narrowest counterbore in which the nut can be turned, or the clips spring out [mm]; 0 if it needs none."""
    if isinstance(part.fixing, NutFixing):
        return part.fixing.nut_width + 2 * spanner_room
    if isinstance(part.fixing, SnapFixing):
        widest = max([cutout.shape.reach for cutout in part.cutouts[:1]] + [part.body.shape.reach])
        return 2 * (widest + clip_room)
    return 0.0


def narrowest_bore(part: Part) -> float:
    """Width below which the nut does not even go in [mm]; 0 for other fixings."""
    return part.fixing.nut_width if isinstance(part.fixing, NutFixing) else 0.0


def held_thickness(thickness: float, cut: float, paint: float = 0.0) -> float:
    """Thickness the fixing has to hold [mm], ``cut`` mm deep from the underside, ``paint`` mm on each face."""
    return thickness - cut + 2 * paint
