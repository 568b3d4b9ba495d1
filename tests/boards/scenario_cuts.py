"""What each scenario asks to be cut, worked out from its file alone: the other side of every comparison.

Nothing here uses the product's resolving, seating or drawing. Places come from the JSON by a turn and a move in
complex numbers, diameters from the bits listed there (else the metric set of the catalogue), screw pilots by the
catalogue's figures. The parts' own measures are data, and are taken from where the data is.
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from functools import cache
from math import cos, dist, hypot, radians, sin, sqrt
from pathlib import Path
from typing import Any, Literal

from msgspec import Struct

from app.catalogue.load import catalogue
from app.catalogue.records import part_from_row
from app.model.part import NutFixing, Part, ScrewFixing
from app.values import replace
from tests.tools import ROOT

Face = Literal["top", "under"]
Operation = Literal["through", "counterbore", "recess", "pilot"]
FACES: tuple[Face, ...] = ("top", "under")


class Cut(Struct, frozen=True):
    """One thing to cut, as seen on a drawing of one face.

    Args:
        operation: what is done.
        x, y: its centre, from the left and front edge of the drawing [mm].
        diameter: of a round cut [mm]; 0 of another.
        core: the cut grown back to a point, a segment or a convex polygon [mm].
        radius: what the core is grown by [mm].
        depth: of a cut that does not go through [mm]; 0 of one that does.
        placement: id of the placement it belongs to.
    """

    operation: Operation
    x: float
    y: float
    diameter: float
    core: tuple[tuple[float, float], ...]
    radius: float
    depth: float
    placement: str

    @property
    def box(self) -> tuple[float, float, float, float]:
        """Smallest upright rectangle round it (x0, y0, x1, y1) [mm]."""
        xs, ys, r = [p[0] for p in self.core], [p[1] for p in self.core], self.radius
        return (min(xs) - r, min(ys) - r, max(xs) + r, max(ys) + r)


class Case(Struct, frozen=True):
    """One face of one arrangement of one board of one scenario.

    Args:
        name: of the scenario.
        text: its file as it is.
        board, arrangement: ids.
        face: the face drawn.
    """

    name: str
    text: str
    board: str
    arrangement: str
    face: Face

    def __str__(self) -> str:
        return f"{self.name}-{self.board}-{self.arrangement}-{self.face}"

    @property
    def good(self) -> bool:
        """Whether the scenario is one that can be built: all but the one that breaks every rule."""
        return self.name != breaks_every_rule()


def scenario_files() -> list[Path]:
    """Every scenario there is."""
    return sorted((ROOT / "scenarios").glob("*.json"))


@cache
def raw(text: str) -> dict[str, Any]:
    """A scenario as plain JSON."""
    read = json.loads(text)
    assert isinstance(read, dict)
    return read


@cache
def breaks_every_rule() -> str:
    """Name of the scenario that is bad on purpose: the only one whose notes say so."""
    said = [file.stem for file in scenario_files() if "every rule" in file.read_text("utf-8")]
    assert len(said) == 1, f"one scenario breaks every rule, found {said}"
    return said[0]


def cases(*faces: Face) -> list[Case]:
    """Every board and arrangement of every scenario, for each of ``faces``, and a board with every part there is."""
    texts = {file.stem: file.read_text("utf-8") for file in scenario_files()} | {"every-part": every_part()}
    return [
        Case(name, text, board["id"], arrangement["id"], face)
        for name, text in texts.items()
        for board in raw(text)["boards"]
        for arrangement in board["arrangements"]
        for face in faces or FACES
    ]


@cache
def every_part() -> str:
    """A board invented for measuring: every part at another angle, nut-fixed ones counterbored, sticks recessed.

    Angles are mostly no multiples of a right angle, and no place is a round number, so that
    slots, rectangles and screws are turned and moved as they may be on a real board.
    """
    parts = list(catalogue().parts.values())
    columns, pitch = 6, 163.3
    rows = -(-len(parts) // columns)
    width, depth = columns * pitch + 11.7, rows * pitch + 29.1
    placements: list[dict[str, Any]] = []
    for n, part in enumerate(parts):
        row, column = divmod(n, columns)
        placement = {
            "id": f"p{n}", "part": part.id, "label": f"P{n}", "angle": 17.5 * n % 360.0,
            "x": 5.31 + (column + 0.5) * pitch, "y": 4.27 + (row + 0.5) * pitch,
        }  # fmt: skip
        if isinstance(part.fixing, NutFixing):
            placement["counterbore"] = {"diameter": part.fixing.nut_width + 6.0, "depth": 4.5}
        if part.lever and isinstance(part.fixing, ScrewFixing) and part.fixing.plate:
            wide, high = part.fixing.plate.size
            placement["recess"] = {"width": wide + 2.5, "height": high + 2.5, "corner": 3.25, "depth": 4.75}
        placements.append(placement)
    corners = [
        {"x": 0, "y": 0},
        {"x": width, "y": 0},
        {"x": width, "y": depth, "setback": [70, 40]},
        {"x": 0, "y": depth},
    ]
    board = {
        "id": "wall", "name": "Every part", "outline": {"corners": corners},
        "layers": [{"material": "mdf", "thickness": 18.0}],
        "arrangements": [{"id": "all", "name": "All", "placements": placements}],
    }  # fmt: skip
    return json.dumps({"format": "holewise-design", "version": 2, "title": "Every part", "boards": [board]})


def board_of(case: Case) -> dict[str, Any]:
    """The board of a case, as plain JSON."""
    return next(board for board in raw(case.text)["boards"] if board["id"] == case.board)


def board_box(case: Case) -> tuple[float, float, float, float]:
    """Smallest rectangle round the board's corners; set-back only ever takes away [mm]."""
    corners = board_of(case)["outline"]["corners"]
    xs, ys = [c["x"] for c in corners], [c["y"] for c in corners]
    return (min(xs), min(ys), max(xs), max(ys))


