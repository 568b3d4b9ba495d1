"""Letters on holes: in order, without I and O, which read as one and zero, and never given twice."""

from __future__ import annotations

from collections.abc import Container, Iterator
from itertools import count
from typing import Final

from app.catalogue.load import Catalogue
from app.document.schema import BoardEntry, Design

ALPHABET: Final = "ABCDEFGHJKLMNPQRSTUVWXYZ"


def letters() -> Iterator[str]:
    """A to Z without I and O, then AA, AB … ZZ, AAA …, without end."""
    return (letter(index) for index in count())


def letter(index: int) -> str:
    """The letter at ``index`` from 0 in the order of :func:`letters`."""
    text = ""
    left = index + 1
    while left:
        left, digit = divmod(left - 1, len(ALPHABET))
        text = ALPHABET[digit] + text
    return text


def taken_letters(board: BoardEntry) -> frozenset[str]:
    """Every label that stands or stood in any arrangement of the board, in capitals.

    All arrangements share the board's letters, so that one letter never means two holes of a board.
    """
    standing = {p.label.upper() for a in board.arrangements for p in a.placements if p.label}
    return frozenset(standing | {label.upper() for a in board.arrangements for label in a.retired})


def next_letter(taken: Container[str]) -> str:
    """The first letter that is not taken."""
    return next(text for text in letters() if text not in taken)


def taken_parts(design: Design, catalogue: Catalogue) -> frozenset[str]:
    """Every id that a placement may name: of built-in and own hardware, and of patterns."""
    return frozenset((*catalogue.parts, *(p.id for p in design.hardware), *(p.id for p in design.patterns)))


def free_id(wanted: str, taken: Container[str]) -> str:
    """``wanted``, or the first of ``wanted-2``, ``wanted-3`` … that is not taken."""
    if wanted not in taken:
        return wanted
    return next(text for text in (f"{wanted}-{n}" for n in count(2)) if text not in taken)
