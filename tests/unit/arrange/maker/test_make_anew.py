"""Making anew: ids, letters, places and numbers are kept by what a piece is; what others put there stays."""

from __future__ import annotations

from typing import Any

import pytest

from app.arrange.change import Edit
from app.arrange.design.arrangements import add_arrangement
from app.arrange.maker.make import make_board, make_on_board
from app.arrange.maker.make_anew import make_anew, remove_maker
from app.arrange.placement.edit import add, duplicate, move, remove, set_label
from app.arrange.placement.several import lock
from app.catalogue.load import catalogue
from app.document.patterns import pattern_of
from app.document.resolve import find_board
from app.document.schema import ArrangementEntry, Design, PlacementEntry
from app.document.where import Where
from app.errors import EditError, NotFoundError
from app.model.maker.measure import Value
from tests.unit.arrange.maker.designs import plain

FAN = Where("fan")
GUARDED: dict[str, Any] = {"holes": "staggered-60"}


def remade(design: Design, where: Where, maker: str, reset: bool = False, **measures: Value) -> Edit:
    named = {name.replace("_", "-"): value for name, value in measures.items()}
    return make_anew(design, where, maker, named, catalogue(), reset=reset)


def within(design: Design, where: Where) -> ArrangementEntry:
    return find_board(design, where.board).arrangements[0]


def by_id(design: Design, where: Where) -> dict[str, PlacementEntry]:
    return {p.id: p for p in within(design, where).placements}


def letters(design: Design, where: Where) -> dict[str, str]:
    return {p.id: p.label for p in within(design, where).placements}


def test_a_piece_keeps_id_and_letter_one_that_goes_retires_it_and_one_that_comes_gets_the_next() -> None:
    made = make_board(plain(), "fan", GUARDED, catalogue()).design
    assert letters(made, FAN) == {"fan-fan": "A", "fan-holes": "B"}
    opened = remade(made, FAN, "fan", holes="opening").design
    assert letters(opened, FAN) == {"fan-fan": "A"} and within(opened, FAN).retired == ("B",)
    assert [p.id for p in opened.patterns] == [] and by_id(opened, FAN)["fan-fan"].part == "fan-120"
    again = remade(opened, FAN, "fan", **GUARDED).design
    assert letters(again, FAN) == {"fan-fan": "A", "fan-holes": "C"}
    assert [p.id for p in again.patterns] == ["fan-holes"]


def test_measures_are_kept_and_those_that_are_not_named_stay() -> None:
    made = make_board(plain(), "fan", {**GUARDED, "hole": 5.0}, catalogue()).design
    (entry,) = within(remade(made, FAN, "fan", pitch=14.0).design, FAN).makers
    kept = {m.name: m.value for m in entry.measures}
    assert (kept["hole"], kept["pitch"], kept["holes"]) == (5.0, 14.0, "staggered-60")


def test_there_and_back_is_the_same_design() -> None:
    made = make_board(plain(), "grille", {}, catalogue()).design
    there = remade(made, Where("grille"), "grille", width=300.0, cone=80.0, holes="square", depth=60.0).design
    back = remade(there, Where("grille"), "grille", width=180.0, cone=88.0, holes="staggered-60", depth=45.0).design
    assert there != made
    assert back.boards == made.boards and back.hardware == made.hardware
    assert pattern_of(back.patterns[0]).holes.cells_listed


def test_holes_keep_their_numbers_when_the_field_grows() -> None:
    made = make_board(plain(), "grille", {}, catalogue()).design
    grown = remade(made, Where("grille"), "grille", field=110.0, bolt_circle=117.0).design
    was, now = (pattern_of(d.patterns[0]).holes.by_number for d in (made, grown))
    assert len(now) > len(was) and all(now[number] == cell for number, cell in was.items())


def test_what_others_put_there_and_what_was_moved_by_hand_or_is_locked_stays() -> None:
    made = make_on_board(plain(), Where(), "fan", GUARDED, 300.0, 150.0, 0.0, catalogue()).design
    design = add(made, None, None, "button-28-nut-long", 60.0, 60.0, catalogue()).design
    design = move(design, None, None, "fan-holes", 310.0, 150.0).design
    design = lock(design, None, None, ["fan-fan"], locked=True).design
    after = make_anew(design, Where(), "fan", {"pitch": 15.0}, catalogue(), x=200.0).design
    now = by_id(after, Where())
    assert (now["c"].x, now["c"].y, now["c"].label) == (60.0, 60.0, "C")
    assert (now["fan-holes"].x, now["fan-fan"].x) == (310.0, 300.0)
    back = remade(lock(after, None, None, ["fan-fan"], locked=False).design, Where(), "fan", reset=True).design
    assert {by_id(back, Where())[ident].x for ident in ("fan-fan", "fan-holes")} == {200.0}


def test_pieces_follow_their_maker_to_another_place_and_turn_with_it() -> None:
    made = make_on_board(plain(), Where(), "fan", GUARDED, 300.0, 150.0, 0.0, catalogue()).design
    moved = make_anew(made, Where(), "fan", {}, catalogue(), x=200.0, y=140.0, angle=45.0)
    assert {(p.x, p.y, p.angle) for p in by_id(moved.design, Where()).values()} == {(200.0, 140.0, 45.0)}
    assert letters(moved.design, Where()) == letters(made, Where()) and "moved" in moved.summary


def test_a_piece_that_was_deleted_stays_away_until_it_is_asked_back() -> None:
    made = make_board(plain(), "grille", {}, catalogue()).design
    less = remove(made, "grille", None, "grille-magnet").design
    still = remade(less, Where("grille"), "grille", pitch=18.0).design
    assert set(letters(still, Where("grille"))) == {"grille-holes"}
    back = remade(still, Where("grille"), "grille", reset=True).design
    assert letters(back, Where("grille")) == {"grille-holes": "B", "grille-magnet": "C"}, "A is retired"


