"""Every screw in the board has enough of it to the sides: to holes, counterbores, recesses and other screws.

A screw's own pilot hole is a cut-out like any other, so the web of the layer it enters is asked for. Where enough
board lies between by height, as below the tip of a short screw from the top, nothing is asked. A screw over a hole or
counterbore of its own part holds in nothing.
"""

from __future__ import annotations

from app.fit.asked import web_asked
from app.fit.finding import Finding
from app.fit.judge import clashes, finding_of
from app.fit.layout import Layout
from app.fit.rule import Rule


def find(layout: Layout) -> list[Finding]:
    """One finding for each two placements, or each placement by itself."""
    found = []
    for own, near in ((False, layout.neighbours), (True, layout.own_pairs)):
        for clash in clashes(layout, near, RULE.name):
            stop, caution = web_asked(layout, clash.first, clash.second)
            layer = stop if own or clash.short.severity == "stop" else caution
            detail: dict[str, float | str] = {"what": clash.what, "other": clash.other, "layer": layer.material.name}
            found.append(
                finding_of(
                    RULE.name,
                    clash.subjects,
                    clash.short,
                    clash.way,
                    layer.material.limits.source.text,
                    {**detail, **({"own": "yes"} if own else clash.way.detail())},
                )
            )
    return found


RULE = Rule(
    "screw-distance",
    "Enough board is left between each screw and holes, counterbores, recesses and other screws.",
    ("stop", "caution"),
    "The web of the material a screw enters.",
    find,
)
