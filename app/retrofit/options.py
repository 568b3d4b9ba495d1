"""Everything that can be done to the old cuts of a board, and what speaks against it."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from typing import Final

import numpy as np
from msgspec import Struct

from app.catalogue.load import Catalogue
from app.fit.limits.layer_limits import edge_limits
from app.fit.report.report import check
from app.geometry.boundary import Boundary
from app.geometry.clearance import shape_set
from app.geometry.containment import room_inside
from app.geometry.shapes import Shape, circle
from app.model.part import ScrewFixing
from app.model.resolved import Placed, ResolvedBoard
from app.retrofit.cut import DrilledCut
from app.retrofit.kept_wide import Keep, keep_harms
from app.retrofit.left_open import OLD, is_hidden_by_it, key_of, left_open, with_pocket
from app.retrofit.meeting import Meetings, PlugMeets
from app.retrofit.option import OldWay
from app.values import replace

_STEP: Final = 1.0  # mm, in which plugs are tried wider
_SMALL_REST: Final = 1e-9


class Possible(Struct, frozen=True):
    """What can be done, and what it costs.

    Args:
        meetings: how old and new cuts meet.
        options: of each old cut.
        fresh: minutes that each new cut takes.
        led: old cuts, by the new one, that leave no wood for the point of its bit while they are open.
        plugs: what each plug meets, by the old cut.
        harms: old cuts that may not be left open, as what is left open harms something.
        pairs: two old cuts that may not both be left open.
        kept_harms: old cuts that may not be kept for a new one, as the rules would find more of the board.
        kept_pairs: two of them that may not both be kept so.
    """

    meetings: Meetings
    options: Sequence[Sequence[OldWay]]
    fresh: Sequence[float]
    led: Mapping[int, Sequence[int]]
    plugs: Mapping[int, Sequence[PlugMeets]]
    harms: frozenset[int]
    pairs: frozenset[tuple[int, int]]
    kept_harms: frozenset[Keep] = frozenset()
    kept_pairs: frozenset[tuple[Keep, Keep]] = frozenset()


def possible(meetings: Meetings, old_rim: Boundary) -> Possible:
    """What can be done to each old cut; ``old_rim`` is that of the board it is in."""
    options: list[tuple[OldWay, ...]] = []
    plugs: dict[int, Sequence[PlugMeets]] = {}
    led: dict[int, list[int]] = {}
    covers = _covers(meetings)
    for k, cut in enumerate(meetings.old):
        found: list[OldWay] = []
        for j, gap in meetings.near.get(k, ()):
            new = meetings.new[j]
            if meetings.is_led(cut, new) and gap < meetings.catalogue.rule("retrofit-point"):
                led.setdefault(j, []).append(k)
            if gap < 0 and meetings.is_same(cut, new):
                found.append(OldWay("keep", j))
            elif gap < 0 and meetings.holds(cut, new):
                found.append(OldWay("enlarge", j))
        plug = _plug(meetings, k, old_rim)
        if plug is not None:
            found.append(plug[0])
            plugs[k] = plug[1]
        found.append(OldWay("open", hidden=covers.get(k, "" if cut.is_seen else "below")))
        options.append(tuple(found))
    harms, pairs = _open_harms(meetings, options)
    fresh = tuple(work_of(cut, meetings.catalogue) for cut in meetings.new)
    return Possible(meetings, options, fresh, led, plugs, harms, pairs, *keep_harms(meetings, options))


def work_of(cut: DrilledCut, catalogue: Catalogue) -> float:
    """Minutes that a new cut takes in a board where nothing is in its way."""
    names = {"opening": "retrofit-saw", "counterbore": "retrofit-bore", "recess": "retrofit-route"}
    return catalogue.rule(names.get(cut.work, "retrofit-drill"))


def _plug(meetings: Meetings, k: int, old_rim: Boundary) -> tuple[OldWay, Sequence[PlugMeets]] | None:
    """The narrowest plug that does, bored out if need be; the one as wide as its hole if none does."""
    cut, rule = meetings.old[k], meetings.catalogue.rule
    if not cut.shape.is_circle and cut.depth is not None:
        return OldWay("plug", minutes=rule("retrofit-patch")), ()
    bored_anyhow = not cut.shape.is_circle
    own = 2 * cut.shape.reach if bored_anyhow else cut.width
    widest = rule("retrofit-plug-widest")
    if own > widest:
        return None
    if own <= rule("retrofit-dowel-widest"):
        return OldWay("plug", minutes=rule("retrofit-dowel"), wide=own), _meets(meetings, k, own)
    boring = rule("retrofit-guide") + rule("retrofit-drill")
    first = _meets(meetings, k, own)
    plain = OldWay(
        "plug", minutes=rule("retrofit-plug") + (boring if bored_anyhow else 0), wide=own, bored=bored_anyhow
    )
    if cut.depth is not None:
        again = any(m.gap < 0 and meetings.new[m.new].depth is None for m in first)  # the hole, through the disc
        return replace(plain, minutes=plain.minutes + rule("retrofit-drill") * again), first
    if not any(m.is_stop for m in first):
        return plain, first
    wide = math.floor(own / _STEP) * _STEP + _STEP
    while wide <= min(widest, own + rule("retrofit-widen")):
        found = _meets(meetings, k, wide)
        if not any(m.is_stop for m in found) and _has_room(meetings, k, wide, old_rim):
            return replace(plain, minutes=rule("retrofit-plug") + boring, wide=wide, bored=True), found
        wide += _STEP
    return plain, first


def _meets(meetings: Meetings, k: int, wide: float) -> tuple[PlugMeets, ...]:
    near = (j for j, _ in meetings.near.get(k, ()))
    return tuple(met for j in near if (met := meetings.plug_meets(k, wide, j)) is not None)


def _has_room(meetings: Meetings, k: int, wide: float, old_rim: Boundary) -> bool:
    """Whether a hole can be bored out so wide: inside the board, and into no other hole that is there."""
    x, y = meetings.old[k].shape.centre
    plug = circle(wide, x, y)
    stop, _ = edge_limits(meetings.board.layers, np.array([wide]))
    if old_rim.inside_distances([plug])[0][0] < float(stop.required[0]) + meetings.off:
        return False
    others = [c.shape for i, c in enumerate(meetings.old) if i != k and c.depth is None]
    return not others or not len(shape_set([plug]).against(shape_set(others), meetings.off))


def _covers(meetings: Meetings) -> dict[int, str]:
    """Which placement's flange, or plate on the top face, hides each old cut that shows."""
    flat = [(p, shape) for p in meetings.board.drilled for shape in _flat(p)]
    seen = [k for k, cut in enumerate(meetings.old) if cut.is_seen]
    if not flat or not seen:
        return {}
    lap = meetings.catalogue.rule("retrofit-cover")
    found: dict[int, str] = {}
    pairs = shape_set([meetings.old[k].shape for k in seen]).against(shape_set([s for _, s in flat]), 0.0)
    for i, j in sorted(zip(pairs.first.tolist(), pairs.second.tolist(), strict=True)):
        cut, (placed, shape) = meetings.old[seen[i]], flat[j]
        if room_inside(cut.shape, shape) >= lap + meetings.slack(cut) - _SMALL_REST:
            found.setdefault(seen[i], placed.id)
    return found