def test_a_label_given_by_hand_stays_and_a_copy_is_nobody_s() -> None:
    made = make_board(plain(), "fan", GUARDED, catalogue()).design
    named = set_label(made, "fan", None, "fan-fan", "F1").design
    copied = duplicate(named, "fan", None, "fan-holes", catalogue())
    assert by_id(copied.design, FAN)[copied.placement].maker is None
    after = remade(copied.design, FAN, "fan", pitch=16.0).design
    assert letters(after, FAN) == {"fan-fan": "F1", "fan-holes": "B", copied.placement: "C"}


def test_a_board_that_grows_keeps_everything_where_it_is_on_the_material() -> None:
    made = make_board(plain(), "grille", {}, catalogue()).design
    design = add(made, "grille", None, "button-28-nut-long", 20.0, 30.0, catalogue()).design
    after = remade(design, Where("grille"), "grille", width=220.0).design
    board = find_board(after, "grille")
    assert max(c.x for c in board.outline.corners) == 220.0
    now = by_id(after, Where("grille"))
    assert (now["grille-holes"].x, now["c"].x, now["c"].y) == (110.0, 40.0, 30.0), "20 mm more on the left"
    (entry,) = board.arrangements[0].makers
    assert entry.x == 110.0


def test_every_arrangement_of_the_board_that_has_the_maker_follows() -> None:
    made = make_board(plain(), "fan", GUARDED, catalogue()).design
    both = add_arrangement(made, "fan", "one").design
    after = remade(both, FAN, "fan", holes="opening").design
    for arrangement in find_board(after, "fan").arrangements:
        assert [(p.id, p.label, p.part) for p in arrangement.placements] == [("fan-fan", "A", "fan-120")]
    again = remade(after, FAN, "fan", **GUARDED).design
    assert [[p.label for p in a.placements] for a in find_board(again, "fan").arrangements] == [["A", "C"]] * 2


def test_a_locked_piece_does_not_go_and_nothing_is_changed() -> None:
    made = make_board(plain(), "fan", GUARDED, catalogue()).design
    locked = lock(made, "fan", None, ["fan-holes"], locked=True).design
    with pytest.raises(EditError, match=r"B is locked\. Unlock it, then apply these measures, which delete it"):
        remade(locked, FAN, "fan", holes="opening")
    with pytest.raises(EditError, match="B is locked"):
        remove_maker(locked, FAN, "fan")


def test_a_board_too_large_for_any_sheet_is_refused() -> None:
    made = make_board(plain(), "fan", {}, catalogue()).design
    with pytest.raises(EditError, match="from 20 mm to 5000 mm"):
        remade(made, FAN, "fan", width=5001.0)


def test_a_maker_goes_with_what_it_made_and_its_letters_are_retired() -> None:
    made = make_on_board(plain(), Where(), "grille", {}, 300.0, 150.0, 0.0, catalogue()).design
    after = remove_maker(made, Where(), "grille").design
    assert within(after, Where()).retired == ("A", "B")
    assert (after.hardware, after.patterns, within(after, Where()).makers) == ((), (), ())


def test_a_maker_that_is_not_there_is_said_with_those_that_are() -> None:
    made = make_board(plain(), "fan", {}, catalogue()).design
    with pytest.raises(NotFoundError, match="there are: fan"):
        remade(made, FAN, "grille")


GRILLE = Where("grille")
FINE: dict[str, Value] = {"hole": 5.0, "pitch": 8.0, "field": 60.0}


def middle(design: Design) -> str:
    return next(p.middle for p in design.patterns if p.id == "grille-holes")


def test_holes_in_a_wider_field_keep_what_is_in_their_middle_and_their_numbers() -> None:
    """5 mm holes, 8 mm apart: in 60 mm most are about a gap, in 63 mm most about a hole."""
    assert middle(make_board(plain(), "grille", {**FINE, "field": 63.0}, catalogue()).design) == "hole"
    made = make_board(plain(), "grille", FINE, catalogue()).design
    assert middle(made) == "gap"
    wider = remade(made, GRILLE, "grille", field=63.0).design
    assert middle(wider) == "gap"
    old, new = (pattern_of(next(p for p in d.patterns if p.id == "grille-holes")).holes for d in (made, wider))
    assert all(new.by_number[number] == cell for number, cell in old.by_number.items())
    assert len(new) >= len(old)
    kept = {m.name: m.value for m in within(wider, GRILLE).makers[0].measures}
    assert kept["middle"] == "gap", "figures are of the holes that are there"
    assert middle(remade(wider, GRILLE, "grille", field=63.0, middle="most").design) == "hole", "if it is asked for"


@pytest.mark.parametrize("other", [{"hole": 4.9}, {"holes": "square"}])
def test_other_holes_have_the_middle_that_gives_most(other: dict[str, Value]) -> None:
    made = make_board(plain(), "grille", FINE, catalogue()).design
    after = make_anew(made, GRILLE, "grille", {"field": 63.0, **other}, catalogue()).design
    fresh = make_board(plain(), "grille", {**FINE, "field": 63.0, **other}, catalogue()).design
    assert middle(after) == middle(fresh)


def test_a_field_too_small_for_the_old_middle_takes_the_other() -> None:
    """Two holes of 5 mm about a gap, 8 mm apart, need 13 mm; one in the middle needs only its own 5 mm."""
    made = make_board(plain(), "grille", {**FINE, "field": 13.0}, catalogue()).design
    assert middle(made) == "gap"
    assert middle(remade(made, GRILLE, "grille", field=10.0).design) == "hole"
