"""Sides passed, proofs, and steps: small boards where the answer is known on paper."""

from __future__ import annotations

import math

import pytest

from app.fit.features.features import Floats
from app.geometry.outline import Corner, Outline, rectangle_outline
from app.model.resolved import ResolvedBoard
from app.room.bound import most_points
from app.room.clusters import Clusters, ClustersOutcome
from app.room.linear_program import Program, UnsolvedError, cheapest
from app.room.make import Attempt, Case, attempt
from app.units import Unit
from tests.unit.fit.boards import CATALOGUE, at, board, button

EDGE = 26.0  # mm from an edge to a centre: half a hole of 28 mm, and 12 mm of material
BIG = button(28, flange=32)
NEEDED = 33.0  # mm from centre to centre: a hole, and a web of 5 mm


def row_board(count: int, spare: float) -> ResolvedBoard:
    """A board so low that centres have no way but along it, its parts all in one heap at its left end."""
    parts = (at(EDGE + 0.5 * k, EDGE, name=f"p{k}") for k in range(count))
    return board(*parts, outline=rectangle_outline(2 * EDGE + (count - 1) * NEEDED + spare, 2 * EDGE))


def clusters_solved(judged: ResolvedBoard, budget: int = 400) -> ClustersOutcome:
    case = Case(judged, CATALOGUE)
    return Clusters(case.constraint_set(case.freedoms[-1])).solve(budget)


@pytest.mark.parametrize("count", [2, 3, 4, 9])
def test_a_row_that_is_a_hair_too_long_is_proven_to_be(count: int) -> None:
    found = attempt(row_board(count, -0.1), CATALOGUE)
    assert found.after is None
    assert found.proven


@pytest.mark.parametrize("count", [2, 3])
def test_every_side_of_every_other_is_looked_at_before_it_is_proven(count: int) -> None:
    found = clusters_solved(row_board(count, -0.1))
    assert found.moves is None
    assert found.closed


@pytest.mark.parametrize("solved", [0, 1, 6])
def test_a_program_without_an_answer_proves_nothing(monkeypatch: pytest.MonkeyPatch, solved: int) -> None:
    left = iter(range(solved))

    def some(asked: Program) -> Floats | None:
        if next(left, None) is None:
            raise UnsolvedError
        return cheapest(asked)

    monkeypatch.setattr("app.room.constraint_set.cheapest", some)
    found = clusters_solved(row_board(3, -0.1))
    assert found.moves is None
    assert not found.closed


@pytest.mark.parametrize(("side", "apart"), [(100.0, 10.0), (33.0, 5.0), (250.0, 33.0)])
def test_points_in_triangles_are_never_more_than_the_most(side: float, apart: float) -> None:
    # Rows of equilateral triangles, the closest way to place points, as many as a square holds.
    rows = math.floor(side / (apart * math.sqrt(3) / 2)) + 1
    count = sum(math.floor((side - (k % 2) * apart / 2) / apart) + 1 for k in range(rows))
    assert count <= most_points(side, side, apart)


def test_the_most_is_met_by_a_row() -> None:
    assert most_points(7 * 33.0, 0.0, 33.0) == pytest.approx(8)


@pytest.mark.parametrize("count", [2, 3, 4, 5])
def test_a_row_that_just_fits_is_found_from_a_heap(count: int) -> None:
    found = attempt(row_board(count, 0.2), CATALOGUE)
    assert found.after is not None
    assert not found.after.open
    # Each goes from 0.5·k to 33·k along the row, in whatever order: the sum of those, and the spare at most.
    assert found.total == pytest.approx(sum(32.5 * k for k in range(count)), abs=0.5)


def test_of_two_sides_the_shorter_is_taken_though_the_nearest_is_blocked() -> None:
    # b overlaps a from the right by more than half; straight on to the right something locked is in the way.
    judged = board(
        at(200, 100, name="a", locked=True),
        at(215, 101, name="b"),
        at(250, 100, name="c", locked=True),
        outline=rectangle_outline(400, 200),
    )
    found = attempt(judged, CATALOGUE)
    assert found.after is not None
    assert not found.after.open
    # Above a and c at once: as far over the line between them as a triangle of 33, 33 and 50 mm is high.
    apex = math.sqrt(NEEDED**2 - 25**2)
    assert found.total == pytest.approx(math.hypot(225 - 215, 100 + apex - 101), abs=0.2)


