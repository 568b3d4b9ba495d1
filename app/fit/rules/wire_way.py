"""Every part that is wired has a way for its wires to its encoder board, round all that hangs below."""

from __future__ import annotations

from collections.abc import Sequence

from app.fit.changes.advice import Advice
from app.fit.detail import Detail
from app.fit.features.layout import Layout
from app.fit.finding import FindingOf
from app.fit.judging.pins import pinned
from app.fit.judging.wired_face import wire_obstacles, wired_face
from app.fit.rule import Rule
from app.fit.words.changes import sentence
from app.fit.words.lengths import names
from app.geometry.wire_ways import parted
from app.model.resolved import ResolvedBoard
from app.units import Unit

_SOURCE = "Common practice, no source: wires keep the gap of the catalogue to what they go round."


class WayDetail(Detail, frozen=True, kw_only=True):
    """A part whose wires cannot get to their encoder board: the placement that is that board."""

    encoder: str


def find(layout: Layout) -> list[FindingOf[WayDetail]]:
    """A stop for each part and encoder board between which there is no way."""
    board = layout.board
    plan, face = board.wiring, wired_face(board)
    if plan is None or not face.encoders or len(face.encoders) < len(plan.encoders):
        return []
    group = parted(board.outline, board.openings, wire_obstacles(board, face), face.points, plan.gap)
    where = {placed.id: k for k, placed in enumerate(face.joined)}
    pairs = dict.fromkeys((pin.part, pin.encoder) for pin in pinned(face, plan.pins).pins)
    found = []
    for part, encoder in pairs:
        here, there = where[part], where[encoder]
        if group[here] < 0 or group[here] != group[there]:
            at = face.points[here]
            detail = WayDetail(cause=encoder, encoder=encoder)
            found.append(
                FindingOf(RULE.name, "stop", (part,), at, None, None, layout.default("wire-gap").source.text, detail)
            )
    return found


def _message(f: FindingOf[WayDetail], board: ResolvedBoard, _unit: Unit) -> str:
    who, to = names(board, f.subjects), names(board, (f.detail.encoder,))
    return f"No wire gets from {who} to {to}: bodies, rails and areas to keep clear leave no way below the board."


def _phrase(_findings: Sequence[FindingOf[WayDetail]], _board: ResolvedBoard, _unit: Unit) -> str:
    return "no way for its wires"


def _remedy(_f: FindingOf[WayDetail], _advice: Advice, _unit: Unit) -> str:
    return sentence(
        [
            "leave more room between the bodies, rails and areas round it",
            "put the encoder board on its side of them",
            "leave it out of the wiring, on the page Wiring",
        ]
    )


RULE = Rule(
    name="wire-way",
    meaning="Every wire has a way to its encoder board, round bodies, counterbores, rails and areas to keep clear.",
    severities=("stop",),
    source=_SOURCE,
    detail=WayDetail,
    find=find,
    message=_message,
    phrase=_phrase,
    remedy=_remedy,
    whole=True,
    harm="a wire has no way",
)
