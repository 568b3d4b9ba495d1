"""Where legends come: on their side, clear of everything, on one line; else it is said."""

from __future__ import annotations

import math

import pytest

from app.fit.features.layout import layout_of
from app.fit.lettering.laid import LaidLegend
from app.fit.report.report import check
from app.geometry.contours import box_of
from app.geometry.shapes import rectangle
from app.model.board import KeepClear
from app.model.legend import SIDES, Legend, LegendPlace, Lettering
from app.model.resolved import ResolvedBoard
from app.values import replace
from tests.unit.fit.boards import CATALOGUE, HAND, at, board, button, found
from tests.unit.fit.lettered import lettered

SAFE = 0.005
GAP = 1.0 + SAFE  # the default, and what is kept beyond it
RIM = 16.0  # of a flange 4 mm wider than its hole of 28 mm


def laid(checked: ResolvedBoard) -> tuple[LaidLegend, ...]:
    return layout_of(checked, CATALOGUE).legends


def box(one: LaidLegend) -> tuple[float, float, float, float]:
    """Round its ink, from the button at (200, 150)."""
    x0, y0, x1, y1 = box_of(one.contours)
    return (x0 - 200, y0 - 150, x1 - 200, y1 - 150)


def test_a_legend_stands_beside_its_flange_by_the_gap() -> None:
    places: dict[LegendPlace, float] = {}
    for place in SIDES:
        (one,) = laid(lettered(Legend(sign="stop", height=6.0, place=place)))
        x0, y0, x1, y1 = box(one)
        places[place] = {"back": y0, "front": -y1, "left": -x1, "right": x0}[place]
        across = (x0 + x1) / 2 if place in ("back", "front") else (y0 + y1) / 2
        assert across == pytest.approx(0, abs=1e-9)
    assert places == {place: pytest.approx(RIM + GAP) for place in SIDES}


def test_a_hand_drill_is_kept_clear_of_as_much_more_as_it_may_be_off() -> None:
    (one,) = laid(lettered(Legend(sign="stop"), allowance=HAND))
    assert box(one)[1] == pytest.approx(RIM + GAP + HAND.position)


def test_legends_of_one_height_stand_on_one_line_whatever_letters_they_have() -> None:
    four = lettered(*(Legend(text) for text in ("Ag", "ÄH", "x", "Jump")), pitch=80)
    assert len({round(one.anchor[1], 9) for one in laid(four)}) == 1
    front = lettered(*(Legend(text, place="front") for text in ("Ag", "ÄH", "x")), pitch=80)
    assert len({round(one.anchor[1], 9) for one in laid(front)}) == 1


def test_height_is_that_of_capitals() -> None:
    """ISO 3098 measures lettering by its capitals (from memory)."""
    (one,) = laid(replace(lettered(Legend("H")), lettering=Lettering(height=7.0)))
    assert box(one)[3] - box(one)[1] == pytest.approx(7.0, abs=1e-9)


def test_a_legend_goes_round_what_is_in_its_way() -> None:
    """A second button stands behind the first one, where its legend would be."""
    blocked = board(replace(at(200, 150), legend=Legend("A")), at(200, 184, name="b"))
    (one,) = laid(blocked)
    assert not one.trouble and not found(blocked, "legend-clear") and not found(blocked, "legend-room")
    free = laid(board(replace(at(200, 150), legend=Legend("A"))))[0]
    assert one.middle != free.middle


def test_where_no_place_is_clear_it_is_said_and_another_side_is_offered() -> None:
    wall = button(60, flange=90)
    crowded = board(replace(at(200, 150), legend=Legend("START")), at(200, 212, wall, name="b"))
    (one,) = laid(crowded)
    assert one.trouble == "no room"
    (finding,) = found(crowded, "legend-room")
    assert (finding.severity, finding.subjects) == ("caution", ("a",))
    assert not found(crowded, "legend-clear")


