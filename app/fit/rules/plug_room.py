"""Plugs go into sockets beside each other, with fingers round them; and behind, where a plug and its cable bend.

Behind them no measure of the sockets helps: the cabinet has to be deeper, which no machine makes.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np

from app.catalogue.load import Catalogue
from app.fit.changes.advice import Advice, Maker
from app.fit.changes.manual_changes import DeepenBox
from app.fit.detail import Detail
from app.fit.features.features import Floats, Ints
from app.fit.features.layout import Layout, subjects_of
from app.fit.finding import FindingOf, Severity
from app.fit.judging.makings import made_by, making_of
from app.fit.limits.cut_depths import SLIGHT, rounded_up
from app.fit.rule import Rule
from app.fit.words.changes import options, options_besides
from app.fit.words.finding import both, lacking, meets, over
from app.fit.words.lengths import move_steps, names, steps
from app.geometry.shapes import Point
from app.model.fix import Remake
from app.model.maker.making import Making
from app.model.maker.sockets import SOCKETS
from app.model.resolved import ResolvedBoard
from app.units import Unit

_BEHIND_SOURCE = "As entered for the sockets: the plug behind, and the bend of its cable."


class PlugDetail(Detail, frozen=True, kw_only=True):
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
        first = i if layout.ids[own[i]] == subjects[0] else j
        detail = PlugDetail(cause="beside", behind=False, toward=_away(places[first] - places[i + j - first]))
        yield FindingOf(RULE.name, severity, subjects, place, *numbers, fingers.source.text, detail)


def _away(apart: Floats) -> Point | None:
    """The way the first of two moves away from the other; None where both are at one place."""
    length = float(np.hypot(*apart))
    return (float(apart[0]) / length, float(apart[1]) / length) if length > SLIGHT else None


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


def _remedy(f: FindingOf[PlugDetail], advice: Advice, unit: Unit) -> str:
    if f.detail.behind:
        deeper = () if advice.ways else ("make the cabinet deeper there",)
        return options(f, advice, unit, *deeper, "use plugs that point to the side")
    return options_besides(f, advice, unit, ("spacing", "space the sockets wider"), ("", "use narrower plugs"))


def _tries(f: FindingOf[PlugDetail], board: ResolvedBoard, catalogue: Catalogue) -> Iterator[Maker]:
    """Behind, a deeper box; beside, a wider spacing of the whole row. One that stands alone is moved."""
    making = making_of(board, f)
    if making is None:
        return
    if f.detail.behind:
        lacks = (f.required or 0.0) - (f.measured or 0.0)
        yield lambda _unit, step: [DeepenBox(f.subjects, rounded_up(lacks, step))]
        return
    apart = making.asked.number("plug") + 2 * board.tooling.drilling.position + catalogue.rule("plug-fingers")
    if apart <= making.asked.number("spacing") + SLIGHT:
        return
    yield (
        lambda unit, step: (
            [Remake(making.id, (("spacing", rounded_up(apart, move_steps(unit)[0])),))]
            if step == steps(unit)[0]
            else []
        )
    )


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
    tries=_tries,
    moved=True,
    harm="plugs have too little room",
)
