"""Cut-outs as the shop makes them: the bit for each round hole, from how wide and how deep it has to be."""

from __future__ import annotations

from app.model.part import Cutout
from app.model.resolved import Counterbore, Hole, Recess
from app.model.tooling import Bit, Tooling

Made = dict[tuple[float, float, float, float], Bit | None]
"""The bit found for round cut-outs, by radius, smallest and largest width and depth [mm]; for one shop and paint."""


def hole_made(
    cutout: Cutout,
    place: tuple[float, float, float],
    tooling: Tooling,
    depth: float = 0.0,
    paint: float = 0.0,
    made: Made | None = None,
) -> Hole:
    """A cut-out at its place, a round one as wide as the shop's bit for it.

    Args:
        cutout: what the part asks for.
        place: x, y [mm] and angle [degrees] of the part's origin.
        tooling: whose bits there are.
        depth: how deep the bit has to drill [mm]; 0 if that does not matter.
        paint: thickness on its wall, which makes it narrower [mm].
        made: bits found before, which are not looked for again.
    """
    if not cutout.is_circle:
        return Hole(cutout, cutout.shape.placed(*place), None)
    known: Made = {} if made is None else made
    key = (cutout.shape.radius, cutout.smallest, cutout.largest, depth)
    if key not in known:
        known[key] = tooling.bit_for(cutout.width, cutout.smallest, cutout.largest, depth=depth, paint=paint)
    bit = known[key]
    shape = cutout.shape.placed(*place, radius=bit.makes / 2 if bit else None)
    return Hole(cutout, shape, bit)


def drilled_depth(cutout: Cutout, thickness: float, bore: Counterbore | None, recess: Recess | None) -> float:
    """How deep a part's cut-out is drilled in a board ``thickness`` mm thick, after what is cut from below [mm]."""
    x, y = cutout.shape.centre
    cut = 0.0
    if bore and x * x + y * y <= (bore.diameter / 2) ** 2:
        cut = bore.depth
    if recess and abs(x) <= recess.width / 2 and abs(y) <= recess.height / 2:
        cut = max(cut, recess.depth)
    return max(0.0, thickness - cut)


def routed(shop: Tooling, diameter: float) -> bool:
    """Whether a machine cuts a round hole of that diameter [mm] with a router bit narrower than it."""
    return shop.drilling.id == "cnc" and any(b.kind == "router" and b.diameter <= diameter for b in shop.bits)


def nearest_drill(shop: Tooling, width: float) -> Bit | None:
    """The bit that drills nearest to a width [mm], the wider of two as near; None where the shop has none."""
    drills = [b for b in shop.bits if b.kind != "router"]
    return min(drills, key=lambda b: (round(abs(b.makes - width), 6), -b.makes), default=None)
