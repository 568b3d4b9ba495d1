"""What can be done to the arrangement in view: another name, one more, one less."""

from __future__ import annotations

from msgspec import Struct

from app.arrange.design.arrangements import called
from app.document.resolve import find_arrangement, find_board
from app.model.limits import ARRANGEMENTS
from app.service.sight import Sight


class ArrangementCard(Struct, frozen=True):
    """The card of the arrangement in view.

    Args:
        name: what it is called.
        only: whether the board has no other, so that it cannot be removed.
        full: why there can be no more; empty if there can.
    """

    name: str
    only: bool
    full: str


def arrangement_card(sight: Sight) -> ArrangementCard:
    """The card of the arrangement in view."""
    board = find_board(sight.design, sight.checked.board)
    present = find_arrangement(board, sight.checked.arrangement)
    count = len(board.arrangements)
    full = f"A board has up to {ARRANGEMENTS.most} arrangements, and this one has them all."
    return ArrangementCard(called(present), count == 1, full if count >= ARRANGEMENTS.most else "")
