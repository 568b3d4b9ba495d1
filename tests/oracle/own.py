"""What is expected of a part by itself: whether it goes through, is covered, is held, and its lever stands right."""

from __future__ import annotations

import math
from collections.abc import Iterator
from itertools import combinations, product

from app.model.part import NutFixing, ScrewFixing, SnapFixing
from app.model.resolved import ResolvedBoard
from tests.oracle.flat import Flat, depth_in, inside_by
from tests.oracle.items import NEVER, TIE, Item, Looked, cut_layers, entered, web_limits
from tests.oracle.things import (
    CUTS,
    SAME,
    Rule,
    Stuff,
    Thing,
    between,
    clamped,
    disc,
    flat_of,
    head_ratio,
    heights_between,
    is_bolt,
)

WOOD = ("mdf", "plywood")


def by_themselves(board: ResolvedBoard, stuff: list[Stuff], rule: Rule, looked: Looked) -> None:
    """Everything about one placement that no other has a share in."""
    for one in stuff:
        looked.items += _measures(one, rule)
        looked.items += _own_webs(board, one)
        looked.items += _own_screws(board, one, rule)
        looked.items += _held(board, one, rule)
        looked.items += _screw_hold(board, one, rule)
        looked.items += _lever(board, one)


def _item(rule: str, one: Stuff, value: float, stop: float, caution: float = NEVER, **more: object) -> Item:
    return Item(rule, frozenset((one.id,)), value, value, stop, caution, **more)  # type: ignore[arg-type]


def _measures(one: Stuff, rule: Rule) -> Iterator[Item]:
    """Measures of a part that do not go together; figures are told in many ways and are not compared."""

    def said(value: float, level: str = "stop", sure: bool = True, stop_sure: bool = True) -> Item:
        stop, caution = (0.0, NEVER) if level == "stop" else (NEVER, 0.0)
        return _item("part-measures", one, value, stop, caution, sure=sure, stop_sure=stop_sure, figured=False)

    part, placed = one.placed.part, one.placed
    fixing = part.fixing
    body = flat_of(part.body.shape)
    if not part.cutouts:
        main = None
    else:
        main = flat_of(part.cutouts[0].shape)
        main = Flat(main.core, placed.holes[0].shape.radius) if len(main.core) == 1 else main
    if part.flange and main:
        yield said(inside_by(main, flat_of(part.flange.shape)))
    if part.mount == "top" and main:
        yield said(inside_by(body, main), "caution" if isinstance(fixing, NutFixing) else "stop")
    if isinstance(fixing, NutFixing) and main:
        wide = 2 * main.radius if len(main.core) == 1 else part.cutouts[0].width
        yield said(fixing.nut_width - wide - 1e-3)  # as wide is not wider
    lies = body
    if isinstance(fixing, ScrewFixing):
        if fixing.plate:
            lies = flat_of(fixing.plate)
        held = lies
        if not fixing.plate and part.mount == fixing.side == "top" and part.flange:
            held = flat_of(part.flange.shape)
        for x, y in fixing.holes:
            d = depth_in(disc(0.0, x, y).middle, held.polygon)
            radius = fixing.screw_diameter / 2
            yield said(d)
            yield said(d - radius * head_ratio(rule), sure=False)
            if is_bolt(part, (x, y)):
                hole = next(h for h in placed.holes if math.dist(h.cutout.shape.centre, (x, y)) < SAME)
                wide = 2 * hole.shape.radius if hole.is_circle else hole.cutout.width
                yield said(head_ratio(rule) * fixing.screw_diameter - wide - 1e-3)
    if part.mount == "under" and main:
        if not (isinstance(fixing, ScrewFixing) and fixing.plate and fixing.side == "top"):
            yield said(-inside_by(lies, main))
        else:
            yield Item("part-measures", frozenset((one.id,)), -1.0, -1.0, 0.0, NEVER, sure=False, figured=False)


