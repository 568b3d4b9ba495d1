"""The counterbore and the recess with which the fields of a part begin: what the fit report says would do."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from msgspec import Struct

from app.fit.changes.advice import Advice
from app.model.fix import CounterboreAt, RecessAt, SeveralFixes
from app.model.resolved import Placed
from app.service.checks.advice import bore_advice, does_for_all
from app.service.checks.checking import CheckResult
from app.units import Unit


class ProposedCuts(Struct, frozen=True):
    """What may be cut from below about a part, or about several alike, where nothing is cut yet.

    Args:
        bore: diameter and depth of a counterbore [mm]; None where none is advised.
        recess: width, front to back, corner radius and depth of a recess [mm]; likewise.
    """

    bore: tuple[float, float] | None = None
    recess: tuple[float, float, float, float] | None = None


def proposed_cuts(seen: CheckResult, held: Sequence[Placed]) -> ProposedCuts:
    """What would do for all of the placements, with the figures that are said in the unit on screen.

    It is what a finding about all of them advises. Where none of them has tried anything, it is the shallowest
    counterbore with which the part holds, by a bit of the shop. Nothing is proposed where something is cut already.
    """
    bare = not any(p.counterbore for p in held)
    plain = not any(p.recess for p in held)
    bore: tuple[float, float] | None = None
    recess: tuple[float, float, float, float] | None = None
    refused = False
    for advice in _advice(seen, held) if bare or plain else ():
        refused = refused or (advice.tried and advice.refused is not None)
        for cut in _cuts(advice, Unit(seen.resolved.units)):
            if not {p.id for p in held} <= set(cut.placements):
                continue
            if isinstance(cut, CounterboreAt) and bare:
                bore = bore or (cut.diameter, cut.depth)
            elif isinstance(cut, RecessAt) and plain:
                recess = recess or (cut.width, cut.height, cut.corner, cut.depth)
    if bore is None and bare and not refused:
        bore = _holding(seen, held)
    return ProposedCuts(bore, recess)


def _advice(seen: CheckResult, held: Sequence[Placed]) -> Iterator[Advice]:
    ids = {p.id for p in held}
    about = (f for f in seen.report.open if ids <= set(f.subjects))
    # Of others no counterbore and no recess is thought of: trying what would clear them is for the report.
    return (seen.report.advice_for(f) for f in about if f.detail.bore is not None or f.detail.recess is not None)


def _cuts(advice: Advice, unit: Unit) -> Iterator[CounterboreAt | RecessAt]:
    for way in advice.ways:
        made = way.made(unit)
        for step in made.fixes if isinstance(made, SeveralFixes) else (made,):
            if isinstance(step, CounterboreAt | RecessAt):
                yield step


def _holding(seen: CheckResult, held: Sequence[Placed]) -> tuple[float, float] | None:
    """The counterbore that all of them need; None if one of them needs none, or no one size does for all."""
    board = seen.resolved
    widths, depths = [], []
    for placed in held:
        advice = bore_advice(board, placed)
        if advice is None or not advice.depth:
            return None
        widths.append(advice.width)
        depths.append(advice.depth)
    depth = max(depths)
    bit = board.tooling.counterbore_bit(max(widths), depth)
    return (bit.diameter, depth) if bit is not None and does_for_all(board, held, depth) else None