def thickness(case: Case) -> float:
    """All layers together [mm]."""
    return float(sum(layer["thickness"] for layer in board_of(case)["layers"]))


def through_cuts(case: Case) -> list[Cut]:
    """Every hole right through the board, as the face shows it: x' = left + right − x on the underside."""
    found = list(_of_patterns(case))
    for placement, part in _drilled(case):
        for cutout in part.cutouts:
            radius = cutout.shape.radius
            core = tuple(_put(placement, point) for point in cutout.shape.core)
            if len(core) == 1:
                radius = _bit(case, cutout.width, cutout.smallest, cutout.largest) / 2
            found.append(_cut("through", placement, core, radius))
    return [_seen(case, cut) for cut in found]


def counterbores(case: Case) -> list[Cut]:
    """Every counterbore, as the face shows it."""
    found = []
    for placement, _ in _drilled(case):
        bore = placement.get("counterbore")
        if bore:
            core = ((float(placement["x"]), float(placement["y"])),)
            found.append(_cut("counterbore", placement, core, bore["diameter"] / 2, bore["depth"]))
    return [_seen(case, cut) for cut in found]


def recesses(case: Case) -> list[Cut]:
    """Every recess, as the face shows it: a rectangle turned with its part, its corners rounded."""
    found = []
    for placement, _ in _drilled(case):
        recess = placement.get("recess")
        if recess:
            r = float(recess.get("corner", 0.0))
            a, b = recess["width"] / 2 - r, recess["height"] / 2 - r
            core = tuple(_put(placement, at) for at in ((-a, -b), (a, -b), (a, b), (-a, b)))
            found.append(_cut("recess", placement, core, r, recess["depth"]))
    return [_seen(case, cut) for cut in found]


def pilots(case: Case) -> list[Cut]:
    """Screw pilots that are drilled from this face; a screw through a hole of the part's own is a bolt."""
    rule = catalogue().rule
    step, floor = rule("screw-pilot-step"), rule("screw-pilot-floor")
    ratio = rule("screw-root-ratio") * rule("screw-pilot-most")
    found = []
    for placement, part in _drilled(case):
        fixing = part.fixing
        if not isinstance(fixing, ScrewFixing) or fixing.side != case.face:
            continue
        wide = step * int(ratio * fixing.screw_diameter / step + 1e-6)  # no wider than the band allows
        recess = placement.get("recess", {}).get("depth", 0.0) if case.face == "under" else 0.0
        wood = thickness(case) - recess
        deep = max(wood - floor, wood / 2)
        if fixing.screw_length is not None:
            clamped = fixing.plate_thickness if fixing.plate and part.mount == fixing.side else 0.0
            if fixing.side == part.mount == "top" and part.flange and not fixing.plate:
                clamped = part.flange.height
            deep = min(deep, max(fixing.screw_length - clamped, step))
        bolts = [cutout.shape.centre for cutout in part.cutouts]
        screws = [at for at in fixing.holes if all(dist(at, bolt) > 1e-6 for bolt in bolts)]
        found += [_cut("pilot", placement, (_put(placement, at),), wide / 2, deep) for at in screws]
    return [_seen(case, cut) for cut in found]


