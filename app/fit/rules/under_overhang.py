"""What is fixed below lies under the board: it hangs neither past an edge nor into an inner opening.

Past the edge is the side of the box. In an opening a nut presses on nothing; a body or plate there may be meant, as
behind a window, so it is only a caution: its screws and holes are judged by themselves.
"""

from __future__ import annotations

import numpy as np

from app.fit.finding import Finding
from app.fit.judge import worst_each
from app.fit.layout import Layout
from app.fit.rim_findings import hanging_over
from app.fit.rule import Rule
from app.fit.table import kinds_against
from app.fit.things import EDGE, NUT


def find(layout: Layout) -> list[Finding]:
    """One finding for each placement: a stop past the edge, and where a nut reaches into an opening."""
    below, outer = layout.is_any(*kinds_against(RULE.name, EDGE)), layout.rim_insides
    found = hanging_over(layout, RULE.name, outer, below)
    if layout.board.openings:
        inner = below & (layout.insides[0] < outer[0])
        found += hanging_over(layout, RULE.name, layout.insides, inner, np.where(layout.is_any(NUT), 0.0, -np.inf))
    return worst_each(found)


RULE = Rule(
    "under-overhang",
    "Bodies, nuts and plates do not hang past an edge, nor into an inner opening.",
    ("stop", "caution"),
    "Common practice, no source: the gap is a default of the catalogue.",
    find,
)