def _flat(placed: Placed) -> Iterator[Shape]:
    if placed.flange is not None:
        yield placed.flange
    fixing = placed.part.fixing
    if isinstance(fixing, ScrewFixing) and fixing.side == "top" and placed.plate is not None:
        yield placed.plate


def _open_harms(
    meetings: Meetings, options: Sequence[Sequence[OldWay]]
) -> tuple[frozenset[int], frozenset[tuple[int, int]]]:
    """What the rules find once every hidden old cut is left open: harm by one, and by two together."""
    hidden = {k: some[-1].hidden for k, some in enumerate(options) if some[-1].hidden}
    own = {k: ident for k in hidden if (ident := meetings.own(meetings.old[k]))}
    into = {
        k
        for k in hidden.keys() - own.keys()
        if any(gap < 0 and _through(meetings, k, j) for j, gap in meetings.near.get(k, ()))
    }
    hidden = {k: words for k, words in hidden.items() if k not in into}
    if not hidden:
        return frozenset(into), frozenset()
    board, number = _with_open(meetings, hidden, own), {OLD + meetings.old[k].ident: k for k in hidden if k not in own}
    harms = set(into)
    pairs: set[tuple[int, int]] = set()
    fresh = {key_of(f) for f in check(meetings.board, meetings.catalogue).findings} if own else set()
    for finding in check(board, meetings.catalogue).findings:
        if finding.severity != "note" and key_of(finding) not in fresh:
            harms.update(k for k, ident in own.items() if ident in finding.subjects)
        olds = sorted({number[i] for i in finding.subjects if i in number})
        if not olds or finding.severity == "note":
            continue
        if any(is_hidden_by_it(finding, meetings.old[k], hidden[k]) for k in olds):
            continue
        if len(olds) == 1 or len(olds) < len(set(finding.subjects)):
            harms.update(olds)
        else:
            first = number[finding.subjects[0]]
            pairs.update((min(first, k), max(first, k)) for k in olds if k != first)
    return frozenset(harms), frozenset(pairs)


def _through(meetings: Meetings, old: int, new: int) -> bool:
    """Whether one of two goes right through, so that they run into each other wherever they overlap."""
    return meetings.old[old].depth is None or meetings.new[new].depth is None


def _with_open(meetings: Meetings, hidden: Mapping[int, str], own: Mapping[int, str]) -> ResolvedBoard:
    board, mine = meetings.board, {ident: meetings.old[k] for k, ident in own.items()}
    rows = [with_pocket(p, mine[p.id]) if p.id in mine else p for p in board.placements]
    return board.populated((*rows, *(left_open(meetings.old[k]) for k in hidden if k not in own)))
