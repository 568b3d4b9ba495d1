"""Bodies, nuts with room to turn them, plates and counterbores of different parts clear each other, and their holes.

Two counterbores or recesses, or one and another part's hole, are cut-outs of the layers both are in, and
the material between them is judged as a web.
"""

from __future__ import annotations

from app.fit.asked import web_asked
from app.fit.finding import Finding
from app.fit.judge import Clash, clashes, finding_of
from app.fit.layout import Layout
from app.fit.rule import Rule

_CUT = {"hole", "counterbore", "recess"}


def find(layout: Layout) -> list[Finding]:
    """One finding for each two placements, the worst of what clashes."""
    return [
        finding_of(
            RULE.name,
            clash.subjects,
            clash.short,
            clash.way,
            _source(layout, clash),
            {"what": clash.what, "other": clash.other, **clash.way.detail()},
        )
        for clash in clashes(layout, layout.neighbours, RULE.name)
    ]


def _source(layout: Layout, clash: Clash) -> str:
    both = {clash.what, clash.other}
    if both <= _CUT:
        return web_asked(layout, clash.first, clash.second)[1].material.limits.source.text
    name = "mouth-gap" if "hole" in both else "spanner-room" if "nut" in both else "body-gap"
    return layout.default(name).source.text


RULE = Rule(
    "under-clash",
    "Bodies, nuts with room to turn them, plates, counterbores and holes clear each other below the board.",
    ("stop", "caution"),
    "Common practice, no source: the gaps are defaults of the catalogue; between counterbores the material's web.",
    find,
)
