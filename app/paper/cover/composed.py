"""A page that is composed at one size, and enlarged or reduced to the paper it is printed on."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Final

from app.drafting.scaling import scaled
from app.paper.sheet.layout import SheetLayout
from app.scene.primitives import Group, Item

COMPOSED: Final = (178.0, 232.0)
"""Width and height of what is composed [mm]."""

_LARGEST: Final = 1.5
_PEN: Final = 0.2  # half the widest line, which is not scaled [mm]


def composed(items: Iterable[Item], layout: SheetLayout) -> Group:
    """The group ``cover``: what was composed, as large as the window of a page takes, at its top."""
    (width, height), (x0, y0, x1, y1) = COMPOSED, layout.window
    k = min((x1 - x0 - 2 * _PEN) / width, (y1 - y0) / height, _LARGEST)
    return Group(scaled(items, k), name="cover", shift=(x0 + (x1 - x0 - k * width) / 2, y1 - k * height))
