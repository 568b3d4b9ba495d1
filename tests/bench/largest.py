"""The largest designs that are let in, each of them large in another way, as files."""

from __future__ import annotations

import json
from collections.abc import Callable, Sequence
from typing import Any, Final

from app.document.dump import dumps
from app.document.schema import Design
from app.model.limits import (
    ARRANGEMENTS,
    BOARD_SIDE,
    CORNERS,
    CORNERS_IN_ALL,
    HOLES,
    HOLES_IN_ARRANGEMENT,
    PARTS,
    PARTS_IN_ALL,
)
from tests.bench.boards import PITCH, grid

_GRILLE: Final = 8  # holes to a side of a grille, which has as many holes as a part may have
_BETWEEN: Final = 12.0  # mm between two of them

Raw = dict[str, Any]
Corners = list[dict[str, float]]


def largest_designs() -> dict[str, bytes]:
    """Files by what there is most of."""
    return {name: json.dumps(make()).encode("utf-8") for name, make in _MAKERS.items()}


def _parts() -> Raw:
    return _raw(grid(PARTS.most))


def _holes() -> Raw:
    """Grilles of many holes, in rows."""
    each, many = _GRILLE**2, HOLES_IN_ARRANGEMENT.most // _GRILLE**2
    assert each == HOLES.most
    wide = (_GRILLE - 1) * _BETWEEN
    places = [n * _BETWEEN - wide / 2 for n in range(_GRILLE)]
    round_hole = {"shape": "circle", "diameter": 5.0, "smallest": 4.9, "largest": 5.5}
    part = {
        "id": "grille", "name": "Grille of drilled holes", "kind": "socket", "mount": "top",
        "source": "Invented for measuring.", "basis": "typical",
        "cutouts": [{**round_hole, "x": x, "y": y} for y in places for x in places],
        "fixing": {"type": "snap", "grip_min": 10.0, "grip_max": 25.0},
        "body": {"shape": "circle", "x": 0.0, "y": 0.0, "diameter": 2 * wide, "depth": 10.0},
    }  # fmt: skip
    pitch = 2.2 * wide
    columns = round(many**0.5)
    placed = [_placed(n, "grille", (n % columns + 1) * pitch, (n // columns + 1) * pitch) for n in range(many)]
    size = ((columns + 1) * pitch, (-(-many // columns) + 1) * pitch)
    return {**_design(_rectangle(*size), [placed]), "hardware": [part]}


def _board() -> Raw:
    """A few hundred parts spread over the largest board."""
    side, columns = float(BOARD_SIDE.most), 20
    step = side / (columns + 1)
    placed = [
        _placed(n, "button-28-nut-long", (n % columns + 1) * step, (n // columns + 1) * step) for n in range(columns**2)
    ]
    return _design(_rectangle(side, side), [placed])


def _arrangements() -> Raw:
    """As many arrangements as a board may have, and in all of them as many parts as a design may have."""
    each = PARTS_IN_ALL.most // ARRANGEMENTS.most
    raw = _raw(grid(each))
    board = raw["boards"][0]
    placed = board["arrangements"][0]["placements"]
    board["arrangements"] = [
        {"id": f"a{n}", "name": f"Way {n + 1}", "placements": placed} for n in range(ARRANGEMENTS.most)
    ]
    return raw


def _outline() -> Raw:
    """A board whose back edge is a saw of as many corners as an outline may have."""
    wide, many = float(BOARD_SIDE.most), CORNERS.most - 3
    back = [{"x": wide - n * wide / many, "y": 300.0 + 5.0 * (n % 2)} for n in range(many)]
    corners = [{"x": 0.0, "y": 0.0}, {"x": wide, "y": 0.0}, *back, {"x": 0.0, "y": 300.0}]
    return _design(corners, [[_placed(n, "button-28-nut-long", 100.0 + 50.0 * n, 150.0) for n in range(16)]])


def _openings() -> Raw:
    """As many corners as a board may have in all: openings in rows, each with a saw for its back edge."""
    each, columns = 50, 12
    many = CORNERS_IN_ALL.most // each - 1
    raw = _design(_rectangle(2000.0, 1500.0), [[_placed(0, "button-28-nut-long", 40.0, 40.0)]])
    raw["boards"][0]["outline"]["openings"] = [
        _saw(150.0 * (n % columns) + 100.0, 150.0 * (n // columns) + 100.0, 100.0, each) for n in range(many)
    ]
    return raw


def _saw(x: float, y: float, wide: float, corners: int) -> Corners:
    many = corners - 2
    back = [{"x": x + wide - n * wide / (many - 1), "y": y + 50.0 + 2.0 * (n % 2)} for n in range(many)]
    return [{"x": x, "y": y}, {"x": x + wide, "y": y}, *back]


def _raw(design: Design) -> Raw:
    raw: Raw = json.loads(dumps(design))
    return raw


def _placed(number: int, part: str, x: float, y: float) -> Raw:
    return {"id": f"p{number}", "part": part, "x": x, "y": y, "label": f"P{number + 1}"}


def _rectangle(width: float, depth: float) -> Corners:
    return [{"x": x, "y": y} for x, y in ((0.0, 0.0), (width, 0.0), (width, depth), (0.0, depth))]


def _design(corners: Corners, arrangements: Sequence[list[Raw]]) -> Raw:
    board = {
        "id": "deck", "name": "Benchmark board", "outline": {"corners": corners},
        "layers": [{"material": "mdf", "thickness": 18.0}], "depth_below": {"front": 90, "back": 90},
        "arrangements": [
            {"id": f"a{n}", "name": f"Way {n + 1}", "placements": placed} for n, placed in enumerate(arrangements)
        ],
    }  # fmt: skip
    return {"format": "holewise-design", "version": 2, "title": "Benchmark", "boards": [board]}


_MAKERS: Final[dict[str, Callable[[], Raw]]] = {
    f"{PARTS.most:,} parts": _parts,
    f"{HOLES_IN_ARRANGEMENT.most // HOLES.most * HOLES.most:,} holes": _holes,
    f"{BOARD_SIDE.most / 1000:g} × {BOARD_SIDE.most / 1000:g} m": _board,
    f"{ARRANGEMENTS.most} arrangements": _arrangements,
    f"{CORNERS.most} corners in one outline": _outline,
    f"{CORNERS_IN_ALL.most:,} corners in all": _openings,
}
"""By name; all parts stand 46 mm apart, as everything of the benchmarks (``PITCH``)."""

assert PITCH * (PARTS.most * 1.6) ** 0.5 < BOARD_SIDE.most, "the parts have room on the largest board"
