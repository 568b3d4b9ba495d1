"""Enough material between any two cut-outs of one layer.

Holes of a pattern are each drilled by themselves, and judged like those of two parts. Holes of one part are not. Where
they overlap they are one opening. Where they do not, the part fixes both with one template, so they cannot drift toward
each other, and the builder cannot move one of them: only a web thinner than the material can stand, as drawn, is worth
a caution.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from app.fit.changes.advice import Advice
from app.fit.detail import PairDetail
from app.fit.features.features import HOLE, WORDS
from app.fit.features.heaps import HEAP, Heap
from app.fit.features.layout import Layout, subjects_of
from app.fit.finding import FindingOf
from app.fit.judging.judge import Clash, clashes, finding_of
from app.fit.limits.layer_limits import web_limits
from app.fit.limits.required_distances import web_asked
from app.fit.rule import Rule
from app.fit.words.finding import AS_MADE, both, further_apart, lacking, meets, over
from app.fit.words.lengths import names, say
from app.model.resolved import ResolvedBoard
from app.units import Unit


class WebDetail(PairDetail, frozen=True, kw_only=True):
    """Two cut-outs with too thin a web, or a heap of them.

    Args:
        layer: name of the material that asks for more.
    """

    layer: str


def find(layout: Layout) -> list[FindingOf[WebDetail]]:
    """One finding for each two placements, or each placement, with too thin a web; one for each heap."""
    found = [_heaped(layout, heap) for heap in layout.heaps]
    for own, near in ((False, layout.neighbours), (True, layout.own_pairs)):
        found += [_finding(layout, clash, own) for clash in clashes(layout, near, RULE.name)]
    return found


def _finding(layout: Layout, clash: Clash, own: bool) -> FindingOf[WebDetail]:
    stop, caution = web_asked(layout, clash.first, clash.second)
    own = own and not layout.patterned[layout.features.owner[clash.first]]
    layer = stop if own or clash.short.severity == "stop" else caution
    detail = WebDetail(
        what=clash.what,
        other=clash.other,
        layer=layer.material.name,
        own=own,
        toward=None if own or len(clash.subjects) == 1 else clash.way.toward,
    )
    return finding_of(RULE.name, clash.subjects, clash.short, clash.way, layer.material.limits.source.text, detail)


def _heaped(layout: Layout, heap: Heap) -> FindingOf[WebDetail]:
    """The hole of each of a heap runs into that of the one they are on, so no board is left between them."""
    on = layout.placed[heap.first]
    limits = web_limits(layout.board.layers, np.array([max((h.diameter for h in on.holes[:1]), default=0.0)]))[0]
    layer = layout.board.layers[int(limits.layer[0])].material
    subjects = subjects_of(layout, (heap.first, *heap.others))
    detail = WebDetail(cause=HEAP, what=WORDS[HOLE], other=WORDS[HOLE], layer=layer.name)
    return FindingOf(RULE.name, "stop", subjects, (on.x, on.y), None, None, layer.limits.source.text, detail)


def _message(f: FindingOf[WebDetail], board: ResolvedBoard, unit: Unit) -> str:
    if f.detail.cause == HEAP:
        return f"The holes of {len(f.subjects) - 1} parts run into the hole of {names(board, f.subjects[:1])}."
    who, layer = names(board, f.subjects), f.detail.layer
    measured, required = both(f, unit)
    if meets(f):
        return f"The holes of {who} can run into each other at worst; {layer} needs {required} between them."
    if (f.measured or 0.0) < 0:
        needed = say(f.required or 0.0, unit)
        return f"The holes of {who} run {over(f, unit)} into each other at worst; {layer} needs {needed} between them."
    if len(f.subjects) == 1 and not f.detail.own:
        return f"Only {measured} of board is left between holes of {who} at worst; {layer} needs {required}."
    if len(f.subjects) == 1:
        return f"Only {measured} of board is left between {who}'s own holes; {layer} needs {required}."
    return f"Only {measured} of board is left between {who} at worst; {layer} needs {required}."


def _phrase(findings: Sequence[FindingOf[WebDetail]], _board: ResolvedBoard, unit: Unit) -> str:
    if findings[0].detail.cause == HEAP:
        return "on top of one another" if len(findings) == 1 else f"on top of one another, in {len(findings)} places"
    return f"board between holes {lacking(findings, unit)} too thin"


def _remedy(f: FindingOf[WebDetail], advice: Advice, unit: Unit) -> str:
    if f.detail.cause == HEAP:
        return "Move them apart, or delete what is there by mistake. Then look at what else they touch."
    if len(f.subjects) == 1:
        return AS_MADE if f.detail.own else "Widen the pitch of the pattern, or make its holes smaller."
    return further_apart(f, advice, unit)


def _measures(_finding: FindingOf[WebDetail]) -> tuple[str, ...]:
    """None: holes are as wide as their bits."""
    return ()


RULE = Rule(
    name="web",
    meaning="Enough board is left between any two cut-outs.",
    severities=("stop", "caution"),
    source="The limits of each layer's material.",
    detail=WebDetail,
    find=find,
    message=_message,
    phrase=_phrase,
    remedy=_remedy,
    moved=True,
    measures=_measures,
)
