"""Random design documents: boards with something of everything, parts at distances drawn around contact."""

from __future__ import annotations

import json
import math
import random
from typing import Any

import numpy as np

from app.catalogue.load import catalogue
from app.catalogue.records import part_from_row
from app.document.load import loads
from app.document.schema import Design
from app.errors import DocumentError
from app.model.part import NutFixing, Part, ScrewFixing
from tests.oracle.flat import Flat, reach_out
from tests.oracle.grounds import ground
from tests.oracle.hardware import hardware
from tests.oracle.land import Loop, loop_of
from tests.oracle.things import disc

Raw = dict[str, Any]
AWAY = (-3, -1.5, -1, -0.5, 0, 0, 0.3, 0.5, 1, 1.5, 2, 2.5, 3, 4, 5, 6, 8, 12, 20)  # from contact [mm]
ANGLES = (0, 0, 0, 90, 180, 270, 30, 45, 12.5, 200)


def document(seed: int) -> Raw:
    """The design of a number: the same number gives the same design."""
    chance = random.Random(seed)
    while True:
        raw = _design(chance)
        try:
            loads(json.dumps(raw))
        except DocumentError:  # an opening reaches outside, or a part cannot be: drawn anew
            continue
        return raw


def loaded(raw: Raw) -> Design:
    """A document as the program reads it."""
    return loads(json.dumps(raw))


def _design(chance: random.Random) -> Raw:
    own = [hardware(chance, f"own-{k}") for k in range(chance.choice((0, 1, 2, 3, 3)))]
    board = ground(chance)
    parts = [part_from_row({**row}, "hardware") for row in own]
    known = list(catalogue().parts.values())
    mix = chance.random()
    pool = [*parts * 3, *(chance.sample(known, 3) if mix < 0.8 else known)]
    if not pool:
        pool = known
    board["arrangements"] = [{"id": "one", "placements": _placements(chance, board, pool)}]
    return {
        "format": "holewise-design",
        "version": 2,
        "title": "Random board",
        "units": chance.choice(("mm", "mm", "inch")),
        "shop": _shop(chance),
        "hardware": own,
        "boards": [board],
    }


def _shop(chance: random.Random) -> Raw:
    shop: Raw = {"drilling": chance.choice(("hand", "press", "cnc"))}
    if chance.random() < 0.4:
        widths = chance.sample(range(3, 51), chance.randint(3, 20))
        shop["bits"] = [{"kind": "forstner", "diameter": w + chance.choice((0, 0, 0.5)), "reach": 55} for w in widths]
        if chance.random() < 0.5:
            shop["bits"].append({"kind": "router", "diameter": chance.choice((6, 8, 12)), "reach": 20})
    return shop


def outlines(part: Part) -> list[Flat]:
    """What a part may meet others with, about its origin."""
    shapes = [c.shape for c in part.cutouts] + [part.body.shape]
    shapes += [part.flange.shape] if part.flange else []
    found = []
    if isinstance(part.fixing, ScrewFixing):
        shapes += [part.fixing.plate] if part.fixing.plate else []
        found += [disc(part.fixing.screw_diameter * k, x, y) for x, y in part.fixing.holes for k in (1, 2)]
    if isinstance(part.fixing, NutFixing):
        found.append(disc(part.fixing.nut_width))
    if part.lever:
        found.append(disc(part.lever.knob + 2 * part.lever.length * math.sin(math.radians(15))))
    return found + [Flat(np.array(s.core), s.radius) for s in shapes]


