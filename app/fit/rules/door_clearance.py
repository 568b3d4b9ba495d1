"""A door goes into its opening with a gap all round, painted, however far off both are sawn."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from app.catalogue.load import Catalogue
from app.fit.changes.advice import Advice, Maker
from app.fit.detail import Detail
from app.fit.features.layout import Layout
from app.fit.finding import FindingOf
from app.fit.judging.doors import doors_of
from app.fit.judging.makings import making_of
from app.fit.limits.cut_depths import SLIGHT, inward, rounded_up
from app.fit.rule import Rule
from app.fit.words.changes import options
from app.fit.words.finding import both, lacking, meets, over
from app.model.fix import Remake
from app.model.maker.door import opening_sides
from app.model.resolved import ResolvedBoard
from app.units import Unit


class GapDetail(Detail, frozen=True, kw_only=True):
    """A door too tight in its opening.

    Args:
        upward: whether it is tight from front to back; else from left to right.
        painted: whether paint takes some of the gap.
    """

    upward: bool
    painted: bool


def find(layout: Layout) -> list[FindingOf[GapDetail]]:
    """At most one finding for each door: a stop where it is too large as drawn, a caution where it may bind."""
    wanted, off, found = layout.default("door-gap"), 2 * layout.allowance.edge, []
    for door in doors_of(layout):
        gaps = [(o - d) / 2 - 2 * door.paint for o, d in zip(door.opening, door.sides, strict=True)]
        drawn = min(gaps)
        detail = GapDetail(cause=door.making.id, upward=gaps[1] < gaps[0], painted=door.paint > 0)
        where = (door.making.x, door.making.y)
        if drawn <= 0:
            found.append(FindingOf(RULE.name, "stop", (), where, drawn, 0.0, wanted.source.text, detail))
        elif drawn - off < wanted.value - SLIGHT:
            numbers = (drawn - off, wanted.value)
            found.append(FindingOf(RULE.name, "caution", (), where, *numbers, wanted.source.text, detail))
    return found


def _message(f: FindingOf[GapDetail], _board: ResolvedBoard, unit: Unit) -> str:
    way = "from front to back" if f.detail.upward else "from left to right"
    who, painted = "The door", " once painted" if f.detail.painted else ""
    if f.severity == "stop":
        short = "fills its opening" if meets(f) else f"is {over(f, unit)} a side too large for its opening"
        return f"{who} {short} {way}{painted}."
    measured, required = both(f, unit)
    if (f.measured or 0.0) < 0 or meets(f):
        return f"{who} can bind in its opening {way}{painted}, sawn at worst; a gap of {required} a side is needed."
    return f"{who} has a gap of {measured} a side {way}{painted}, sawn at worst; {required} is needed."


def _phrase(findings: Sequence[FindingOf[GapDetail]], _board: ResolvedBoard, unit: Unit) -> str:
    return f"gap round the door {lacking(findings, unit)} too narrow"


def _remedy(f: FindingOf[GapDetail], advice: Advice, unit: Unit) -> str:
    smaller = () if advice.ways else ("make the door smaller",)
    return options(f, advice, unit, *smaller, "make its opening larger", "hang it first and plane it until it swings")


def _tries(f: FindingOf[GapDetail], board: ResolvedBoard, catalogue: Catalogue) -> Iterator[Maker]:
    """A wider gap, where one size follows from the other; else a smaller door."""
    making = making_of(board, f)
    if making is None:
        return
    asked, painted = making.asked, 2 * max(board.paint, making.asked.number("paint"))
    bare = catalogue.rule("door-gap") + 2 * board.tooling.drilling.edge + painted
    if asked.text("sized") != "both":
        gap = bare - 2 * asked.number("paint")
        yield lambda _unit, step: [Remake(making.id, (("gap", rounded_up(gap, step)),))]
        return
    most = {
        way: wide - 2 * bare
        for way, wide in zip(("width", "height"), opening_sides(asked), strict=True)
        if asked.number(way) > wide - 2 * bare
    }
    if most:
        yield lambda _unit, step: [Remake(making.id, tuple((way, inward(side, step)) for way, side in most.items()))]


RULE = Rule(
    name="door-clearance",
    meaning="A door has a gap to its opening all round, painted and sawn at worst.",
    severities=("stop", "caution"),
    source="Common practice, no source: 1/16 in a side as drawn; what is left at worst is a default of the catalogue.",
    detail=GapDetail,
    find=find,
    message=_message,
    phrase=_phrase,
    remedy=_remedy,
    tries=_tries,
    harm="the door binds in its opening",
)
