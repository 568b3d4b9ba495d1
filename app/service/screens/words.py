"""Counts, lengths and bits in words."""

from __future__ import annotations

from collections.abc import Sequence

from app.drafting import words as drawn
from app.model.material import Layer
from app.model.tooling import Bit, kind_words
from app.units import Unit, format_exact, format_inches

_SAME = 1e-4
"""Lengths this near are shown alike [mm]: far below what a screen or a rule tells apart."""


def counted(number: int, one: str, many: str = "") -> str:
    """``1 stop``, ``3 stops``."""
    return f"{number:,} {one if number == 1 else many or one + 's'}"


def material_words(layers: Sequence[Layer]) -> str:
    """``MDF``, ``Acrylic on plywood``: top to underside."""
    return stacked([layer.material.name for layer in layers])


def stacked(names: Sequence[str]) -> str:
    """The same of the names of the materials."""
    return " on ".join([names[0], *(name if name.isupper() else name.lower() for name in names[1:])])


def listed(words: list[str]) -> str:
    """``A``, ``A and B``, ``A, B and C``."""
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} and {words[-1]}" if words else ""


def length(mm: float, unit: Unit) -> str:
    """A length to read: to 0.1 mm without needless zeros, or to 1/64 in."""
    return drawn.length(mm, unit)


def exact(mm: float, unit: Unit) -> str:
    """The size of a board or a bit: to 0.01 mm without needless zeros, or to 1/64 in."""
    return drawn.exact(mm, unit)


def capital(words: str) -> str:
    """The words as a sentence or a heading begins."""
    return words[:1].upper() + words[1:]


def as_typed(mm: float, unit: Unit) -> str:
    """A length as it stands in a field: a fraction only where it is one, so that typing the next one counts.

    Shown is what is there to 0.001 in or 0.001 mm; a field that still shows it is left as it was.
    """
    if unit is Unit.INCH:
        return minus(format_inches(mm, exactly=True))
    return minus(format_exact(round(mm, 3) + 0.0) + " mm")


def signed(mm: float, unit: Unit) -> str:
    """A difference with its sign: ``+0.5 mm``, ``−0.004"``; ``exact`` where there is none."""
    size = abs(mm)
    text = format_inches(size, exactly=True) if unit is Unit.INCH else f"{format_exact(round(size, 3))} mm"
    if abs(mm) < _SAME:
        return "exact"
    return ("−" if mm < 0 else "+") + text


def minus(text: str) -> str:
    """The text with a minus sign where it began with a hyphen."""
    return f"−{text[1:]}" if text.startswith("-") else text


def bit_words(bit: Bit) -> str:
    """A bit as a shop calls it: ``28 mm Forstner``, ``1 1/8" hole saw``."""
    return f"{bit_size(bit)} {kind_words(bit.kind)}"


def bit_size(bit: Bit) -> str:
    """A bit's size as it is sold."""
    return exact(bit.diameter, Unit.INCH if bit.inch else Unit.MM)
