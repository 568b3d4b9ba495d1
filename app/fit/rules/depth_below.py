"""What hangs below fits the free depth at its place, with room for the wires to bend."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from app.catalogue.load import Catalogue
from app.fit.changes.advice import Advice, Maker
from app.fit.changes.exchanges import swaps
from app.fit.changes.manual_changes import DeepenBox
from app.fit.detail import ThingDetail
from app.fit.features.features import BODY, DEPTH, WORDS, Features, Floats, Ints
from app.fit.features.layout import Layout
from app.fit.finding import FindingOf
from app.fit.judging.judge import judged_alone, shortfalls
from app.fit.limits.cut_depths import rounded_up
from app.fit.limits.pair_table import kinds_against
from app.fit.rule import Rule
from app.fit.words.changes import options
from app.fit.words.finding import both, meets, over, phrased
from app.fit.words.lengths import apart, names, nothing
from app.model.board import DepthPlane
from app.model.fix import SwapPart
from app.model.resolved import ResolvedBoard
from app.units import Unit


class DepthDetail(ThingDetail, frozen=True, kw_only=True):
    """What hangs lower than is free.

    Args:
        depth: how far it hangs below the board [mm].
        free: how much is free there [mm].
        slope: by how much more is free 1 mm further along ``toward`` [mm].
    """

    depth: float
    free: float
    slope: float

    @property
    def gain(self) -> float:
        """The slope."""
        return self.slope


def find(layout: Layout) -> list[FindingOf[DepthDetail]]:
    """One finding for each placement: a stop where a piece itself finds no room."""
    plane = layout.board.free_depth
    which = hanging(layout)
    if plane is None or not len(which):
        return []
    room, features = layout.default("wire-room"), layout.features.take(which)
    depths = layout.hangs[which]
    if _shallowest(layout, plane, features) >= depths.max() + room.value:
        return []
    points, slope = features.shapes.points, float(np.hypot(plane.slope_x, plane.slope_y))
    free, lowest = free_depths(layout, plane, features)
    measured, required = free - depths, wires_needed(layout, features)
    down = (-plane.slope_x / slope, -plane.slope_y / slope) if slope > 0 else (0.0, 0.0)
    found = []
    for short in shortfalls(judged_alone(measured, 0.0, required, features.owner)):
        x, y = points[short.row, lowest[short.row]].tolist()
        radius = float(features.shapes.radii[short.row])
        found.append(
            FindingOf(
                rule=RULE.name,
                severity=short.severity,
                subjects=(layout.ids[int(features.owner[short.row])],),
                where=(x + down[0] * radius, y + down[1] * radius),
                measured=short.measured,
                required=short.required,
                source=room.source.text,
                detail=DepthDetail(
                    what=WORDS[int(features.kind[short.row])],
                    depth=float(depths[short.row]),
                    free=float(free[short.row]),
                    slope=slope,
                    toward=(-down[0], -down[1]),
                ),
            )
        )
    return found


def hanging(layout: Layout) -> Ints:
    """Indices of what hangs below: bodies for their wires, and what is not sunk wholly into a recess of its own."""
    below = layout.is_any(*kinds_against(RULE.name, DEPTH)) & ((layout.features.kind == BODY) | (layout.hangs > 0))
    return np.flatnonzero(below)


def _shallowest(layout: Layout, plane: DepthPlane, features: Features) -> float:
    """Nowhere under any of the features is less free than this [mm]."""
    (x, y), shapes = features.shapes.centres.T, features.shapes
    heights = plane.at_origin + plane.slope_x * x + plane.slope_y * y
    reach = float(shapes.reaches.max()) + layout.allowance.position
    return float(heights.min()) - float(np.hypot(plane.slope_x, plane.slope_y)) * reach


def free_depths(layout: Layout, plane: DepthPlane, features: Features) -> tuple[Floats, Ints]:
    """Free depth at the shallowest place under each feature, drilled off its place, and the corner it is nearest to.

    That place lies on the feature's rim, down the slope.
    """
    points = features.shapes.points
    heights = plane.at_origin + plane.slope_x * points[..., 0] + plane.slope_y * points[..., 1]
    lowest = heights.argmin(axis=1)
    slope = float(np.hypot(plane.slope_x, plane.slope_y))
    off = features.shapes.radii + layout.allowance.position
    free: Floats = heights[np.arange(len(features)), lowest] - slope * off
    return free, lowest


def wires_needed(layout: Layout, features: Features) -> Floats:
    """Room for wires below each of the features that has some, shape (n,) [mm]."""
    wired = np.array([part.wiring is not None for part in layout.parts[0]])[layout.parts[1]]
    room = layout.default("wire-room").value
    needed: Floats = np.where(wired[features.owner] & (features.kind == BODY), room, 0.0)
    return needed


def _message(f: FindingOf[DepthDetail], board: ResolvedBoard, unit: Unit) -> str:
    who, room = names(board, f.subjects), f.detail.free
    if nothing(f.detail.depth):
        return _message_flush(f, who, unit)
    depth, free = apart(f.detail.depth, room, unit)
    free = "nothing" if room <= 0 or nothing(room) else free
    if f.severity == "stop":
        only = free if free == "nothing" else f"only {free}"
        return f"{who} hangs {depth} below the board, where {only} is free: {over(f, unit)} too deep."
    measured, required = both(f, unit)
    left = "nothing" if meets(f) else measured
    return f"{who} hangs {depth} below the board, where {free} is free: that leaves {left}, and wires need {required}."


def _message_flush(f: FindingOf[DepthDetail], who: str, unit: Unit) -> str:
    """Of what ends within the board, so that only its wires are below, or not even they have room."""
    if f.severity == "stop":
        return f"{who} does not hang below the board, but nothing is free there: {over(f, unit)} too little."
    there, needed = both(f, unit)
    left = "nothing" if meets(f) else there
    return f"{who} does not hang below the board: {left} is free there, and its wires need {needed}."


def _remedy(f: FindingOf[DepthDetail], advice: Advice, unit: Unit) -> str:
    deeper = () if advice.ways else (f"make the box deeper under {names(advice.board, f.subjects)}",)
    return options(f, advice, unit, *deeper, "use a shallower part")


def _tries(f: FindingOf[DepthDetail], _board: ResolvedBoard, catalogue: Catalogue) -> Iterator[Maker]:
    wires = catalogue.rule("wire-room")
    yield lambda _, step: [DeepenBox(f.subjects, rounded_up(f.lack + more, step)) for more in (0.0, wires)]


def _fixes(f: FindingOf[DepthDetail], board: ResolvedBoard, catalogue: Catalogue, _unit: Unit) -> Iterator[SwapPart]:
    return swaps(board, catalogue, f)


def _measures(_finding: FindingOf[DepthDetail]) -> tuple[str, ...]:
    return ("body_depth",)


RULE = Rule(
    name="depth-below",
    meaning="Each body, and its wires, fit the free depth below the board; so do nuts, plates and screw heads.",
    severities=("stop", "caution"),
    source="Common practice, no source: room for wires is a default of the catalogue.",
    detail=DepthDetail,
    find=find,
    message=_message,
    phrase=phrased("box ", " too shallow"),
    remedy=_remedy,
    moved=True,
    swapped=True,
    tries=_tries,
    fixes=_fixes,
    harm="there is too little room below",
    measures=_measures,
)
