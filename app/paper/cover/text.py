"""Running text on a cover sheet: lines broken to a width, one below the other."""

from __future__ import annotations

from collections.abc import Sequence

from msgspec import Struct

from app.scene.metrics import ASCENT, DESCENT, shortened, text_units
from app.scene.palette import TEXT
from app.scene.primitives import Item, Style, Text

_HOLD = "\ufffc"
PITCH = 1.32
"""From baseline to baseline, in ems."""


class Paragraph(Struct, frozen=True):
    """Words that begin a new line.

    Args:
        text: the words.
        lead: what stands in the margin before the first line, as a number; empty for none.
        bold: heavier letters.
        style: colour.
        gap: free space above, in ems.
    """

    text: str
    lead: str = ""
    bold: bool = False
    style: Style = TEXT
    gap: float = 0.25


def wrapped(text: str, width: float, size: float, bold: bool = False) -> list[str]:
    """``text`` in lines no wider than ``width`` mm; a word that is wider by itself is shortened.

    A no-break space holds a number and its unit together, and is written as a space.
    """
    lines: list[list[str]] = []
    wide, space = 0, text_units(" ", bold)
    for word in text.replace("\u00a0", _HOLD).split():
        word = word.replace(_HOLD, " ")
        longer = wide + space + text_units(word, bold)
        if lines and longer * size / 1000.0 <= width:
            lines[-1].append(word)
            wide = longer
        else:
            lines.append([shortened(word, width, size, bold)])
            wide = text_units(lines[-1][0], bold)
    return [" ".join(line) for line in lines]


def height(paragraphs: Sequence[Paragraph], width: float, size: float, indent: float = 0.0) -> float:
    """Height of paragraphs set in ``width`` mm [mm]."""
    count = sum(len(wrapped(p.text, width - indent, size, p.bold)) for p in paragraphs)
    return size * (PITCH * count + sum(p.gap for p in paragraphs[1:]) + (ASCENT + DESCENT - PITCH) * bool(count))


def fitting(
    paragraphs: Sequence[Paragraph], width: float, room: float, sizes: Sequence[float], indent: float = 0.0
) -> float:
    """The first of ``sizes`` at which paragraphs are no higher than ``room`` mm; the last if none is [mm]."""
    return next((s for s in sizes if height(paragraphs, width, s, indent) <= room), sizes[-1])


def set_text(
    paragraphs: Sequence[Paragraph], left: float, top: float, width: float, size: float, indent: float = 0.0
) -> tuple[list[Item], float]:
    """Paragraphs below ``top``, and the lowest ordinate they reach [mm]."""
    items: list[Item] = []
    y = top - ASCENT * size
    for number, paragraph in enumerate(paragraphs):
        if number:
            y -= paragraph.gap * size
        for k, line in enumerate(wrapped(paragraph.text, width - indent, size, paragraph.bold)):
            if k == 0 and paragraph.lead:
                items.append(Text((left, y), paragraph.lead, size, paragraph.style, bold=True))
            items.append(Text((left + indent, y), line, size, paragraph.style, bold=paragraph.bold))
            y -= PITCH * size
    return items, y + (PITCH - DESCENT) * size
