"""No cut-out, counterbore or screw reaches a slot cut into an edge for a moulding."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from app.fit.detail import ThingDetail
from app.fit.features.features import SLOT
from app.fit.features.layout import Layout
from app.fit.finding import FindingOf
from app.fit.judging.judge import finding_of
from app.fit.judging.strip_clash import meetings
from app.fit.limits.pair_table import kinds_against
from app.fit.rule import Rule
from app.fit.words.finding import lacking, near, over
from app.fit.words.lengths import names, say
from app.fit.words.moves import inward, move_all
from app.model.resolved import ResolvedBoard
from app.units import Unit


class SlotDetail(ThingDetail, frozen=True, kw_only=True):
    """What is too near the slot in an edge.

    Args:
        slot: depth of the slot [mm].
    """

    slot: float

    @property
    def mark(self) -> str:
        """The edge."""
        return self.edge


def find(layout: Layout) -> list[FindingOf[SlotDetail]]:
    """One finding for each placement and slotted edge: a stop where it would break into the slot."""
    if not layout.board.slots:
        return []
    gap = layout.default("slot-gap")
    which = layout.features.of(*kinds_against(RULE.name, SLOT))
    return [
        finding_of(
            RULE.name,
            (meeting.subject,),
            meeting.short,
            meeting.way,
            gap.source.text,
            SlotDetail(what=meeting.what, edge=meeting.strip.edge, slot=meeting.strip.width, toward=meeting.way.toward),
        )
        for meeting in meetings(layout, layout.board.slots, which, np.full(len(which), gap.value))
    ]


def _message(f: FindingOf[SlotDetail], board: ResolvedBoard, unit: Unit) -> str:
    start = f"The {f.detail.what} of {names(board, f.subjects)}"
    slot = f"the {say(f.detail.slot, unit)} deep slot in the {f.detail.edge} edge"
    if f.severity == "stop":
        return f"{start} breaks {over(f, unit)} into {slot} at worst."
    return near(f, start, slot, unit, "should be left")


def _phrase(findings: Sequence[FindingOf[SlotDetail]], _board: ResolvedBoard, unit: Unit) -> str:
    return f"{lacking(findings, unit)} too near the slot in the {findings[0].detail.edge} edge"


RULE = Rule(
    name="edge-slot",
    meaning="No cut-out, counterbore or screw reaches an edge-moulding slot.",
    severities=("stop", "caution"),
    source="Common practice, no source: the room left to a slot is a default of the catalogue.",
    detail=SlotDetail,
    find=find,
    message=_message,
    phrase=_phrase,
    remedy=inward,
    moved=True,
    hint=move_all,
)
