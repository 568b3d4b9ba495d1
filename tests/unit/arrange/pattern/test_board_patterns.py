"""Patterns in the outline of their board: they follow it, wherever they are on it, and keep the numbers of holes."""

from __future__ import annotations

import json
import math

import numpy as np
import pytest
import shapely

from app.arrange.board.size import set_size
from app.arrange.design.boards import copy_board
from app.arrange.pattern.edit import add_pattern, change_pattern
from app.arrange.pattern.numbers import with_numbers_kept
from app.arrange.placement import edit
from app.catalogue.load import catalogue
from app.document.board_patterns import board_boundary, pattern_on
from app.document.dump import dumps
from app.document.load import loads
from app.document.pattern_schema import BoundaryEntry, PatternEntry
from app.document.resolve import resolve
from app.document.schema import Design
from app.errors import DocumentError, EditError
from app.fit.registry import RULES
from app.fit.report.findings import findings_of
from app.model.pattern import Cell
from app.model.resolved import Placed
from tests.unit.arrange.maker.designs import plain

INSET, HOLE, PITCH = 15.0, 6.0, 12.0
ENTRY = PatternEntry(id="any", hole=HOLE, pitch=PITCH, boundary=BoundaryEntry(shape="board", inset=INSET))


def with_one(width: float = 200, depth: float = 120, angle: float = 0) -> Design:
    return add_pattern(plain(width, depth), None, None, ENTRY, width / 2, depth / 2, angle, catalogue()).design


def placed(design: Design, board: str | None = None) -> Placed:
    return resolve(design, board, None, catalogue()).placements[0]


def sized(design: Design, width: float, depth: float, board: str | None = None) -> Design:
    """The design with a board of another size, from its front left corner, as the app makes it."""
    after = set_size(design, board, catalogue(), width, depth).design
    return with_numbers_kept(design, after)


def numbers(design: Design, board: str | None = None) -> dict[int, Cell]:
    pattern = placed(design, board).part.pattern
    assert pattern is not None
    return pattern.holes.by_number


def all_there_are(where: Placed, width: float, depth: float, angle: float) -> int:
    """Places of the staggered order about its middle whose holes are inside, counted by shapely."""
    inside = shapely.box(0, 0, width, depth).buffer(-(INSET + HOLE / 2))
    c, s = math.cos(math.radians(angle)), math.sin(math.radians(angle))
    row, column = np.mgrid[-60:61, -60:61]
    x, y = PITCH * (column + (row % 2) / 2), PITCH * math.sqrt(3) / 2 * row
    there = shapely.points(where.x + x * c - y * s, where.y + x * s + y * c)
    return int((shapely.distance(inside, there) < 1e-6).sum())


@pytest.mark.parametrize("angle", [0.0, 30.0])
def test_it_fills_its_board_whatever_size_that_has(angle: float) -> None:
    design = with_one(angle=angle)
    for width, depth in ((200, 120), (260, 90), (150, 150)):
        there = placed(sized(design, width, depth))
        assert len(there.holes) == all_there_are(there, width, depth, angle) > 40


def test_it_is_kept_as_the_board_and_an_inset_and_read_again() -> None:
    design = loads(dumps(with_one()))
    boundary = design.patterns[0].boundary
    assert (boundary.shape, boundary.inset, boundary.corners) == ("board", INSET, ())
    assert design == with_one()


def test_one_with_a_copy_of_an_outline_stays_as_it_is() -> None:
    """As files have it from before; the same holes, and none more on a larger board."""
    copied = ENTRY.model_copy(update={"boundary": board_boundary(plain(200, 120).boards[0], 100, 60, 0, INSET)})
    design = add_pattern(plain(200, 120), None, None, copied, 100, 60, 0, catalogue()).design
    read = loads(dumps(design))
    assert read == design
    assert len(placed(sized(read, 300, 120)).holes) == len(placed(design).holes) == len(placed(with_one()).holes)


def test_holes_keep_their_numbers_when_the_board_grows_and_shrinks() -> None:
    design = with_one()
    was = numbers(design)
    for width, depth in ((300, 120), (120, 200), (260, 150), (200, 120)):
        design = sized(design, width, depth)
        now = numbers(design)
        by_cell = {cell: number for number, cell in was.items()}
        assert all(by_cell.get(cell, number) == number for number, cell in now.items())
        was = {**now, **was}
    assert numbers(loads(dumps(design))) == numbers(design)


def test_numbers_are_counted_from_the_middle_while_nothing_else_is_needed() -> None:
    assert with_one().patterns[0].numbers == ()
    larger = sized(with_one(), 400, 250)
    assert sorted(numbers(larger)) == list(range(1, len(placed(larger).holes) + 1))


def test_moved_it_stays_within_the_board_and_its_drag_shows_the_same() -> None:
    design = with_one()
    there = placed(design)
    done = edit.move(design, None, None, there.id, 31.0, -17.0).design
    landed = placed(with_numbers_kept(design, done))
    assert len(landed.holes) == all_there_are(landed, 200, 120, 0)
    dragged = there.moved(landed.x - there.x, landed.y - there.y)
    assert {(round(x, 6), round(y, 6)) for x, y in (h.centre for h in dragged.holes)} == {
        (round(x, 6), round(y, 6)) for x, y in (h.centre for h in landed.holes)
    }
    assert {h.bit for h in dragged.holes} == {h.bit for h in landed.holes}


def test_far_off_the_board_it_is_drawn_as_it_was_and_refused() -> None:
    design = with_one()
    there = placed(design)
    for far in (5_000.0, 9_000.0):
        assert len(there.moved(far, far).holes) == len(there.holes)
    gone = edit.move(design, None, None, there.id, -5_000.0, -5_000.0).design
    with pytest.raises(EditError, match="follows the outline of Deck"):
        with_numbers_kept(design, gone)


