"""Laws of editing: what an edit changes, what it leaves, and what it refuses."""

from __future__ import annotations

import math
from collections.abc import Callable

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from app.arrange.change import Edit
from app.arrange.placement.edit import (
    add,
    clear_counterbore,
    drill,
    duplicate,
    move,
    move_by,
    remove,
    set_angle,
    set_counterbore,
    set_label,
    set_part,
)
from app.arrange.placement.several import lock
from app.catalogue.load import catalogue
from app.document.dump import dumps
from app.document.load import loads
from app.document.schema import ArrangementEntry, Design, PlacementEntry
from app.errors import EditError, NotFoundError
from tests.unit.document.designs import COORDINATES, designs, small_design

BUTTON = "button-28-nut-long"


def arrangement(design: Design) -> ArrangementEntry:
    return design.boards[0].arrangements[0]


def placement(design: Design, placement_id: str) -> PlacementEntry:
    return next(p for p in arrangement(design).placements if p.id == placement_id)


def others(design: Design, placement_id: str) -> list[PlacementEntry]:
    return [p for p in arrangement(design).placements if p.id != placement_id]


@given(designs(), COORDINATES, COORDINATES)
def test_moving_and_moving_back_is_the_same_design(design: Design, x: float, y: float) -> None:
    free = [p for p in arrangement(design).placements if not p.locked]
    assume(free)
    old = free[0]
    moved = move(design, None, None, old.id, x, y).design
    assert (placement(moved, old.id).x, placement(moved, old.id).y) == (x, y)
    assert others(moved, old.id) == others(design, old.id)
    assert move(moved, None, None, old.id, old.x, old.y).design == design


@given(st.floats(-500, 500), st.floats(-500, 500))
def test_moving_by_adds_to_where_it_was(dx: float, dy: float) -> None:
    new = placement(move_by(small_design(), None, None, "b", dx, dy).design, "b")
    assert (new.x, new.y) == (190 + dx, 100 + dy)


@pytest.mark.parametrize(
    ("dx", "dy", "units", "said"),
    [
        (12, 0, "mm", "Moved B 12 mm right"),
        (-0.5, 0, "mm", "Moved B 0.5 mm left"),
        (0, 3, "mm", "Moved B 3 mm back"),
        (25.4, -12.7, "inch", 'Moved B 1" right, 1/2" forward'),
        (0.01, 0, "mm", "Moved B a hair"),
    ],
)
def test_a_move_says_how_far_and_which_way_in_display_units(dx: float, dy: float, units: str, said: str) -> None:
    design = small_design().model_copy(update={"units": units})
    assert move_by(design, None, None, "b", dx, dy).summary == said


def test_removing_retires_the_letter_and_adding_never_gives_it_again() -> None:
    design = remove(small_design(), None, None, "b").design
    assert [p.label for p in arrangement(design).placements] == ["A", "C"]
    assert arrangement(design).retired == ("B",)
    edit = add(design, None, None, BUTTON, 300, 100, catalogue())
    assert placement(edit.design, edit.placement).label == "D"


@given(st.lists(st.tuples(st.sampled_from(["add", "remove", "duplicate", "label"]), st.integers(0, 50)), max_size=25))
def test_no_letter_ever_means_two_holes(steps: list[tuple[str, int]]) -> None:
    design = small_design()
    owner = {p.label: p.id for p in arrangement(design).placements}
    for number, (step, pick) in enumerate(steps):
        held = arrangement(design).placements
        chosen = held[pick % len(held)].id if held else ""
        if step == "add" or not held:
            edit = add(design, None, None, BUTTON, pick, pick, catalogue())
        elif step == "duplicate":
            edit = duplicate(design, None, None, chosen, catalogue())
        elif step == "label":
            edit = set_label(design, None, None, chosen, f"L{number}")
        else:
            edit = remove(design, None, None, chosen)
        design = edit.design
        for p in arrangement(design).placements:
            assert owner.setdefault(p.label, p.id) == p.id, "a letter went to another hole"
        assert loads(dumps(design)) == design


