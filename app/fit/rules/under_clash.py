"""Bodies, nuts with room to turn them, plates and counterbores of different parts clear each other, and their holes.

Two counterbores or recesses, or one and another part's hole, are cut-outs of the layers both are in, and
the material between them is judged as a web.
"""

from __future__ import annotations

from app.fit.detail import PairDetail
from app.fit.features.layout import Layout
from app.fit.finding import FindingOf
from app.fit.judging.judge import Clash, clashes, finding_of
from app.fit.limits.required_distances import web_asked
from app.fit.rule import Rule
from app.fit.words.finding import both, further_apart, meets, over, phrased
from app.fit.words.lengths import names
from app.model.resolved import ResolvedBoard
from app.units import Unit

_CUT_BELOW = {"counterbore", "recess"}
_CUT = {"hole", *_CUT_BELOW}


def find(layout: Layout) -> list[FindingOf[PairDetail]]:
    """One finding for each two placements, the worst of what clashes."""
    return [
        finding_of(
            RULE.name,
            clash.subjects,
            clash.short,
            clash.way,
            _source(layout, clash),
            PairDetail(what=clash.what, other=clash.other, toward=clash.way.toward),
        )
        for clash in clashes(layout, layout.neighbours, RULE.name)
    ]


def _source(layout: Layout, clash: Clash) -> str:
    both = {clash.what, clash.other}
    if both <= _CUT:
        return web_asked(layout, clash.first, clash.second)[1].material.limits.source.text
    name = "mouth-gap" if "hole" in both else "spanner-room" if "nut" in both else "body-gap"
    return layout.default(name).source.text


def _message(f: FindingOf[PairDetail], board: ResolvedBoard, unit: Unit) -> str:
    features = set(f.detail.things)
    one, two = (f"the {kind} of {names(board, [who])}" for kind, who in zip(f.detail.things, f.subjects, strict=True))
    if (f.measured or 0.0) < 0 and not (meets(f) and f.severity == "caution"):
        return f"Below the board, {one} runs {over(f, unit)} into {two} at worst."
    measured, required = both(f, unit)
    if features & _CUT_BELOW and features <= _CUT:
        left = "No board" if meets(f) else f"Only {measured} of board"
        return f"{left} is left between {one} and {two} at worst; {required} is needed."
    turning = " to turn the nut" if "nut" in features else ""
    apart = "can touch" if meets(f) else f"are {measured} apart"
    return f"Below the board, {one} and {two} {apart} at worst; {required} is needed{turning}."


RULE = Rule(
    name="under-clash",
    meaning="Bodies, nuts with room to turn them, plates, counterbores and holes clear each other below the board.",
    severities=("stop", "caution"),
    source="Common practice, no source: the gaps are defaults of the catalogue; between counterbores the material's "
    "web.",
    detail=PairDetail,
    find=find,
    message=_message,
    phrase=phrased("", " too close below the board"),
    remedy=further_apart,
    moved=True,
)
