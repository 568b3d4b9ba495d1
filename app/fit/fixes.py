"""The smallest change that clears a finding: tried, checked again, and offered only if it makes nothing worse.

Checking again takes as long as a report, so a fix is worked out when somebody asks for it.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import replace

from app.catalogue.load import Catalogue
from app.fit.change import with_fix
from app.fit.depth import TINY, rounded_up
from app.fit.finding import SEVERITIES, Finding
from app.fit.findings import findings_of
from app.geometry.shapes import Point
from app.model.fix import BuyBit, CounterboreAt, Fix, MoveBy, RecessAt, Several, SwapPart
from app.model.part import Part
from app.model.resolved import ResolvedBoard

_STEPS = 6  # a move is lengthened this often before its direction is given up
_TIDY = 0.01  # moves are rounded up to this, so that coordinates stay short [mm]
_SWAPS = 12  # other parts tried, most alike first
_REACH, _WIDE = 50.0, 50.0  # mm: a bit of no set reaches so deep; a hole that wide and wider takes a hole saw
_TOGETHER = 16  # changes made as one; more take too long to work out while somebody waits

_Single = MoveBy | CounterboreAt | RecessAt | BuyBit | SwapPart


def find_fix(
    board: ResolvedBoard, catalogue: Catalogue, finding: Finding, before: Sequence[Finding] | None = None
) -> Fix | None:
    """The smallest change that clears ``finding`` and adds no stop and no caution; None if no simple one does.

    Args:
        board: the board it was found on.
        catalogue: the rules' defaults, bits to buy and other parts.
        finding: what is to be cleared.
        before: everything found on the board; worked out if not given.
    """
    was = findings_of(board, catalogue) if before is None else before
    for fix in _candidates(board, catalogue, finding, was):
        now = findings_of(with_fix(board, fix, catalogue), catalogue)
        if not _still(finding, now) and not any(_fresh(f, was) for f in now):
            return fix
    return None


def fix_all(
    board: ResolvedBoard, catalogue: Catalogue, findings: Sequence[Finding], before: Sequence[Finding]
) -> Fix | None:
    """One change that clears all of ``findings`` and adds no stop and no caution; None if there is none.

    Each is mended on the board as the changes before it leave it, so that what mends two is made once.

    Args:
        board: the board they were found on.
        catalogue: the rules' defaults, bits to buy and other parts.
        findings: what is to be cleared.
        before: everything found on the board.
    """
    if len(findings) > _TOGETHER:
        return None
    steps: list[_Single] = []
    mended, now = board, before
    for finding in findings:
        while left := _still(finding, now):
            fix = find_fix(mended, catalogue, left[0], now) if len(steps) < _TOGETHER else None
            if fix is None or isinstance(fix, Several):
                return None
            steps.append(fix)
            mended = with_fix(mended, fix, catalogue)
            now = findings_of(mended, catalogue)
    if any(_fresh(f, before) for f in now):
        return None
    joined = _joined(steps)
    return joined[0] if len(joined) == 1 else Several(joined) if joined else None


def _joined(steps: Sequence[_Single]) -> tuple[_Single, ...]:
    """Counterbores and recesses of one size, and exchanges for one part, as one change each."""
    if len({type(step) is SwapPart for step in steps}) > 1:
        return tuple(steps)  # an exchange takes a counterbore away, so the order counts
    found: dict[object, _Single] = {}
    for step in steps:
        if isinstance(step, MoveBy | BuyBit):
            found[step, len(found)] = step
            continue
        size = replace(step, placements=())
        other = found.get(size)
        before = () if other is None or isinstance(other, MoveBy | BuyBit) else other.placements
        found[size] = replace(step, placements=tuple(dict.fromkeys((*before, *step.placements))))
    return tuple(found.values())


def _candidates(board: ResolvedBoard, catalogue: Catalogue, finding: Finding, was: Sequence[Finding]) -> Iterator[Fix]:
    detail = finding.detail
    if "toward_x" in detail:
        yield from sorted(_moves(board, catalogue, finding, was), key=lambda m: math.hypot(m.dx, m.dy))
    if "recess_depth" in detail and float(detail["recess_depth"]) > 0:
        yield RecessAt(
            finding.subjects, *(float(detail[f"recess_{k}"]) for k in ("width", "height", "corner", "depth"))
        )
    if finding.rule in ("bit-match", "bit-depth") and finding.severity != "note":
        yield from _bits(board, catalogue, finding)
    if "width" in detail and "bit" in detail:
        depth = detail["made_depth"] if detail.get("cause") == "width" else detail.get("depth", 0.0)
        if float(depth) > 0:
            yield CounterboreAt(finding.subjects, float(detail["bit"]), float(depth))
    if finding.rule in ("thread-reach", "snap-grip", "depth-below", "lever-height"):
        yield from _swaps(board, catalogue, finding)


def _moves(board: ResolvedBoard, catalogue: Catalogue, finding: Finding, was: Sequence[Finding]) -> Iterator[MoveBy]:
    """Moves of either subject: straight out, and along x or y, each as long as it takes by itself."""
    toward = (float(finding.detail["toward_x"]), float(finding.detail["toward_y"]))
    if finding.margin is None or toward == (0.0, 0.0):
        return
    alone = replace(board, placements=tuple(p for p in board.placements if p.id in finding.subjects))
    for subject, sign in zip(finding.subjects, (1.0, -1.0), strict=False):
        placed = board.placed(subject)
        if placed is None or placed.locked:
            continue
        away = (sign * toward[0], sign * toward[1])
        for way in (away, (math.copysign(1.0, away[0]), 0.0), (0.0, math.copysign(1.0, away[1]))):
            along = way[0] * away[0] + way[1] * away[1]
            if along > 0.1:  # else it would have to go more than ten times as far
                move = _long_enough(alone, catalogue, finding, was, subject, way, along)
                if move:
                    yield move


def _long_enough(
    alone: ResolvedBoard,
    catalogue: Catalogue,
    finding: Finding,
    was: Sequence[Finding],
    subject: str,
    way: Point,
    along: float,
) -> MoveBy | None:
    """The move along ``way`` after which the subjects by themselves show neither the finding nor a new one."""
    rate = along * float(finding.detail.get("slope", 1.0))
    lacking, length = -(finding.margin or 0.0), 0.0
    for _ in range(_STEPS):
        length = rounded_up(length + lacking / rate, _TIDY)
        move = MoveBy(subject, way[0] * length, way[1] * length)
        now = findings_of(with_fix(alone, move, catalogue), catalogue)
        left = [*_still(finding, now), *(f for f in now if _fresh(f, was))]
        if not left:
            return move
        lacking = max(-(f.margin or 0.0) for f in left)
    return None


def _bits(board: ResolvedBoard, catalogue: Catalogue, finding: Finding) -> Iterator[BuyBit]:
    """Bits to buy that reach deep enough, those of the board's units first, then the nearest to the nominal size."""
    detail = finding.detail
    film, deep = float(detail.get("paint", 0.0)), float(detail.get("depth", 0.0))
    nominal = float(detail["nominal"]) + film
    low, high = (float(detail[k]) + film if k in detail else nominal for k in ("smallest", "largest"))
    kind = {"counterbore": "forstner", "recess": "router"}.get(str(detail["cause"]), "")
    own = "inch" if board.units == "inch" else "metric"
    for name in sorted(catalogue.bit_sets, key=lambda n: n != own):
        fitting = [
            b
            for b in catalogue.bit_sets[name]
            if (b.kind == kind if kind else b.kind != "router")
            and low - TINY <= b.diameter <= high + TINY
            and b.reach >= deep - TINY
        ]
        fitting.sort(key=lambda b: (abs(b.diameter - nominal), -b.diameter))
        yield from (BuyBit(b.kind, b.diameter, b.reach) for b in fitting)
    plain = kind or ("forstner" if nominal <= _WIDE else "hole-saw")
    if nominal > 0:
        yield BuyBit(plain, nominal, max(_REACH, deep))


