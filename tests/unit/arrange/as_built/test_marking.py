"""Marks: one for each cut and work, none lost, taken back exactly; what is drilled stays where it is."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.arrange.as_built.marking import clear_mark, mark_cuts
from app.arrange.board.datum import from_datum, measured_anew
from app.arrange.design.arrangements import add_arrangement, remove_arrangement
from app.arrange.design.boards import copy_board
from app.catalogue.load import catalogue
from app.document.as_built import as_built_of, begun, mark_of, with_held, without_held
from app.document.dump import dumps
from app.document.load import loads
from app.document.outlines import outline_of
from app.document.resolve import resolve
from app.document.scenarios import load_scenario
from app.document.schema import Design
from app.errors import EditError, NotFoundError
from app.model import limits
from app.model.as_built import AsBuilt, Mark
from app.shop.board_steps import BoardCut, board_cuts
from tests.long_run import examples

WHEN, LATER = "2026-02-01T10:30:00Z", "2026-02-01T11:00:00Z"
DESIGN = load_scenario("lantern-hill-solo")
CUTS = board_cuts(resolve(DESIGN, None, None, catalogue()))


def built(design: Design) -> AsBuilt:
    return as_built_of(design.boards[0].arrangements[0])


def marks(cut: BoardCut) -> st.SearchStrategy[Mark]:
    off = st.tuples(st.floats(-100, 100), st.floats(-100, 100))
    wide = st.none() | st.floats(0.1, 300)
    return st.builds(
        lambda off, wide, spoilt: cut.marked(off, measured=wide, spoilt=spoilt, when=WHEN), off, wide, st.booleans()
    )


@given(st.data())
@examples(50)
def test_what_is_marked_is_kept_as_it_was_said_through_the_file(data: st.DataObject) -> None:
    said = [
        data.draw(marks(cut)) for cut in data.draw(st.lists(st.sampled_from(CUTS), min_size=1, max_size=6, unique=True))
    ]
    after = loads(dumps(mark_cuts(DESIGN, None, None, said).design))
    assert [
        (m.key, m.work, m.face, m.off, m.width, m.measured, m.depth, m.spoilt, m.name, m.when)
        for m in built(after).marks
    ] == [(m.key, m.work, m.face, m.off, m.width, m.measured, m.depth, m.spoilt, m.name, m.when) for m in said]
    for mark in said:
        after = clear_mark(after, None, None, mark.key, mark.work).design
    assert after == DESIGN, "all taken back, nothing is left"


def test_a_mark_seen_from_the_underside_is_mirrored_and_kept_as_it_was_seen() -> None:
    cut = next(c for c in CUTS if c.face == "under")
    design = mark_cuts(DESIGN, None, None, [cut.marked((-1.2, 0.5), when=WHEN)]).design
    (row,) = design.boards[0].arrangements[0].as_built or ()
    assert row.off == (1.2, 0.5), "to the right of who looks at the underside is left on the board from above"
    assert mark_of(row).off == (-1.2, 0.5)


def test_pressed_twice_says_nothing_new_and_another_word_takes_the_place_of_the_first() -> None:
    cut = CUTS[0]
    once = mark_cuts(DESIGN, None, None, [cut.marked(when=WHEN)]).design
    assert mark_cuts(once, None, None, [cut.marked(when=LATER)]).design is once
    off = mark_cuts(once, None, None, [cut.marked((1.0, 0.0), when=LATER)]).design
    assert [(m.off, m.when) for m in built(off).marks] == [((1.0, 0.0), LATER)]


@pytest.mark.parametrize(
    ("off", "measured", "words"),
    [
        ((100.1, 0.0), None, "from -100 to 100"),
        ((0.0, float("nan")), None, "finite"),
        ((0.0, 0.0), 0.01, "from 0.1 to 300"),
    ],
)
def test_figures_beyond_reason_are_refused(off: tuple[float, float], measured: float | None, words: str) -> None:
    with pytest.raises(EditError, match=words):
        mark_cuts(DESIGN, None, None, [CUTS[0].marked(off, measured=measured, when=WHEN)])


def test_no_more_marks_than_there_may_be(monkeypatch: pytest.MonkeyPatch) -> None:
    few = limits.DesignLimit("marks", 2, "marks of what was drilled", "An arrangement", "Clear some.", "Test.")
    monkeypatch.setattr("app.arrange.as_built.marking.MARKS", few)
    two = mark_cuts(DESIGN, None, None, [c.marked(when=WHEN) for c in CUTS[:2]]).design
    with pytest.raises(EditError, match="up to 2 marks of what was drilled, got 3"):
        mark_cuts(two, None, None, [CUTS[2].marked(when=WHEN)])


def test_a_mark_that_is_not_there_cannot_be_cleared() -> None:
    with pytest.raises(NotFoundError, match="not marked any more"):
        clear_mark(DESIGN, None, None, CUTS[0].key, CUTS[0].work)


def test_holding_adds_locks_and_takes_away_only_its_own() -> None:
    first, second = (p.id for p in DESIGN.boards[0].arrangements[0].placements[:2])
    cuts = [c for c in CUTS if c.key.placement in (first, second)]
    design = mark_cuts(DESIGN, None, None, [c.marked(when=WHEN) for c in cuts]).design
    board = design.boards[0]
    locked = tuple(p.model_copy(update={"locked": p.id == first}) for p in board.arrangements[0].placements)
    one = board.arrangements[0].model_copy(update={"placements": locked})
    design = design.model_copy(
        update={"boards": (board.model_copy(update={"arrangements": (one, *board.arrangements[1:])}),)}
    )
    held = with_held(design)
    assert {p.id for p in held.boards[0].arrangements[0].placements if p.locked} == {first, second}
    assert without_held(held, design) == design
    assert with_held(DESIGN) is DESIGN


def test_a_hole_that_arrangements_share_is_held_in_all_of_them_and_a_copy_is_not_drilled() -> None:
    design = mark_cuts(DESIGN, None, None, [CUTS[0].marked(when=WHEN)]).design
    twice = add_arrangement(design, None, design.boards[0].arrangements[0].id).design
    board = twice.boards[0]
    assert board.arrangements[-1].as_built is None
    assert begun(board, board.arrangements[-1]) == {CUTS[0].key.placement}, "moving it there would move the real hole"
    assert "what was drilled of it is not kept" in remove_arrangement(twice, None, board.arrangements[0].id).summary
    assert "not kept" not in remove_arrangement(twice, None, board.arrangements[-1].id).summary
    copied = copy_board(design, None, catalogue()).design
    assert [bool(b.arrangements[0].as_built) for b in copied.boards[:2]] == [True, False]


def test_marks_stay_on_the_material_when_the_datum_edges_move() -> None:
    cut = CUTS[0]
    design = mark_cuts(DESIGN, None, None, [cut.marked((1.0, 0.0), when=WHEN)]).design
    board = design.boards[0]
    rings = [outline_of(ring) for ring in (board.outline.corners, *board.outline.openings)]
    there = design.model_copy(update={"boards": (measured_anew(board, rings, 12.5, -3.0),)})
    assert built(there).marks[0].centre == pytest.approx((cut.at[0] + 13.5, cut.at[1] - 3.0))
    assert built(from_datum(there)).marks[0].centre == pytest.approx((cut.at[0] + 1.0, cut.at[1]))
