"""A part's own measures agree: its flange covers its hole, its body goes through, its nut and screws find a hold.

A part typed in by hand may contradict itself, and then no board suits it. Judged with the hole as it will be made.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import lru_cache

from app.fit.bored import spot
from app.fit.depth import TINY
from app.fit.finding import Finding, Severity
from app.fit.layout import Layout
from app.fit.part_things import held_by, same_place
from app.fit.rule import Rule
from app.fit.table import judged_by
from app.fit.things import BODY, FLANGE, HEAD, HOLE, NUT, PLATE, SCREW
from app.geometry.containment import room_inside
from app.geometry.shapes import Shape
from app.model.part import Cutout, NutFixing, Part, ScrewFixing

_SOURCE = "The part's own measures."


@dataclass(frozen=True, slots=True)
class Doubt:
    """What contradicts itself: the cause, how grave, what there is and needs to be [mm], and values for the words."""

    cause: str
    severity: Severity
    measured: float
    values: Mapping[str, float | str] = field(default_factory=dict)
    required: float = 0.0


def find(layout: Layout) -> list[Finding]:
    """One finding for each thing wrong with a part, shared by its placements."""
    found: list[Finding] = []
    ratio = layout.default("screw-head-ratio").value
    for owners in layout.seats.values():
        placed = layout.placed[owners[0]]
        widths = tuple(hole.diameter for hole in placed.holes)
        found += [_finding(layout, owners, doubt) for doubt in doubts_of(placed.part, widths, ratio)]
    return found


@lru_cache(maxsize=1024)
def doubts_of(part: Part, widths: tuple[float, ...], head_ratio: float) -> tuple[Doubt, ...]:
    """What of a part contradicts itself.

    Args:
        part: the hardware.
        widths: of its holes as they will be made [mm].
        head_ratio: width of a screw's head over that of its shank.
    """
    first = part.cutouts[0]
    hole = Shape(first.shape.core, widths[0] / 2) if first.is_circle else first.shape
    found = [*_above(part, hole), *_below(part, hole)]
    if isinstance(part.fixing, ScrewFixing):
        found += [*_loose_screw(part, part.fixing), *_loose_head(part, part.fixing, widths, head_ratio)]
    width: dict[str, float | str] = {"hole": widths[0]}
    return tuple(replace(doubt, values={**width, **doubt.values}) for doubt in found)


def _above(part: Part, hole: Shape) -> Iterator[Doubt]:
    """A flange that does not cover the main hole; a body that does not go through it."""
    if part.flange and _asked(HOLE, FLANGE) and (room := room_inside(hole, part.flange.shape)) < -TINY:
        yield Doubt("flange", "stop", room)
    if (
        part.mount == "top"
        and part.body.depth > 0
        and _asked(HOLE, BODY)
        and (room := room_inside(part.body.shape, hole)) < -TINY
    ):
        comes_off = isinstance(part.fixing, NutFixing)  # the body of such a part often goes on from below
        yield Doubt("body", "caution" if comes_off else "stop", room)


def _below(part: Part, hole: Shape) -> Iterator[Doubt]:
    """What is mounted below and falls through the main hole; a nut that does."""
    if part.mount == "under" and _asked(HOLE, PLATE):
        below = held_by(part, part.fixing) if isinstance(part.fixing, ScrewFixing) else part.body.shape
        if (room := room_inside(below, hole)) > -TINY:
            yield Doubt("drop", "stop", min(-room, -2 * TINY))
    nut = part.nut_circle
    if nut and _asked(HOLE, NUT) and (room := room_inside(nut, hole)) > -TINY:
        yield Doubt("nut", "stop", 2 * nut.radius, required=_width(hole))


def _asked(one: int, other: int) -> bool:
    """Whether the table gives two kinds of things of one part to this rule."""
    return bool(judged_by(RULE.name, "own")[one, other])


def _width(hole: Shape) -> float:
    """Diameter of a circle, the smaller side of another hole [mm]."""
    return Cutout(hole, 0.0, math.inf).width


def _loose_screw(part: Part, fixing: ScrewFixing) -> Iterator[Doubt]:
    """The worst of the screws outside what they hold."""
    holder = held_by(part, fixing)
    room = min((room_inside(Shape((at,), TINY), holder) for at in fixing.holes), default=0.0)
    called = "plate" if fixing.plate else "body" if holder is part.body.shape else "flange"
    if room < -2 * TINY and _asked(SCREW, PLATE):
        yield Doubt("screw", "stop", room, {"holder": called})


def _loose_head(part: Part, fixing: ScrewFixing, widths: tuple[float, ...], head_ratio: float) -> Iterator[Doubt]:
    """A bolt whose head goes through its hole."""
    head = fixing.screw_diameter * head_ratio
    bolted = [
        width
        for cutout, width in zip(part.cutouts, widths, strict=True)
        if any(same_place(at, cutout.shape.centre) for at in fixing.holes)
    ]
    if bolted and _asked(HOLE, HEAD) and head <= max(bolted) + TINY:
        yield Doubt("head", "stop", head, {"hole": max(bolted)}, required=max(bolted))


def _finding(layout: Layout, owners: Sequence[int], doubt: Doubt) -> Finding:
    subjects, where = spot(layout, owners)
    detail = {"cause": doubt.cause, "part": layout.placed[owners[0]].part.id, **doubt.values}
    return Finding(RULE.name, doubt.severity, subjects, where, doubt.measured, doubt.required, _SOURCE, detail=detail)


RULE = Rule(
    "part-measures",
    "Each part's own measures agree: flange over hole, body through it, nut and screws with something to hold.",
    ("stop", "caution"),
    _SOURCE,
    find,
)