def _own_webs(board: ResolvedBoard, one: Stuff) -> Iterator[Item]:
    """Webs between a part's own holes, and what is cut for it and its further holes, where they do not overlap."""
    holes = one.of("hole")
    pairs = list(combinations(holes, 2)) + list(product(one.of(*CUTS), [h for h in holes if not h.main]))
    for a, b in pairs:
        d = between(a, b)
        layers = cut_layers(board.layers, a.deep) if a.kind in CUTS else list(board.layers)
        limit = web_limits(layers, max(a.width, b.width)).stop
        if d < limit + TIE and d > -TIE:
            sure = d > TIE and a.kind != "recess"  # of a recess and a hole of the same part the text says nothing
            for name in ("web",) if a.kind == "hole" else ("web", "under-clash"):
                yield _item(name, one, d, NEVER, limit, sure=sure and name == "web", kinds=frozenset((a.kind, b.kind)))


def _own_screws(board: ResolvedBoard, one: Stuff, rule: Rule) -> Iterator[Item]:
    floor = rule("screw-pilot-floor")
    for screw in one.of("screw"):
        near: list[Thing] = one.of("hole", "counterbore", *(("recess",) if screw.face == "top" else ()))
        layer = entered(board.layers, screw.face, screw.deep, screw.width)
        for other in near:
            gap = heights_between(screw, other)
            if gap >= floor + TIE:
                continue
            d = between(screw, other)
            limit = web_limits([layer], max(screw.width, other.width)).stop
            if d < limit + TIE:
                kinds = frozenset(("screw", other.kind))
                yield _item("screw-distance", one, d, 0.0, limit, sure=gap < floor - TIE, kinds=kinds)


def _held(board: ResolvedBoard, one: Stuff, rule: Rule) -> Iterator[Item]:
    """Threads and clips, by closed forms."""
    placed, fixing = one.placed, one.placed.part.fixing
    cut = max(placed.counterbore.depth if placed.counterbore else 0.0, placed.recess.depth if placed.recess else 0.0)
    held = board.thickness - cut + 2 * board.paint
    if isinstance(fixing, NutFixing):
        showing = fixing.thread_length - fixing.nut_height - fixing.washer - held
        yield _item("thread-reach", one, showing, 0.0, fixing.spare_thread, cause="reach")
    if isinstance(fixing, SnapFixing):
        # Too thick: the grip falls short of what has to be held; too thin: the other way round.
        yield Item(
            "snap-grip",
            frozenset((one.id,)),
            fixing.grip_max,
            fixing.grip_max,
            held,
            NEVER,
            cause="thick",
        )
        yield _item("snap-grip", one, held, NEVER, fixing.grip_min, cause="thin")


def _lever(board: ResolvedBoard, one: Stuff) -> Iterator[Item]:
    lever, placed = one.placed.part.lever, one.placed
    if lever is None:
        return
    sunk = board.thickness - (placed.recess.depth if placed.recess else 0.0) + 2 * board.paint
    height = lever.length - (sunk if placed.part.mount == "under" else 0.0)
    yield _item("lever-height", one, height, NEVER, lever.height_min, cause="low")
    # Too high is below a limit when counted downward.
    yield _item("lever-height", one, -height, NEVER, -lever.height_max, cause="high")


def _screw_hold(board: ResolvedBoard, one: Stuff, rule: Rule) -> Iterator[Item]:
    part, fixing, placed = one.placed.part, one.placed.part.fixing, one.placed
    if not isinstance(fixing, ScrewFixing) or all(is_bolt(part, hole) for hole in fixing.holes):
        return
    floor, least = rule("screw-pilot-floor"), rule("screw-hold") * fixing.screw_diameter
    wood = board.thickness - (placed.recess.depth if placed.recess and fixing.side == "under" else 0.0)
    room = wood - floor
    layer = board.layers[0 if fixing.side == "top" else -1]
    if fixing.screw_length is None:
        if layer.material.family in WOOD:
            yield _item("screw-hold", one, room, 0.0, least, figured=room > 0, cause="hold")
        return
    into = fixing.screw_length - clamped(part, fixing)
    yield _item("screw-hold", one, wood - into, 0.0, floor, cause="through")
    if layer.material.family in WOOD:
        held = max(min(room, into), 0.0)
        yield _item("screw-hold", one, held, 1e-9, least, sure=held < least - TIE, stop_sure=False, cause="hold")
