"""Whether making room is worth offering, told without finding out what keeps to what where that is plain."""

from __future__ import annotations

from app.fit.report.report import Report
from app.fit.rules import depth_below
from app.model.resolved import Placed
from app.room.make import MOVING
from app.service.room.room import room_is_wanted

_LEVEL = 1.0
"""Placements whose distances from the front differ by more are not each other's image [mm]; many times what tells
places apart."""


def room_is_offered(report: Report) -> bool:
    """Whether a board shows the way to making room: moving parts might clear something that is open.

    Not while there is a heap: what is in it has to be taken up by hand first.
    """
    return not report.has_heap and (_surely(report) or room_is_wanted(report))


def _surely(report: Report) -> bool:
    """Whether something that is open can move, told by one finding.

    Where nothing is locked everything moves; and two parts of different kinds, or not level, are not each other's
    image, so that they can move apart.
    """
    board = report.board
    if any(placed.locked for placed in board.drilled):
        return False
    for finding in report.open:
        sunk = finding.rule == depth_below.RULE.name  # it depends on where more is free
        if finding.severity == "note" or finding.rule not in MOVING or sunk or finding.detail.own:
            continue
        concerned = [placed for placed in map(board.placed, finding.subjects) if placed is not None]
        if len(concerned) != len(finding.subjects):
            continue
        if len(concerned) == 1 or (len(concerned) == 2 and _not_images(*concerned)):
            return True
    return False


def _not_images(one: Placed, other: Placed) -> bool:
    return one.part != other.part or abs(one.y - other.y) > _LEVEL