def _drilled(case: Case) -> Iterator[tuple[dict[str, Any], Part]]:
    own = {row["id"]: part_from_row(row, "hardware") for row in raw(case.text).get("hardware", [])}
    arrangement = next(a for a in board_of(case)["arrangements"] if a["id"] == case.arrangement)
    patterns = _patterns(case)
    for placement in arrangement.get("placements", []):
        if placement.get("drill", True) and placement["part"] not in patterns:
            yield placement, own.get(placement["part"]) or catalogue().parts[placement["part"]]


def _patterns(case: Case) -> dict[str, dict[str, Any]]:
    return {row["id"]: row for row in raw(case.text).get("patterns", [])}


def _of_patterns(case: Case) -> Iterator[Cut]:
    """Holes of patterns with one in the middle, staggered at 60° or square, in a circle or rectangle: all here."""
    patterns = _patterns(case)
    arrangement = next(a for a in board_of(case)["arrangements"] if a["id"] == case.arrangement)
    for placement in arrangement.get("placements", []):
        entry = patterns.get(placement["part"])
        if entry is None or not placement.get("drill", True):
            continue
        assert (entry["order"], entry["boundary"]["shape"]) in KNOWN_PATTERNS and entry.get("middle") != "gap"
        hole, pitch, bounds = entry["hole"], entry["pitch"], entry["boundary"]
        wide = _bit(case, hole, 0.95 * hole, 1.05 * hole)
        most = int(max(bounds["width"], bounds.get("height", 0.0)) / pitch) + 2
        aside, up = (0.5, sqrt(3) / 2) if entry["order"] == "staggered-60" else (0.0, 1.0)
        for row in range(-most, most + 1):
            for column in range(-most, most + 1):
                at = ((column + aside * (row % 2)) * pitch, row * pitch * up)
                if _within(at, hole / 2 + bounds["inset"], bounds):
                    yield _cut("through", placement, (_put(placement, at),), wide / 2)


KNOWN_PATTERNS = {("staggered-60", "circle"), ("staggered-60", "rectangle"), ("square", "rectangle")}


def _within(at: tuple[float, float], radius: float, bounds: dict[str, Any]) -> bool:
    if bounds["shape"] == "circle":
        return bool(hypot(*at) + radius <= bounds["width"] / 2 + 1e-6)
    sides = (bounds["width"], bounds["height"])
    return all(abs(place) + radius <= side / 2 + 1e-6 for place, side in zip(at, sides, strict=True))


def _put(placement: dict[str, Any], point: tuple[float, float]) -> tuple[float, float]:
    turn = radians(placement.get("angle", 0.0))
    at = complex(*point) * complex(cos(turn), sin(turn)) + complex(placement["x"], placement["y"])
    return (at.real, at.imag)


def _cut(
    operation: Operation,
    placement: dict[str, Any],
    core: tuple[tuple[float, float], ...],
    radius: float,
    depth: float = 0.0,
) -> Cut:
    x, y = (sum(values) / len(core) for values in zip(*core, strict=True))
    return Cut(operation, x, y, 2 * radius if len(core) == 1 else 0.0, core, radius, depth, placement["id"])


def _seen(case: Case, cut: Cut) -> Cut:
    if case.face == "top":
        return cut
    x0, _, x1, _ = board_box(case)
    return replace(cut, x=x0 + x1 - cut.x, core=tuple((x0 + x1 - x, y) for x, y in cut.core))


def _bit(case: Case, nominal: float, smallest: float, largest: float) -> float:
    """Diameter of the hole: the owned bit nearest to nominal that the part allows, else nominal [mm]."""
    listed = raw(case.text).get("shop", {}).get("bits", [])
    bits = [(b["diameter"], b["kind"]) for b in listed]
    bits = bits or [(b.diameter, b.kind) for b in catalogue().bit_sets["metric"]]
    fits = [d for d, kind in bits if kind != "router" and smallest - 1e-9 <= d <= largest + 1e-9]
    # Of two equally near, the larger lets the part in.
    return float(max(fits, key=lambda d: (-round(abs(d - nominal), 6), d), default=nominal))