def test_arrangements_of_a_board_share_their_letters() -> None:
    design = small_design()
    board = design.boards[0]
    second = arrangement(design).model_copy(update={"id": "two", "placements": ()})
    board = board.model_copy(update={"arrangements": (*board.arrangements, second)})
    design = design.model_copy(update={"boards": (board,)})
    edit = add(design, None, "two", BUTTON, 300, 50, catalogue())
    assert edit.design.boards[0].arrangements[1].placements[0].label == "D"
    assert edit.design.boards[0].arrangements[0] == arrangement(design)


def test_adding_puts_the_part_where_it_was_asked_for() -> None:
    edit = add(small_design(), "deck", "one", BUTTON, 300.25, 50.5, catalogue())
    new = placement(edit.design, edit.placement)
    assert (new.part, new.x, new.y, new.angle, new.drill, new.label) == (BUTTON, 300.25, 50.5, 0.0, True, "D")
    assert edit.summary == "Added D (Button, 28 mm hole, nut, long thread)"
    assert arrangement(edit.design).placements[:-1] == arrangement(small_design()).placements


@given(designs(), st.data())
def test_duplicating_keeps_the_rest_and_copies_all_but_place_letter_and_lock(
    design: Design, data: st.DataObject
) -> None:
    held = arrangement(design).placements
    assume(held)
    old = data.draw(st.sampled_from(held))
    edit = duplicate(design, None, None, old.id, catalogue())
    new = placement(edit.design, edit.placement)
    assert others(edit.design, new.id) == list(held)
    same = {"id", "label", "x", "y", "locked"}
    assert new.model_dump(exclude=same) == old.model_dump(exclude=same)
    assert (new.x, new.y) != (old.x, old.y) and not new.locked
    assert loads(dumps(edit.design)) == edit.design


def test_a_duplicate_lands_on_the_board_clear_of_its_neighbours() -> None:
    edit = duplicate(small_design(), None, None, "b", catalogue())
    new = placement(edit.design, edit.placement)
    # flanges of 34 mm and nuts of 37 mm: centres at least a nut's width apart
    assert all(math.hypot(new.x - p.x, new.y - p.y) >= 37 for p in others(edit.design, new.id))
    assert 18.5 <= new.x <= 400 - 18.5 and 18.5 <= new.y <= 200 - 18.5
    assert edit.summary == "Duplicated B as D"


@pytest.mark.parametrize("angle", [-360.0, -12.5, 0.0, 90.0, 360.0])
def test_turning_sets_the_angle_and_nothing_else(angle: float) -> None:
    edit = set_angle(small_design(), None, None, "b", angle)
    assert placement(edit.design, "b") == placement(small_design(), "b").model_copy(update={"angle": angle})
    assert edit.summary == f"Turned B to {angle:g}°"


def test_switching_a_position_off_keeps_it_on_the_plan() -> None:
    off = drill(small_design(), None, None, "b", drill=False)
    assert off.summary == "Set B not to be drilled"
    assert placement(off.design, "b") == placement(small_design(), "b").model_copy(update={"drill": False})
    assert drill(off.design, None, None, "b", drill=True).design == small_design()


def test_a_counterbore_comes_and_goes() -> None:
    edit = set_counterbore(small_design(), None, None, "b", 45, 9.5)
    assert edit.summary == "Counterbored B 45 mm wide, 9.5 mm deep"
    bore = placement(edit.design, "b").counterbore
    assert bore is not None and (bore.diameter, bore.depth) == (45, 9.5)
    assert clear_counterbore(edit.design, None, None, "b").design == small_design()


def test_another_part_loses_a_counterbore_made_for_another_nut() -> None:
    bored = set_counterbore(small_design(), None, None, "b", 45, 9.5).design
    other = set_part(bored, None, None, "b", "button-24-nut-long", catalogue())
    assert placement(other.design, "b").counterbore is None
    assert other.summary == "Made B a Button, 24 mm hole, nut, long thread and deleted its counterbore"
    lit = set_part(bored, None, None, "b", "button-28-nut-long-lit", catalogue())  # the same thread and nut
    assert placement(lit.design, "b").counterbore == placement(bored, "b").counterbore


