"""Boards added, copied, moved and removed: nothing of one touches another, and no id is ever given again."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.arrange.design.boards import add_board, copy_board, move_board, remove_board
from app.arrange.maker.make import make_board
from app.arrange.maker.make_anew import make_anew
from app.catalogue.load import catalogue
from app.document.dump import dumps
from app.document.load import loads
from app.document.resolve import resolve
from app.document.scenarios import load_scenario
from app.document.schema import Design
from app.document.where import Where
from app.errors import EditError
from app.fit.report.report import check
from app.model.limits import BOARDS, GONE_BOARDS

DECK = load_scenario("pine-shelf-compact")
CATALOGUE = catalogue()


def with_grille() -> Design:
    return make_board(DECK, "grille", {}, CATALOGUE).design


def ids(design: Design) -> list[str]:
    return [board.id for board in design.boards]


def holes(design: Design, board: str) -> list[tuple[float, ...]]:
    placed = resolve(design, board, None, CATALOGUE).placements
    return sorted((*hole.centre, hole.shape.radius) for p in placed for hole in p.holes)


def test_a_blank_board_is_of_the_decks_material_and_fits() -> None:
    done = add_board(DECK, CATALOGUE, 300.0, 200.0)
    made = resolve(done.design, done.board, None, CATALOGUE)
    assert (made.width, made.depth_front_to_back, made.role) == (300.0, 200.0, "companion")
    assert done.design.boards[-1].layers == DECK.boards[0].layers
    assert not check(made, CATALOGUE).findings
    assert loads(dumps(done.design)) == done.design


@pytest.mark.parametrize(("width", "depth", "field"), [(19.9, 200.0, "width"), (300.0, 5000.1, "depth")])
def test_a_board_no_sheet_is_sold_for_is_refused(width: float, depth: float, field: str) -> None:
    with pytest.raises(EditError) as refused:
        add_board(DECK, CATALOGUE, width, depth)
    assert refused.value.field == field
    assert add_board(DECK, CATALOGUE, 20.0, 5000.0).board


def test_a_name_that_another_board_has_is_refused() -> None:
    with pytest.raises(EditError, match="Choose another name"):
        add_board(DECK, CATALOGUE, 300.0, 200.0, "control DECK")


def test_a_copy_is_drilled_alike_and_changed_by_itself() -> None:
    """A grille left and right: the pattern of one made anew leaves the other as it was."""
    one = with_grille()
    done = copy_board(one, "grille", CATALOGUE)
    assert ids(done.design) == ["deck", "grille", done.board]
    assert holes(done.design, done.board) == holes(done.design, "grille")
    assert loads(dumps(done.design)) == done.design
    entry = done.design.boards[2].arrangements[0].makers[0]
    after = make_anew(done.design, Where(done.board), entry.id, {"cone": 60.0}, CATALOGUE).design
    assert holes(after, "grille") == holes(one, "grille")
    assert holes(after, done.board) != holes(one, "grille")
    again = make_anew(after, Where("grille"), entry.id, {"cone": 70.0}, CATALOGUE).design
    assert holes(again, done.board) == holes(after, done.board)


def test_a_copy_of_the_deck_is_no_second_deck() -> None:
    done = copy_board(DECK, None, CATALOGUE)
    assert [board.role for board in done.design.boards] == ["deck", "companion"]


def test_what_only_a_removed_board_had_goes_with_it() -> None:
    done = remove_board(with_grille(), "grille")
    assert done.design.patterns == DECK.patterns
    assert done.design.hardware == DECK.hardware
    assert done.design.gone == ("grille",)
    assert done.board == "deck"
    shared = copy_board(with_grille(), "grille", CATALOGUE)
    assert holes(remove_board(shared.design, "grille").design, shared.board) == holes(with_grille(), "grille")


def test_the_only_board_stays() -> None:
    with pytest.raises(EditError, match="only board"):
        remove_board(DECK, None)


def test_boards_are_put_in_order_and_stop_at_its_ends() -> None:
    three = add_board(with_grille(), CATALOGUE, 300.0, 200.0).design
    assert ids(move_board(three, "board-3", -1).design) == ["deck", "board-3", "grille"]
    assert ids(move_board(three, "board-3", 1).design) == ids(three)
    assert ids(move_board(three, "deck", -1).design) == ids(three)
    last = move_board(three, "deck", 2).design
    assert resolve(last, None, None, CATALOGUE).id == "deck", "by its role, not its place"


def test_there_are_as_many_boards_as_a_design_can_have() -> None:
    full = DECK
    while len(full.boards) < BOARDS.most:
        full = add_board(full, CATALOGUE, 300.0, 200.0).design
    assert loads(dumps(full)) == full
    with pytest.raises(EditError, match="Delete one first"):
        add_board(full, CATALOGUE, 300.0, 200.0)
    with pytest.raises(EditError, match="Delete one first"):
        copy_board(full, None, CATALOGUE)


def test_after_very_many_deleted_boards_no_id_comes_back() -> None:
    """An id that is no longer listed is not given either, however often the same name is asked for."""
    gone = ("door", "board-7", *(f"old-{n}" for n in range(GONE_BOARDS.most - 2)))
    design, given = DECK.model_copy(update={"gone": gone}), set(gone)
    for _ in range(12):
        done = add_board(design, CATALOGUE, 300.0, 200.0, "Door")
        assert done.board not in given
        given.add(done.board)
        design = loads(dumps(remove_board(done.design, done.board).design))
        assert len(design.gone or ()) == GONE_BOARDS.most
    assert design.gone is not None and "door" not in design.gone and "board-19" in design.gone


def test_the_highest_number_stays_in_mind_however_old() -> None:
    gone = ("board-40", *(f"old-{n}" for n in range(GONE_BOARDS.most - 1)))
    two = add_board(DECK, CATALOGUE, 300.0, 200.0, "Door").design.model_copy(update={"gone": gone})
    after = remove_board(two, "door").design
    assert after.gone is not None and after.gone[0] == "board-40" and "old-0" not in after.gone
    assert add_board(after, CATALOGUE, 300.0, 200.0).board == "board-41"


@given(st.lists(st.sampled_from(["add", "copy", "make", "remove"]), max_size=12))
def test_no_id_is_given_twice(steps: list[str]) -> None:
    design, had = DECK, [board.id for board in DECK.boards]
    for step in steps:
        if step == "remove":
            design = remove_board(design, design.boards[-1].id).design if len(design.boards) > 1 else design
            continue
        if step == "add":
            name = "" if any(b.name == "Box" for b in design.boards) else "Box"
            done = add_board(design, CATALOGUE, 300.0, 200.0, name)
        elif step == "copy":
            done = copy_board(design, design.boards[-1].id, CATALOGUE)
        else:
            done = make_board(design, "fan", {}, CATALOGUE)
        design, had = done.design, [*had, done.board]
    assert len(set(had)) == len(had)
    assert loads(dumps(design)) == design


def test_boards_of_one_name_never_share_an_id_before_and_after_a_thousand_were_deleted() -> None:
    gone = tuple(f"old-{n}" for n in range(GONE_BOARDS.most - 20))
    design, given = DECK.model_copy(update={"gone": gone}), set(gone)
    for _ in range(60):
        done = add_board(design, CATALOGUE, 300.0, 200.0, "Door")
        assert done.board and done.board not in given
        given.add(done.board)
        design = remove_board(done.design, done.board).design
    assert len(design.gone or ()) == GONE_BOARDS.most
    assert loads(dumps(design)) == design


def test_a_file_that_counts_as_far_as_ids_go_gives_none_twice() -> None:
    """As long as an id may be, and all of nines: the next would be one character longer."""
    last = "board-" + 58 * "9"
    gone = (last, *(f"old-{n}" for n in range(GONE_BOARDS.most - 1)))
    with pytest.raises(EditError, match="Begin a new design"):
        add_board(DECK.model_copy(update={"gone": gone}), CATALOGUE, 300.0, 200.0, "Door")


def test_without_a_deck_the_next_blank_board_is_the_deck_and_a_copy_is_none() -> None:
    two = add_board(DECK, CATALOGUE, 300.0, 200.0, "Door").design
    alone = remove_board(two, two.boards[0].id).design
    assert [b.role for b in alone.boards] == ["companion"]
    assert loads(dumps(alone)) == alone
    assert [b.role for b in copy_board(alone, None, CATALOGUE).design.boards] == ["companion", "companion"]
    again = add_board(alone, CATALOGUE, 600.0, 300.0).design
    assert [b.role for b in again.boards] == ["companion", "deck"]
    assert [b.role for b in add_board(again, CATALOGUE, 600.0, 300.0).design.boards][2] == "companion"