def _placements(chance: random.Random, board: Raw, pool: list[Part]) -> list[Raw]:
    thick = sum(layer["thickness"] for layer in board["layers"])
    rim = _loop(board["outline"]["corners"])
    spots = [rim, *(_loop(o) for o in board["outline"].get("openings", []))]
    placed: list[tuple[Part, Raw]] = []
    for k in range(chance.choice((2, 3, 3, 4, 4, 5, 5, 6, 7, 8, 10, 12))):
        part = chance.choice(pool)
        entry: Raw = {"id": f"p{k + 1}", "part": part.id, "angle": chance.choice(ANGLES)}
        entry |= _cut(chance, part, thick)
        if chance.random() < 0.08:
            entry["drill"] = False
        way = chance.random()
        if placed and way < 0.6:
            x, y = _beside(chance, part, entry, *chance.choice(placed))
        elif way < 0.9 or not placed:
            x, y = _at_rim(chance, part, entry, chance.choice((spots[0], chance.choice(spots))))
        else:
            x0, y0, x1, y1 = rim.section.bounds()
            x, y = chance.uniform(x0, x1), chance.uniform(y0, y1)
        entry |= {"x": round(x, 2), "y": round(y, 2)}
        placed.append((part, entry))
    return [entry for _, entry in placed]


def _loop(corners: list[Raw]) -> Loop:
    from app.document.schema import CornerEntry

    return loop_of([CornerEntry.model_validate(c) for c in corners])


def _cut(chance: random.Random, part: Part, thick: float) -> Raw:
    found: Raw = {}
    if chance.random() < 0.25:
        width = max(f.box[2] - f.box[0] for f in outlines(part)[:3]) + chance.choice((-4, 0, 2, 6))
        found["counterbore"] = {"diameter": round(min(max(width, 8), 150), 1), "depth": _depth(chance, thick)}
    if chance.random() < 0.2:
        box = max((f.box for f in outlines(part)), key=lambda b: b[2] - b[0])
        more = chance.choice((-6, 1, 2, 8))
        sides = [max(2 * max(-box[i], box[i + 2]) + more, 6.0) for i in (0, 1)]
        corner = min(chance.choice((0, 3, 6, 12)), min(sides) / 2)
        found["recess"] = {"width": sides[0], "height": sides[1], "corner": corner, "depth": _depth(chance, thick)}
    return found


def _depth(chance: random.Random, thick: float) -> float:
    return round(max(0.5, chance.choice((0.25, 0.5, 0.7, 0.9)) * thick + chance.choice((0, 0.5, -0.5))), 1)


def _away(chance: random.Random) -> float:
    return chance.choice(AWAY) + chance.choice((0, 0, 1, 1.5, 2, 2.5)) + chance.uniform(-0.6, 0.6)


def _beside(chance: random.Random, part: Part, entry: Raw, other: Part, there: Raw) -> tuple[float, float]:
    """A place where something of a part nearly meets something of another."""
    way = math.radians(chance.choice((0, 90, 180, 270, 45, chance.uniform(0, 360))))
    a = chance.choice(outlines(other)).moved(0, 0, there["angle"])
    b = chance.choice(outlines(part)).moved(0, 0, entry["angle"])
    far = reach_out(a, b, way) + _away(chance)
    return there["x"] + far * math.cos(way), there["y"] + far * math.sin(way)


def _at_rim(chance: random.Random, part: Part, entry: Raw, loop: Loop) -> tuple[float, float]:
    """A place where something of a part nearly meets the rim or an opening, from either side."""
    points = loop.points
    k = chance.randrange(len(points)) if chance.random() < 0.3 else _long_side(chance, points)
    a, b = points[k], points[(k + 1) % len(points)]
    at = a + chance.uniform(0, 1) * (b - a)
    along = (b - a) / max(float(np.hypot(*(b - a))), 1e-9)
    inward = np.array([-along[1], along[0]]) * (1 if loop.straights else -1) * chance.choice((1, 1, 1, -1))
    thing = chance.choice(outlines(part)).moved(0, 0, entry["angle"])
    reach = float((thing.core @ -inward).max()) + thing.radius
    x, y = at + inward * (reach + _away(chance) + chance.choice((0, 0, 10, 18)))
    return float(x), float(y)


def _long_side(chance: random.Random, points: Any) -> int:
    lengths = np.hypot(*(np.roll(points, -1, axis=0) - points).T)
    return chance.choices(range(len(points)), weights=lengths.tolist())[0]
