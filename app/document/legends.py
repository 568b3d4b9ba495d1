"""Legends of the design file as the model has them, and what of one cannot be lettered."""

from __future__ import annotations

from functools import lru_cache

from app.document.legend_schema import LegendEntry, LetteringEntry
from app.errors import DocumentError
from app.model.legend import Legend, Lettering


@lru_cache(maxsize=4096)
def legend_of(entry: LegendEntry) -> Legend:
    """The frozen legend of an entry."""
    return Legend(
        text=entry.text,
        sign=entry.sign,
        height=entry.height,
        place=entry.place,
        x=entry.x,
        y=entry.y,
        turn=entry.turn,
        covered=entry.covered,
    )


def lettering_of(entry: LetteringEntry | None) -> Lettering:
    """What legends of a board have in common; the usual where the file says nothing."""
    return Lettering(entry.height, entry.colour, entry.distance) if entry is not None else Lettering()


def check_legend(entry: LegendEntry, place: str) -> None:
    """Refuse a legend that cannot be lettered.

    Raises:
        DocumentError: with the place and what to do.
    """
    from app.catalogue.signs import SIGNS  # few designs have any
    from app.catalogue.typeface import letters_lacking

    if bool(entry.text.strip()) == bool(entry.sign):
        got = "both" if entry.sign else "neither"
        raise DocumentError(f"A legend is a text or a sign, got {got}. Give it one of them.", place)
    if entry.sign and entry.sign not in SIGNS:
        raise DocumentError(f"There is no sign “{entry.sign}”. Use one of: {', '.join(SIGNS)}.", f"{place}.sign")
    if lacking := letters_lacking(entry.text):
        raise DocumentError(lacking_words(lacking), f"{place}.text")


def lacking_words(lacking: tuple[str, ...]) -> str:
    """The sentence for letters that the typeface does not have."""
    said = " ".join(f"“{c}”" if c.isprintable() else f"U+{ord(c):04X}" for c in lacking[:8])
    rest = " and others" if len(lacking) > 8 else ""
    return f"The typeface of legends has Latin, Greek and Cyrillic letters, and not {said}{rest}. Leave those out."
