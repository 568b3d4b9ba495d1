"""What old and new cuts have to do with each other: one the same as the other, one in the other, one too near."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import Literal

import numpy as np
from msgspec import Struct

from app.catalogue.load import Catalogue
from app.fit.limits.layer_limits import web_limits
from app.geometry.clearance import shape_set
from app.geometry.containment import room_inside
from app.geometry.shapes import Shape, circle
from app.model.resolved import ResolvedBoard
from app.retrofit.cut import DrilledCut

_EPS = 1e-9
_REACH = 20.0
"""Further from each other than this, and what a plug may be wider than its hole, no plug minds a hole [mm]."""


class PlugMeets(Struct, frozen=True):
    """A plug and a new hole that have too little between them, or run into each other.

    Args:
        old, new: which cuts, by their place.
        gap: wood between plug and hole [mm]; negative where the hole cuts into the plug.
        least: what is needed [mm].
        how: ``cut``: it cuts into it, which is told; ``thin``: too little between them; ``loose``: what the hole leaves
            of the plug is too thin to hold.
        left: how thick what is left of the plug is [mm]; 0 where nothing is cut off it.
    """

    old: int
    new: int
    gap: float
    least: float
    how: Literal["cut", "thin", "loose"]
    left: float = 0.0

    @property
    def is_stop(self) -> bool:
        """Whether it cannot be made like that."""
        return self.how != "cut"


class Meetings(Struct, frozen=True):
    """How the cuts of two boards meet.

    Args:
        old, new: the cuts.
        board: the new board.
        catalogue: of limits.
        near: new cuts that an old one may have to do with, and the wood between the two [mm]; by the old one.
    """

    old: Sequence[DrilledCut]
    new: Sequence[DrilledCut]
    board: ResolvedBoard
    catalogue: Catalogue
    near: Mapping[int, Sequence[tuple[int, float]]]

    @property
    def off(self) -> float:
        """How far a hole drilled by the builder's method may be off its place [mm]."""
        return self.board.tooling.drilling.position

    def slack(self, old: DrilledCut) -> float:
        """How far an old cut and a new one may be off each other, at worst [mm]."""
        return self.off + (0.0 if old.measured else self.off)

    def own(self, old: DrilledCut) -> str:
        """The new placement whose own counterbore an old one would be, left about its hole; empty for none."""
        if old.work != "counterbore":
            return ""
        same = self.catalogue.rule("retrofit-same")
        bare = (p for p in self.board.drilled if p.holes and p.counterbore is None and p.recess is None)
        return next((p.id for p in bare if math.dist((p.x, p.y), old.shape.centre) <= same), "")

    def is_same(self, old: DrilledCut, new: DrilledCut) -> bool:
        """Whether the old cut does for the new one as it is."""
        same = self.catalogue.rule("retrofit-same")
        if not old.usable or old.work == "pilot" or not _as_deep(old, new, same):
            return False
        if old.shape.is_circle != new.shape.is_circle:
            return False
        apart = math.dist(old.shape.centre, new.shape.centre)
        if apart > (max(same, self.off) if old.measured else same) + _EPS:
            return False
        if not new.shape.is_circle:
            moved = old.shape.shifted(*(b - a for a, b in zip(old.shape.centre, new.shape.centre, strict=True)))
            return min(room_inside(moved, new.shape), room_inside(new.shape, moved)) >= -same
        low, high = min(new.smallest, new.width - same), max(new.largest, new.width + same)
        return low - _EPS <= old.width <= high + _EPS

    def is_led(self, old: DrilledCut, new: DrilledCut) -> bool:
        """Whether the old cut takes the wood away that the point of the new one's bit needs."""
        if not new.has_point:
            return False
        apart = math.dist(old.shape.centre, new.shape.centre)
        if old.work == "pilot" and apart <= self.off:
            return False  # the point follows the pilot: that is what it is for
        if old.depth is not None and old.face != new.face and old.depth < self.board.thickness / 2:
            return False
        return apart < old.shape.reach + self.catalogue.rule("retrofit-point") - _EPS

    def holds(self, old: DrilledCut, new: DrilledCut) -> bool:
        """Whether nothing is left of the old cut once the new one is made, at worst."""
        if new.depth is not None and (old.depth is None or old.face != new.face or old.depth > new.depth + _EPS):
            return False
        led = self.is_led(old, new)
        slack = self.catalogue.rule("retrofit-guide-error") if led else self.slack(old)
        return room_inside(old.shape, new.shape) >= slack - _EPS

    def plug_meets(self, old: int, wide: float, new: int) -> PlugMeets | None:
        """What a plug of an old hole, ``wide`` mm, has to do with a new cut; None if nothing.

        A dowel is thinner than any web, and what is cut into it comes to no harm.
        """
        a, b = self.old[old], self.new[new]
        (ax, ay), slack = a.shape.centre, self.slack(a)
        small = self.catalogue.rule("retrofit-dowel-widest")
        gap = _gap(circle(wide, ax, ay), b)
        least = float(web_limits(self.board.layers, np.array([max(wide, b.width)]))[0].required[0])
        harmless = wide <= small or b.width <= small or a.depth is not None or b.depth is not None
        if gap >= least + slack - _EPS or (harmless and gap >= 0):
            return None
        if harmless:
            return PlugMeets(old, new, gap, least, "cut")
        if gap - slack >= 0 or gap >= 0:
            return PlugMeets(old, new, gap, least, "thin")
        left = _left(wide / 2, math.dist(a.shape.centre, b.shape.centre), b) if b.shape.is_circle else least + slack
        how: Literal["cut", "loose"] = "loose" if _EPS < left < least + slack - _EPS else "cut"
        return PlugMeets(old, new, gap, least, how, max(left, 0.0))


def meetings(
    old: Sequence[DrilledCut], new: Sequence[DrilledCut], board: ResolvedBoard, catalogue: Catalogue
) -> Meetings:
    """How old and new cuts meet; ``board`` is the new one."""
    near: dict[int, list[tuple[int, float]]] = {}
    if old and new:
        reach = catalogue.rule("retrofit-widen") + _REACH
        found = shape_set([c.shape for c in old]).against(shape_set([c.shape for c in new]), reach)
        for i, j, gap in zip(found.first.tolist(), found.second.tolist(), found.distance.tolist(), strict=True):
            near.setdefault(i, []).append((j, gap))
    return Meetings(old, new, board, catalogue, {i: sorted(some) for i, some in near.items()})


def _as_deep(old: DrilledCut, new: DrilledCut, same: float) -> bool:
    if old.depth is None or new.depth is None:
        return old.depth is new.depth
    return old.face == new.face and abs(old.depth - new.depth) <= same


def _gap(plug: Shape, cut: DrilledCut) -> float:
    """Wood between a plug and a cut [mm], negative where they run into each other."""
    if cut.shape.is_circle:
        return math.dist(plug.centre, cut.shape.centre) - plug.radius - cut.shape.radius
    return float(shape_set([plug]).against(shape_set([cut.shape]), 1e6).distance[0])


def _left(radius: float, apart: float, cut: DrilledCut) -> float:
    """How thick the thinnest piece that a round hole leaves of a plug is; 0 or less where it leaves nothing [mm]."""
    hole = cut.shape.radius
    beyond = apart + radius - hole
    before = radius - apart - hole
    return min(beyond, before) if before > 0 else beyond
