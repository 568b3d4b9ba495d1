"""What can be done to the arrangement in view: another name, one more, one less."""

from __future__ import annotations

from dataclasses import dataclass

from app.arrange.arrangements import called
from app.document.schema import ArrangementEntry, BoardEntry
from app.model.limits import ARRANGEMENTS


@dataclass(frozen=True, slots=True)
class ArrangementCard:
    """The card of the arrangement in view.

    Args:
        name: what it is called.
        only: whether the board has no other, so that it cannot be removed.
        full: why there can be no more; empty if there can.
    """

    name: str
    only: bool
    full: str


def arrangement_card(board: BoardEntry, present: ArrangementEntry) -> ArrangementCard:
    """The card for one arrangement of a board."""
    count = len(board.arrangements)
    full = f"A board has up to {ARRANGEMENTS.most} arrangements, and this one has them all."
    return ArrangementCard(called(present), count == 1, full if count >= ARRANGEMENTS.most else "")
