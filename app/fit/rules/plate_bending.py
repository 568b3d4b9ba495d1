"""A plate between two supports bends little under the display that it carries."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from app.catalogue.load import Catalogue
from app.fit.changes.advice import Advice, Maker
from app.fit.changes.manual_changes import COARSE
from app.fit.detail import Detail
from app.fit.features.layout import Layout
from app.fit.finding import FindingOf
from app.fit.judging.makings import board_sides, made_by, making_of
from app.fit.limits.cut_depths import SLIGHT, inward
from app.fit.rule import Rule
from app.fit.words.changes import options_besides
from app.fit.words.lengths import least, most, say
from app.model.fix import Remake
from app.model.maker.beam import bend, stiffness
from app.model.maker.display import DISPLAY
from app.model.maker.making import Making
from app.model.resolved import ResolvedBoard
from app.units import Unit

_NARROWER = (0.5, 0.25, 0.1)
"""Slots that are tried in a plate that one has cut through, as shares of its width."""

_SOURCE = "Beam between two supports, its load in the middle: W l³ / (48 E I); the plate lies flat, the worst it can."


class BendDetail(Detail, frozen=True, kw_only=True):
    """A plate that bends too far.

    Args:
        grams: what it carries [g].
        span: between its supports [mm].
        deep: how far it bends [mm].
        allowed: how far it may [mm].
    """

    grams: float
    span: float
    deep: float
    allowed: float


def find(layout: Layout) -> list[FindingOf[BendDetail]]:
    """A caution for each display whose plate bends too far; none where its material's stiffness is not known."""
    found = []
    for making in made_by(layout, DISPLAY):
        stiff = _stiffness(layout, making)
        if stiff is None:
            continue
        grams, span = making.asked.number("mass"), making.asked.number("span")
        allowed = span / layout.default("plate-bend").value
        deep = bend(grams, span, stiff) if stiff > 0 else float("inf")
        if deep > allowed + SLIGHT:
            detail = BendDetail(cause=making.id, grams=grams, span=span, deep=deep, allowed=allowed)
            # As much thicker as the cube root of what it bends too far: bending goes by the cube of the thickness.
            thick = layout.board.thickness
            needed = thick * (deep / allowed) ** (1 / 3) if stiff > 0 else None
            there = None if needed is None else thick
            where = (making.x, making.y)
            found.append(FindingOf(RULE.name, "caution", (), where, there, needed, _SOURCE, detail))
    return found


def _stiffness(layout: Layout, making: Making) -> float | None:
    """E I of what is left of the plate beside its slot [N mm²]; 0 where the slot takes all of it."""
    _, wide = board_sides(layout, making)
    slot = making.asked.number("cable-width") if making.asked.flag("cable") else 0.0
    return stiffness(layout.board.layers, max(0.0, wide - slot))


def _message(f: FindingOf[BendDetail], _board: ResolvedBoard, unit: Unit) -> str:
    detail, kilograms = f.detail, f"{f.detail.grams / 1000:,.3g} kg"
    start = f"Under a display of {kilograms} the plate, {say(detail.span, unit)} between its supports,"
    if f.required is None:
        return f"{start} is cut through by its slot."
    bends, allowed = least(detail.deep, unit), most(detail.allowed, unit)
    thick = f"{say(f.measured or 0.0, unit)} thick, and {least(f.required, unit)} is needed"
    return f"{start} bends {bends}, and {allowed} is allowed: it is {thick}."


def _phrase(findings: Sequence[FindingOf[BendDetail]], _board: ResolvedBoard, unit: Unit) -> str:
    if findings[0].required is None:
        return "cut through by its slot"
    return f"plate bends {say(max(f.detail.deep for f in findings), unit)}"


def _remedy(f: FindingOf[BendDetail], advice: Advice, unit: Unit) -> str:
    thicker, nearer = ("", "use a thicker board"), ("span", "bring its supports nearer together")
    return options_besides(f, advice, unit, thicker, nearer, ("", "screw a batten along it"))


def _tries(f: FindingOf[BendDetail], board: ResolvedBoard, _catalogue: Catalogue) -> Iterator[Maker]:
    """A plate that is cut through gets a narrower slot, another supports nearer together.

    What may bend grows with the span and what does bend with its cube, so the span goes by a square root.
    """
    making = making_of(board, f)
    if making is None:
        return
    if f.required is not None:
        span = f.detail.span * math.sqrt(f.detail.allowed / f.detail.deep)
        yield lambda unit, step: [
            Remake(making.id, (("span", inward(span, each)),)) for each in (10 * COARSE[unit], COARSE[unit], step)
        ]
        return
    x0, y0, x1, y1 = board.outline.bounds
    wide = x1 - x0 if round(making.angle) % 180 == 90 else y1 - y0
    yield lambda unit, _step: [
        Remake(making.id, (("cable-width", inward(share * wide, COARSE[unit])),)) for share in _NARROWER
    ]


RULE = Rule(
    name="plate-bending",
    meaning="The plate of a display bends little under its weight, lying flat.",
    severities=("caution",),
    source="Beam formula W l³ / (48 E I), any handbook; span/300 is common practice for shelves, no source.",
    detail=BendDetail,
    find=find,
    message=_message,
    phrase=_phrase,
    remedy=_remedy,
    tries=_tries,
    whole=True,
    harm="the plate bends too far",
)
