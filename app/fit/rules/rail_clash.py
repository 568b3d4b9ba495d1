"""A rail has a straight edge and meets nothing below; nothing reaches into an area to keep clear on its face."""

from __future__ import annotations

import numpy as np

from app.fit.allowance import worst_to_area
from app.fit.finding import Finding
from app.fit.judge import Judged, finding_of, shortfalls, ways_apart
from app.fit.layout import Layout
from app.fit.rule import Rule
from app.fit.strip_clash import meetings
from app.fit.table import kinds_against
from app.fit.things import LEVER, NUT, RAIL, TOP_AREA, UNDER_AREA, WORDS, Floats, Ints, Things
from app.geometry.clearance import shape_set
from app.geometry.strips import longest_straight


def find(layout: Layout) -> list[Finding]:
    """One finding for each placement and rail or area, a stop where they can meet; one for each loose rail."""
    found = [*_loose(layout), *_rails(layout)]
    for face, place in (("top", TOP_AREA), ("under", UNDER_AREA)):
        for index, area in enumerate(layout.board.keep_clear):
            if area.face == face:
                found += _area(layout, layout.things.of(*kinds_against(RULE.name, place)), index)
    return found


def _loose(layout: Layout) -> list[Finding]:
    """Rails that have nothing to be glued along, where the rim is nearest to the line that touches it there."""
    x0, y0, x1, y1 = layout.board.outline.bounds
    middles = {"left": (x0, (y0 + y1) / 2), "front": ((x0 + x1) / 2, y0)}
    middles |= {"right": (x1, (y0 + y1) / 2), "back": ((x0 + x1) / 2, y1)}
    return [
        Finding(
            RULE.name,
            "stop",
            (),
            middles[loose.edge],
            longest_straight(layout.board.outline, loose.edge),
            loose.rail,
            "Common practice, no source: a rail is glued along a straight edge, and is longer than it is wide.",
            detail={"cause": "loose", "edge": loose.edge, "rail": loose.rail},
        )
        for loose in layout.board.loose_rails
    ]


def _rails(layout: Layout) -> list[Finding]:
    if not layout.board.rails:
        return []
    which = layout.things.of(*kinds_against(RULE.name, RAIL))
    return [
        finding_of(
            RULE.name,
            (meeting.subject,),
            meeting.short,
            meeting.way,
            _source(layout, meeting.what),
            {
                "what": meeting.what,
                "edge": meeting.strip.edge,
                "rail": meeting.strip.width,
                **meeting.way.detail(),
            },
        )
        for meeting in meetings(layout, layout.board.rails, which, rail_gaps(layout, which))
    ]


def _area(layout: Layout, which: Ints, index: int) -> list[Finding]:
    area, things = layout.board.keep_clear[index], layout.things.take(which)
    alone = Things(shape_set([area.shape]), np.zeros(1, np.intp), np.zeros(1, np.intp))
    required = rail_gaps(layout, which)
    pairs = things.shapes.against(alone.shapes, float(required.max(initial=0.0)) + layout.allowance.position)
    owner, kind = things.owner[pairs.first], things.kind[pairs.first]
    measured = worst_to_area(pairs.distance, layout.allowance)
    stop = np.where(kind == LEVER, -layout.levers[0][owner], 0.0) if LEVER in layout.kinds else np.zeros(len(pairs))
    caution = np.where(kind == LEVER, 0.0, required[pairs.first])
    shorts = shortfalls(Judged(measured, stop, caution, owner, owner))
    if not shorts:
        return []
    ways = ways_apart(things, alone, pairs, [s.row for s in shorts], [False] * len(shorts))
    return [
        finding_of(
            RULE.name,
            (layout.ids[owner[short.row]],),
            short,
            way,
            _source(layout, WORDS[int(kind[short.row])]),
            {
                "what": WORDS[int(kind[short.row])],
                "area": area.label,
                "face": area.face,
                "index": float(index),
                **way.detail(),
            },
        )
        for short, way in zip(shorts, ways, strict=True)
    ]


def rail_gaps(layout: Layout, which: Ints) -> Floats:
    """A nut needs room for the spanner, everything else the gap to a rail, shape (n,) [mm]."""
    turn, gap = layout.default("spanner-room").value, layout.default("rail-gap").value
    gaps: Floats = np.where(layout.things.kind[which] == NUT, max(turn, gap), gap)
    return gaps


def _source(layout: Layout, what: str) -> str:
    return layout.default("spanner-room" if what == "nut" else "rail-gap").source.text


RULE = Rule(
    "rail-clash",
    "Each rail has a straight edge, nothing below meets it, and areas to keep clear stay clear.",
    ("stop", "caution"),
    "Common practice, no source: the gap is a default of the catalogue.",
    find,
)
