"""The underside with its bundles, on a page of the list of wires."""

from __future__ import annotations

from typing import Final

from app.drafting.scaling import scaled
from app.drafting.wiring_picture import wiring_picture
from app.paper.lists.block import Block
from app.scene.palette import TEXT_MUTED
from app.scene.primitives import Group, Item, Text
from app.shop.wiring.harness import Harness

_HIGH: Final = 105.0  # of the picture at most [mm]
_USUAL: Final = 640.0  # width of a board whose letters are as large as they are drawn [mm]


def wiring_block(harness: Harness, left: float, width: float) -> Block:
    """The picture in a width [mm], mirrored as the board lies on the bench, and a line that says so."""
    x0, y0, x1, y1 = harness.board.outline.bounds
    k = min((width - 4.0) / (x1 - x0), _HIGH / (y1 - y0))
    deep = k * (y1 - y0)

    def draw(top: float) -> list[Item]:
        ox, oy = left + (width - k * (x1 - x0)) / 2, top - 6.0 - deep
        scale = max(x1 - x0, 2 * (y1 - y0)) / _USUAL
        items = scaled(wiring_picture(harness, scale, None), k)
        said = "UNDERSIDE, mirrored: the left edge is on the right. A bundle is as thick as it is full."
        return [Text((left, top - 3.0), said, 2.8, TEXT_MUTED), Group(items, shift=(ox - k * x0, oy - k * y0))]

    return Block(deep + 11.0, draw)