def test_a_label_can_be_words_or_nothing() -> None:
    named = set_label(small_design(), None, None, "b", "  Coin ")
    assert placement(named.design, "b").label == "Coin"
    assert named.summary == "Renamed B to Coin"
    none = set_label(small_design(), None, None, "b", "")
    assert placement(none.design, "b").label == ""
    assert none.summary == "Deleted the label B"


def test_a_letter_given_up_goes_back_to_its_own_hole_and_to_no_other() -> None:
    named = set_label(small_design(), None, None, "b", "Coin").design
    with pytest.raises(EditError, match=r'"B" belonged to a part that was deleted or renamed.*such as "D"') as caught:
        set_label(named, None, None, "c", "B")
    assert caught.value.field == "label"
    back = set_label(named, None, None, "b", "B").design
    assert placement(back, "b").label == "B"
    assert arrangement(back).retired == ("Coin",)


def test_a_locked_part_stays_until_it_is_unlocked() -> None:
    locked = lock(small_design(), None, None, ["b"], locked=True).design
    attempts: tuple[Callable[[], Edit], ...] = (
        lambda: move(locked, None, None, "b", 1, 1),
        lambda: set_angle(locked, None, None, "b", 5),
        lambda: remove(locked, None, None, "b"),
    )
    for attempt in attempts:
        with pytest.raises(EditError, match=r"B is locked.*Unlock it") as caught:
            attempt()
        assert caught.value.field == "locked"
    assert lock(locked, None, None, ["b"], locked=False).design == small_design()


REFUSED: list[tuple[Callable[[Design], Edit], str, str]] = [
    (lambda d: move(d, None, None, "b", math.nan, 0), "x", "distance from the left edge.*not a finite number"),
    (lambda d: move(d, None, None, "b", 0, math.inf), "y", "distance from the front edge.*not a finite number"),
    (lambda d: move(d, None, None, "b", 1e6, 0), "x", r"from -100,000 to 100,000, got 1e\+06"),
    (lambda d: add(d, None, None, BUTTON, 0, -1e9, catalogue()), "y", "from -100,000"),
    (lambda d: set_angle(d, None, None, "b", 361), "angle", "from -360 to 360, got 361"),
    (lambda d: set_label(d, None, None, "b", "A"), "label", r'"A" is already on another part \(stick.*such as "D"'),
    (lambda d: set_label(d, None, None, "b", "x" * 13), "label", "0 to 12 characters, got 13"),
    (lambda d: set_label(d, None, None, "b", "a\x00b"), "label", "cannot be printed"),
    (lambda d: set_label(d, None, None, "b", "\ud800"), "label", "cannot be printed"),
    (lambda d: set_counterbore(d, None, None, "b", 0, 5), "diameter", "above 0 to 200, got 0"),
    (lambda d: set_counterbore(d, None, None, "b", 45, -1), "depth", "above 0 to 100, got -1"),
]


@pytest.mark.parametrize("case", range(len(REFUSED)))
def test_a_value_that_is_not_allowed_is_refused_beside_its_field(case: int) -> None:
    attempt, field, said = REFUSED[case]
    with pytest.raises(EditError, match=said) as caught:
        attempt(small_design())
    assert caught.value.field == field


MISSING: list[tuple[Callable[[Design], Edit], str]] = [
    (lambda d: move(d, None, None, "zz", 0, 0), 'no placement "zz" in the arrangement "One player"'),
    (lambda d: remove(d, "lid", None, "b"), 'no board "lid"'),
    (lambda d: duplicate(d, None, "nine", "b", catalogue()), 'no arrangement "nine"'),
    (lambda d: add(d, None, None, "button-99", 0, 0, catalogue()), 'no part "button-99". Use one of: button-'),
    (lambda d: set_part(d, None, None, "b", "", catalogue()), 'no part ""'),
]


@pytest.mark.parametrize("case", range(len(MISSING)))
def test_what_is_not_there_is_named_with_what_is(case: int) -> None:
    attempt, said = MISSING[case]
    with pytest.raises(NotFoundError, match=said):
        attempt(small_design())


def test_edits_of_one_arrangement_leave_the_document_given_as_it_was() -> None:
    design = small_design()
    before = dumps(design)
    edit: Edit = remove(move(design, None, None, "b", 1, 2).design, None, None, "a")
    assert dumps(design) == before
    assert dumps(edit.design) != before
