"""Changes that may clear a finding: moves, cuts from below, bits to buy, other parts. None is tried here as a whole."""

from __future__ import annotations

import math
from collections.abc import Iterator

from app.catalogue.load import Catalogue
from app.fit.depth import SLIGHT, TINY, rounded_up
from app.fit.finding import Finding
from app.fit.trial import Trial
from app.geometry.shapes import Point
from app.model.fix import BuyBit, CounterboreAt, MoveBy, RecessAt, SwapPart
from app.model.part import Part
from app.model.resolved import ResolvedBoard
from app.units import Unit

Single = MoveBy | CounterboreAt | RecessAt | BuyBit | SwapPart

SWAPPED = ("thread-reach", "snap-grip", "depth-below", "lever-height")
"""Rules whose findings another part for the same hole may clear."""

_STEPS = 6  # a move is lengthened this often before its direction is given up
_TIDY = 0.01  # moves are first rounded up to this, to see which is shortest [mm]
_SWAPS = 12  # other parts tried, most alike first
_REACH, _WIDE = 50.0, 50.0  # mm: a bit of a kind in no set reaches so deep; a wider hole takes a hole saw


def candidates(trial: Trial, finding: Finding, unit: Unit) -> Iterator[Single]:
    """Changes that may clear ``finding``, those first that change least; bits as they are sold in that unit."""
    detail = finding.detail
    if "toward_x" in detail:
        yield from moves(trial, finding)
    if "recess_depth" in detail and float(detail["recess_depth"]) > 0:
        yield RecessAt(
            finding.subjects, *(float(detail[f"recess_{k}"]) for k in ("width", "height", "corner", "depth"))
        )
    if finding.rule in ("bit-match", "bit-depth") and finding.severity != "note":
        yield from bits(trial.catalogue, finding, unit)
    if "width" in detail and "bit" in detail:
        depth = detail["made_depth"] if detail.get("cause") == "width" else detail.get("depth", 0.0)
        if float(depth) > 0:
            yield CounterboreAt(finding.subjects, float(detail["bit"]), float(depth))
    if finding.rule in SWAPPED:
        yield from swaps(trial.board, trial.catalogue, finding)


def moves(trial: Trial, finding: Finding) -> Iterator[MoveBy]:
    """Moves of either subject, each as long as it takes by itself: straight out, then along x or y, the shorter first.

    Those along x or y are worked out only if no move straight out will do: it is hardly ever the longer one.
    """
    toward = (float(finding.detail["toward_x"]), float(finding.detail["toward_y"]))
    if finding.margin is None or toward == (0.0, 0.0):
        return
    alone = trial.alone(finding.subjects)
    aways = {}
    for subject, sign in zip(finding.subjects, (1.0, -1.0), strict=False):
        placed = trial.board.placed(subject)
        if placed is not None and not placed.locked:
            aways[subject] = (sign * toward[0], sign * toward[1])
    for subject, away in aways.items():
        move = _long_enough(alone, finding, subject, away, 1.0)
        if move:
            yield move
    square = []
    for subject, away in aways.items():
        for way in ((math.copysign(1.0, away[0]), 0.0), (0.0, math.copysign(1.0, away[1]))):
            along = way[0] * away[0] + way[1] * away[1]
            if 0.1 < along < 1 - TINY:  # less, and it would have to go more than ten times as far
                square.append(_long_enough(alone, finding, subject, way, along))
    yield from sorted((move for move in square if move), key=lambda m: math.hypot(m.dx, m.dy))


def _long_enough(alone: Trial, finding: Finding, subject: str, way: Point, along: float) -> MoveBy | None:
    """The move along ``way`` after which the subjects by themselves show neither the finding nor a new one."""
    rate = along * float(finding.detail.get("slope", 1.0))
    lacking, length = -(finding.margin or 0.0), 0.0
    for _ in range(_STEPS):
        length = rounded_up(length + lacking / rate, _TIDY)
        move = MoveBy(subject, outward(way[0] * length, _TIDY), outward(way[1] * length, _TIDY))
        outcome = alone.outcome(finding, move)
        if outcome.clears:
            return move
        lacking = max(-(f.margin or 0.0) for f in (*outcome.left, *outcome.fresh))
    return None


def outward(length: float, step: float) -> float:
    """A signed length up to the next multiple of ``step``, away from zero [mm]."""
    return round(math.copysign(rounded_up(abs(length), step), length), 9)


def inward(length: float, step: float) -> float:
    """A length down to the next multiple of ``step``, at least 0 [mm]."""
    return round(max(0.0, math.floor((length + TINY) / step)) * step, 9)


def bits(catalogue: Catalogue, finding: Finding, unit: Unit) -> Iterator[BuyBit]:
    """Bits to buy that reach deep enough, those sold in the unit first, then the nearest to the nominal size.

    A size that no set has may be had all the same; a reach beyond that of every bit of its kind may not.
    """
    detail = finding.detail
    film, deep = float(detail.get("paint", 0.0)), float(detail.get("depth", 0.0))
    nominal = float(detail["nominal"]) + film
    low, high = (float(detail[k]) + film if k in detail else nominal for k in ("smallest", "largest"))
    kind = {"counterbore": "forstner", "recess": "router"}.get(str(detail["cause"]), "")
    own = "inch" if unit is Unit.INCH else "metric"
    for name in sorted(catalogue.bit_sets, key=lambda n: n != own):
        fitting = [
            b
            for b in catalogue.bit_sets[name]
            if (b.kind == kind if kind else b.kind != "router")
            and low - SLIGHT <= b.diameter <= high + SLIGHT
            and b.reach >= deep - SLIGHT
        ]
        fitting.sort(key=lambda b: (abs(b.diameter - nominal), -b.diameter))
        yield from (BuyBit(b.kind, b.diameter, b.reach) for b in fitting)
    plain = kind or ("forstner" if nominal <= _WIDE else "hole-saw")
    if nominal > 0 and deep <= longest_reach(catalogue, plain) + SLIGHT:
        yield BuyBit(plain, nominal, longest_reach(catalogue, plain))


def longest_reach(catalogue: Catalogue, kind: str) -> float:
    """How deep the longest bit of a kind in any set reaches, or a usual one where no set has that kind [mm]."""
    return max((b.reach for bits in catalogue.bit_sets.values() for b in bits if b.kind == kind), default=_REACH)


def swaps(board: ResolvedBoard, catalogue: Catalogue, finding: Finding) -> Iterator[SwapPart]:
    """Parts of the same kind for the same hole, those most alike first."""
    placed = board.placed(finding.subjects[0])
    if placed is None:
        return
    part = placed.part
    alike = [other for other in catalogue.parts.values() if other.id != part.id and _same_hole(part, other)]
    alike.sort(key=lambda other: (type(other.fixing) is not type(part.fixing), _unlike(part, other), other.id))
    yield from (SwapPart(finding.subjects, other.id) for other in alike[:_SWAPS])


def _same_hole(part: Part, other: Part) -> bool:
    if not part.cutouts or len(part.cutouts) != len(other.cutouts):
        return False
    same = all(a.shape == b.shape for a, b in zip(part.cutouts, other.cutouts, strict=True))
    return same and part.kind == other.kind and part.mount == other.mount


def _unlike(part: Part, other: Part) -> float:
    flange, others = (p.flange.shape.reach if p.flange else 0.0 for p in (part, other))
    return round(abs(flange - others) + abs(part.body.depth - other.body.depth), 6)
