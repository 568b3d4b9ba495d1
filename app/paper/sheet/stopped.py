"""What the head of a sheet says of a board that cannot be built as drawn."""

from __future__ import annotations

from app.drafting.forms import box_path
from app.drafting.words import stop_words
from app.paper.sheet.layout import SheetLayout
from app.scene.metrics import CAP_HEIGHT, fitting_size
from app.scene.palette import FRAME_FILLED, TEXT_LIGHT
from app.scene.primitives import Group, Text

_LARGE = 7.0
_INSET = 0.175  # half the pen of a frame: all ink stays inside the band [mm]


def head_items(layout: SheetLayout, stops: int, which: str = "") -> tuple[Group, ...]:
    """The group ``stopped``, in the band that a layout keeps for it; nothing where nothing stops the board.

    No hole and no other words come there: the window of the drawing ends below it.

    Args:
        layout: how the page is divided.
        stops: how many there are.
        which: where several boards are on the page, the words for which have them.
    """
    if not stops:
        return ()
    x0, y0, x1, y1 = layout.head
    words = which or stop_words(stops)
    size = fitting_size(words, x1 - x0 - 6.0, _LARGE, bold=True)
    at = ((x0 + x1) / 2, (y0 + y1 - CAP_HEIGHT * size) / 2)
    box = (x0 + _INSET, y0 + _INSET, x1 - _INSET, y1 - _INSET)
    return (Group((box_path(box, FRAME_FILLED), Text(at, words, size, TEXT_LIGHT, "middle", bold=True)), "stopped"),)
