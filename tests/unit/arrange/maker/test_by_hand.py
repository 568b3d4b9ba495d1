"""What hands did to what a maker made."""

from __future__ import annotations

import pytest

from app.arrange.change import with_board
from app.arrange.maker.by_hand import ByHand, done_by_hand
from app.arrange.maker.make_anew import make_anew
from app.arrange.maker.registry import MAKERS
from app.catalogue.load import catalogue
from app.document.resolve import find_board
from app.document.scenarios import load_scenario
from app.document.schema import Design
from app.document.where import Where
from app.service.edits.makers import board_made


def made(name: str) -> tuple[Design, Where, str]:
    """A design with the board of a maker, and where that is."""
    done = board_made(name, {})(load_scenario("pine-shelf-compact"))
    board = find_board(done.design, done.board)
    return done.design, Where(board.id), board.arrangements[0].makers[0].id


@pytest.mark.parametrize("name", [maker.name for maker in MAKERS])
def test_nobody_touched_what_was_only_made_and_turned(name: str) -> None:
    design, where, ident = made(name)
    assert done_by_hand(design, where, ident, catalogue()) == ByHand()
    turned = make_anew(design, where, ident, {}, catalogue(), angle=-270.0).design
    assert not done_by_hand(turned, where, ident, catalogue()).moved


def test_what_is_moved_is_named_unless_it_is_locked_and_the_board_counts() -> None:
    design, where, ident = made("sockets")
    board = find_board(design, where.board)
    (within,) = board.arrangements
    first, second, _ = within.placements
    hands = (first.model_copy(update={"x": first.x + 1}), second.model_copy(update={"angle": 5.0, "locked": True}))
    below = board.depth_below
    assert below is not None
    other = board.model_copy(
        update={
            "arrangements": (within.model_copy(update={"placements": hands}),),
            "depth_below": below.model_copy(update={"back": below.back + 1}),
        }
    )
    found = done_by_hand(with_board(design, other), where, ident, catalogue())
    assert found == ByHand((first.label or "",), 1, board=True)
