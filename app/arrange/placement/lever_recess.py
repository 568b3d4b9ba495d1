"""The recess that makes the lever of a new deck's stick stand right above a thick board."""

from __future__ import annotations

import math

from app.catalogue.load import Catalogue
from app.errors import EditError
from app.model.material import Layer
from app.model.part import Part, ScrewFixing
from app.model.recess_envelope import lever_height, recess_envelope_of
from app.model.resolved import Recess
from app.model.tooling import Tooling
from app.units import format_exact

_TINY = 1e-6  # mm


def lever_recess(
    part: Part, layers: tuple[Layer, ...], tooling: Tooling, catalogue: Catalogue, *, inch: bool
) -> Recess | None:
    """The recess a part's lever needs in a board of ``layers``; None if it needs none.

    Args:
        part: the hardware.
        layers: top to underside.
        tooling: whose router bit cuts it.
        catalogue: for the defaults.
        inch: whether depths are rounded up to 1/64 in, else to 0.5 mm.

    Raises:
        EditError: the lever stands too high, or no recess leaves enough of the board and of the screws' hold.
    """
    thickness = sum(layer.thickness for layer in layers)
    height = lever_height(part, thickness, 0.0, 0.0)
    if part.lever is None or height is None or _right(part, height):
        return None
    rule = catalogue.rule
    step = rule("counterbore-step-inch" if inch else "counterbore-step-mm")
    depth = math.ceil((part.lever.height_min - height - _TINY) / step) * step
    routers = [b for b in tooling.bits if b.kind == "router" and b.reach >= depth]
    floor = max(layer.material.limits.ledge_floor for layer in layers)
    left = thickness - depth
    fixing = part.fixing
    if isinstance(fixing, ScrewFixing):
        floor = max(floor, rule("screw-pilot-floor") + rule("screw-hold") * fixing.screw_diameter)
    if depth <= 0 or part.mount != "under" or not _right(part, height + depth) or left < floor - _TINY or not routers:
        stands, thick, low, high = (
            format_exact(v) for v in (height, thickness, part.lever.height_min, part.lever.height_max)
        )
        raise EditError(
            f"The lever of {part.name} would stand {stands} mm above a board {thick} mm thick; {low} to "
            f"{high} mm is right, and no recess gets it there. Choose another stick, or another thickness.",
            "stick_part",
        )
    corner = min(b.diameter for b in routers) / 2
    envelope = recess_envelope_of(part, rule("spanner-room"), rule("clip-room"))
    return envelope.pocket(rule("recess-gap"), corner, depth, step)


def _right(part: Part, height: float) -> bool:
    lever = part.lever
    return lever is None or lever.height_min - _TINY <= height <= lever.height_max + _TINY
