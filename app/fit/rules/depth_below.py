"""What hangs below fits the free depth at its place, with room for the wires to bend."""

from __future__ import annotations

import numpy as np

from app.fit.finding import Finding
from app.fit.judge import judged_alone, shortfalls
from app.fit.layout import Layout
from app.fit.rule import Rule
from app.fit.table import kinds_against
from app.fit.things import BODY, DEPTH, WORDS, Floats


def find(layout: Layout) -> list[Finding]:
    """One finding for each placement: a stop where a piece itself finds no room."""
    plane = layout.board.depth
    which = np.flatnonzero(layout.is_any(*kinds_against(RULE.name, DEPTH)))
    if plane is None or not len(which):
        return []
    room, things = layout.default("wire-room"), layout.things.take(which)
    depths = layout.hangs[which]
    wired = np.array([part.wiring is not None for part in layout.parts[0]])[layout.parts[1]]
    points = things.shapes.points
    heights = plane.at_origin + plane.slope_x * points[..., 0] + plane.slope_y * points[..., 1]
    lowest = heights.argmin(axis=1)
    rows = np.arange(len(things))
    slope = float(np.hypot(plane.slope_x, plane.slope_y))
    # The shallowest place under the body lies on its rim, down the slope; drilling off its place moves it there.
    free: Floats = heights[rows, lowest] - slope * (things.shapes.radii + layout.allowance.position)
    measured = free - depths
    required = np.where(wired[things.owner] & (things.kind == BODY), room.value, 0.0)
    down = (-plane.slope_x / slope, -plane.slope_y / slope) if slope > 0 else (0.0, 0.0)
    found = []
    for short in shortfalls(judged_alone(measured, 0.0, required, things.owner)):
        x, y = points[short.row, lowest[short.row]].tolist()
        radius = float(things.shapes.radii[short.row])
        found.append(
            Finding(
                rule=RULE.name,
                severity=short.severity,
                subjects=(layout.ids[int(things.owner[short.row])],),
                where=(x + down[0] * radius, y + down[1] * radius),
                measured=short.measured,
                required=short.required,
                source=room.source.text,
                detail={
                    "what": WORDS[int(things.kind[short.row])],
                    "depth": float(depths[short.row]),
                    "free": float(free[short.row]),
                    "slope": slope,
                    "toward_x": -down[0],
                    "toward_y": -down[1],
                },
            )
        )
    return found


RULE = Rule(
    "depth-below",
    "Each body, and its wires, fit the free depth below the board; so do nuts, plates and screw heads.",
    ("stop", "caution"),
    "Common practice, no source: room for wires is a default of the catalogue.",
    find,
)
