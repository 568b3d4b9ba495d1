"""What a builder buys or uses instead: bits, and other parts for the same hole. None is tried here."""

from __future__ import annotations

from collections.abc import Iterator

from app.catalogue.load import Catalogue
from app.fit.detail import BitDetail, Detail
from app.fit.finding import FindingOf
from app.fit.limits.cut_depths import SLIGHT
from app.model.fix import BuyBit, SwapPart
from app.model.part import Part
from app.model.resolved import ResolvedBoard
from app.units import Unit

_SWAPS = 12  # other parts tried, most alike first
_REACH, _WIDE = 50.0, 50.0  # mm: a bit of a kind in no set reaches so deep; a wider hole takes a hole saw


def bits(catalogue: Catalogue, detail: BitDetail, unit: Unit) -> Iterator[BuyBit]:
    """Bits to buy that reach deep enough, those sold in the unit first, then the nearest to the nominal size.

    A size that no set has may be had all the same; a reach beyond that of every bit of its kind may not.
    """
    film, deep = detail.paint, detail.depth
    nominal = detail.nominal + film
    low = nominal if detail.smallest is None else detail.smallest + film
    high = nominal if detail.largest is None else detail.largest + film
    kind = {"counterbore": "forstner", "recess": "router"}.get(detail.cause, "")
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


def swaps(board: ResolvedBoard, catalogue: Catalogue, finding: FindingOf[Detail]) -> Iterator[SwapPart]:
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
