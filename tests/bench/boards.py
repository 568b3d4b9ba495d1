"""Boards of any number of cut-outs, the same every time, for every program that is measured."""

from __future__ import annotations

import json
import math
import random

from app.document.load import loads
from app.document.schema import Design

PITCH = 46.0
"""Centre to centre before the jitter [mm]: a few gaps come out too small, most do not, as in a real draft."""

JITTER = 2.5
"""Each centre is off by up to this, so that no two distances are alike [mm]."""

PARTS = ("button-30-nut-long", "button-24-nut-long", "button-28-nut-long")


def grid(count: int) -> Design:
    """A board with ``count`` buttons in a grid, jittered by a fixed seed."""
    columns = math.ceil(math.sqrt(count * 1.6))
    rows = math.ceil(count / columns)
    rng = random.Random(count)
    placements = [
        {
            "id": f"p{i}",
            "part": PARTS[i % len(PARTS)],
            "x": round((i % columns + 1) * PITCH + rng.uniform(-JITTER, JITTER), 3),
            "y": round((i // columns + 1) * PITCH + rng.uniform(-JITTER, JITTER), 3),
            "label": f"P{i + 1}",
        }
        for i in range(count)
    ]
    width, depth = (columns + 1) * PITCH, (rows + 1) * PITCH
    corners = [{"x": 0, "y": 0}, {"x": width, "y": 0}, {"x": width, "y": depth}, {"x": 0, "y": depth}]
    document = {
        "format": "holewise-design",
        "version": 2,
        "title": f"Benchmark, {count} controls",
        "boards": [
            {
                "id": "deck",
                "name": "Benchmark board",
                "outline": {"corners": corners},
                "layers": [{"material": "mdf", "thickness": 18.0}],
                "depth_below": {"front": 90, "back": 90},
                "arrangements": [{"id": "all", "name": "All", "placements": placements}],
            }
        ],
    }
    return loads(json.dumps(document))


def grille() -> Design:
    """A board with one pattern of some 2,000 holes of 5 mm, staggered at 60°, 8 mm apart."""
    side = 450.0
    corners = [{"x": 0, "y": 0}, {"x": side, "y": 0}, {"x": side, "y": side}, {"x": 0, "y": side}]
    boundary = {"shape": "circle", "width": 380.0}
    document = {
        "format": "holewise-design",
        "version": 3,
        "title": "Benchmark, a grille",
        "patterns": [{"id": "grille", "order": "staggered-60", "hole": 5.0, "pitch": 8.0, "boundary": boundary}],
        "boards": [
            {
                "id": "grille",
                "name": "Benchmark grille",
                "role": "companion",
                "outline": {"corners": corners},
                "layers": [{"material": "mdf", "thickness": 12.0}],
                "arrangements": [
                    {"id": "all", "placements": [{"id": "s1", "part": "grille", "x": 225, "y": 225, "label": "S1"}]}
                ],
            }
        ],
    }
    return loads(json.dumps(document))
