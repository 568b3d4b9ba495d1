"""Cuts and the bits that make them: what none of the shop makes, or makes wider or narrower than it should be."""

from __future__ import annotations

from typing import Final

from app.fit.features.layout import Layout
from app.fit.finding import FindingOf, Severity
from app.fit.judging.counterbore_check import subjects_and_place
from app.fit.judging.match_detail import MatchDetail
from app.fit.limits.cut_depths import SLIGHT, TINY
from app.model.bit_selection import nearest_drill, routed
from app.model.coupon import CouponTrial, by_key
from app.model.part import Cutout
from app.model.tooling import Bit

SHOP: Final = "The part's own range of holes, and the bits of the shop."
_TRIED = "What was found in scrap, with the bit that makes the holes."
_ROUTED = "A recess is cut with a router bit, whose radius its inside corners have at least."
_FLAT = "A counterbore is as wide as the flat-bottomed bit that makes it."


def bit_matches(layout: Layout, rule: str) -> list[FindingOf[MatchDetail]]:
    """A stop for holes no bit makes, a caution for what is cut from below, a note where a bit differs.

    Args:
        layout: the board.
        rule: its name.
    """
    kinds = (_holes, _tried, _openings, _counterbores, _recesses)
    return [finding for found in kinds for finding in found(layout, rule)]


def _holes(layout: Layout, rule: str) -> list[FindingOf[MatchDetail]]:
    """One finding for all holes of a part that ask for the same bit: a pattern has thousands of them."""
    shop, film = layout.board.tooling, 2 * layout.board.paint
    groups: dict[tuple[object, ...], tuple[Cutout, Bit | None, list[int]]] = {}
    for (part, _, _), owners in layout.seats.items():
        alike = {(*_wanted(hole.cutout), hole.bit): hole for hole in layout.placed[owners[0]].holes if hole.is_circle}
        for wanted, hole in alike.items():
            bit = hole.bit if hole.bit and _fits(hole.cutout, hole.bit.makes - film) else None
            if bit and abs(bit.makes - hole.cutout.width) <= SLIGHT + TINY:
                continue
            key = (part, *wanted[:-1], bit.diameter if bit else 0.0)
            groups.setdefault(key, (hole.cutout, bit, []))[2].extend(owners)
    found = []
    for cutout, bit, owners in groups.values():
        if bit is None and routed(shop, cutout.width):
            continue
        subjects, where = subjects_and_place(layout, owners)
        nearest = bit or nearest_drill(shop, cutout.width + film)
        detail = MatchDetail(
            cause="hole",
            nominal=cutout.width,
            smallest=cutout.smallest,
            largest=cutout.largest,
            paint=film,
            bit=nearest.makes if nearest else None,
            sold=nearest.diameter if nearest and nearest.measured is not None else None,
            kind=nearest.kind if nearest else "",
        )
        severity: Severity = "note" if bit else "stop"
        measured = nearest.makes - film if nearest else None
        found.append(FindingOf(rule, severity, subjects, where, measured, cutout.width, SHOP, detail))
    return found


def _wanted(cutout: Cutout) -> tuple[float, float, float]:
    """What tells one cut-out from another besides its place [mm]."""
    return (cutout.width, cutout.smallest, cutout.largest)


def _tried(layout: Layout, rule: str) -> list[FindingOf[MatchDetail]]:
    """Parts that went in tight or loose in scrap, in a hole of the bit that theirs are made with."""
    trials = by_key(trial for trial in layout.board.trials if trial.sort == "hole")
    groups: dict[tuple[object, ...], tuple[CouponTrial, Cutout, Bit, list[int]]] = {}
    for owners in layout.seats.values() if trials else ():
        placed = layout.placed[owners[0]]
        for hole in placed.holes:
            if not hole.is_circle or hole.bit is None:
                continue
            trial = trials.get(("hole", placed.part.id, hole.bit.kind, round(hole.bit.diameter, 6)))
            if trial is not None and trial.fit in ("tight", "loose"):
                groups.setdefault(trial.key, (trial, hole.cutout, hole.bit, []))[3].extend(owners)
    found = []
    for trial, cutout, bit, owners in groups.values():
        subjects, where = subjects_and_place(layout, sorted(set(owners)))
        detail = MatchDetail(
            cause=trial.fit, nominal=cutout.width, smallest=cutout.smallest, largest=cutout.largest,
            bit=bit.makes, sold=bit.diameter, kind=bit.kind, tried=trial.day,
        )  # fmt: skip
        found.append(FindingOf(rule, "caution", subjects, where, None, cutout.width, _TRIED, detail))
    return found


def _fits(cutout: Cutout, width: float) -> bool:
    return cutout.smallest - SLIGHT <= width <= cutout.largest + SLIGHT


def _openings(layout: Layout, rule: str) -> list[FindingOf[MatchDetail]]:
    """What a saw or router cuts as drawn, and paint makes too narrow."""
    film, found = 2 * layout.board.paint, []
    for (index, _), owners in layout.groups.items() if film else ():
        for cutout in {_wanted(each): each for each in layout.parts[0][index].cutouts if not each.is_circle}.values():
            wide = cutout.width - film
            if wide >= cutout.smallest - SLIGHT:
                continue
            subjects, where = subjects_and_place(layout, owners)
            least, most = cutout.smallest, cutout.largest
            detail = MatchDetail(cause="painted", nominal=cutout.width, smallest=least, largest=most, paint=film)
            found.append(FindingOf(rule, "caution", subjects, where, wide, cutout.smallest, SHOP, detail))
    return found


def _recesses(layout: Layout, rule: str) -> list[FindingOf[MatchDetail]]:
    """Recesses in a shop without any router bit."""
    if any(b.kind == "router" for b in layout.board.tooling.bits):
        return []
    corners: dict[float, list[int]] = {}
    for (_, _, recess), owners in layout.seats.items():
        if recess and recess.corner > 0:
            corners.setdefault(recess.corner, []).extend(owners)
    found = []
    for corner, owners in corners.items():
        subjects, where = subjects_and_place(layout, owners)
        detail = MatchDetail(cause="recess", nominal=2 * corner, smallest=0.0)
        found.append(FindingOf(rule, "caution", subjects, where, None, 2 * corner, _ROUTED, detail))
    return found


def _counterbores(layout: Layout, rule: str) -> list[FindingOf[MatchDetail]]:
    shop = layout.board.tooling
    widths: dict[float, list[int]] = {}
    for (_, bore), owners in layout.groups.items():
        if bore:
            widths.setdefault(bore.diameter, []).extend(owners)
    found = []
    for width, owners in widths.items():
        flat = [b for b in shop.bits if b.kind == "forstner"]
        if routed(shop, width) or any(abs(b.diameter - width) <= SLIGHT + TINY for b in flat):
            continue
        subjects, where = subjects_and_place(layout, owners)
        nearest = min(flat, key=lambda b: (abs(b.diameter - width), b.diameter), default=None)
        made = nearest.diameter if nearest else None
        detail = MatchDetail(cause="counterbore", nominal=width, bit=made, kind=nearest.kind if nearest else "")
        found.append(FindingOf(rule, "caution", subjects, where, made, width, _FLAT, detail))
    return found
