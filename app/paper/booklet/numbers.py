"""The number of a page within its booklet, below everything else that stands on the page."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Final

from app.catalogue.load import catalogue
from app.scene.bounds import bounds
from app.scene.palette import TEXT_MUTED
from app.scene.primitives import Group, Item, Scene, Text
from app.values import replace

_SIZE: Final = 2.6  # of the words [mm]
_BELOW: Final = 3.0  # from the lowest ink of a page to their baseline [mm]
_TAIL: Final = 0.6  # how far their letters reach below that [mm]


class PageFeet:
    """Where the lowest ink of pages stands, looked for once in each, however many booklets it is in."""

    def __init__(self) -> None:
        self._known: dict[int, tuple[Scene, float | None]] = {}

    def of(self, page: Scene) -> float | None:
        """The lowest ordinate that anything is drawn at [mm]; None of an empty page."""
        if id(page) not in self._known:  # kept with the page, so that its id stays its own
            self._known[id(page)] = page, _lowest(page.items)
        return self._known[id(page)][1]


def numbered(page: Scene, number: int, many: int, feet: PageFeet) -> Scene:
    """A page with its number, where there is room for it.

    It stands in the margin that a home printer prints in, below the title strip. A sheet whose strip reaches down to
    where printers stop keeps its own row and column only, which say where it belongs.
    """
    low = feet.of(page)
    if low is None:
        return page
    y = low - _BELOW
    if (y - _TAIL) * page.stretch[1] < catalogue().rule("paper-margin-least"):
        return page
    words = Text(((page.x0 + page.x1) / 2, y), f"booklet page {number} of {many}", _SIZE, TEXT_MUTED, "middle")
    return replace(page, items=(*page.items, Group((words,), name="booklet-number")))


def _lowest(items: Iterable[Item], shift: float = 0.0) -> float | None:
    """The lowest ordinate that anything is drawn at [mm]; what is clipped reaches as far as its clip."""
    found, plain = [], list[Item]()
    for item in items:
        if not isinstance(item, Group):
            plain.append(item)
        elif item.clip is not None:
            found.append(item.clip[1] + shift + item.shift[1])
        elif (low := _lowest(item.items, shift + item.shift[1])) is not None:
            found.append(low)
    if box := bounds(plain):
        found.append(box[1] + shift)
    return min(found, default=None)
