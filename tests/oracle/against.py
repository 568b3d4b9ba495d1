"""What is expected of each placement against the board: edges, openings, slots, rails, areas, room below."""

from __future__ import annotations

import math

import numpy as np
from msgspec import Struct

from app.document.schema import BoardEntry
from app.model.resolved import ResolvedBoard
from tests.oracle.flat import Flat, apart, boxes_apart
from tests.oracle.items import NEVER, TIE, Item, Limits, Looked, cut_layers, edge_limits, entered
from tests.oracle.land import Depth, Land
from tests.oracle.strips import AnyStrip, strips_of
from tests.oracle.things import BEYOND, CUTS, Rule, Stuff, Thing, heights_between

NEAR = 60.0  # limits are below this [mm]
LONGEST = 300.0  # so are the widths of things, for limits that grow with them


class Site(Struct, frozen=True, eq=False):
    """A board and all that stands still on it.

    Args:
        board: resolved.
        land: from above.
        rails, slots: along the edges.
        areas: to keep clear: face and shape, in the order of the document.
        rule: defaults by name.
    """

    board: ResolvedBoard
    land: Land
    rails: list[AnyStrip]
    slots: list[AnyStrip]
    areas: list[tuple[str, Flat]]
    rule: Rule


def site_of(entry: BoardEntry, board: ResolvedBoard, land: Land, rule: Rule) -> Site:
    """The site of a board in the document."""
    areas = []
    for k in entry.keep_clear:
        x0, y0, x1, y1 = k.x, k.y, k.x + k.width, k.y + k.height
        areas.append((str(k.face), Flat(np.array([(x0, y0), (x1, y0), (x1, y1), (x0, y1)]), 0.0)))
    return Site(board, land, strips_of(entry, land, "rail"), strips_of(entry, land, "slot_depth"), areas, rule)


def against_board(site: Site, stuff: list[Stuff], looked: Looked) -> None:
    """Every thing against everything of the board."""
    for one in stuff:
        for thing in one.things:
            looked.pairs += 1
            _edges(site, one.id, thing, looked.items)
            _slots(site, one.id, thing, looked.items)
            _rails(site, one.id, thing, looked.items)
            _areas(site, one.id, thing, looked.items)
        _below(site, one, looked.items)


def _add(items: list[Item], rule: str, name: str, thing: Thing, d: Depth, limits: Limits, **more: object) -> None:
    if d.low < max(limits.stop, limits.caution) + TIE:
        kinds = frozenset((thing.kind,))
        items.append(
            Item(rule, frozenset((name,)), d.low, d.high, limits.stop, limits.caution, kinds, **more)  # type: ignore[arg-type]
        )


def _less(d: Depth, by: float) -> Depth:
    return Depth(d.low - by, d.high - by)


def _plain(site: Site, inside: Depth) -> bool:
    """Whether how far a thing is over an edge has one meaning: not where openings run into each other."""
    return not site.land.tangled or inside.low >= 0


def _edges(site: Site, name: str, thing: Thing, items: list[Item]) -> None:
    board, rule, slack = site.board, site.rule, site.board.tooling.drilling
    off = slack.position + slack.edge
    if thing.kind in ("hole", *CUTS):
        inside = site.land.whole.inside(thing.flat, NEAR + thing.width)
        if inside is None:
            return
        _add(items, "outside-board", name, thing, inside, Limits(0.0, NEVER), figured=_plain(site, inside))
        layers = cut_layers(board.layers, thing.deep) if thing.kind in CUTS else list(board.layers)
        asked = {edge_limits(layers, thing.width, backed) for backed in {len(layers) > 1, len(board.layers) > 1}}
        mild = min(asked, key=lambda k: k.caution)
        for limits in asked:  # a layer cut by itself is backed by the others, or is not: two readings
            sure = limits == mild and inside.low > TIE  # off the board, that is said instead
            _add(
                items, "edge-distance", name, thing, _less(inside, off), limits, sure=sure, figured=_plain(site, inside)
            )
    elif thing.kind == "screw":
        _screws(site, name, thing, off, items)
    elif thing.kind in ("flange", "plate", "screw head") and thing.face == "top":
        inside = site.land.whole.inside(thing.flat, 4.0)
        if inside:
            room = Limits(0.0, rule("flange-overhang"))
            _add(items, "flange-overhang", name, thing, _less(inside, off), room, figured=_plain(site, inside))
    elif thing.kind in ("body", "plate", "screw head", "nut"):
        gap = rule("under-overhang")
        outer = site.land.outer.inside(thing.flat, 4.0)
        if outer:
            _add(items, "under-overhang", name, thing, _less(outer, off), Limits(0.0, gap))
        inner = site.land.pierced.inside(thing.flat, 4.0) if site.land.pierced else None
        if inner:
            stop = 0.0 if thing.kind == "nut" else NEVER
            limits = Limits(stop, gap)
            _add(items, "under-overhang", name, thing, _less(inner, off), limits, figured=_plain(site, inner))


