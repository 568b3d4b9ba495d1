"""The bit for a hole, counterbore or recess, in words."""

from __future__ import annotations

from msgspec import Struct

from app.model.part import NutFixing
from app.service.checks.bits import BitUse
from app.service.screens.words import as_typed, bit_words, counted, listed, signed
from app.units import Unit, format_named

_MOST_NAMED = 8
_SAME = 1e-6  # mm


class BitUseRow(Struct, frozen=True):
    """One size of hole, counterbore or recess with its bit.

    Args:
        what: the hole in words, as ``6 holes``.
        letters: of the placements, in words.
        part: the hardware.
        asked: the width asked for.
        range: the narrowest and widest that will do.
        bit: the bit, in words.
        difference: bit less asked, with its sign; empty where there is no bit.
        state: ``good``, ``bad``, or ``none`` where no bit is asked for.
        enters: whether the body or nut goes in, in words; empty where there is nothing to say.
        covered: whether the flange covers, or what becomes of the corners of a recess, in words; likewise.
        reaches: whether it goes deep enough, in words; likewise.
        buy: the bit to buy, in words; empty if none.
        buy_kind, buy_size, buy_reach: the same for the form; lengths in mm.
    """

    what: str
    letters: str
    part: str
    asked: str
    range: str
    bit: str
    difference: str
    state: str
    enters: str
    covered: str
    reaches: str
    buy: str
    buy_kind: str
    buy_size: str
    buy_reach: str


def bit_row(use: BitUse, unit: Unit) -> BitUseRow:
    """The row of one size."""
    letters = [p.label or p.part.name for p in use.placements]
    more = [f"{len(letters) - _MOST_NAMED} more"] if len(letters) > _MOST_NAMED else []
    buy = use.buy
    return BitUseRow(
        what=f"{use.count} recesses" if use.sort == "recess" and use.count > 1 else counted(use.count, use.sort),
        letters=listed([*letters[:_MOST_NAMED], *more]),
        part=use.part.name,
        asked=_asked(use, unit),
        range=_range(use, unit),
        bit=_bit(use),
        difference="" if use.difference is None or use.routed else signed(use.difference, unit),
        state=_state(use),
        enters=_enters(use, unit),
        covered=_covered(use, unit),
        reaches=_reaches(use, unit),
        buy=f"{bit_words(buy)}, reach {as_typed(buy.reach, unit)}" if buy else "",
        buy_kind=buy.kind if buy else "",
        buy_size=f"{buy.diameter!r} mm" if buy else "",
        buy_reach=f"{buy.reach!r} mm" if buy else "",
    )


def _asked(use: BitUse, unit: Unit) -> str:
    if use.sort == "recess":
        return f"inside corners of {as_typed(use.nominal / 2, unit)}"
    return format_named(use.nominal, unit)


def _range(use: BitUse, unit: Unit) -> str:
    if use.sort == "recess":
        return f"a router bit up to {as_typed(use.nominal, unit)} leaves them" if use.nominal else "no bit leaves them"
    if use.largest is None:
        return ""
    return f"{as_typed(use.smallest, unit)} to {as_typed(use.largest, unit)} will do"


def _bit(use: BitUse) -> str:
    if use.sort == "opening":
        return "No bit: cut it with a saw or router"
    if use.bit:
        return bit_words(use.bit)
    if use.sort == "recess" and not use.nominal:
        return "None: chisel its corners square"
    if use.routed:
        return "A narrower router bit, on the machine"
    nearest = f"; the nearest is the {bit_words(use.nearest)}" if use.nearest else ""
    return f"None will do{nearest}"


def _state(use: BitUse) -> str:
    if use.sort == "opening" or use.routed:
        return "none"
    if use.sort == "recess":
        return "good" if use.bit is not None and use.reaches else "bad"
    good = use.bit is not None and use.enters and use.covered is not False and (use.reaches or use.both_sides)
    return "good" if good else "bad"


def _enters(use: BitUse, unit: Unit) -> str:
    if use.room is None or use.routed:
        return ""
    who = "nut" if use.sort == "counterbore" and isinstance(use.part.fixing, NutFixing) else "body"
    painted = " after painting" if use.paint else ""
    if use.enters:
        return f"The {who} fits{painted}, with {as_typed(use.room, unit)} to spare"
    return f"The {who} does not fit{painted}: the hole is {as_typed(-use.room, unit)} too small"


def _covered(use: BitUse, unit: Unit) -> str:
    if use.corner is not None and use.nominal:
        if use.corner > _SAME:
            return f"It cuts the corners {as_typed(use.corner, unit)} rounder than drawn"
        return "It cuts the corners as drawn"
    if use.cover is None or use.routed:
        return ""
    flange = "flange covers" if use.part.flange else "part takes"
    if use.covered:
        return f"The {flange} it, with {as_typed(use.cover, unit)} to spare"
    return f"Too wide for the {'flange' if use.part.flange else 'part'} by {as_typed(-use.cover, unit)}"


def _reaches(use: BitUse, unit: Unit) -> str:
    if use.shown is None or use.routed or use.sort == "opening":
        return ""
    reach, deep = as_typed(use.shown.reach, unit), as_typed(use.depth, unit)
    if use.reaches:
        return f"It reaches {reach}; {deep} is needed"
    how = "drill from both faces" if use.both_sides else "a longer one is needed"
    return f"It reaches only {reach} of {deep}: {how}"
