"""A part's own measures agree: its flange covers its hole, its body goes through, its nut and screws find a hold.

A part typed in by hand may contradict itself, and then no board suits it. Judged with the hole as it will be made.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from functools import lru_cache

from msgspec import Struct

from app.fit.changes.advice import Advice
from app.fit.detail import Detail
from app.fit.features.features import BODY, FLANGE, HEAD, HOLE, NUT, PLATE, SCREW
from app.fit.features.layout import Layout
from app.fit.features.part_features import held_by, same_place
from app.fit.finding import FindingOf, Severity
from app.fit.judging.counterbore_check import subjects_and_place
from app.fit.judging.hardware_sizes import HOLE_SIZES, measures_of_things
from app.fit.limits.cut_depths import TINY
from app.fit.limits.pair_table import judged_by
from app.fit.rule import Rule
from app.fit.words.finding import lacking
from app.fit.words.lengths import are, names, off, say, say_both, verb, whose
from app.geometry.containment import room_inside
from app.geometry.shapes import Shape
from app.model.part import Cutout, NutFixing, Part, ScrewFixing
from app.model.resolved import ResolvedBoard
from app.units import Unit
from app.values import replace

_SOURCE = "The part's own measures."


class Doubt(Struct, frozen=True):
    """What contradicts itself: the cause, how grave, what there is and needs to be [mm].

    Args:
        hole: width of the hole it is about [mm]; 0 for the main one.
        holder: what a screw should hold.
    """

    cause: str
    severity: Severity
    measured: float
    required: float = 0.0
    hole: float = 0.0
    holder: str = ""


class PartDetail(Detail, frozen=True, kw_only=True):
    """A part that contradicts itself.

    Args:
        part: its id.
        hole: width of the hole it is about [mm].
        holder: what a screw should hold; empty where it is about none.
    """

    part: str = ""
    hole: float = 0.0
    holder: str = ""


def find(layout: Layout) -> list[FindingOf[PartDetail]]:
    """One finding for each feature wrong with a part, shared by its placements."""
    found: list[FindingOf[PartDetail]] = []
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
    found: list[Doubt] = []
    if part.cutouts:
        first = part.cutouts[0]
        hole = Shape(first.shape.core, widths[0] / 2) if first.is_circle else first.shape
        found += [*_above(part, hole), *_below(part, hole)]
    if isinstance(part.fixing, ScrewFixing):
        found += [*_loose_screw(part, part.fixing), *_loose_head(part, part.fixing, widths, head_ratio)]
    return tuple(replace(doubt, hole=doubt.hole or (widths[0] if widths else 0.0)) for doubt in found)


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
    """Whether the table gives two kinds of features of one part to this rule."""
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
        yield Doubt("screw", "stop", room, holder=called)


def _loose_head(part: Part, fixing: ScrewFixing, widths: tuple[float, ...], head_ratio: float) -> Iterator[Doubt]:
    """A bolt whose head goes through its hole."""
    head = fixing.screw_diameter * head_ratio
    bolted = [
        width
        for cutout, width in zip(part.cutouts, widths, strict=True)
        if any(same_place(at, cutout.shape.centre) for at in fixing.holes)
    ]
    if bolted and _asked(HOLE, HEAD) and head <= max(bolted) + TINY:
        yield Doubt("head", "stop", head, max(bolted), hole=max(bolted))


def _finding(layout: Layout, owners: Sequence[int], doubt: Doubt) -> FindingOf[PartDetail]:
    subjects, where = subjects_and_place(layout, owners)
    part = layout.placed[owners[0]].part.id
    detail = PartDetail(cause=doubt.cause, part=part, hole=doubt.hole, holder=doubt.holder)
    return FindingOf(RULE.name, doubt.severity, subjects, where, doubt.measured, doubt.required, _SOURCE, detail)


def _message(f: FindingOf[PartDetail], board: ResolvedBoard, unit: Unit) -> str:
    ids, cause, hole = f.subjects, f.detail.cause, f"the {say(f.detail.hole, unit)} hole"
    if cause == "screw":
        return f"A screw of {names(board, ids)} misses what it should hold by {off(f.lack, unit)}."
    if cause == "flange":
        cover, open_ = verb(ids, "do"), f"{off(f.lack, unit)} of it stays open"
        return f"{whose('flange', board, ids)} {cover} not cover {hole}: {open_}."
    if cause == "body":
        much = off(f.lack, unit)
        return f"{whose('body', board, ids)} {verb(ids, 'do')} not go through {hole}: {much} too wide on each side."
    if cause == "drop":
        return f"{names(board, ids)} {verb(ids, 'fall')} through {hole} from below: nothing rests on the board."
    measured, required = say_both(f.measured or 0.0, f.required or 0.0, unit)
    size = "" if measured == required else f", {measured}," if f.measured else ""
    bolts = whose({"nut": "nut", "head": "bolt head"}[cause], board, ids)
    return f"{bolts}{size} {are(ids)} no wider than {hole}, and {verb(ids, 'pull')} through."


def _phrase(findings: Sequence[FindingOf[PartDetail]], _board: ResolvedBoard, unit: Unit) -> str:
    lacks = lacking(findings, unit)
    return {
        "flange": f"flange {lacks} too small for the hole",
        "body": f"body {lacks} too wide for the hole",
        "nut": f"nut {lacks} too narrow for the hole",
        "head": f"bolt head {lacks} too narrow for its hole",
        "screw": f"screw misses what it holds by {lacks}",
    }.get(findings[0].detail.cause, "falls through the hole")


def _remedy(f: FindingOf[PartDetail], advice: Advice, _unit: Unit) -> str:
    cause, who = f.detail.cause, names(advice.board, f.subjects)
    if cause == "body" and f.severity == "caution":
        return f"Check whether the body of {who} comes apart to go through, or correct the part's sizes."
    washer = "Put a wide washer under it, or m" if cause in ("nut", "head") else "M"
    many = "the part" if len(f.subjects) == 1 else "the parts"
    return f"{washer}easure {many} of {who} again and correct its sizes, or use another part."


def _measures(finding: FindingOf[PartDetail]) -> tuple[str, ...]:
    cause = finding.detail.cause
    if cause == "screw":
        return measures_of_things(("screw", "plate", "body", "flange"))
    if cause == "head":
        return (*HOLE_SIZES, "screw_diameter")
    return (*HOLE_SIZES, *measures_of_things(("plate", "body") if cause == "drop" else (cause,)))


RULE = Rule(
    name="part-measures",
    meaning="Each part's own sizes agree: flange over hole, body through it, nut and screws with something to hold.",
    severities=("stop", "caution"),
    source=_SOURCE,
    detail=PartDetail,
    find=find,
    message=_message,
    phrase=_phrase,
    remedy=_remedy,
    measures=_measures,
)
