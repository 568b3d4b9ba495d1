"""What every drilled placement brings, as prisms: kind, shape from above, and the heights it fills.

Heights: the top face is 0, the underside minus the thickness. What has to go in or out through a face, a hole, a
counterbore or a recess, reaches far beyond that face.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator

import numpy as np
from msgspec import Struct

from app.geometry.shapes import Shape
from app.model.part import NutFixing, Part, ScrewFixing
from app.model.resolved import Placed, ResolvedBoard
from tests.oracle.flat import Flat, apart, inside_by

Rule = Callable[[str], float]
BEYOND = 1000.0  # how far what opens a face reaches beyond it [mm]
THIN = 0.01  # the least height of what has none in the document [mm]
HEAD = 2.0  # head over diameter of a countersunk wood screw (DIN 7997, from memory)
LEAN = 15.0  # how far a lever leans [degrees]; common practice, no source
CUTS = ("counterbore", "recess")
SAME = 1e-6


class Thing(Struct, frozen=True, eq=False):
    """A prism that belongs to a placement.

    Args:
        kind: hole, counterbore, recess, screw, screw head, flange, plate, body, nut or lever.
        flat: seen from above, at its place.
        low, high: the heights it fills [mm].
        width: of a hole or what is cut, for the limits that grow with it [mm].
        face: of a screw or its head: where it is driven from; top or under for the others.
        deep: how far a cut goes in from the underside, or a screw from its face [mm].
        throw: of a lever: how far its knob goes to a side [mm].
        main: whether it is the part's main hole.
        bolt: whether a head belongs to a bolt through a hole of the part's own.
    """

    kind: str
    flat: Flat
    low: float
    high: float
    width: float = 0.0
    face: str = "under"
    deep: float = 0.0
    throw: float = 0.0
    main: bool = False
    bolt: bool = False


class Stuff(Struct, frozen=True, eq=False):
    """All that one placement brings."""

    placed: Placed
    things: tuple[Thing, ...]

    @property
    def id(self) -> str:
        """The placement's id."""
        return self.placed.id

    def of(self, *kinds: str) -> list[Thing]:
        """The things of some kinds."""
        return [t for t in self.things if t.kind in kinds]


def flat_of(shape: Shape) -> Flat:
    """A shape of a part, about the part's origin."""
    return Flat(np.array(shape.core, np.float64), shape.radius)


def disc(diameter: float, x: float = 0.0, y: float = 0.0) -> Flat:
    """A round shape [mm]."""
    return Flat(np.array([[x, y]]), diameter / 2)


def stuff_on(board: ResolvedBoard, rule: Rule) -> list[Stuff]:
    """What each drilled placement of a board brings."""
    return [Stuff(p, tuple(_things(p, board, rule))) for p in board.placements if p.drill]


def clamped(part: Part, fixing: ScrewFixing) -> float:
    """What lies between a screw's head and the board [mm]."""
    if fixing.plate is not None and part.mount == fixing.side:
        return fixing.plate_thickness
    return part.flange.height if part.mount == fixing.side == "top" and part.flange else 0.0


def is_bolt(part: Part, hole: tuple[float, float]) -> bool:
    """Whether a fixing goes through the middle of one of the part's own cut-outs."""
    return any(math.dist(hole, c.shape.centre) <= SAME for c in part.cutouts)