def test_the_shortest_way_is_proven_to_be() -> None:
    judged = board(
        at(100, 100, name="a"), at(120, 117, name="b"), at(95, 122, name="c"), outline=rectangle_outline(400, 200)
    )
    assert clusters_solved(judged).closed


def test_knots_apart_are_solved_apart_and_those_that_touch_together() -> None:
    # Two heaps of two in one row; between them so little that what one pushes out gets into the other's way.
    row = (EDGE, EDGE + 1, EDGE + 37, EDGE + 38)
    judged = board(
        *(at(x, EDGE, name=f"p{k}") for k, x in enumerate(row)),
        outline=rectangle_outline(2 * EDGE + 3 * NEEDED + 4, 2 * EDGE),
    )
    found = attempt(judged, CATALOGUE)
    assert found.after is not None
    # The first stays; the others go to 33, 66 and 99 mm after it.
    assert found.total == pytest.approx(32 + 29 + 61, abs=0.3)


def test_nothing_is_said_to_be_proven_on_an_outline_that_bends_inward() -> None:
    # A notch in the back edge: its edges are no straight walls, so that no proof is claimed.
    corners = ((0, 0), (132, 0), (132, 60), (69, 60), (69, 52), (63, 52), (63, 60), (0, 60))
    judged = board(
        *(at(40 + 8 * k, 28, name=f"p{k}") for k in range(4)), outline=Outline(tuple(Corner(x, y) for x, y in corners))
    )
    found = attempt(judged, CATALOGUE)
    assert found.after is None
    assert not found.proven


@pytest.mark.parametrize(("unit", "step"), [(Unit.MM, 0.1), (Unit.INCH, 25.4 / 32)])
def test_shifts_are_figures_of_the_unit_they_are_read_in(unit: Unit, step: float) -> None:
    found: Attempt = attempt(
        board(
            at(100, 100, name="a"), at(120, 117, name="b"), at(95, 122, name="c"), outline=rectangle_outline(400, 200)
        ),
        CATALOGUE,
        unit=unit,
    )
    assert found.after is not None
    assert not found.after.open
    assert found.moves
    for m in found.moves:
        for by in (m.dx, m.dy):
            assert by / step == pytest.approx(round(by / step), abs=1e-5)


def test_where_there_is_no_room_for_a_thirty_second_a_finer_step_is_taken() -> None:
    # A gap 2 × 33 mm and a tenth wide: the part between has no way but into its middle, 1.05 mm off at most.
    judged = board(
        at(100, EDGE, name="a", locked=True),
        at(131, EDGE, name="b"),
        at(166.1, EDGE, name="c", locked=True),
        outline=rectangle_outline(300, 2 * EDGE),
    )
    found = attempt(judged, CATALOGUE, unit=Unit.INCH)
    assert found.after is not None
    assert not found.after.open
    assert [m.placement for m in found.moves] == ["b"]
    assert 2.0 - 1e-6 <= found.moves[0].dx <= 2.1 + 1e-6


def test_parts_change_places_where_that_is_the_shortest_way() -> None:
    # A strip with room for four only if the small one, which may stand nearer the edge, stands last.
    small = button(24, flange=30)
    whole, mixed, last = NEEDED, 31.5, 24.0  # two of 28; flanges of 32 and 30 half a mm apart; half a hole and 12 mm
    wide = EDGE + 2 * whole + mixed + last + 0.24
    judged = board(
        at(26.0, 34.0, BIG, name="p0"), at(47.2, 14.4, BIG, name="p1"), at(90.8, 26.0, small, name="p2"),
        at(121.7, 26.0, BIG, name="p3"), outline=rectangle_outline(wide, 2 * EDGE),
    )  # fmt: skip
    found = attempt(judged, CATALOGUE)
    places = [EDGE, EDGE + whole, EDGE + 2 * whole, EDGE + 2 * whole + mixed]
    least = 8.0 + math.hypot(places[1] - 47.2, 11.6) + (121.7 - places[2]) + (places[3] - 90.8)
    assert found.after is not None
    assert found.total == pytest.approx(least, abs=0.15 * 4), "each shift is in tenths, along both axes"