def _screws(site: Site, name: str, thing: Thing, off: float, items: list[Item]) -> None:
    board, rule = site.board, site.rule
    layer = entered(board.layers, thing.face, thing.deep, thing.width)
    limits = edge_limits([layer], thing.width, len(board.layers) > 1)
    inside = site.land.whole.inside(thing.flat, NEAR)
    if inside:
        plain = _plain(site, inside)
        shank = Limits(limits.stop, NEVER if layer.material.family == "mdf" else limits.caution)
        _add(items, "edge-distance", name, thing, _less(inside, off), shank, figured=plain)
        if layer.material.family == "mdf":
            centre = _less(inside, off - thing.flat.radius)
            _add(items, "edge-distance", name, thing, centre, Limits(NEVER, rule("screw-edge")), figured=plain)
    if layer.material.family == "mdf":
        asked = rule("screw-corner")
        corner = _less(site.land.rim.to_corner(thing.flat.middle, asked, off), off)
        _add(items, "edge-distance", name, thing, corner, Limits(NEVER, asked))


def _slots(site: Site, name: str, thing: Thing, items: list[Item]) -> None:
    if thing.kind not in ("hole", *CUTS, "screw"):
        return
    off = site.board.tooling.drilling.position + site.board.tooling.drilling.edge
    for slot in site.slots:
        d = slot.clearance(thing.flat, site.land)
        _add(items, "edge-slot", name, thing, _less(d, off), Limits(0.0, site.rule("slot-gap")), places=slot.edges)


def _rails(site: Site, name: str, thing: Thing, items: list[Item]) -> None:
    if thing.kind in ("screw", "lever") or thing.low >= -site.board.thickness:
        return
    off = site.board.tooling.drilling.position + site.board.tooling.drilling.edge
    gap = _room(site, thing)
    for rail in site.rails:
        d = rail.clearance(thing.flat, site.land)
        _add(items, "rail-clash", name, thing, _less(d, off), Limits(0.0, gap), places=rail.edges)


def _room(site: Site, thing: Thing) -> float:
    nut = thing.kind == "nut"
    return max(site.rule("spanner-room"), site.rule("rail-gap")) if nut else site.rule("rail-gap")


def _areas(site: Site, name: str, thing: Thing, items: list[Item]) -> None:
    if thing.kind == "screw":
        return
    t, off = site.board.thickness, site.board.tooling.drilling.position
    for k, (face, area) in enumerate(site.areas):
        low, high = (0.0, BEYOND) if face == "top" else (-BEYOND, -t)
        block = Thing("area", area, low, high)
        if heights_between(thing, block) >= 0 or boxes_apart(thing.flat, area) > NEAR:
            continue
        d = apart(area, thing.flat) - off
        limits = Limits(-thing.throw, 0.0) if thing.kind == "lever" else Limits(0.0, _room(site, thing))
        _add(items, "rail-clash", name, thing, Depth(d, d), limits, places=frozenset((f"area {k}",)))


def _below(site: Site, one: Stuff, items: list[Item]) -> None:
    """The room below: a body with its wires, and what hangs lower than it."""
    board, placed, plane = site.board, one.placed, site.board.free_depth
    if plane is None:
        return
    bodies = one.of("body")
    under = placed.part.mount == "under"
    recess = placed.recess.depth if placed.recess and under else 0.0
    hangs = placed.part.body.depth + (board.paint - recess if under else -board.thickness - board.paint)
    hangs = max(hangs, 0.0)
    slack = board.tooling.drilling.position
    steep = math.hypot(plane.slope_x, plane.slope_y)

    def left(thing: Thing, depth: float) -> float:
        points = thing.flat.polygon
        free = plane.at_origin + plane.slope_x * points[:, 0] + plane.slope_y * points[:, 1]
        return float(free.min()) - steep * slack - depth

    wires = site.rule("wire-room") if placed.part.wiring else 0.0
    for body in bodies:
        d = left(body, hangs)
        _add(items, "depth-below", one.id, body, Depth(d, d), Limits(0.0, wires))
    for thing in one.of("nut", "plate", "screw head"):
        if thing.low >= 0 or thing.face == "top":
            continue
        fixing = placed.part.fixing
        sunk = placed.recess.depth if placed.recess else 0.0
        deep = -board.thickness - thing.low + getattr(fixing, "washer", 0.0) - sunk
        head = thing.kind == "screw head"
        if head:  # below the plate it holds; how high it stands, nothing says: no more than half its width
            deep = getattr(fixing, "plate_thickness", 0.0) + thing.flat.radius - sunk
        if head or deep > 0:
            d = left(thing, deep)
            _add(items, "depth-below", one.id, thing, Depth(d, d), Limits(0.0, 0.0), sure=not head, figured=not head)
