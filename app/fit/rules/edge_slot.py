"""No cut-out, counterbore or screw reaches a slot cut into an edge for a moulding."""

from __future__ import annotations

import numpy as np

from app.fit.finding import Finding
from app.fit.judge import finding_of
from app.fit.layout import Layout
from app.fit.rule import Rule
from app.fit.strip_clash import meetings
from app.fit.table import kinds_against
from app.fit.things import SLOT


def find(layout: Layout) -> list[Finding]:
    """One finding for each placement and slotted edge: a stop where it would break into the slot."""
    if not layout.board.slots:
        return []
    gap = layout.default("slot-gap")
    which = layout.things.of(*kinds_against(RULE.name, SLOT))
    return [
        finding_of(
            RULE.name,
            (meeting.subject,),
            meeting.short,
            meeting.way,
            gap.source.text,
            {
                "what": meeting.what,
                "edge": meeting.strip.edge,
                "slot": meeting.strip.width,
                **meeting.way.detail(),
            },
        )
        for meeting in meetings(layout, layout.board.slots, which, np.full(len(which), gap.value))
    ]


RULE = Rule(
    "edge-slot",
    "No cut-out, counterbore or screw reaches an edge-moulding slot.",
    ("stop", "caution"),
    "Common practice, no source: the room left to a slot is a default of the catalogue.",
    find,
)
