"""The foot of a page that is no sheet, in the place of a title strip: what is said of the page, beside the cautions."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Final

from app.drafting.forms import box_path
from app.paper.sheet.layout import Box
from app.scene.metrics import fitting_size
from app.scene.palette import FRAME, TEXT
from app.scene.primitives import Item, Line, Style, Text

DEFERRING: Final = "Where local rules or a licensed trade say otherwise, follow them."
"""Stands beside the usual cautions on a page that is read before work begins."""

_PITCH: Final = 1.3  # from line to line, in heights of letters
_HALF_PEN: Final = 0.175  # all ink of a frame stays inside its box [mm]


def page_foot(strip: Box, wide: float, own: Iterable[Item], said: Sequence[str], rule: Style) -> tuple[Item, ...]:
    """A frame with a cell of the page's own, ``wide`` mm, and one of sentences, a line each.

    Args:
        strip: where it lies on the page [mm].
        wide: how wide the first cell is [mm].
        own: what stands in that.
        said: what stands in the other.
        rule: of the line between the two.
    """
    x0, y0, x1, y1 = strip
    cut, pen = x0 + wide, _HALF_PEN
    pitch = min(4.4, (y1 - y0 - 2.2) / max(len(said), 1))  # so that however many there are stay within the frame
    high = min(3.0, pitch / _PITCH)
    sentences = (
        Text((cut + 2.0, y1 - pitch + 0.2 - pitch * n), text, fitting_size(text, x1 - cut - 4.0, high), TEXT)
        for n, text in enumerate(said)
    )
    return (
        box_path((x0 + pen, y0 + pen, x1 - pen, y1 - pen), FRAME),
        Line((cut, y0 + pen), (cut, y1 - pen), rule),
        *own,
        *sentences,
    )
