"""What is cut from the underside of a board about a part."""

from __future__ import annotations

from msgspec import Struct


class Counterbore(Struct, frozen=True):
    """A flat-bottomed hole from the underside: diameter and depth [mm]."""

    diameter: float
    depth: float


class Recess(Struct, frozen=True):
    """A pocket routed from the underside about a part's origin, turned with it [mm].

    Args:
        width, height: sides along the part's own axes.
        corner: inside radius of its corners, at least that of the router bit.
        depth: from the underside.
    """

    width: float
    height: float
    corner: float
    depth: float
