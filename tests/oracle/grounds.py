"""Random boards without parts: outlines, openings, layers, edges, areas to keep clear."""

from __future__ import annotations

import math
import random
from typing import Any

Raw = dict[str, Any]
STACKS: tuple[tuple[tuple[str, float], ...], ...] = (
    (("mdf", 18),),
    (("mdf", 18),),
    (("mdf", 12),),
    (("plywood", 15),),
    (("plywood", 24),),
    (("acrylic", 5),),
    (("aluminium", 3),),
    (("steel", 1.5),),
    (("acrylic", 3), ("mdf", 15)),
    (("plywood", 9), ("mdf", 9)),
    (("mdf", 12), ("acrylic", 6)),
    (("acrylic", 2), ("mdf", 12), ("aluminium", 2)),
)


def ground(chance: random.Random) -> Raw:
    """A board of the document, without arrangements."""
    corners = _outline(chance)
    xs, ys = [c["x"] for c in corners], [c["y"] for c in corners]
    box = (min(xs), min(ys), max(xs), max(ys))
    board: Raw = {"id": "deck", "name": "Deck", "role": chance.choice(("deck", "companion"))}
    board["outline"] = {"corners": corners, "openings": _openings(chance, box)}
    board["layers"] = [{"material": m, "thickness": t} for m, t in chance.choice(STACKS)]
    board["edges"] = {name: _edge(chance) for name in ("front", "right", "back", "left")}
    if chance.random() < 0.6:
        board["depth_below"] = {"front": chance.choice((20, 40, 60)), "back": chance.choice((30, 60, 110))}
    board["paint"] = chance.choice((0, 0, 0, 0.1, 0.3))
    board["keep_clear"] = [_area(chance, box) for _ in range(chance.choice((0, 0, 1, 2)))]
    return board


def _edge(chance: random.Random) -> Raw:
    edge = {}
    if chance.random() < 0.35:
        edge["rail"] = chance.choice((12.0, 18.0, 19.05, 30.0))
    if chance.random() < 0.3:
        edge["slot_depth"] = chance.choice((6.0, 10.0))
    return edge


def _area(chance: random.Random, box: tuple[float, float, float, float]) -> Raw:
    x0, y0, x1, y1 = box
    wide, high = chance.uniform(20, 100), chance.uniform(15, 60)
    return {
        "face": chance.choice(("top", "under")),
        "x": round(chance.uniform(x0 - 10, x1 - 20), 1),
        "y": round(chance.uniform(y0 - 10, y1 - 20), 1),
        "width": round(wide, 1),
        "height": round(high, 1),
        "label": chance.choice(("", "hinge")),
    }


def _set_back(chance: random.Random, longest: float, share: float = 0.5) -> Raw:
    if chance.random() > share:
        return {}
    a = round(chance.uniform(12, longest), 1)
    return {"setback": (a, a) if chance.random() < 0.6 else (a, round(chance.uniform(12, longest), 1))}


def _outline(chance: random.Random) -> list[Raw]:
    w, d = round(chance.uniform(180, 480), 1), round(chance.uniform(140, 280), 1)
    form = chance.choice(("rectangle", "rectangle", "rectangle", "slanted", "L", "U", "bent"))
    if form == "rectangle":
        at = [(0, 0), (w, 0), (w, d), (0, d)]
    elif form == "slanted":
        s = chance.uniform(10, 40)
        at = [(0, 0), (w, 0), (w - s, d), (s, d + chance.choice((0, 5)))]
    elif form == "L":
        at = [(0, 0), (w, 0), (w, d * 0.55), (w * 0.6, d * 0.55), (w * 0.6, d), (0, d)]
    elif form == "U":
        at = [(0, 0), (w, 0), (w, d), (w * 0.7, d), (w * 0.7, d * 0.5), (w * 0.3, d * 0.5), (w * 0.3, d), (0, d)]
    else:
        at = [(0, 0), (w / 2, -chance.uniform(5, 25)), (w, 0), (w, d - 40), (w - 40, d), (0, d)]
    share = chance.choice((0.0, 0.4, 0.8))
    corners = [{"x": round(x, 2), "y": round(y, 2), **_set_back(chance, 32, share)} for x, y in at]
    return corners if chance.random() < 0.9 else corners[::-1]


def _openings(chance: random.Random, box: tuple[float, float, float, float]) -> list[list[Raw]]:
    x0, y0, x1, y1 = box
    found: list[list[Raw]] = []
    near: tuple[float, float] | None = None
    for _ in range(chance.choice((0, 0, 0, 1, 1, 2, 3))):
        wide, high = chance.uniform(20, 80), chance.uniform(15, 50)
        x = chance.uniform(x0 + 12 + wide / 2, x1 - 12 - wide / 2)
        y = chance.uniform(y0 + 10 + high / 2, y1 - 10 - high / 2)
        if chance.random() < 0.3:
            x = x0 + wide / 2 + chance.uniform(1, 32)
        if chance.random() < 0.3:
            y = y0 + high / 2 + chance.uniform(1, 32)
        if near and chance.random() < 0.5:
            x, y = near[0] + chance.uniform(-30, 60), near[1] + chance.uniform(-20, 40)
        near = (x, y)
        turn = math.radians(chance.choice((0, 0, 0, 20, 45)))
        c, s = math.cos(turn), math.sin(turn)
        shape = [(-wide / 2, -high / 2), (wide / 2, -high / 2), (wide / 2, high / 2), (-wide / 2, high / 2)]
        if chance.random() < 0.2:
            shape.insert(3, (0.0, high / 6))
        set_back = _set_back(chance, max(min(wide, high) / 3, 12.5), 0.5) if min(wide, high) > 40 else {}
        found.append(
            [{"x": round(x + a * c - b * s, 2), "y": round(y + a * s + b * c, 2), **set_back} for a, b in shape]
        )
    return found
