"""Patterns put on a board, changed, copied, and gone with their last placement."""

from __future__ import annotations

import pytest

from app.arrange.pattern.edit import add_pattern, change_pattern, copy_pattern
from app.arrange.pattern.possible import possible
from app.arrange.pattern.unused import without_unused
from app.arrange.placement import edit
from app.catalogue.load import catalogue
from app.document.board_patterns import board_boundary
from app.document.consistency import PATTERN_ID
from app.document.dump import dumps
from app.document.load import loads
from app.document.pattern_schema import BoundaryEntry, PatternEntry
from app.document.patterns import pattern_of
from app.document.resolve import resolve
from app.document.schema import Design, PlacementEntry
from app.errors import EditError
from app.model.limits import PATTERNS
from tests.unit.arrange.maker.designs import plain

ENTRY = PatternEntry(id="any", name="Grille", hole=5, pitch=8, boundary=BoundaryEntry(width=60))


def with_one() -> Design:
    return add_pattern(plain(), None, None, ENTRY, 200, 150, 0, catalogue()).design


def placed(design: Design) -> tuple[PlacementEntry, ...]:
    return design.boards[0].arrangements[0].placements


def test_a_new_pattern_has_an_id_and_a_letter_of_its_own() -> None:
    done = add_pattern(with_one(), None, None, ENTRY, 300, 150, 30, catalogue())
    assert [p.id for p in done.design.patterns] == [PATTERN_ID, f"{PATTERN_ID}-2"]
    assert [(p.part, p.label, p.angle) for p in placed(done.design)] == [
        (PATTERN_ID, "A", 0),
        (f"{PATTERN_ID}-2", "B", 30),
    ]
    assert done.summary == f"Added B ({len(pattern_of(ENTRY).holes)} holes of 5 mm)"
    assert loads(dumps(done.design)) == done.design


def test_holes_that_stay_keep_their_numbers() -> None:
    before = with_one()
    wider = ENTRY.model_copy(update={"boundary": BoundaryEntry(width=90)})
    after = change_pattern(before, None, None, placed(before)[0].id, wider, 0, catalogue()).design
    old, new = (pattern_of(d.patterns[0]).holes.by_number for d in (before, after))
    assert len(new) > len(old)
    assert {number: new[number] for number in old} == old


def test_a_pattern_in_two_places_is_changed_in_both_or_copied_for_one() -> None:
    before = with_one()
    first = placed(before)[0].id
    both = edit.duplicate(before, None, None, first, catalogue()).design
    wider = ENTRY.model_copy(update={"pitch": 9})
    all_of_them = change_pattern(both, None, None, first, wider, 0, catalogue()).design
    assert [p.part for p in placed(all_of_them)] == [PATTERN_ID, PATTERN_ID]
    assert [p.pitch for p in all_of_them.patterns] == [9]
    one = change_pattern(both, None, None, first, wider, 0, catalogue(), everywhere=False).design
    assert [p.part for p in placed(one)] == [f"{PATTERN_ID}-2", PATTERN_ID]
    assert [p.pitch for p in one.patterns] == [8, 9]
    copied = copy_pattern(both, None, None, first, catalogue()).design
    assert [p.part for p in placed(copied)] == [f"{PATTERN_ID}-2", PATTERN_ID]


def test_what_a_maker_placed_is_changed_by_its_maker_alone() -> None:
    before = with_one()
    board = before.boards[0]
    mine = placed(before)[0]
    within = board.arrangements[0].model_copy(update={"placements": (mine.model_copy(update={"maker": "grille"}),)})
    made = before.model_copy(update={"boards": (board.model_copy(update={"arrangements": (within,)}),)})
    with pytest.raises(EditError, match="A maker made A"):
        change_pattern(made, None, None, mine.id, ENTRY, 0, catalogue())
    both = edit.duplicate(made, None, None, mine.id, catalogue())
    wider = ENTRY.model_copy(update={"pitch": 9})
    done = change_pattern(both.design, None, None, both.placement, wider, 0, catalogue()).design
    assert [(p.part, p.maker) for p in placed(done)] == [(PATTERN_ID, "grille"), (f"{PATTERN_ID}-2", None)]


def test_a_pattern_leaves_with_its_last_placement_and_no_sooner() -> None:
    before = with_one()
    both = edit.duplicate(before, None, None, placed(before)[0].id, catalogue()).design
    one = without_unused(both, edit.remove(both, None, None, placed(both)[0].id).design)
    assert len(one.patterns) == 1
    assert without_unused(one, edit.remove(one, None, None, placed(one)[0].id).design).patterns == ()
    unplaced = plain().model_copy(update={"patterns": (ENTRY,)})
    assert without_unused(unplaced, unplaced).patterns == (ENTRY,), "as a file has it"


def test_what_is_not_allowed_changes_nothing() -> None:
    before = with_one()
    with pytest.raises(EditError, match="run into each other"):
        change_pattern(before, None, None, placed(before)[0].id, ENTRY.model_copy(update={"pitch": 4}), 0, catalogue())
    full = before.model_copy(update={"patterns": (ENTRY,) * PATTERNS.most})
    with pytest.raises(EditError, match=f"up to {PATTERNS.most} patterns"):
        add_pattern(full, None, None, ENTRY, 0, 0, 0, catalogue())


@pytest.mark.parametrize("angle", [0.0, 30.0])
def test_holes_within_the_board_keep_clear_of_its_edge_however_it_is_turned(angle: float) -> None:
    design = plain(200, 120)
    boundary = board_boundary(design.boards[0], 100, 60, angle, 15)
    entry = PatternEntry(id="any", hole=6, pitch=12, boundary=boundary)
    done = add_pattern(design, None, None, entry, 100, 60, angle, catalogue())
    holes = resolve(done.design, None, None, catalogue()).placements[0].holes
    assert len(holes) == possible(entry, "mm") > 50
    xs, ys = zip(*(h.centre for h in holes), strict=True)
    assert min(*xs, *(200 - x for x in xs), *ys, *(120 - y for y in ys)) >= 15 + 3 - 1e-6
