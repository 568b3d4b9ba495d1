"""Counterbores: the one a part needs on this board, and what is wrong with one that is there."""

from __future__ import annotations

from collections.abc import Sequence

from app.fit.detail import BoreDetail, Proposal
from app.fit.features.layout import Layout, subjects_of
from app.fit.finding import FindingOf, Severity
from app.fit.judging.recess_check import depth_steps
from app.fit.limits.cut_depths import SLIGHT, bore_width, depth_needed, ledge_below, narrowest_bore
from app.geometry.shapes import Point
from app.model.part import NutFixing, Part
from app.model.resolved import Counterbore


def propose(layout: Layout, part: Part) -> Proposal:
    """The shallowest counterbore, and the narrowest of the shop's bits, with which the part holds.

    Its depth is on the first step of a depth stop that will do, metric or inch, whatever unit is on screen.
    """
    board = layout.board
    found = (depth_needed(board.layers, part, step, board.paint) for step in depth_steps(layout))
    depth = next((one for one in found if one is not None), None)
    room = bore_width(part, layout.default("spanner-room").value, layout.default("clip-room").value)
    width = room + 2 * board.paint
    bit = board.tooling.counterbore_bit(width, depth or 0.0)
    return Proposal(depth, width, bit, board.thickness - (depth or 0.0))


def subjects_and_place(layout: Layout, owners: Sequence[int]) -> tuple[tuple[str, ...], Point]:
    """The subjects of a finding that several placements share, and the place of the first of them."""
    subjects = subjects_of(layout, owners)
    first = next(i for i in owners if layout.ids[i] == subjects[0])
    return subjects, (layout.placed[first].x, layout.placed[first].y)


def bore_findings(
    layout: Layout, rule: str, part: Part, bore: Counterbore, owners: Sequence[int]
) -> list[FindingOf[BoreDetail]]:
    """What is wrong with a counterbore that placements of one part share: its ledge, or its width."""
    subjects, where = subjects_and_place(layout, owners)
    ledge = ledge_below(layout.board.layers, bore.depth)
    proposal = propose(layout, part)
    room = layout.default("spanner-room" if isinstance(part.fixing, NutFixing) else "clip-room")
    paint = 2 * layout.board.paint
    needed, least, wide = proposal.width - paint, narrowest_bore(part), bore.diameter - paint
    found = []
    if not ledge.carries:
        source = ledge.layer.material.limits.source.text if ledge.layer else "A hole right through is no counterbore."
        layer = ledge.layer.material.name if ledge.layer else ""
        detail = BoreDetail(cause="ledge", layer=layer, wanted_bore=proposal, made_depth=bore.depth)
        found.append(FindingOf(rule, "stop", subjects, where, ledge.thickness, ledge.floor, source, detail))
    if wide < needed - SLIGHT:
        tight = wide < least - SLIGHT
        severity: Severity = "stop" if tight else "caution"
        numbers = (wide, least if tight else needed)
        detail = BoreDetail(cause="width", nut=least, wanted_bore=proposal, made_depth=bore.depth)
        found.append(FindingOf(rule, severity, subjects, where, *numbers, room.source.text, detail))
    return found
