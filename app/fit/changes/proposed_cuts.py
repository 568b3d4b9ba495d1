"""Counterbores and recesses that may be advised, their figures as they will be said."""

from __future__ import annotations

from collections.abc import Iterator

from app.catalogue.load import Catalogue
from app.fit.changes.advice import Maker, Single
from app.fit.changes.exchanges import longest_reach
from app.fit.changes.manual_changes import Change, LeaveOut
from app.fit.detail import BitDetail, BoreDetail, Detail
from app.fit.finding import FindingOf
from app.fit.limits.cut_depths import SLIGHT, TINY, inward, rounded_up, steps_about
from app.model.fix import BuyBit, CounterboreAt, RecessAt, SeveralFixes
from app.model.resolved import Recess, ResolvedBoard
from app.units import Unit
from app.values import replace

_WIDTHS = 3  # wider bits that are thought of where the shop has none


def bore_tries(finding: FindingOf[BoreDetail], _board: ResolvedBoard, catalogue: Catalogue) -> Iterator[Maker]:
    """The counterbore with which a part holds, by a bit of the shop; where it has none, with a bit to buy."""
    bore, ids = finding.detail.bore, finding.subjects
    wider = finding.detail.cause == "width"  # it is made wider, as deep as it is
    if bore is None:
        return
    if bore.depth == 0 and not wider:
        yield lambda _unit, _step: [LeaveOut(ids, "counterbore")]
        return
    depth = finding.detail.made_depth if wider else bore.depth or 0.0
    if depth <= 0:
        return

    def depths(step: float) -> list[float]:
        return [depth] if wider else steps_about(depth, step)

    if bore.bit is not None:
        width = bore.bit.diameter
        yield lambda _, step: [CounterboreAt(ids, width, deep) for deep in depths(step)]
    else:
        least = bore.width
        yield lambda unit, step: [
            SeveralFixes((bit, CounterboreAt(ids, bit.diameter, deep)))
            for bit in _flat(catalogue, least, depth, unit)
            for deep in depths(step)[:1]
        ]


def other_bores(finding: FindingOf[BitDetail], board: ResolvedBoard) -> Maker:
    """Counterbores as deep as they are, as wide as the shop's flat-bottomed bits, the nearest first."""
    made = {p.counterbore for p in board.placements if p.id in finding.subjects and p.counterbore}
    width = finding.detail.nominal
    flat = {b.diameter for b in board.tooling.bits if b.kind == "forstner"}
    if len(made) != 1:
        return lambda _unit, _step: []
    depth = next(iter(made)).depth
    near = sorted(flat, key=lambda d: (abs(d - width), d))
    return lambda _unit, _step: [CounterboreAt(finding.subjects, d, depth) for d in near]


def recess_tries(finding: FindingOf[Detail], board: ResolvedBoard, catalogue: Catalogue) -> Iterator[Maker]:
    """The recess that a finding asks for, or none where it asks for none."""
    recess = finding.detail.recess
    if recess is None:
        return
    if recess.depth > 0:
        yield _recesses(finding, recess, board, catalogue)
    else:
        yield lambda _unit, _step: [LeaveOut(finding.subjects, "recess")]


def _recesses(finding: FindingOf[Detail], recess: Recess, board: ResolvedBoard, catalogue: Catalogue) -> Maker:
    """The recess a finding asks for: its sides and corners no smaller than asked, its depth near enough."""
    asked = recess_at(finding.subjects, recess)
    placed = board.placed(finding.subjects[0])
    made = placed.recess if placed else None
    same = made is not None and (made.width, made.height, made.corner) == (asked.width, asked.height, asked.corner)
    if made is not None and abs(made.depth - asked.depth) <= TINY:
        asked = replace(asked, depth=made.depth)

    def sized(_: Unit, step: float) -> list[Change]:
        corner = asked.corner if same else rounded_up(asked.corner, step)
        width, height = (side if same else rounded_up(side, step) for side in (asked.width, asked.height))
        sides = (max(width, 2 * corner), max(height, 2 * corner))
        kept = made is not None and made.depth == asked.depth
        depths = [asked.depth] if kept else steps_about(asked.depth, step)
        cuts = [RecessAt(asked.placements, *sides, corner, deep) for deep in depths]
        bit = _router(board, catalogue, corner, max(depths), step) if made is None else None
        return [SeveralFixes((bit, cut)) for cut in cuts] if bit else list(cuts)

    return sized


def _router(board: ResolvedBoard, catalogue: Catalogue, corner: float, depth: float, step: float) -> BuyBit | None:
    """A router bit to buy for corners of that radius, its width as it is said; None where the shop has any."""
    if any(b.kind == "router" for b in board.tooling.bits):
        return None
    reach = longest_reach(catalogue, "router")
    return BuyBit("router", inward(2 * corner, step), reach) if reach >= depth - SLIGHT else None


def _flat(catalogue: Catalogue, width: float, depth: float, unit: Unit) -> list[BuyBit]:
    """Flat-bottomed bits of the unit's set at least so wide and so long, the narrowest first."""
    name = "inch" if unit is Unit.INCH else "metric"
    fitting = [
        b
        for b in catalogue.bit_sets.get(name, ())
        if b.kind == "forstner" and b.diameter >= width - SLIGHT and b.reach >= depth - SLIGHT
    ]
    fitting.sort(key=lambda b: b.diameter)
    return [BuyBit(b.kind, b.diameter, b.reach) for b in fitting[:_WIDTHS]]


def bore_fixes(finding: FindingOf[BoreDetail]) -> Iterator[CounterboreAt]:
    """The counterbore that a finding asks for, by a bit of the shop."""
    bore = finding.detail.bore
    if bore is not None and bore.bit is not None:
        depth = finding.detail.made_depth if finding.detail.cause == "width" else bore.depth or 0.0
        if depth > 0:
            yield CounterboreAt(finding.subjects, bore.bit.diameter, depth)


def recess_fixes(
    finding: FindingOf[Detail], _board: ResolvedBoard, _catalogue: Catalogue, _unit: Unit
) -> Iterator[Single]:
    """The recess that a finding asks for."""
    recess = finding.detail.recess
    if recess is not None and recess.depth > 0:
        yield recess_at(finding.subjects, recess)


def recess_at(placements: tuple[str, ...], recess: Recess) -> RecessAt:
    """A recess as it is made at placements."""
    return RecessAt(placements, recess.width, recess.height, recess.corner, recess.depth)
