"""Bits to buy as they may be advised: their sizes as they are said and asked for."""

from __future__ import annotations

from app.catalogue.load import Catalogue
from app.fit.changes.advice import Maker
from app.fit.changes.exchanges import bits
from app.fit.changes.manual_changes import Change
from app.fit.detail import BitDetail
from app.fit.finding import FindingOf
from app.fit.limits.cut_depths import inward
from app.fit.words.lengths import sold, steps
from app.model.fix import BuyBit
from app.units import Unit, parse_length
from app.values import replace


def bits_as_read(finding: FindingOf[BitDetail], catalogue: Catalogue) -> Maker:
    """Bits that would do for a finding, as they are said in a unit; on its coarsest step only, as they are sold."""

    def bought(unit: Unit, step: float) -> list[Change]:
        if step != steps(unit)[0]:
            return []
        found = bits(catalogue, finding.detail, unit)
        return [replace(bit, diameter=_as_read(bit, finding.detail, unit, step)) for bit in found]

    return bought


def _as_read(bit: BuyBit, detail: BitDetail, unit: Unit, step: float) -> float:
    """The size of a bit as it is said [mm]."""
    if detail.cause == "recess":  # its corners may be rounder than the bit, never tighter
        return inward(bit.diameter, step)
    return parse_length(sold(bit.diameter, unit), unit)