def _swaps(board: ResolvedBoard, catalogue: Catalogue, finding: Finding) -> Iterator[SwapPart]:
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


def _cause(finding: Finding) -> tuple[object, ...]:
    """What tells findings of one rule about the same subjects apart: the edge, the area, what is wrong."""
    names = ("cause", "edge", "index") if finding.rule in _APART else ("cause",)
    return (finding.rule, *(finding.detail.get(name) for name in names))


_APART = ("edge-slot", "rail-clash")


def _still(finding: Finding, now: Sequence[Finding]) -> list[Finding]:
    """What is left of a finding: the same trouble with the same subjects, or with some of them; no mere note."""
    subjects, cause = set(finding.subjects), _cause(finding)
    return [f for f in now if f.severity != "note" and _cause(f) == cause and set(f.subjects) <= subjects]


def _fresh(finding: Finding, was: Sequence[Finding]) -> bool:
    """Whether a stop or caution is new, or worse than it was."""
    if finding.severity == "note":
        return False
    return not any(
        _cause(old) == _cause(finding)
        and set(finding.subjects) <= set(old.subjects)
        and SEVERITIES.index(old.severity) <= SEVERITIES.index(finding.severity)
        and (old.severity != finding.severity or old.lack >= finding.lack - TINY)
        for old in was
    )
