"""What of an outline has to be marked out: set-backs, ends, rise and run by hand, in both units."""

from __future__ import annotations

import math
import time

import pytest

from app.catalogue.load import catalogue
from app.document.resolve import resolve
from app.document.scenarios import load_scenario
from app.drafting.outline_words import batten_words, curve_name, curve_steps, line_name, line_steps, row_words
from app.errors import LengthError
from app.geometry.outline import Corner, Outline, rectangle_outline
from app.model.plotting import Plotting
from app.model.resolved import ResolvedBoard
from app.shop.outline_marks import OutlineMarks, offset_rows, outline_marks
from app.units import INCH, Unit
from app.values import replace

BARE = resolve(load_scenario("harbour-lane-two-seater"), None, None, catalogue()).populated(())
MM, INCHES = Plotting.usual(Unit.MM), Plotting.usual(Unit.INCH)


def board(*corners: Corner, openings: tuple[Outline, ...] = ()) -> ResolvedBoard:
    return replace(BARE, outline=Outline(corners), openings=openings)


def marked(*corners: Corner) -> OutlineMarks:
    return outline_marks(board(*corners), MM)


def test_a_rectangle_has_nothing_to_mark_out() -> None:
    found = outline_marks(replace(BARE, outline=rectangle_outline(600, 220), openings=()), MM)
    assert found == OutlineMarks((), (), MM)
    assert found.strays == 0.0


def test_unequal_set_backs_are_measured_along_their_own_edges() -> None:
    """Set back 40 along the front and 60 up the right edge, whichever way round the corners are listed."""
    corners = (Corner(0, 0), Corner(600, 0, (40, 60)), Corner(600, 220), Corner(0, 220))
    turned = tuple(Corner(c.x, c.y, c.setback and c.setback[::-1]) for c in reversed(corners))
    for asked in (corners, turned):
        (curve,) = marked(*asked).curves
        assert curve_name(curve) == "Curve 1, front right corner"
        assert curve_steps(curve, Unit.MM) == (
            (
                "From the corner, where its edges meet 600 mm from the left, 0 mm from the front, measure 40 mm along "
                "the front edge, 60 mm up the right edge; join the two marks with the curve."
            ),
            "It begins 560 mm from the left, 0 mm from the front, and ends 600 mm from the left, 60 mm from the front.",
        )


def test_a_circular_corner_has_a_third_point_and_a_centre_in_either_unit() -> None:
    """Half-way round a quarter of radius r: r (1 - 1 / sqrt 2) from both edges."""
    r = 2 * INCH
    corners = (Corner(0, 0), Corner(20 * INCH, 0), Corner(20 * INCH, 8 * INCH, (r, r)), Corner(0, 8 * INCH))
    found = outline_marks(replace(BARE, outline=Outline(corners), openings=(), units="inch"), INCHES)
    (curve,) = found.curves
    in_from = r * (1 - math.sqrt(0.5))
    assert curve.middle == pytest.approx((20 * INCH - in_from, 8 * INCH - in_from))
    steps = curve_steps(curve, Unit.INCH)
    assert 'measure 2" along the back edge, 2" down the right edge' in steps[0]
    assert steps[2].endswith('With a compass or trammel: radius 2", centre 18" from the left, 6" from the front.')
    assert row_words(curve, Unit.INCH)[0] == ("1", '20"', '6"', "0")
    assert "1/32 in" not in batten_words(curve, INCHES.reading, Unit.INCH)


def test_two_set_backs_that_meet_say_so() -> None:
    """An S: the edge between the two corners is used up by both."""
    long = math.hypot(100, 60)
    found = marked(
        Corner(0, 0), Corner(600, 0), Corner(600, 240), Corner(300, 240, (40, long / 2)),
        Corner(200, 180, (long / 2, 40)), Corner(0, 180),
    )  # fmt: skip
    first, second = found.curves
    assert (first.joins, second.joins) == (2, 0)
    assert first.ends[1] == pytest.approx((250, 210))
    assert second.ends[0] == pytest.approx((250, 210))
    assert curve_steps(first, Unit.MM)[-1].startswith("It runs into curve 2 without a straight piece")
    assert (first.plot.marked[-1] == second.plot.marked[0]).all()


