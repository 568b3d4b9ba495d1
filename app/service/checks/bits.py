"""The bit for each hole, counterbore and recess of a board, and what to buy where none will do."""

from __future__ import annotations

from app.catalogue.load import catalogue
from app.fit.changes.changed_board import bought
from app.fit.detail import BitDetail
from app.model.fix import BuyBit
from app.model.tooling import Bit
from app.service.checks.checking import CheckResult, named_findings
from app.shop.bit_uses import BitUse, uses_of
from app.values import replace

__all__ = ["BitUse", "bit_uses"]


def bit_uses(seen: CheckResult) -> tuple[BitUse, ...]:
    """Every size of hole, then of counterbore and recess, on the drilled placements of a board, with its bit."""
    buys = _purchases(seen)
    return tuple(
        replace(row, buy=buys.get(_key(row.sort, row.placements[0].id, row.nominal), row.buy))
        for row in uses_of(seen.resolved)
    )


def _purchases(seen: CheckResult) -> dict[tuple[str, str, float], Bit]:
    """The bit that each hole or counterbore without one asks for, as the report's own fix says."""
    found: dict[tuple[str, str, float], Bit] = {}
    for name, finding in named_findings(seen.report):
        detail = finding.detail
        if not isinstance(detail, BitDetail) or finding.severity == "note":
            continue
        fix = seen.fix_for(name, finding)
        if isinstance(fix, BuyBit):
            bit = bought(fix, catalogue())
            # How deep a bit has to go is asked of a hole with its paint, how wide of the hole without.
            film = 2 * seen.resolved.paint if detail.short and detail.cut == "hole" else 0.0
            found |= {_key(detail.cut, each, detail.nominal - film): bit for each in finding.subjects}
    return found


def _key(sort: str, placement: str, nominal: float) -> tuple[str, str, float]:
    return (sort, placement, round(nominal, 6))
