"""Plugs go into sockets beside each other, with fingers round them; and behind, where a plug and its cable bend."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from app.fit.changes.advice import Advice
from app.fit.detail import Detail
from app.fit.features.features import Ints
from app.fit.features.layout import Layout, subjects_of
from app.fit.finding import FindingOf, Severity
from app.fit.judging.makings import made_by
from app.fit.limits.cut_depths import SLIGHT
from app.fit.rule import Rule
from app.fit.words.changes import sentence
from app.fit.words.finding import both, lacking, meets, over
from app.fit.words.lengths import names
from app.model.maker.making import Making
from app.model.maker.sockets import SOCKETS
from app.model.resolved import ResolvedBoard
from app.units import Unit

_BEHIND_SOURCE = "As entered for the sockets: the plug behind, and the bend of its cable."


@dataclass(frozen=True, slots=True, kw_only=True)
class PlugDetail(Detail):
    """Plugs that have too little room.

    Args:
        behind: whether behind a socket; else between two of them.
    """

    behind: bool


def find(layout: Layout) -> list[FindingOf[PlugDetail]]:
    """One finding for each two sockets too near each other, and for each with too little room behind."""
    found: list[FindingOf[PlugDetail]] = []
    for making in made_by(layout, SOCKETS):
        own = np.array([k for k, p in enumerate(layout.placed) if p.maker == making.id and p.part.cutouts], np.intp)
        found += _beside(layout, making, own)
        found += _behind(layout, making, own)
    return found


def _beside(layout: Layout, making: Making, own: Ints) -> Iterator[FindingOf[PlugDetail]]:
    """Plugs are taken to be as wide every way: sockets may have been moved out of their row."""
    if not len(own):
        return
    fingers, plug = layout.default("plug-fingers"), making.asked.number("plug")
    places = np.array([(layout.placed[k].x, layout.placed[k].y) for k in own])
    apart = np.hypot(*(places[:, None] - places[None]).T) - plug - 2 * layout.allowance.position
    for i, j in np.argwhere(np.triu(apart < fingers.value - SLIGHT, 1)).tolist():
        measured = float(apart[i, j])
        stop = measured + 2 * layout.allowance.position < -SLIGHT
        severity: Severity = "stop" if stop else "caution"
        where = (places[i] + places[j]) / 2
        numbers = (measured + 2 * layout.allowance.position, 0.0) if stop else (measured, fingers.value)
        subjects = subjects_of(layout, [int(own[i]), int(own[j])])
        place = (float(where[0]), float(where[1]))
        detail = PlugDetail(cause="beside", behind=False)
        yield FindingOf(RULE.name, severity, subjects, place, *numbers, fingers.source.text, detail)


def _behind(layout: Layout, making: Making, own: Ints) -> Iterator[FindingOf[PlugDetail]]:
    plane, wanted = layout.board.free_depth, making.asked.number("behind")
    if plane is None:
        return
    for placed in (layout.placed[k] for k in own.tolist()):
        free = plane.at(placed.x, placed.y) - placed.depth_below(layout.board.thickness, layout.board.paint)
        if free < wanted - SLIGHT:
            detail, numbers = PlugDetail(cause="behind", behind=True), (free, wanted)
            place = (placed.x, placed.y)
            yield FindingOf(RULE.name, "caution", (placed.id,), place, *numbers, _BEHIND_SOURCE, detail)


def _message(f: FindingOf[PlugDetail], board: ResolvedBoard, unit: Unit) -> str:
    who, (measured, required) = names(board, f.subjects), both(f, unit)
    if f.detail.behind:
        there = "no room" if (f.measured or 0.0) <= SLIGHT else measured
        return f"Behind {who} there is {there} for a plug and the bend of its cable; {required} is needed."
    if f.severity == "stop":
        return f"Plugs in {who} run {over(f, unit)} into each other: they do not both go in."
    if (f.measured or 0.0) < 0 or meets(f):
        return f"Plugs in {who} can touch at worst; fingers need {required} between them."
    return f"Plugs in {who} have {measured} between them at worst; fingers need {required}."


def _phrase(findings: Sequence[FindingOf[PlugDetail]], _board: ResolvedBoard, unit: Unit) -> str:
    lacks = lacking(findings, unit)
    return f"{lacks} too little room behind for a plug" if findings[0].detail.behind else f"plugs {lacks} too near"


def _remedy(f: FindingOf[PlugDetail], _advice: Advice, _unit: Unit) -> str:
    if f.detail.behind:
        return sentence(["make the cabinet deeper there", "use plugs that point to the side"])
    return sentence(["space the sockets wider", "use narrower plugs"])


RULE = Rule(
    name="plug-room",
    meaning="Plugs have room beside each other for fingers, and behind for themselves and their cable's bend.",
    severities=("stop", "caution"),
    source="Common practice, no source: what fingers need is a default of the catalogue, the rest as entered.",
    detail=PlugDetail,
    find=find,
    message=_message,
    phrase=_phrase,
    remedy=_remedy,
    harm="plugs have too little room",
)
