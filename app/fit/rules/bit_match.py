"""The shop has a bit for every round hole and counterbore."""

from __future__ import annotations

from app.fit.bored import spot
from app.fit.depth import SLIGHT, TINY
from app.fit.finding import Finding, Severity
from app.fit.layout import Layout
from app.fit.rule import Rule
from app.model.part import Cutout
from app.model.shop import Bit, Shop

_SHOP = "The part's own range of holes, and the bits of the shop."
_ROUTED = "A recess is cut with a router bit, whose radius its inside corners have at least."
_FLAT = "A counterbore is as wide as the flat-bottomed bit that makes it."


def find(layout: Layout) -> list[Finding]:
    """A stop for holes no bit makes, a caution for what is cut from below, a note where a bit differs."""
    return [*_holes(layout), *_openings(layout), *_counterbores(layout), *_recesses(layout)]


def routed(shop: Shop, diameter: float) -> bool:
    """Whether a machine cuts the hole with a router bit narrower than it."""
    return shop.drilling.id == "cnc" and any(b.kind == "router" and b.diameter <= diameter for b in shop.bits)


def _holes(layout: Layout) -> list[Finding]:
    shop, film = layout.board.shop, 2 * layout.board.paint
    groups: dict[tuple[int, int, float], tuple[Cutout, Bit | None, list[int]]] = {}
    for (part, _, _), owners in layout.seats.items():
        for k, hole in enumerate(layout.placed[owners[0]].holes):
            if not hole.is_circle:
                continue
            bit = hole.bit if hole.bit and _fits(hole.cutout, hole.bit.diameter - film) else None
            if bit and abs(bit.diameter - hole.cutout.width) <= SLIGHT + TINY:
                continue
            key = (part, k, bit.diameter if bit else 0.0)
            groups.setdefault(key, (hole.cutout, bit, []))[2].extend(owners)
    found = []
    for (part, k, _), (cutout, bit, owners) in groups.items():
        if bit is None and routed(shop, cutout.width):
            continue
        subjects, where = spot(layout, owners)
        nearest = bit or _nearest(shop, cutout.width + film)
        detail: dict[str, float | str] = {
            "cause": "hole",
            "cutout": float(k),
            "part": layout.parts[0][part].id,
            "nominal": cutout.width,
            "smallest": cutout.smallest,
            "largest": cutout.largest,
        }
        if nearest:
            detail |= {"bit": nearest.diameter, "kind": nearest.kind}
        if film:
            detail["paint"] = film
        severity: Severity = "note" if bit else "stop"
        measured = nearest.diameter - film if nearest else None
        found.append(Finding(RULE.name, severity, subjects, where, measured, cutout.width, _SHOP, detail=detail))
    return found


def _fits(cutout: Cutout, width: float) -> bool:
    return cutout.smallest - SLIGHT <= width <= cutout.largest + SLIGHT


def _openings(layout: Layout) -> list[Finding]:
    """What a saw or router cuts as drawn, and paint makes too narrow."""
    film, found = 2 * layout.board.paint, []
    for (index, _), owners in layout.groups.items() if film else ():
        for k, cutout in enumerate(layout.parts[0][index].cutouts):
            wide = cutout.width - film
            if cutout.is_circle or wide >= cutout.smallest - SLIGHT:
                continue
            subjects, where = spot(layout, owners)
            detail: dict[str, float | str] = {"cause": "painted", "cutout": float(k), "nominal": cutout.width}
            detail |= {"smallest": cutout.smallest, "largest": cutout.largest, "paint": film}
            numbers = (wide, cutout.smallest)
            found.append(Finding(RULE.name, "caution", subjects, where, *numbers, _SHOP, detail=detail))
    return found


def _recesses(layout: Layout) -> list[Finding]:
    """Recesses in a shop without any router bit."""
    if any(b.kind == "router" for b in layout.board.shop.bits):
        return []
    corners: dict[float, list[int]] = {}
    for (_, _, recess), owners in layout.seats.items():
        if recess and recess.corner > 0:
            corners.setdefault(recess.corner, []).extend(owners)
    found = []
    for corner, owners in corners.items():
        subjects, where = spot(layout, owners)
        detail: dict[str, float | str] = {"cause": "recess", "nominal": 2 * corner, "smallest": 0.0}
        found.append(Finding(RULE.name, "caution", subjects, where, None, 2 * corner, _ROUTED, detail=detail))
    return found


def _counterbores(layout: Layout) -> list[Finding]:
    shop = layout.board.shop
    widths: dict[float, list[int]] = {}
    for (_, bore), owners in layout.groups.items():
        if bore:
            widths.setdefault(bore.diameter, []).extend(owners)
    found = []
    for width, owners in widths.items():
        flat = [b for b in shop.bits if b.kind == "forstner"]
        if routed(shop, width) or any(abs(b.diameter - width) <= SLIGHT + TINY for b in flat):
            continue
        subjects, where = spot(layout, owners)
        nearest = min(flat, key=lambda b: (abs(b.diameter - width), b.diameter), default=None)
        detail: dict[str, float | str] = {"cause": "counterbore", "nominal": width}
        if nearest:
            detail |= {"bit": nearest.diameter, "kind": nearest.kind}
        measured = nearest.diameter if nearest else None
        found.append(Finding(RULE.name, "caution", subjects, where, measured, width, _FLAT, detail=detail))
    return found


def _nearest(shop: Shop, width: float) -> Bit | None:
    drills = [b for b in shop.bits if b.kind != "router"]
    return min(drills, key=lambda b: (round(abs(b.diameter - width), 6), -b.diameter), default=None)


RULE = Rule(
    "bit-match",
    "The shop has a bit for every round hole and counterbore.",
    ("stop", "caution", "note"),
    _SHOP,
    find,
)
