"""A rail has a straight edge and meets nothing below; nothing reaches into an area to keep clear on its face."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from app.fit.changes.advice import Advice
from app.fit.detail import ThingDetail
from app.fit.features.features import LEVER, NUT, RAIL, TOP_AREA, UNDER_AREA, WORDS, Features, Floats, Ints
from app.fit.features.layout import Layout
from app.fit.finding import FindingOf
from app.fit.judging.judge import Judged, finding_of, shortfalls, ways_apart
from app.fit.judging.strip_clash import meetings
from app.fit.limits.allowance import worst_to_area
from app.fit.limits.pair_table import kinds_against
from app.fit.rule import Rule
from app.fit.words.finding import lacking, meets, near, over
from app.fit.words.lengths import names, say
from app.fit.words.moves import moved
from app.geometry.clearance import shape_set
from app.geometry.strips import longest_straight
from app.model.resolved import ResolvedBoard
from app.units import Unit


class RailDetail(ThingDetail, frozen=True, kw_only=True):
    """What is too near a rail."""

    @property
    def mark(self) -> str:
        """The edge the rail is at."""
        return self.edge


class LooseRail(RailDetail, frozen=True, kw_only=True):
    """A rail that has nothing straight to be glued along."""


class AreaDetail(RailDetail, frozen=True, kw_only=True):
    """What is in an area to keep clear.

    Args:
        area: its label; empty where it has none.
        face: ``top`` or ``under``.
        index: of the area among those of the board, from 0.
    """

    area: str
    face: str
    index: int

    @property
    def mark(self) -> str:
        """The area."""
        return f"area {self.index}"


def find(layout: Layout) -> list[FindingOf[RailDetail]]:
    """One finding for each placement and rail or area, a stop where they can meet; one for each loose rail."""
    found: list[FindingOf[RailDetail]] = [*_loose(layout), *_rails(layout)]
    for face, place in (("top", TOP_AREA), ("under", UNDER_AREA)):
        for index, area in enumerate(layout.board.keep_clear):
            if area.face == face:
                found += _area(layout, layout.features.of(*kinds_against(RULE.name, place)), index)
    return found


def _loose(layout: Layout) -> list[FindingOf[RailDetail]]:
    """Rails that have nothing to be glued along, where the rim is nearest to the line that touches it there."""
    x0, y0, x1, y1 = layout.board.outline.bounds
    middles = {"left": (x0, (y0 + y1) / 2), "front": ((x0 + x1) / 2, y0)}
    middles |= {"right": (x1, (y0 + y1) / 2), "back": ((x0 + x1) / 2, y1)}
    return [
        FindingOf(
            RULE.name,
            "stop",
            (),
            middles[loose.edge],
            longest_straight(layout.board.outline, loose.edge),
            loose.rail,
            "Common practice, no source: a rail is glued along a straight edge, and is longer than it is wide.",
            LooseRail(cause="loose", what="rail", edge=loose.edge),
        )
        for loose in layout.board.loose_rails
    ]


def _rails(layout: Layout) -> list[FindingOf[RailDetail]]:
    if not layout.board.rails:
        return []
    which = layout.features.of(*kinds_against(RULE.name, RAIL))
    return [
        finding_of(
            RULE.name,
            (meeting.subject,),
            meeting.short,
            meeting.way,
            _source(layout, meeting.what),
            RailDetail(what=meeting.what, edge=meeting.strip.edge, toward=meeting.way.toward),
        )
        for meeting in meetings(layout, layout.board.rails, which, rail_gaps(layout, which))
    ]


def _area(layout: Layout, which: Ints, index: int) -> list[FindingOf[RailDetail]]:
    area, features = layout.board.keep_clear[index], layout.features.take(which)
    alone = Features(shape_set([area.shape]), np.zeros(1, np.intp), np.zeros(1, np.intp))
    required = rail_gaps(layout, which)
    pairs = features.shapes.against(alone.shapes, float(required.max(initial=0.0)) + layout.allowance.position)
    owner, kind = features.owner[pairs.first], features.kind[pairs.first]
    measured = worst_to_area(pairs.distance, layout.allowance)
    stop = np.where(kind == LEVER, -layout.levers[0][owner], 0.0) if LEVER in layout.kinds else np.zeros(len(pairs))
    caution = np.where(kind == LEVER, 0.0, required[pairs.first])
    shorts = shortfalls(Judged(measured, stop, caution, owner, owner))
    if not shorts:
        return []
    ways = ways_apart(features, alone, pairs, [s.row for s in shorts], [False] * len(shorts))
    return [
        finding_of(
            RULE.name,
            (layout.ids[owner[short.row]],),
            short,
            way,
            _source(layout, WORDS[int(kind[short.row])]),
            AreaDetail(
                what=WORDS[int(kind[short.row])], area=area.label, face=area.face, index=index, toward=way.toward
            ),
        )
        for short, way in zip(shorts, ways, strict=True)
    ]


def rail_gaps(layout: Layout, which: Ints) -> Floats:
    """A nut needs room for the spanner, everything else the gap to a rail, shape (n,) [mm]."""
    turn, gap = layout.default("spanner-room").value, layout.default("rail-gap").value
    gaps: Floats = np.where(layout.features.kind[which] == NUT, max(turn, gap), gap)
    return gaps


def _source(layout: Layout, what: str) -> str:
    return layout.default("spanner-room" if what == "nut" else "rail-gap").source.text


def _message(f: FindingOf[RailDetail], board: ResolvedBoard, unit: Unit) -> str:
    detail = f.detail
    if isinstance(detail, LooseRail):
        straight = f"only {say(f.measured, unit)} straight" if f.measured else "nothing straight"
        rail = f"the {say(f.required or 0.0, unit)} rail"
        return f"The {detail.edge} edge has {straight}: too little to glue {rail} to."
    start, place = f"The {detail.what} of {names(board, f.subjects)}", f"the rail at the {detail.edge} edge"
    if isinstance(detail, AreaDetail):
        label = f"“{detail.area}”" if detail.area else "the area"
        place = f"{label} kept clear on the {'top face' if detail.face == 'top' else 'underside'}"
    if f.severity == "stop":
        return f"{start} runs {over(f, unit)} into {place} at worst."
    if detail.what == "lever":  # it may come as near as it likes, and stops only where it is over the area at rest
        return f"{start}, leant over, {'can reach' if meets(f) else f'reaches {over(f, unit)} into'} {place} at worst."
    return near(f, start, place, unit, f"is needed{' to turn it' if detail.what == 'nut' else ''}")


def _phrase(findings: Sequence[FindingOf[RailDetail]], _board: ResolvedBoard, unit: Unit) -> str:
    detail = findings[0].detail
    if isinstance(detail, LooseRail):
        return f"nothing straight for the rail at the {detail.edge} edge"
    if isinstance(detail, AreaDetail):
        return f"{lacking(findings, unit)} too near {f'“{detail.area}”' if detail.area else 'an area to keep clear'}"
    return f"{lacking(findings, unit)} too near the rail at the {detail.edge} edge"


def _remedy(f: FindingOf[RailDetail], advice: Advice, unit: Unit) -> str:
    if isinstance(f.detail, LooseRail):
        return (
            "Take that rail off, or reduce the set-backs of the corners beside it to leave some of the edge straight."
        )
    if isinstance(f.detail, AreaDetail):
        return moved(f, advice, unit, "further away", "move the area to keep clear")
    return moved(f, advice, unit, "further inward", "stop the rail short of it")


RULE = Rule(
    name="rail-clash",
    meaning="Each rail has a straight edge, nothing below meets it, and areas to keep clear stay clear.",
    severities=("stop", "caution"),
    source="Common practice, no source: the gap is a default of the catalogue.",
    detail=RailDetail,
    find=find,
    message=_message,
    phrase=_phrase,
    remedy=_remedy,
    moved=True,
)
