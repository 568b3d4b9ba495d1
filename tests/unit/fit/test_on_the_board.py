"""What a placement asks of the board's edges and openings and of the free depth below it.

Each on both sides of its limits, which are defaults of the fit table (common practice, no source) or of the materials
made up for tests; distances are plain geometry.
"""

from __future__ import annotations

import math

import pytest

from app.fit.report.report import check
from app.geometry.shapes import rectangle
from app.model.board import DepthPlane
from app.model.material import Layer, MaterialLimit
from app.model.part import Part
from app.model.resolved import Recess
from app.values import replace
from tests.unit.fit.boards import (
    ACRYLIC,
    CATALOGUE,
    HAND,
    MDF,
    at,
    board,
    button,
    found,
    hanging,
    material,
    near,
    nut,
    plate,
)
from tests.unit.fit.things_of_each_kind import (
    HAIR,
    OPENING,
    Want,
    only,
    put,
    reach,
    screwed,
    steps,
    told,
    window,
)

PLYWOOD = material("Plywood", "plywood")
ALUMINIUM = material(
    "Aluminium",
    "aluminium",
    edge_stop=MaterialLimit(per_thickness=1),
    edge_caution=MaterialLimit(2, 2),
    edge_caution_backed=MaterialLimit(2, 2),
)

SHANKS = [
    ((Layer(PLYWOOD, 18),), "under", None, 6, 12),
    # Of a multiple of the thickness it is as much as the screw goes in: 2 · 4 mm where its length is not known, else
    # what is left of it under 2 mm of plate, no less than it is wide, no more than the layer is thick.
    ((Layer(ACRYLIC, 2),), "under", None, 1.5 * 2, 4),  # by itself: the screw's own width of board
    ((Layer(ALUMINIUM, 3),), "under", None, 3, 2 * 3),
    ((Layer(ALUMINIUM, 18),), "under", None, 8, 2 * 8),
    ((Layer(ALUMINIUM, 18),), "under", 7, 5, 2 * 5),
    ((Layer(ALUMINIUM, 18),), "top", 3, 4, 2 * 4),
    # Backed by another layer, acrylic asks for twice its thickness; the layer that is entered counts alone.
    ((Layer(ACRYLIC, 4), Layer(MDF, 14)), "top", None, 1.5 * 4, 2 * 4),
    ((Layer(MDF, 14), Layer(ACRYLIC, 4)), "under", None, 1.5 * 4, 2 * 4),
    ((Layer(ACRYLIC, 4), Layer(PLYWOOD, 14)), "under", None, 6, 12),
]


@pytest.mark.parametrize(("layers", "side", "length", "stop", "caution"), SHANKS)
def test_a_screw_is_as_far_from_an_edge_as_the_layer_it_enters_asks(
    layers: tuple[Layer, ...], side: str, length: float | None, stop: float, caution: float
) -> None:
    part = screwed(side, (-40, 0), length=length)
    for gap, want in steps(stop, caution):
        assert only(board(at(gap + 2 + 40, 150, part), layers=layers), "edge-distance") == want
        worst = board(at(gap + 2 + 40 + 1.5, 150, part), layers=layers, allowance=HAND)
        assert only(worst, "edge-distance") == want
        beside = board(at(350 + gap + 2 + 40, 150, part), layers=layers, openings=(OPENING,))
        assert only(beside, "edge-distance") == want
    (finding,) = found(board(at(stop + 42 - HAIR, 150, part), layers=layers), "edge-distance")
    entered = layers[0 if side == "top" else -1].material.name
    assert (finding.detail.what, finding.detail.layer) == ("screw", entered)


@pytest.mark.parametrize(
    ("centre", "want"),
    [
        (12, ()),  # a trade body's advice on MDF, from the screw's middle
        (12 - HAIR, ("caution", near(12 - HAIR), 12)),
        (8, ("caution", near(8), 12)),
        (8 - HAIR, ("stop", near(6 - HAIR), 6)),  # its shank, 4 mm wide, is nearer than any hole may be
        (2, ("stop", near(0), 6)),
        (-3, ("stop", near(-3 - 2), 6)),  # it goes into nothing
    ],
)
@pytest.mark.parametrize("side", ["under", "top"])
def test_a_screw_into_mdf_keeps_its_middle_from_an_edge_and_its_shank_all_the_more(
    centre: float, want: Want, side: str
) -> None:
    part = screwed(side, (-40, 0))
    assert only(board(at(40 + centre, 150, part)), "edge-distance") == want
    assert only(board(at(350 + 40 + centre, 150, part), openings=(OPENING,)), "edge-distance") == want


def test_a_screw_over_an_opening_is_a_stop() -> None:
    checked = board(at(330, 150, screwed("under", (-40, 0))), openings=(window(270, 135, 310, 165),))
    (finding,) = found(checked, "edge-distance")
    assert (finding.severity, finding.measured, finding.detail.edge) == ("stop", near(-15 - 2), "opening")


