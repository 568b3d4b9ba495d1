"""No finger reaches the blades of a fan: its holes are small enough for the board's thickness, or a guard is on."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

from app.catalogue.load import Catalogue
from app.fit.changes.advice import Advice, Maker
from app.fit.detail import Detail
from app.fit.features.layout import Layout
from app.fit.finding import FindingOf
from app.fit.judging.makings import MadeHoles, made_holes, making_of
from app.fit.limits.cut_depths import SLIGHT, inward
from app.fit.rule import Rule
from app.fit.words.changes import options_besides
from app.fit.words.finding import both
from app.fit.words.lengths import names, say
from app.model.fix import Remake
from app.model.maker.fan import FAN
from app.model.maker.patterning import OPENING
from app.model.resolved import ResolvedBoard
from app.units import Unit

_ROUND: Final = ("4", "6", "8", "10", "12", "40")
_SLOT: Final = ("4", "6", "8", "10", "12")
"""Openings up to which the standard has a row, for round holes and for slots [mm]."""


class GuardDetail(Detail, frozen=True, kw_only=True):
    """Openings that a finger passes.

    Args:
        width: of the widest opening [mm].
        guarded: whether there are holes in an order; else it is one opening without a guard.
    """

    width: float
    guarded: bool


def reach_through(width: float, catalogue: Catalogue, *, slot: bool) -> float:
    """How far behind an opening a child's finger or hand reaches [mm].

    Args:
        width: diameter of a round hole, or width of a slot [mm].
        catalogue: has the rows of the standard.
        slot: whether it is a slot.
    """
    kind, rows = ("slot", _SLOT) if slot else ("round", _ROUND)
    row = next((each for each in rows if width <= float(each) + SLIGHT), "beyond")
    return catalogue.rule(f"finger-{kind}-{row}")


def find(layout: Layout) -> list[FindingOf[GuardDetail]]:
    """A caution for each fan whose blades, as near as the board is thick, a finger reaches."""
    found = []
    for made in made_holes(layout, FAN):
        width, slot = _widest(made)
        if made.behind is None or not width:
            continue
        needed, there = reach_through(width, layout.catalogue, slot=slot), layout.board.thickness
        if there < needed - SLIGHT:
            detail = GuardDetail(width=width, guarded=bool(len(made.areas)))
            source = layout.default("finger-round-6").source.text
            found.append(FindingOf(RULE.name, "caution", made.subjects, made.where, there, needed, source, detail))
    return found


def _widest(made: MadeHoles) -> tuple[float, bool]:
    """The widest opening before the blades [mm], and whether it is a slot; 0 where a wire guard is over it."""
    if len(made.widths):
        worst = int(made.widths.argmax())
        return float(made.widths[worst]), made.making.asked.text("holes") == "slots"
    asked, behind = made.making.asked, made.behind
    if behind is None or (asked.text("holes") == OPENING and asked.flag("guard")):
        return 0.0, False
    return max((hole.diameter for hole in behind.holes), default=0.0), False


def _message(f: FindingOf[GuardDetail], board: ResolvedBoard, unit: Unit) -> str:
    there, needed = both(f, unit)
    wide, fan = say(f.detail.width, unit), names(board, f.subjects[-1:])
    if not f.detail.guarded:
        return f"The opening of {fan}, {wide} wide, lets a hand {needed} deep, and its blades begin {there} behind it."
    who, blades = names(board, f.subjects[:-1]), f"the blades of {fan} begin {there} behind it"
    return f"A hole of {who}, {wide} wide, lets a finger {needed} deep, and {blades}."


def _phrase(findings: Sequence[FindingOf[GuardDetail]], _board: ResolvedBoard, unit: Unit) -> str:
    return f"open to a finger, {say(max(f.detail.width for f in findings), unit)} wide"


def _remedy(f: FindingOf[GuardDetail], advice: Advice, unit: Unit) -> str:
    if f.detail.guarded:
        return options_besides(
            f,
            advice,
            unit,
            ("hole", "make the holes smaller"),
            ("holes", "choose one opening with a wire guard over it"),
        )
    general = ("guard", "put a wire guard over it"), ("", "drill small holes instead of the opening")
    return options_besides(f, advice, unit, *general)


def _tries(f: FindingOf[GuardDetail], board: ResolvedBoard, catalogue: Catalogue) -> Iterator[Maker]:
    """The largest holes of the standard that no finger passes this deep; else a wire guard."""
    making = making_of(board, f)
    if making is None:
        return
    if not f.detail.guarded:
        yield lambda _unit, _step: [Remake(making.id, (("guard", True),))]
        return
    slot, hole = making.asked.text("holes") == "slots", making.asked.number("hole")
    rows = [float(each) for each in (_SLOT if slot else _ROUND) if float(each) < hole]
    will_do = [each for each in rows if reach_through(each, catalogue, slot=slot) <= board.thickness + SLIGHT]
    yield lambda _unit, step: [Remake(making.id, (("hole", inward(each, step)),)) for each in reversed(will_do)]
    yield lambda _unit, _step: [Remake(making.id, (("holes", OPENING), ("guard", True)))]


RULE = Rule(
    name="finger-guard",
    meaning="No finger reaches the blades of a fan.",
    severities=("caution",),
    source="ISO 13857, table 5 (from 3 years on, from memory): the blades are taken to begin where the board ends.",
    detail=GuardDetail,
    find=find,
    message=_message,
    phrase=_phrase,
    remedy=_remedy,
    tries=_tries,
    thickened=True,
    harm="a finger reaches the fan",
)