def on_two_boards() -> Design:
    """The same pattern on two boards of one size."""
    design = copy_board(plain(200, 120), "deck", catalogue()).design
    first, second = design.boards
    done = add_pattern(design, first.id, None, ENTRY, 100, 60, 0, catalogue()).design
    return edit.add(done, second.id, None, done.patterns[0].id, 100, 60, catalogue()).design


def test_a_copy_of_its_board_has_a_copy_of_it_that_follows_that_board() -> None:
    design = copy_board(with_one(), "deck", catalogue()).design
    first, second = design.boards
    assert [p.boundary.shape for p in design.patterns] == ["board", "board"]
    wider = sized(design, 320, 120, second.id)
    assert len(placed(wider, second.id).holes) > len(placed(wider, first.id).holes) == len(placed(design).holes)


def test_on_two_boards_one_pattern_lies_in_the_outline_of_each() -> None:
    design = on_two_boards()
    first, second = design.boards
    assert len(design.patterns) == 1
    wider = sized(design, 320, 120, second.id)
    assert len(placed(wider, second.id).holes) > len(placed(wider, first.id).holes) == len(placed(design).holes)
    assert numbers(wider, first.id) == numbers(design, first.id), "what is drilled on one is not called otherwise"
    both = [numbers(wider, b.id) for b in wider.boards]
    of_cell: dict[Cell, int] = {}
    for each in both:
        for number, cell in each.items():
            assert of_cell.setdefault(cell, number) == number
    assert len(set(of_cell.values())) == len(of_cell)


def test_changed_in_one_place_it_is_copied_and_the_other_stays() -> None:
    design = on_two_boards()
    first, second = design.boards
    wider = ENTRY.model_copy(update={"pitch": 14})
    at = second.arrangements[0].placements[0].id
    done = change_pattern(design, second.id, None, at, wider, 0, catalogue(), everywhere=False).design
    assert [p.pitch for p in done.patterns] == [PITCH, 14]
    assert len(placed(done, first.id).holes) == len(placed(design).holes) > len(placed(done, second.id).holes)


def test_a_circle_that_becomes_the_board_keeps_the_numbers_that_it_had() -> None:
    circle = ENTRY.model_copy(update={"boundary": BoundaryEntry(width=60)})
    design = add_pattern(plain(200, 120), None, None, circle, 60, 60, 0, catalogue()).design
    was = numbers(design)
    done = change_pattern(design, None, None, placed(design).id, ENTRY, 0, catalogue()).design
    now = numbers(done)
    assert len(now) > len(was)
    assert {number: now[number] for number in was} == was
    back = change_pattern(done, None, None, placed(done).id, circle, 0, catalogue()).design
    assert numbers(back) == was


def test_a_board_too_small_for_it_is_refused_and_a_file_of_one_says_where() -> None:
    design = with_one()
    small = set_size(design, None, catalogue(), 30, 120).design
    with pytest.raises(EditError, match="no hole would fit in"):
        with_numbers_kept(design, small)
    with pytest.raises(DocumentError, match="No hole of this pattern fits") as refused:
        loads(dumps(small))
    assert "boards[0].arrangements[0].placements[0]" in str(refused.value)


def test_more_holes_than_a_pattern_has_are_refused() -> None:
    fine = ENTRY.model_copy(update={"hole": 1.0, "pitch": 2.0})
    design = add_pattern(plain(200, 120), None, None, fine, 100, 60, 0, catalogue()).design
    with pytest.raises(EditError, match="up to 5,000 holes"):
        with_numbers_kept(design, set_size(design, None, catalogue(), 400, 300).design)
    raw = json.loads(dumps(set_size(design, None, catalogue(), 400, 300).design))
    with pytest.raises(DocumentError, match="up to 5,000 holes"):
        loads(json.dumps(raw))


def test_every_rule_judges_its_holes_as_those_of_any_pattern() -> None:
    """The same holes by a copy of the outline: the same findings, on a board that breaks rules of pairs and edges."""
    tight = {"hole": 8.0, "pitch": 8.4}
    design = plain(200, 120)
    for inset in (0.0, 1.0):
        own = ENTRY.model_copy(update={**tight, "boundary": BoundaryEntry(shape="board", inset=inset)})
        copied = own.model_copy(update={"boundary": board_boundary(design.boards[0], 100, 60, 0, inset)})
        found = []
        for entry in (own, copied):
            after = add_pattern(design, None, None, entry, 100, 60, 0, catalogue()).design
            found.append(findings_of(resolve(after, None, None, catalogue()), catalogue()))
        assert [(f.rule, f.severity, f.measured, f.where) for f in found[0]] == [
            (f.rule, f.severity, f.measured, f.where) for f in found[1]
        ]
        assert {"web", "edge-distance"} <= {f.rule for f in found[0]} <= {rule.name for rule in RULES}


def test_on_a_board_of_no_placement_it_is_a_rectangle_of_its_size() -> None:
    """As a file may have it: it opens, and is offered among the hardware."""
    raw = json.loads(dumps(with_one()))
    raw["boards"][0]["arrangements"][0]["placements"] = []
    design = loads(json.dumps(raw))
    done = edit.add(design, None, None, design.patterns[0].id, 100, 60, catalogue())
    assert len(placed(done.design).holes) == len(placed(with_one()).holes)


def test_what_is_open_of_it_lets_air_through_as_its_board_has_it() -> None:
    design = sized(with_one(), 300, 120)
    board = design.boards[0]
    pattern = pattern_on(design.patterns[0], board, board.arrangements[0].placements[0])
    assert pattern.open_area == pytest.approx(len(placed(design).holes) * math.pi / 4 * HOLE**2)
