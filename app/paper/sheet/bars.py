"""Check bars: drawn from filled rectangles, so that their outer edges are exact whatever a line's width."""

from __future__ import annotations

from typing import Literal

from app.catalogue.load import catalogue
from app.drafting.forms import box_path
from app.paper.sheet.layout import SheetLayout
from app.scene.metrics import ASCENT, CAP_HEIGHT
from app.scene.palette import BAR_DARK, TEXT
from app.scene.primitives import Group, Item, Text

_DEEP = 2.4
_APART = 0.7
_RIM = 0.15
_WORDS = 2.7


def check_bars(layout: SheetLayout) -> tuple[Group, ...]:
    """Both bars along both axes: groups ``bar-x-mm``, ``bar-x-inch``, ``bar-y-mm`` and ``bar-y-inch``.

    Each group holds only its bar, whose bounds are its exact length; the words beside it are in ``bar-words``.
    """
    rule = catalogue().rule
    bars = (("mm", rule("check-bar-mm"), 10, "100 mm"), ("inch", rule("check-bar-inch"), 8, "4 in"))
    found: list[Group] = []
    words: list[Item] = []
    x0, y0, _, y1 = layout.bars
    inset = (y1 - y0 - 2 * _DEEP - _APART) / 2
    for k, (name, length, parts, text) in enumerate(bars):
        y = y1 - inset - _DEEP - k * (_DEEP + _APART)
        found.append(Group(_bar((x0, y), length, parts, "x"), name=f"bar-x-{name}"))
        words.append(Text((x0 + length + 1.6, y + _middle(_DEEP)), text, _WORDS, TEXT, bold=True))
    x0, y0, _, _ = layout.side
    for k, (name, length, parts, text) in enumerate(bars):
        x = x0 + k * (_DEEP + _APART)
        found.append(Group(_bar((x, y0), length, parts, "y"), name=f"bar-y-{name}"))
        at = (x + max(_DEEP / 2 + CAP_HEIGHT * _WORDS / 2, ASCENT * _WORDS), y0 + length + 1.6)
        words.append(Text(at, text, _WORDS, TEXT, angle=90.0, bold=True))
    return (*found, Group(tuple(words), name="bar-words"))


def _middle(height: float) -> float:
    return (height - CAP_HEIGHT * _WORDS) / 2


def _bar(at: tuple[float, float], length: float, parts: int, axis: Literal["x", "y"]) -> tuple[Item, ...]:
    """Dark and light fields by turns in a dark rim; the last field is closed by the rim."""
    step = length / parts
    boxes = [(k * step, 0.0, (k + 1) * step, _DEEP) for k in range(0, parts, 2)]
    boxes += [(0.0, 0.0, length, _RIM), (0.0, _DEEP - _RIM, length, _DEEP), (length - _RIM, 0.0, length, _DEEP)]
    x, y = at
    items: list[Item] = []
    for u0, v0, u1, v1 in boxes:
        box = (x + u0, y + v0, x + u1, y + v1) if axis == "x" else (x + v0, y + u0, x + v1, y + u1)
        items.append(box_path(box, BAR_DARK))
    return tuple(items)
