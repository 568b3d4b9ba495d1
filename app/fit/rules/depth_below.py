"""What hangs below fits the free depth at its place, with room for the wires to bend."""

from __future__ import annotations

import numpy as np

from app.fit.finding import Finding
from app.fit.judge import judged_alone, shortfalls
from app.fit.layout import BODY, Floats, Layout
from app.fit.rule import Rule


def find(layout: Layout) -> list[Finding]:
    """One finding for each placement: a stop where the body itself finds no room."""
    plane = layout.board.depth
    bodies = layout.below.take(layout.below.kind == BODY)
    if plane is None or not len(bodies):
        return []
    room = layout.default("wire-room")
    parts, part_of = layout.parts
    thickness, paint = layout.board.thickness, layout.board.paint
    depths = np.array([part.depth_below(thickness, paint) for part in parts])[part_of]
    recessed = [i for i, placed in enumerate(layout.placed) if placed.recess]
    depths[recessed] = [layout.placed[i].depth_below(thickness, paint) for i in recessed]
    wired = np.array([part.wiring is not None for part in parts])[part_of]
    points = bodies.shapes.points
    heights = plane.at_origin + plane.slope_x * points[..., 0] + plane.slope_y * points[..., 1]
    lowest = heights.argmin(axis=1)
    rows = np.arange(len(bodies))
    slope = float(np.hypot(plane.slope_x, plane.slope_y))
    # The shallowest place under the body lies on its rim, down the slope; drilling off its place moves it there.
    free: Floats = heights[rows, lowest] - slope * (bodies.shapes.radii + layout.allowance.position)
    measured = free - depths[bodies.owner]
    required = np.where(wired[bodies.owner], room.value, 0.0)
    down = (-plane.slope_x / slope, -plane.slope_y / slope) if slope > 0 else (0.0, 0.0)
    found = []
    for short in shortfalls(judged_alone(measured, 0.0, required, bodies.owner)):
        owner = int(bodies.owner[short.row])
        x, y = points[short.row, lowest[short.row]].tolist()
        radius = float(bodies.shapes.radii[short.row])
        found.append(
            Finding(
                rule=RULE.name,
                severity=short.severity,
                subjects=(layout.ids[owner],),
                where=(x + down[0] * radius, y + down[1] * radius),
                measured=short.measured,
                required=short.required,
                source=room.source.text,
                detail={
                    "depth": float(depths[owner]),
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
    "Each body, and its wires, fit the free depth below the board.",
    ("stop", "caution"),
    "Common practice, no source: room for wires is a default of the catalogue.",
    find,
)
