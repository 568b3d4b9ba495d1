"""How wide and how tall words are, so that a drawing can place labels that do not run into each other."""

from __future__ import annotations

from functools import lru_cache
from math import cos, radians, sin
from typing import Final

from app.scene.font_widths import BOLD, REGULAR
from app.scene.primitives import Text

CAP_HEIGHT: Final = 0.66
"""Height of a capital letter, in ems: ``OS/2.sCapHeight`` of the embedded font."""

DESCENT: Final = 0.23
"""How far letters such as g and y reach below the baseline, in ems: outlines of the embedded font."""

ASCENT: Final = 0.78
"""How far letters such as l and ř reach above the baseline, in ems: outlines of the embedded font."""


@lru_cache(maxsize=2)
def _table(bold: bool) -> dict[str, int]:
    """Width of each known character in thousandths of an em."""
    table = {}
    for first, row in (BOLD if bold else REGULAR).items():
        for offset, width in enumerate(row.split()):
            table[chr(first + offset)] = int(width)
    return table


@lru_cache(maxsize=16384)
def text_units(text: str, bold: bool = False) -> int:
    """Advance width of a line of text in thousandths of its em square: a whole number, so that parts add up exactly."""
    table = _table(bold)
    try:
        return sum(map(table.__getitem__, text))
    except KeyError:
        wide = table["M"]
        return sum(table.get(character, wide) for character in text)


def text_width(text: str, size: float, bold: bool = False) -> float:
    """Advance width of a line of text [mm].

    Args:
        text: the words.
        size: height of the em square [mm].
        bold: heavier letters.

    Exact for the letters of the embedded font (Latin, Greek, Cyrillic, common signs); any other character
    counts as wide as a capital M, which is never less than what stands for it on paper.
    """
    return text_units(text, bold) * size / 1000.0


def knows(text: str) -> bool:
    """Whether every character of ``text`` is one whose width is known exactly."""
    return _table(False).keys() >= set(text)


def fitting_size(text: str, width: float, size: float, bold: bool = False) -> float:
    """The largest font size up to ``size`` [mm] at which ``text`` is no wider than ``width`` [mm]."""
    natural = text_width(text, size, bold)
    return size if natural <= width else size * max(width, 0.0) / natural


def shortened(text: str, width: float, size: float, bold: bool = False) -> str:
    """``text``, or its beginning and an ellipsis, no wider than ``width`` [mm]; empty if neither fits."""
    if text_width(text, size, bold) <= width:
        return text
    for end in range(len(text) - 1, -1, -1):
        short = text[:end].rstrip() + "…"
        if text_width(short, size, bold) <= width:
            return short
    return ""


def text_box(item: Text) -> tuple[tuple[float, float], ...]:
    """The four corners of the letters of ``item`` [mm], anticlockwise from the lower left of the line."""
    width = text_width(item.text, item.size, item.bold)
    left = {"start": 0.0, "middle": -width / 2.0, "end": -width}[item.anchor]
    right, low, high = left + width, -DESCENT * item.size, ASCENT * item.size
    x, y = item.at
    if not item.angle:
        return ((x + left, y + low), (x + right, y + low), (x + right, y + high), (x + left, y + high))
    cosine, sine = cos(radians(item.angle)), sin(radians(item.angle))
    corners = ((left, low), (right, low), (right, high), (left, high))
    return tuple((x + u * cosine - v * sine, y + u * sine + v * cosine) for u, v in corners)
