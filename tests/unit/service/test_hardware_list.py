"""The list of hardware tells what reads alike apart."""

from __future__ import annotations

from app.service.edits.makers import board_made
from app.service.screens.board.hardware_list import palette_of
from tests.companions import with_companions


def test_drivers_of_two_grilles_say_where_each_is_and_a_single_one_says_no_more_than_it_is() -> None:
    design = with_companions()
    alone = {(tile.name, tile.detail) for tile in palette_of(design)[0].tiles}
    assert ("Driver", "125 mm, cone 88 mm") in alone
    both = [(tile.name, tile.detail) for tile in palette_of(board_made("grille", {})(design).design)[0].tiles]
    assert len(set(both)) == len(both)
    assert ("Driver", "125 mm, cone 88 mm, A on “Loudspeaker grille”") in both
    assert ("Driver", "125 mm, cone 88 mm, A on “Loudspeaker grille 2”") in both
    assert ("Grille", "B on “Loudspeaker grille”") in both
