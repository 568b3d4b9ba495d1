"""What can be written of a hole, as blocks of lines, the fullest first."""

from __future__ import annotations

from collections.abc import Iterable
from functools import lru_cache
from typing import Final, Literal

from msgspec import Struct

from app.drafting.template.pattern_marks import CentreMark
from app.scene.metrics import ASCENT, DESCENT, text_width

LETTER: Final = 5.6
"""Size of a hole's letter where there is room [mm]."""

SIZE: Final = 3.8
"""Size of the words under it [mm]: capitals 2.5 mm tall."""

SMALL: Final = 0.82
"""What both are made smaller by where room is scarce: capitals still 2 mm tall."""

Keyed = Literal["", "work", "hole"]


class WordLine(Struct, frozen=True):
    """One line of a block: words, size, whether bold, and its baseline below the top [mm]."""

    text: str
    size: float
    bold: bool
    drop: float


class WordBlock(Struct, frozen=True):
    """Lines of words as one block.

    Args:
        width, height: its size [mm].
        rows: its lines.
        keyed: what of it is in the key: nothing, what is drilled, or all of the hole.
    """

    width: float
    height: float
    rows: tuple[WordLine, ...]
    keyed: Keyed = ""


def full_blocks(mark: CentreMark) -> tuple[WordBlock, ...]:
    """All that is to be said: as it should be, smaller, with a small letter, on one line."""
    return _full(mark.letter, mark.lines)


@lru_cache(maxsize=4096)
def _full(letter: str, lines: tuple[str, ...]) -> tuple[WordBlock, ...]:
    small = SMALL * SIZE
    found = [_block(_lines(letter, LETTER, lines, SIZE)), _block(_lines(letter, SMALL * LETTER, lines, small))]
    if letter:
        found.append(_block(_lines(letter, small, lines, small)))
    if letter or len(lines) > 1:
        found.append(_block([("  ".join((letter, *lines)).strip(), small, False)]))
    return tuple(found)


def keyed_blocks(mark: CentreMark, tag: str) -> list[WordBlock]:
    """The letter, and a number for what is drilled; the size of the hole as well, if more than that is said."""
    small = SMALL * SIZE
    with_tag = [(f"{mark.lines[0]} {tag}",)] if len(mark.lines) > 1 else []
    found: list[WordBlock] = []
    for lines in (*with_tag, (tag,)):
        sizes = (SMALL * LETTER, small) if mark.letter else (small,)
        found += [_block(_lines(mark.letter, size, lines, small), "work") for size in sizes]
    if mark.letter:
        found.append(_block([(f"{mark.letter} {tag}", small, False)], "work"))
    return found


def number_block(tag: str) -> WordBlock:
    """A number alone, for all that is said of a hole."""
    return _block([(tag, SMALL * SIZE, False)], "hole")


_Line = tuple[str, float, bool]


def _lines(letter: str, size: float, lines: Iterable[str], small: float) -> list[_Line]:
    return [(letter, size, True)] * bool(letter) + [(text, small, False) for text in lines]


def _block(lines: Iterable[_Line], keyed: Keyed = "") -> WordBlock:
    rows: list[WordLine] = []
    drop = width = 0.0
    for text, size, bold in lines:
        drop += ASCENT * size + (DESCENT * rows[-1].size if rows else 0.0)
        rows.append(WordLine(text, size, bold, drop))
        width = max(width, text_width(text, size, bold))
    return WordBlock(width, drop + DESCENT * rows[-1].size, tuple(rows), keyed)
