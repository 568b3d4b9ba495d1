"""The deck bears a leaning hand, with the holes that are in it."""

from __future__ import annotations

import numpy as np

from app.fit.finding import Finding
from app.fit.layout import Layout
from app.fit.rule import Rule
from app.fit.strength.deck import DeckStrength, Gaps, deck_strength, thickness_needed
from app.fit.things import Floats
from app.geometry.outline import Outline

_ROLE = "deck"
_METALS = ("aluminium", "steel")  # judged on their yield: they dent, they do not break


def find(layout: Layout) -> list[Finding]:
    """At most one finding, about the board itself; none where its materials' strength is not known."""
    board = layout.board
    if board.role != _ROLE or any(not layer.material.strengths for layer in board.layers):
        return []
    spans = _spans(layout)
    if min(spans) <= 0:
        return []
    net, where = _weakest_row(layout, spans)
    load, radius = layout.default("deck-load").value, layout.default("deck-load-radius").value
    sides, rounded = (max(spans), min(spans)), bool(board.round_edges)
    linear = layout.default("plate-linear").value
    strength = deck_strength(board.layers, *sides, net, load, radius, linear, rounded=rounded)
    metal = strength is not None and strength.layer.material.family in _METALS
    safety = layout.default("deck-safety-metal" if metal else "deck-safety")
    if strength is not None and strength.factor >= safety.value:
        return []
    needed = thickness_needed(board.layers, *sides, net, load, radius, safety.value, rounded)
    detail: dict[str, float | str] = {
        "cause": "lean",
        "load": load,
        "safety": safety.value,
        "net": net,
        "long": sides[0],
        "short": sides[1],
        **(_detail(strength) if strength else {"factor": 0.0}),
    }
    if needed is not None:
        detail["needed"] = needed
    # Where no thickness helps, there is none to ask for.
    return [Finding(RULE.name, "caution", (), where, board.thickness, needed, safety.source.text, detail=detail)]


def _detail(strength: DeckStrength) -> dict[str, float | str]:
    return {
        "layer": strength.layer.material.name,
        "factor": strength.factor,
        "stress": strength.stress,
        "strength": strength.bending,
        "deflection": strength.deflection,
        "linear": float(strength.linear),
    }


def _spans(layout: Layout) -> tuple[float, float]:
    """From support to support, along x and along y [mm]: rails narrow it, an edge without one rests on the box."""
    board = layout.board
    across = board.width - board.rail_at("left") - board.rail_at("right")
    along = board.depth_front_to_back - board.rail_at("front") - board.rail_at("back")
    return across, along


def _weakest_row(layout: Layout, spans: tuple[float, float]) -> tuple[float, tuple[float, float]]:
    """Share of the section that stays along the worst line of holes, at least 0, and the middle of that line."""
    x0, y0, x1, y1 = layout.board.outline.bounds
    gaps = _gaps(layout)
    (down, x), (over, y) = gaps.worst_across(), gaps.worst_along()
    nets = max(0.0, 1 - down / spans[1]), max(0.0, 1 - over / spans[0])
    if nets[0] <= nets[1]:
        return nets[0], (x, (y0 + y1) / 2)
    return nets[1], ((x0 + x1) / 2, y)


def _gaps(layout: Layout) -> Gaps:
    """Every hole, what counterbores and recesses take of the thickness about it, and openings."""
    holes, cuts, openings = layout.holes, layout.cuts, layout.board.openings
    shapes = holes.shapes
    if shapes.all_circles and not len(cuts) and not openings:
        (x, y), one = shapes.centres.T, np.ones(len(holes))
        return Gaps(x, y, shapes.radii, shapes.radii, one, one)
    cut = _cut_away(layout)
    rows = [_extents(shapes.points, shapes.radii), _extents(cuts.shapes.points, cuts.shapes.radii)]
    rows.append(np.array([_box(opening) for opening in openings], np.float64).reshape(-1, 4))
    x, y, across, along = np.concatenate(rows).T
    circular = np.concatenate((shapes.circular, cuts.shapes.circular, np.zeros(len(openings), np.bool_)))
    beside = np.ones(len(holes))  # what a hole takes beside the counterbore about it, which is counted as a whole
    about = np.zeros(len(layout.placed))
    np.maximum.at(about, cuts.owner, cut)
    owners, mains = np.unique(holes.owner, return_index=True)
    beside[mains] -= about[owners]
    missing = np.concatenate((beside, cut, np.ones(len(openings))))
    return Gaps(x, y, across, along, circular.astype(np.float64), missing)


def _cut_away(layout: Layout) -> Floats:
    """Share of the section modulus that counterbores and recesses take: of a thickness h of t they leave (h/t)²."""
    if not len(layout.cuts):
        return np.zeros(0)
    left = np.maximum(0.0, 1 - layout.cut_depths / layout.board.thickness)
    taken: Floats = 1 - left**2
    return taken


def _extents(points: Floats, radii: Floats) -> Floats:
    """Middle and half widths of shapes, shape (n, 4) [mm]."""
    low, high = points.min(axis=1), points.max(axis=1)
    return np.concatenate(((low + high) / 2, (high - low) / 2 + radii[:, None]), axis=1)


def _box(opening: Outline) -> tuple[float, float, float, float]:
    x0, y0, x1, y1 = opening.bounds
    return (x0 + x1) / 2, (y0 + y1) / 2, (x1 - x0) / 2, (y1 - y0) / 2


RULE = Rule(
    "deck-strength",
    "The deck bears a leaning hand, with the holes that are in it; an estimate for choosing a thickness.",
    ("caution",),
    "Plates of Roark, 7th ed., table 11.4, and of Timoshenko, 2nd ed., section 19; load and factor are defaults of the "
    "catalogue.",
    find,
)
