"""What one part brings, about its own origin: the rows that placements of it are made of."""

from __future__ import annotations

import math
from collections.abc import Iterator
from functools import lru_cache

import numpy as np
from msgspec import Struct

from app.fit.features.features import (
    BODY,
    FLANGE,
    HEAD,
    HOLE,
    KINDS,
    LEVER,
    NUT,
    PLATE,
    SCREW,
    TOP_HEAD,
    TOP_PLATE,
    Floats,
    Ints,
)
from app.geometry.clearance import ShapeSet, shape_set
from app.geometry.containment import room_inside
from app.geometry.shapes import Point, Shape
from app.model.part import Cutout, NutFixing, Part, ScrewFixing
from app.model.recess_envelope import throw_of

_SAME = 1e-6  # mm


class PartThings(Struct, frozen=True, eq=False):
    """Features of a part about its origin.

    Args:
        kinds: index into ``KINDS`` of each.
        shapes: their shapes [mm].
        capped: whether its flange covers its only hole on the top face.
        clamped: whether its nut covers its only hole below.
        hangs: how far each reaches below the bare underside of the board, unless it is sunk in it [mm].
        extent: radius about its origin of all of them, holes as wide as they may be [mm].
    """

    kinds: tuple[int, ...]
    shapes: tuple[Shape, ...]
    capped: bool
    clamped: bool
    hangs: tuple[float, ...]
    extent: float


class FeatureRows(Struct, frozen=True, eq=False):
    """The features of several parts in one list.

    Args:
        shapes: about the origins of their parts [mm].
        kinds: index into ``KINDS`` of each, shape (n,).
        hangs: how far each reaches below the board, shape (n,) [mm].
        codes: the kinds, with holes told apart by the faces on which they need not be asked, shape (n,).
        counts: how many each part has.
        first: where those of each part begin.
        extents: radius about its origin of all each part brings, whatever bits make its holes [mm].
    """

    shapes: ShapeSet
    kinds: Ints
    hangs: Floats
    codes: Ints
    counts: Ints
    first: Ints
    extents: Floats


@lru_cache(maxsize=256)
def rows_of(parts: tuple[PartThings, ...]) -> FeatureRows:
    """The features of several parts, one part after the other."""
    counts = np.array([len(p.kinds) for p in parts], np.intp)
    return FeatureRows(
        shape_set([shape for p in parts for shape in p.shapes]),
        np.array([kind for p in parts for kind in p.kinds], np.intp),
        np.array([deep for p in parts for deep in p.hangs], np.float64),
        np.array([_code(kind, p.capped, p.clamped) for p in parts for kind in p.kinds], np.intp),
        counts,
        np.cumsum(counts) - counts,
        np.array([p.extent for p in parts], np.float64),
    )


CAPPED, CLAMPED, CAPPED_CLAMPED = len(KINDS), len(KINDS) + 1, len(KINDS) + 2
"""Codes of holes that need not be asked for what lies on the top face, below, or on either: their flange or nut is."""


def _code(kind: int, capped: bool, clamped: bool) -> int:
    if kind != HOLE or not (capped or clamped):
        return kind
    return CAPPED_CLAMPED if capped and clamped else CAPPED if capped else CLAMPED


@lru_cache(maxsize=1024)
def things_of(part: Part, thickness: float, paint: float, head_ratio: float, lean: float) -> PartThings:
    """What a part brings to a board ``thickness`` mm thick, its cut-outs first.

    Args:
        part: the hardware.
        thickness: of the board [mm].
        paint: on each face [mm].
        head_ratio: width of a screw's head over that of its shank.
        lean: how far a lever leans [degrees].
    """
    rows = [(HOLE, cutout.shape) for cutout in part.cutouts]
    nut = part.nut_circle
    if part.flange:
        rows.append((FLANGE, part.flange.shape))
    if nut:
        rows.append((NUT, nut))
    if part.depth_below(thickness) > 0:
        rows.append((BODY, part.body.shape))
    if isinstance(part.fixing, ScrewFixing):
        rows += _of_screws(part, part.fixing, head_ratio)
    if part.lever:
        rows.append((LEVER, Shape(((0.0, 0.0),), part.lever.knob / 2 + throw_of(part, lean))))
    alone = len(part.cutouts) == 1
    widest = _widest(part.cutouts[0]) if alone else None
    below = {BODY: part.depth_below(thickness, paint), **_depths(part, head_ratio)}
    return PartThings(
        tuple(kind for kind, _ in rows),
        tuple(shape for _, shape in rows),
        widest is not None and part.flange is not None and room_inside(widest, part.flange.shape) >= 0,
        widest is not None and nut is not None and room_inside(widest, nut) >= 0,
        tuple(below.get(kind, 0.0) for kind, _ in rows),
        max((*(_extent(s) for _, s in rows), *(_extent(c.shape, c.largest / 2) for c in part.cutouts)), default=0.0),
    )


def _widest(hole: Cutout) -> Shape:
    """A cut-out as wide as it may be."""
    return Shape(hole.shape.core, max(hole.shape.radius, hole.largest / 2)) if hole.is_circle else hole.shape


def _extent(shape: Shape, radius: float = 0.0) -> float:
    return max(math.hypot(x, y) for x, y in shape.core) + max(shape.radius, radius)


def _depths(part: Part, head_ratio: float) -> dict[int, float]:
    """How thick a nut with its washer, a plate, and a screw head with what it holds are, below the board [mm]."""
    fixing = part.fixing
    if isinstance(fixing, NutFixing):
        return {NUT: fixing.nut_height + fixing.washer}
    if not isinstance(fixing, ScrewFixing) or fixing.side == "top":
        return {}
    plate = fixing.plate_thickness if fixing.plate else 0.0
    return {PLATE: plate, HEAD: plate + fixing.screw_diameter * head_ratio / 4}  # a countersunk head: half its shank


def _of_screws(part: Part, fixing: ScrewFixing, head_ratio: float) -> Iterator[tuple[int, Shape]]:
    """The plate, the shanks of screws in the board itself, and heads that are not over what they hold."""
    top = fixing.side == "top"
    if fixing.plate:
        yield (TOP_PLATE if top else PLATE), fixing.plate
    holder = held_by(part, fixing)
    on_face = holder if fixing.plate or top == (part.mount == "top") else None
    radius = fixing.screw_diameter / 2
    for at in fixing.holes:
        if not is_bolt(part, at):
            yield SCREW, Shape((at,), radius)
        head = Shape((at,), radius * head_ratio)
        if on_face is None or room_inside(head, on_face) < 0:
            yield (TOP_HEAD if top else HEAD), head


def held_by(part: Part, fixing: ScrewFixing) -> Shape:
    """What a part's screws hold: its plate, else its flange where that lies on their face, else its body."""
    if fixing.plate:
        return fixing.plate
    if fixing.side == part.mount == "top" and part.flange:
        return part.flange.shape
    return part.body.shape


def is_bolt(part: Part, at: Point) -> bool:
    """Whether a screw there goes through a cut-out of the part, and holds in what lies beyond the board."""
    return any(same_place(at, cutout.shape.centre) for cutout in part.cutouts)


def same_place(one: Point, other: Point) -> bool:
    """Whether a screw at the one goes through the middle of a cut-out at the other."""
    return math.dist(one, other) <= _SAME