def test_a_ring_is_read_from_the_front_in_both_halves() -> None:
    """In the back half letters stand outward, in the front half inward, so that none is upside down."""
    for turn in (0.0, 180.0):
        (one,) = laid(lettered(Legend("OXO", place="ring", turn=turn)))
        middle = one.poses[1]
        assert (middle.cos, middle.sin) == pytest.approx((1.0, 0.0), abs=1e-9)
        feet = [pose.at((piece.middle, 0.0))[0] for piece, pose in zip(one.ink.pieces, one.poses, strict=True)]
        assert feet == sorted(feet)
    (back,), (front,) = (laid(lettered(Legend("OXO", place="ring", turn=turn))) for turn in (0.0, 180.0))
    assert box(back)[1] > 0 > box(front)[3]


def test_every_letter_of_a_ring_is_as_far_from_the_flange() -> None:
    (one,) = laid(lettered(Legend("HHHHHHH", place="ring", turn=30.0)))
    feet = [pose.at((piece.middle, 0.0)) for piece, pose in zip(one.ink.pieces, one.poses, strict=True)]
    assert {round(math.hypot(x - 200, y - 150), 6) for x, y in feet} == {round(RIM + GAP, 6)}


def test_a_ring_that_bites_its_tail_is_too_long() -> None:
    assert [one.trouble for one in laid(lettered(Legend("W" * 40, place="ring")))] == ["too long"]
    assert [one.trouble for one in laid(lettered(Legend("START", place="ring")))] == [""]


def test_a_free_legend_is_where_it_is_told_and_judged_there() -> None:
    over = lettered(Legend(sign="stop", place="free", x=3.0, y=4.0))
    (one,) = laid(over)
    x0, y0, x1, y1 = box(one)
    assert ((x0 + x1) / 2, (y0 + y1) / 2) == pytest.approx((3.0, 4.0))
    (finding,) = found(over, "legend-clear")
    assert finding.severity == "stop" and finding.detail.mark == "legend"


def test_what_may_lie_under_a_flange_is_not_told_of_but_never_over_a_hole() -> None:
    wide = button(28, flange=80)
    legend = Legend(sign="stop", place="free", x=25.0)
    here = replace(at(200, 150, wide), legend=legend)
    assert [f.severity for f in found(board(here), "legend-clear")] == ["caution"]
    under = replace(here, legend=replace(legend, covered=True))
    assert not found(board(under), "legend-clear")
    over = replace(here, legend=replace(legend, covered=True, x=12.0))
    assert [f.severity for f in found(board(over), "legend-clear")] == ["stop"]


@pytest.mark.parametrize(("x", "told"), [(-183.0, []), (-184.5, ["caution"]), (-185.5, ["stop"]), (-230.0, ["stop"])])
def test_a_legend_over_an_edge_is_a_stop_and_near_it_a_caution(x: float, told: list[str]) -> None:
    """The board begins 200 mm to the left of the part; the square is 30 mm wide."""
    found_there = found(lettered(Legend(sign="stop", height=30.0, place="free", x=x, y=60.0)), "legend-clear")
    assert [f.severity for f in found_there] == told


def test_an_area_to_keep_clear_is_kept_clear_of_on_the_top_face_only() -> None:
    legend = Legend(sign="stop", place="free", x=60.0)
    for face, many in (("top", 1), ("under", 0)):
        area = KeepClear(face, rectangle(20, 20, 260, 150), "hinge")  # type: ignore[arg-type]
        assert len(found(lettered(legend, keep_clear=(area,)), "legend-clear")) == many


def test_what_is_not_drilled_is_not_lettered() -> None:
    off = board(replace(at(200, 150, drill=False), legend=Legend("A")))
    assert not laid(off)


def test_places_do_not_depend_on_the_order_of_parts() -> None:
    row = [replace(at(60 + 34 * k, 150, name=name), legend=Legend("Long word")) for k, name in enumerate("abcdefgh")]
    places = {one.id: p.middle for one, p in zip(row, laid(board(*row)), strict=True)}
    back = list(reversed(row))
    assert {one.id: p.middle for one, p in zip(back, laid(board(*back)), strict=True)} == places


def test_a_board_without_legends_has_nothing_of_them() -> None:
    plain = board(at(200, 150), at(260, 150, name="b"))
    assert not laid(plain)
    assert not [f for f in check(plain, CATALOGUE).findings if f.rule.startswith("legend")]