def test_a_sloped_line_has_rise_and_run_and_a_corner_cut_off_its_two_measures() -> None:
    found = marked(Corner(0, 0), Corner(560, 0), Corner(600, 25), Corner(600, 220), Corner(0, 200))
    cut, back = found.lines
    assert (cut.run, cut.rise) == pytest.approx((40, 25))
    assert line_name(cut) == "Line 1, front right corner cut off"
    assert line_steps(cut, Unit.MM)[0] == (
        "From the corner, where its edges meet 600 mm from the left, 0 mm from the front, measure 40 mm along the "
        "front edge, 25 mm up the right edge; join the two marks with a straight line."
    )
    assert (back.run, back.rise) == pytest.approx((600, 20))
    assert line_steps(back, Unit.MM) == (
        "From 0 mm from the left, 200 mm from the front to 600 mm from the left, 220 mm from the front, straight.",
        "Check: over a run of 600 mm along the front datum edge it rises 20 mm.",
    )


def test_openings_are_marked_from_the_edges_of_the_board() -> None:
    hole = Outline((Corner(100, 50, (10, 10)), Corner(160, 50), Corner(160, 90), Corner(100, 90)))
    (curve,) = outline_marks(board(*rectangle_outline(600, 220).corners, openings=(hole,)), MM).curves
    assert curve_name(curve) == "Curve 1, front left corner of opening 1"
    assert {curve.ends[0], curve.ends[1]} == {(100.0, 60.0), (110.0, 50.0)}


def test_a_corner_that_lies_beyond_the_blank_is_not_measured_from() -> None:
    (curve,) = marked(
        Corner(0, 20), Corner(300, -10, (250, 250)), Corner(600, 20), Corner(600, 200), Corner(0, 200)
    ).curves
    assert not curve.within
    assert curve_steps(curve, Unit.MM)[0].startswith("Its edges meet beyond the blank")


def test_rows_hold_every_point_from_the_datum_edges_even_if_the_outline_begins_elsewhere() -> None:
    corners = [(0, 0, None), (600, 0, (40, 40)), (600, 220, None), (0, 220, None)]
    here = marked(*(Corner(x, y, s) for x, y, s in corners))
    there = marked(*(Corner(x + 100, y - 30, s) for x, y, s in corners))
    for a, b in zip(offset_rows(here), offset_rows(there), strict=True):
        assert (a.left, a.front, a.left_marked) == pytest.approx((b.left, b.front, b.left_marked), abs=1e-9)
    assert len(offset_rows(here)) == len(here.curves[0].plot.axes)


def test_a_spacing_that_no_rule_reads_is_refused_in_words() -> None:
    for spacing, reading in ((7.3, 0.5), (0.5, 0.5), (1000.0, 1.0), (10.0, 0.3)):
        with pytest.raises(LengthError, match="Choose"):
            Plotting(Unit.MM, spacing, reading)


def scalloped(count: int) -> Outline:
    """A board of 5 m with so many set-back corners along its back edge."""
    wide = 5000.0 / count
    back = [Corner(5000.0 - k * wide, 300.0 + 4.0 * (k % 2), (0.3 * wide, 0.4 * wide)) for k in range(1, count)]
    return Outline((Corner(0, 0), Corner(5000, 0), Corner(5000, 300), *back, Corner(0, 300)))


def test_many_corners_take_as_much_longer_as_they_are_more() -> None:
    """A board of 5 m with 125 and 500 set-back corners: quadratic would be sixteen times as long, linear four."""
    taken = []
    for count in (125, 500):
        one, best = replace(BARE, outline=scalloped(count), openings=()), math.inf
        for spacing in (5.0, 10.0, 20.0):  # each is worked out anew
            began = time.process_time()
            found = outline_marks(one, Plotting(Unit.MM, spacing, 0.5))
            best = min(best, time.process_time() - began)
        assert len(found.curves) == count - 1
        taken.append(best)
    assert taken[1] < 9 * taken[0]
