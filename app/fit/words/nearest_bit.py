"""The bit that comes nearest to a cut-out, in words: how wide the cut-out may be, and why that bit will not do."""

from __future__ import annotations

from collections.abc import Callable

from app.fit.detail import BitDetail
from app.fit.words.lengths import off, sizes
from app.model.tooling import kind_words
from app.units import Unit


def width_writer(detail: BitDetail, bit: float | None, unit: Unit) -> Callable[[float], str]:
    """How the sizes of a finding are written, so that its bit [mm] is seen to be none of those it is not."""
    sized = [size for size in (detail.nominal, detail.smallest, detail.largest) if size is not None]
    return sizes(bit or 0.0, sized, unit)


def span(detail: BitDetail, write: Callable[[float], str]) -> str:
    """“25.5 mm to 27 mm”; the one width where there is only one."""
    low, high = (write(size or 0.0) for size in (detail.smallest, detail.largest))
    return low if low == high else f"{low} to {high}"


def nearest_words(detail: BitDetail, bit: float | None, unit: Unit, write: Callable[[float], str]) -> str:
    """Which bit comes nearest, by its diameter [mm], and why it will not do; empty if there is none, or it will."""
    if bit is None:
        return ""
    low, high = (detail.nominal if size is None else size for size in (detail.smallest, detail.largest))
    film, size = detail.paint, f"{write(bit)} {kind_words(detail.kind)} bit"
    if bit - film > high:
        return f"; the nearest, the {size}, is {off(bit - film - high, unit)} too wide"
    if bit - film < low:
        return f"; the nearest, the {size}, is {off(low + film - bit, unit)} too narrow"
    return ""