def _things(placed: Placed, board: ResolvedBoard, rule: Rule) -> Iterator[Thing]:
    def at(flat: Flat) -> Flat:
        return flat.moved(placed.x, placed.y, placed.angle)

    part, t = placed.part, board.thickness
    for k, (cutout, hole) in enumerate(zip(part.cutouts, placed.holes, strict=True)):
        flat = flat_of(cutout.shape)
        wide = 2 * hole.shape.radius if len(flat.core) == 1 else cutout.width
        if len(flat.core) == 1:
            flat = Flat(flat.core, wide / 2)
        yield Thing("hole", at(flat), -BEYOND, BEYOND, wide, main=k == 0)
    if bore := placed.counterbore:
        flat = at(disc(bore.diameter))
        yield Thing("counterbore", flat, -BEYOND, min(-t + bore.depth, 0.0), bore.diameter, deep=bore.depth)
    if pocket := placed.recess:
        r = min(pocket.corner, pocket.width / 2, pocket.height / 2)
        a, b = pocket.width / 2 - r, pocket.height / 2 - r
        core = np.array(sorted({(-a, -b), (a, -b), (a, b), (-a, b)}, key=lambda p: math.atan2(p[1], p[0])))
        wide = min(pocket.width, pocket.height)
        yield Thing("recess", at(Flat(core, r)), -BEYOND, min(-t + pocket.depth, 0.0), wide, deep=pocket.depth)
    if part.flange:
        yield Thing("flange", at(flat_of(part.flange.shape)), 0.0, max(part.flange.height, THIN), face="top")
    below = part.body.depth - (t if part.mount == "top" else 0.0)
    if below > 0:
        yield Thing("body", at(flat_of(part.body.shape)), -t - below, -t)
    if isinstance(part.fixing, NutFixing) and not placed.counterbore:
        yield Thing("nut", at(disc(part.fixing.nut_width)), -t - part.fixing.nut_height, -t)
    if isinstance(part.fixing, ScrewFixing):
        for thing, flat in _screwed(placed, part.fixing, t, rule):
            yield Thing(**{**thing, "flat": at(flat)})  # type: ignore[arg-type]
    if part.lever:
        yield _lever(placed, t, board.paint, rule)


def _screwed(placed: Placed, fixing: ScrewFixing, t: float, rule: Rule) -> Iterator[tuple[dict[str, object], Flat]]:
    """Plate, screws and heads about the part's origin."""
    part, top = placed.part, fixing.side == "top"

    def lying(high: float) -> dict[str, object]:
        high = max(high, THIN)
        return {"low": 0.0 if top else -t - high, "high": high if top else -t, "face": fixing.side}

    if fixing.plate:
        yield {"kind": "plate", **lying(fixing.plate_thickness)}, flat_of(fixing.plate)
    cover = fixing.plate or (part.flange.shape if top and part.flange else None)
    if cover is None and not top and part.mount == "under":
        cover = part.body.shape
    start = placed.recess.depth if placed.recess and not top else 0.0
    length = fixing.screw_length
    into = rule("screw-hold") * fixing.screw_diameter if length is None else length - clamped(part, fixing)
    into = max(into, THIN)
    for x, y in fixing.holes:
        bolt = is_bolt(part, (x, y))
        if not bolt:
            heights = (-into, 0.0) if top else (-t + start, -t + start + into)
            shank: dict[str, object] = {"kind": "screw", "low": heights[0], "high": heights[1], "face": fixing.side}
            shank |= {"width": fixing.screw_diameter, "deep": into}
            yield shank, disc(fixing.screw_diameter, x, y)
        head = disc(head_ratio(rule) * fixing.screw_diameter, x, y)
        if cover is None or inside_by(head, flat_of(cover)) < 0:
            yield {"kind": "screw head", "bolt": bolt, **lying(1.0)}, head


def head_ratio(rule: Rule) -> float:
    """Head of a screw over its diameter."""
    return rule("screw-head-ratio")


def _lever(placed: Placed, t: float, paint: float, rule: Rule) -> Thing:
    """The sweep of a lever: the disc its knob reaches, from its lowest point at full lean upward."""
    lever, lean = placed.part.lever, math.radians(rule("lever-lean"))
    assert lever is not None
    sunk = placed.recess.depth if placed.recess else 0.0
    above = lever.length - ((t - sunk + 2 * paint) if placed.part.mount == "under" else 0.0)
    throw = lever.length * math.sin(lean)
    flat = disc(lever.knob + 2 * throw, placed.x, placed.y)
    return Thing("lever", flat, above * math.cos(lean) - lever.knob, BEYOND, throw=throw, face="top")


def heights_between(a: Thing, b: Thing) -> float:
    """The gap between the heights two things fill [mm]; below 0 where they share some."""
    return max(a.low, b.low) - min(a.high, b.high)


def between(a: Thing, b: Thing) -> float:
    """The gap between two things seen from above [mm]; minus the least shift that parts them."""
    return apart(a.flat, b.flat)
