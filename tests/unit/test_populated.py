"""A board with other placements: what it has worked out of itself stays, what hangs on placements does not."""

from __future__ import annotations

from propcache.api import cached_property

from app.model.resolved import ResolvedBoard
from tests.unit.drafting.boards import two_player

_OF_PLACEMENTS = {"drilled", "_by_id"}


def test_everything_worked_out_stays_but_what_hangs_on_placements() -> None:
    board = two_player()
    known = {name for name, value in vars(ResolvedBoard).items() if isinstance(value, cached_property)}
    for name in known:
        getattr(board, name)
    first = board.placements[0]
    other = board.populated((first.moved(5.0, 0.0), *board.placements[1:]))
    assert {name for name in known if name in vars(other)} == known - _OF_PLACEMENTS
    assert other.boundary is board.boundary
    assert other.placed(first.id) == first.moved(5.0, 0.0)
    assert other.drilled == tuple(p for p in other.placements if p.drill)
