"""What is in the middle of a maker's holes stays there when they are made anew: all are counted from it."""

from __future__ import annotations

from typing import Final

from app.arrange.maker.placing import piece_id
from app.arrange.maker.registry import maker_named
from app.catalogue.load import Catalogue
from app.document.pattern_schema import MakerEntry, PatternEntry
from app.document.schema import Design
from app.errors import EditError
from app.model.maker.measure import Asked
from app.model.maker.patterning import MIDDLE, MOST

_SAME: Final = ("holes", "hole")
"""Measures with which the holes are the same ones: their order, and how wide they are."""


def with_middle(design: Design, entry: MakerEntry, known: Asked, asked: Asked, catalogue: Catalogue) -> Asked:
    """The measures with the middle that a maker's holes have, where nobody asked for one and more holes would move it.

    Args:
        design: the design, with the holes as they are.
        entry: the maker.
        known: what it was asked before.
        asked: what it is asked now.
        catalogue: for the hardware it knows.

    Raises:
        EditError: nothing can be made of the measures.
    """
    names = [name for name, _ in asked.values]
    if MIDDLE not in names or asked.text(MIDDLE) != MOST or any(known[name] != asked[name] for name in _SAME):
        return asked
    maker = maker_named(entry.maker)
    had = {pattern.id: pattern.middle for pattern in design.patterns}
    for piece in maker.make(asked, catalogue).pieces:
        old = had.get(piece_id(entry.id, piece.key))
        if isinstance(piece.part, PatternEntry) and old is not None and old != piece.part.middle:
            kept = Asked(tuple((name, old if name == MIDDLE else value) for name, value in asked.values), asked.units)
            try:
                maker.make(kept, catalogue)
            except EditError:  # no hole is left about that middle
                return asked
            return kept
    return asked