@pytest.mark.parametrize("kind", ["flange", "plate on top", "screw head on top"])
def test_what_lies_on_top_does_not_hang_over_an_edge_or_an_opening(kind: str) -> None:
    for gap, want in steps(0, 0.5):
        assert only(board(put(kind, reach(kind) + gap, 150, angle=180)), "flange-overhang") == want
        inside = board(put(kind, 250 - reach(kind) - gap, 150), openings=(OPENING,))
        assert only(inside, "flange-overhang") == want
    (finding,) = found(board(put(kind, reach(kind), 150, angle=180)), "flange-overhang")
    assert finding.detail.what == told(kind)


@pytest.mark.parametrize("kind", ["body", "plate", "nut", "screw head"])
def test_what_hangs_below_does_not_reach_past_an_edge(kind: str) -> None:
    for gap, want in steps(0, 0.5):
        assert only(board(put(kind, reach(kind) + gap, 150, angle=180)), "under-overhang") == want
        worst = board(put(kind, reach(kind) + gap + 1.5, 150, angle=180), allowance=HAND)
        assert only(worst, "under-overhang") == want
    (finding,) = found(board(put(kind, 600 - reach(kind), 150)), "under-overhang")
    assert (finding.detail.what, finding.detail.edge) == (kind, "right")


@pytest.mark.parametrize("kind", ["body", "plate", "nut", "screw head"])
def test_only_a_nut_may_by_no_means_reach_into_an_opening(kind: str) -> None:
    """A body or a plate there may be meant, as behind a window; a nut presses on nothing."""
    for gap, want in steps(0 if kind == "nut" else -math.inf, 0.5):
        if math.isfinite(gap):
            checked = board(put(kind, 250 - reach(kind) - gap, 150), openings=(OPENING,))
            assert only(checked, "under-overhang") == want
    deep = board(put(kind, 250 - reach(kind) + 6, 150), openings=(OPENING,))
    assert only(deep, "under-overhang") == (("stop", near(-6), 0) if kind == "nut" else ("caution", near(-6), 0.5))


def test_past_an_edge_counts_more_than_into_an_opening() -> None:
    wide = hanging(rectangle(80, 20), hole=20, flange=0)
    checked = board(at(39, 150, wide), openings=(window(75, 100, 200, 200),))
    assert only(checked, "under-overhang") == ("stop", near(-1), 0)


def test_what_does_not_come_through_the_board_hangs_over_nothing() -> None:
    shallow = button(20, flange=0, body=19, depth=18)
    assert not found(board(at(5, 150, shallow)), "under-overhang")
    assert found(board(at(5, 150, replace(shallow, body=replace(shallow.body, depth=18.1)))), "under-overhang")


@pytest.mark.parametrize(
    ("part", "what", "hangs"),
    [
        (hanging(40, depth=22), "body", 22),
        (button(20, flange=0, fixing=nut(width=34, height=6, washer=1.5)), "nut", 7.5),
        (button(20, flange=0, fixing=plate("under", 60, 40)), "plate", 2),
        # A countersunk head is half as high as its shank is thick, below 2 mm of plate.
        (button(20, flange=0, fixing=plate("under", 60, 40, (29, 0))), "screw head", 2 + 4 / 2),
    ],
)
def test_what_hangs_below_fits_the_free_depth(part: Part, what: str, hangs: float) -> None:
    for free, want in ((hangs, ()), (hangs - HAIR, ("stop", near(-HAIR), 0))):
        checked = board(at(200, 150, part), depth=DepthPlane(free, 0, 0))
        assert only(checked, "depth-below") == want
    (finding,) = found(board(at(200, 150, part), depth=DepthPlane(hangs - 1, 0, 0)), "depth-below")
    assert (finding.detail.what, finding.detail.depth) == (what, near(hangs))


@pytest.mark.parametrize(
    ("part", "recess", "hangs"),
    [
        (screwed("under"), Recess(110, 70, 6, 1.5), 22 - 1.5),  # its body is sunk as deep
        (button(20, flange=0, fixing=plate("under", 60, 40)), Recess(70, 50, 6, 1.5), 0.5),
        (button(20, flange=0, fixing=nut(width=34, height=6)), Recess(60, 60, 6, 2), 4),
    ],
)
def test_what_lies_in_a_recess_hangs_the_less(part: Part, recess: Recess, hangs: float) -> None:
    assert not found(board(at(200, 150, part, recess=recess), depth=DepthPlane(hangs, 0, 0)), "depth-below")
    short = board(at(200, 150, part, recess=recess), depth=DepthPlane(hangs - HAIR, 0, 0))
    assert only(short, "depth-below") == ("stop", near(-HAIR), 0)


def test_what_lies_wholly_in_its_recess_meets_nothing_below() -> None:
    """Plate and head are 2 and 4 mm deep: 4 mm of recess take both, even where a sloping floor leaves no depth."""
    part = button(20, flange=0, fixing=plate("under", 60, 40, (29, 0)))
    for deep, want in ((4.0, 0), (4.0 - HAIR, 1)):
        checked = board(at(200, 150, part, recess=Recess(80, 50, 6, deep)), depth=DepthPlane(-HAIR, 0, 0))
        assert len(found(checked, "depth-below")) == want
        assert sum(one.other == "free depth" for one in check(checked, CATALOGUE).tightest()) == want
