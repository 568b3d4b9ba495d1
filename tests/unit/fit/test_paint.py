"""Paint on every surface: a tight hole tightens, a board grows, a ledge does not."""

from __future__ import annotations

import pytest

from app.arrange.design.settings import set_paint
from app.catalogue.load import catalogue
from app.document.dump import dumps
from app.document.load import loads
from app.document.resolve import resolve
from app.fit.limits.cut_depths import depth_needed, held_thickness
from app.fit.report.report import check
from app.geometry.shapes import rectangle
from app.model.board import DepthPlane
from app.model.material import Layer
from app.model.part import SnapFixing
from app.model.resolved import Recess
from app.model.tooling import Bit
from app.values import replace
from tests.unit.document.designs import small_design
from tests.unit.fit.boards import ACRYLIC, CATALOGUE, MDF, at, board, button, found, near, nut

HAIR = 0.01  # mm past a limit: what is said to that; less is not short


def test_0_3_mm_of_paint_turn_a_tight_hole_into_a_finding() -> None:
    part = button(28, smallest=27.9, largest=28.2)
    assert not found(board(at(200, 150, part)), "bit-match")
    painted = found(board(at(200, 150, part), paint=0.15), "bit-match")  # 28 − 2 · 0.15 = 27.7
    assert [(f.severity, f.measured, f.required) for f in painted] == [("stop", near(27.7), 28)]
    fix = check(board(at(200, 150, part), paint=0.15), CATALOGUE).fix_for(painted[0])
    assert fix is not None
    assert getattr(fix, "diameter", 0) == near(28.3)


def test_the_bit_is_chosen_for_what_the_paint_leaves() -> None:
    shop = board(bits=(Bit("forstner", 28, 55), Bit("forstner", 28.5, 55))).tooling
    bare, painted = (shop.bit_for(28, 27.9, 28.6, paint=p) for p in (0.0, 0.25))
    assert bare is not None and bare.diameter == 28
    assert painted is not None and painted.diameter == 28.5  # 28.5 − 2 · 0.25 is 28


def test_a_sawn_opening_is_narrower_when_painted() -> None:
    part = button(more=(rectangle(30, 10, 60, 0),))
    part = replace(part, cutouts=(part.cutouts[0], replace(part.cutouts[1], smallest=9.8, largest=11)))
    assert not found(board(at(200, 150, part), paint=0.0), "bit-match")
    findings = [f for f in found(board(at(200, 150, part), paint=0.15), "bit-match") if f.detail.cause == "painted"]
    assert [(f.severity, f.measured, f.required) for f in findings] == [("caution", near(9.7), 9.8)]


@pytest.mark.parametrize(("paint", "want"), [(0.5, None), (0.5 + HAIR, "caution")])
def test_a_nut_holds_the_board_with_a_film_on_both_faces(paint: float, want: str | None) -> None:
    # 26 mm of thread, 6 mm of nut, 18 mm of board: 2 mm show, of which 1 mm is to spare.
    findings = found(board(at(200, 150, button(fixing=nut(26))), paint=paint), "thread-reach")
    assert [f.severity for f in findings] == ([want] if want else [])


@pytest.mark.parametrize(("paint", "want"), [(0.25, None), (0.25 + HAIR, "stop")])
def test_clips_hold_it_too(paint: float, want: str | None) -> None:
    part = button(fixing=SnapFixing(1, 18.5))
    assert [f.severity for f in found(board(at(200, 150, part), paint=paint), "snap-grip")] == ([want] if want else [])


def test_a_counterbore_is_as_much_deeper_and_wider_and_its_ledge_is_bare_board() -> None:
    part = button(fixing=nut(14, height=3, width=20))  # grips 10 mm
    layers = (Layer(MDF, 18),)
    assert depth_needed(layers, part, 0.5) == 8
    assert depth_needed(layers, part, 0.5, 0.2) == 8.5  # 18 + 0.4 − 10 = 8.4
    assert held_thickness(18, 8.5, 0.2) == near(9.9)
    narrow = found(board(at(200, 150, part, bore=(26, 8.5)), paint=0.2), "thread-reach")
    assert [(f.severity, f.measured, f.required) for f in narrow] == [("caution", near(25.6), 26)]
    assert not found(board(at(200, 150, part, bore=(26.4, 8.5)), paint=0.2), "thread-reach")


def test_a_cover_sheet_counts_for_threads_and_clips() -> None:
    part = button(fixing=nut(25))  # as much as 18 mm take
    bare, covered = (Layer(MDF, 15),), (Layer(ACRYLIC, 3 + HAIR), Layer(MDF, 15))
    assert not found(board(at(200, 150, part), layers=bare), "thread-reach")
    assert [f.severity for f in found(board(at(200, 150, part), layers=covered), "thread-reach")] == ["caution"]


@pytest.mark.parametrize(("paint", "want"), [(0.25, None), (0.25 + HAIR, "stop")])
def test_a_plate_on_a_painted_underside_hangs_lower_by_the_film(paint: float, want: str | None) -> None:
    below = board(at(200, 150, button(depth=40, mount="under")), depth=DepthPlane(40.25, 0, 0), paint=paint)
    assert [f.severity for f in found(below, "depth-below")] == ([want] if want else [])
    sunk = at(200, 150, button(depth=48, mount="under"), recess=Recess(60, 60, 6, 8))
    recessed = board(sunk, depth=DepthPlane(40.25, 0, 0), paint=paint)
    assert [f.severity for f in found(recessed, "depth-below")] == ([want] if want else [])


def test_a_flange_on_a_painted_top_face_lifts_its_body_by_the_film() -> None:
    part = button(depth=40)  # 22 mm below 18 mm of board
    tight = DepthPlane(21.75, 0, 0)
    assert [f.severity for f in found(board(at(200, 150, part), depth=tight, paint=0.2), "depth-below")] == ["stop"]
    assert not found(board(at(200, 150, part), depth=tight, paint=0.25), "depth-below")


def test_paint_is_read_from_the_document() -> None:
    design = set_paint(small_design(), None, 0.15).design
    assert resolve(loads(dumps(design)), None, None, catalogue()).paint == 0.15
