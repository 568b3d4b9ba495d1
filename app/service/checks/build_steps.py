"""The steps of building a design, as it is looked at or about to be changed."""

from __future__ import annotations

from typing import Final

from app.catalogue.load import catalogue
from app.document.resolve import resolve
from app.document.schema import Design
from app.document.where import Where
from app.drafting.words import unit_of
from app.model.resolved import ResolvedBoard
from app.paper.steps.steps_listed import StepsListed, steps_listed
from app.service.background.memory import Memory
from app.service.sight import Sight

_LISTED: Memory[StepsListed] = Memory(24_000_000)
_OF_BOARD: Final = 60_000
_OF_TEXT: Final = 20


def listed_in(sight: Sight, *, alone: bool) -> StepsListed:
    """The steps of a design that is looked at, or of the board in view alone; worked out once for a revision."""
    seen = sight.checked

    def make() -> StepsListed:
        boards = (seen.resolved,) if alone else _boards(sight.design, seen.resolved)
        return steps_listed(boards, sight.unit, alone=alone and len(sight.design.boards) > 1)

    if seen.document is None:
        return make()
    key = (seen.document, seen.board, seen.arrangement, seen.resolved.units, alone)
    room = len(sight.design.boards) * _OF_BOARD + _OF_TEXT * len(seen.document.text)
    return _LISTED.once(key, make, lambda _: room)


def listed_of(design: Design, where: Where) -> StepsListed:
    """The steps of a design with one board and arrangement in view, in its own units."""
    shown = resolve(design, where.board, where.arrangement, catalogue())
    return steps_listed(_boards(design, shown), unit_of(shown))


def _boards(design: Design, shown: ResolvedBoard) -> tuple[ResolvedBoard, ...]:
    """All boards, the one in view as it is seen, the others with their first arrangement."""
    return tuple(
        shown if board.id == shown.id else resolve(design, board.id, None, catalogue(), shown.revision)
        for board in design.boards
    )
