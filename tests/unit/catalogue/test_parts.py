"""Every part of the catalogue could be held in the hand: its numbers agree with each other."""

from __future__ import annotations

import math

import pytest
from shapely.geometry import LineString, Point, Polygon
from shapely.geometry.base import BaseGeometry

from app.catalogue.load import catalogue
from app.geometry.shapes import Shape
from app.model.part import Cutout, NutFixing, Part, ScrewFixing, SnapFixing
from app.model.tooling import Tooling
from tests.folding import each

PARTS = list(catalogue().parts.values())
DECKS = (15.0, 18.0, 19.05)
"""Thicknesses decks are made of [mm]."""


every_part = each("part", PARTS)
ON_TOP = [p for p in PARTS if p.mount == "top"]
WITH_NUT = [p for p in PARTS if isinstance(p.fixing, NutFixing)]
WITH_SCREWS = [p for p in PARTS if isinstance(p.fixing, ScrewFixing)]
WITH_CLIPS = [p for p in PARTS if isinstance(p.fixing, SnapFixing)]
STICKS = [p for p in PARTS if p.lever]
with_nut = each("part", WITH_NUT)
with_screws = each("part", WITH_SCREWS)


def area(shape: Shape, grown: float = 0.0) -> BaseGeometry:
    """The shape for shapely, its radius changed by ``grown`` mm; round to 0.001 of the radius."""
    core: BaseGeometry = (
        Point(shape.core[0])
        if len(shape.core) == 1
        else LineString(shape.core)
        if len(shape.core) == 2
        else Polygon(shape.core)
    )
    shaped = core.buffer(shape.radius, quad_segs=64)
    if shape.radius == 0:
        return shaped.buffer(grown, join_style="mitre")
    return shaped.buffer(grown, quad_segs=64)


def as_cut(cutout: Cutout, width: float) -> BaseGeometry:
    """The cut-out made ``width`` mm wide instead of its nominal width."""
    return area(cutout.shape, (width - cutout.width) / 2)


def across_flats(nut: NutFixing) -> float:
    """Of a hexagon as wide across corners as the nut [mm]."""
    return nut.nut_width * math.cos(math.radians(30))


@every_part
def test_a_part_says_where_its_numbers_come_from(part: Part) -> None:
    assert len(part.source.text) > 10
    assert part.source.basis in {"data sheet", "typical"}, "nobody measured these; a builder does"
    assert "measure yours" in part.source.text or part.source.basis == "data sheet" or part.kind == "bracket"
    assert part.id.startswith(part.kind)


@every_part
def test_a_hole_works_at_its_nominal_size(part: Part) -> None:
    for cutout in part.cutouts:
        assert 0 < cutout.smallest <= cutout.width <= cutout.largest


@every_part
def test_the_flange_covers_the_hole_at_its_largest(part: Part) -> None:
    if part.flange is None:
        assert part.mount == "under", "what lies on top has a rim that carries it"
        return
    rim = area(part.flange.shape)
    for cutout in part.cutouts:
        assert rim.buffer(0.01).contains(as_cut(cutout, cutout.largest + 0.6)), "0.3 mm all round"


@each("part", ON_TOP)
def test_the_body_passes_the_hole_at_its_smallest(part: Part) -> None:
    main = part.cutouts[0]
    assert as_cut(main, main.smallest).buffer(0.01).contains(area(part.body.shape))


@with_nut
def test_a_nut_bears_on_the_board_round_the_largest_hole(part: Part) -> None:
    assert isinstance(part.fixing, NutFixing)
    assert across_flats(part.fixing) >= part.cutouts[0].largest + 1.0
    assert part.fixing.thread_length < part.body.depth, "the switch is behind the thread"
    assert part.mount == "top"


@each("part", [p for p in WITH_NUT if "short" not in p.id])
def test_a_long_thread_clamps_every_deck_with_thread_to_spare(part: Part) -> None:
    assert isinstance(part.fixing, NutFixing)
    assert part.fixing.spare_thread >= catalogue().rule("spare-thread")
    assert part.fixing.grip >= max(DECKS)


@each("part", [p for p in WITH_NUT if "short" in p.id])
def test_a_short_thread_needs_a_counterbore_and_one_can_be_made(part: Part) -> None:
    """In 18 and 19.05 mm MDF, with the depth rounded up as the depth stop allows."""
    assert isinstance(part.fixing, NutFixing)
    floor = catalogue().materials["mdf"].limits.ledge_floor
    for thickness in (18.0, 19.05):
        assert part.fixing.grip < thickness
        for step in (catalogue().rule("counterbore-step-mm"), catalogue().rule("counterbore-step-inch")):
            depth = math.ceil((thickness - part.fixing.grip) / step) * step
            assert thickness - depth >= floor


@with_nut
@each("bits", ["metric", "inch"])
def test_a_bit_of_the_set_counterbores_wide_enough_to_turn_the_nut(part: Part, bits: str) -> None:
    assert isinstance(part.fixing, NutFixing)
    width = part.fixing.nut_width + 2 * catalogue().rule("spanner-room")
    bit = _shop(bits).counterbore_bit(width)
    assert bit is not None
    assert width <= bit.diameter <= width + 5, "not so wide that it eats its neighbours"


@each("part", WITH_CLIPS)
def test_clips_sit_behind_the_sheet_they_grip(part: Part) -> None:
    assert isinstance(part.fixing, SnapFixing)
    assert 0 < part.fixing.grip_min < part.fixing.grip_max < part.body.depth


@with_screws
def test_screws_go_through_what_they_hold_and_into_wood(part: Part) -> None:
    fixing = part.fixing
    assert isinstance(fixing, ScrewFixing)
    held = fixing.plate or (part.flange.shape if part.mount == "top" and part.flange else part.body.shape)
    through = [c for c in part.cutouts if c.shape.centre in fixing.holes]
    openings = [c for c in part.cutouts if c not in through]
    for hole in fixing.holes:
        screw = Point(hole).buffer(fixing.screw_diameter / 2)
        assert area(held).contains(screw)
        for cutout in openings:
            assert not as_cut(cutout, cutout.largest).intersects(screw)
    for cutout in through:
        assert cutout.smallest > fixing.screw_diameter


@with_screws
def test_screws_are_even_about_the_origin(part: Part) -> None:
    assert isinstance(part.fixing, ScrewFixing)
    holes = part.fixing.holes
    assert {(-x, -y) for x, y in holes} == set(holes)


@with_screws
def test_a_plate_below_the_board_is_wider_than_the_hole_it_closes(part: Part) -> None:
    fixing = part.fixing
    assert isinstance(fixing, ScrewFixing)
    if fixing.plate is None:
        return
    assert fixing.side == part.mount == "under"
    assert 0 < fixing.plate_thickness < part.body.depth
    for cutout in part.cutouts:
        assert area(fixing.plate).contains(as_cut(cutout, cutout.largest))


@each("thickness", DECKS)
@each("part", [p for p in STICKS if "short" not in p.id])
def test_a_lever_stands_at_the_right_height_above_a_deck(part: Part, thickness: float) -> None:
    """The plate lies on the underside, so the lever shows its length less the board."""
    assert part.lever is not None
    assert part.lever.height_min <= part.lever.length - thickness <= part.lever.height_max


@each("part", [p for p in STICKS if "short" in p.id])
def test_a_short_lever_needs_a_recess_and_one_can_be_made(part: Part) -> None:
    assert part.lever is not None
    for thickness in (18.0, 19.05):
        recess = part.lever.height_min - (part.lever.length - thickness)
        assert recess > 0
        assert thickness - recess >= catalogue().materials["mdf"].limits.ledge_floor


def test_there_are_sticks_with_two_screw_patterns() -> None:
    patterns = {frozenset(p.fixing.holes) for p in STICKS if isinstance(p.fixing, ScrewFixing)}
    assert len(patterns) == 2


@every_part
def test_tabs_are_of_the_series(part: Part) -> None:
    """IEC 61210: flat tabs 2.8, 4.8, 6.3 and 9.5 mm wide."""
    if part.wiring is None:
        assert part.kind in {"socket", "fan", "bracket", "encoder"}, "what is pressed or turned is wired"
        return
    assert part.wiring.tab_width in {2.8, 4.8, 6.3, 9.5}
    assert part.wiring.signal_tabs >= 1 and part.wiring.ground_tabs >= 1


def _shop(bits: str) -> Tooling:
    c = catalogue()
    return Tooling(c.allowances["hand"], c.bit_sets[bits], c.papers["a4"])


NO_INCH_BIT = {
    "button-24-snap": "15/16 in is 23.81, too tight; 1 in is 25.4, too wide for the clips",
    "socket-round-24": "the same; its flange covers no wider hole",
}


@every_part
def test_a_bit_of_each_set_makes_every_round_hole(part: Part) -> None:
    for cutout in part.cutouts:
        if not cutout.is_circle:
            continue
        assert _shop("metric").bit_for(cutout.width, cutout.smallest, cutout.largest)
        inch = _shop("inch").bit_for(cutout.width, cutout.smallest, cutout.largest)
        assert (inch is None) == (part.id in NO_INCH_BIT)


@pytest.mark.parametrize(
    ("kind", "least"),
    [
        ("button", 12), ("stick", 2), ("rotary", 1), ("trackball", 2), ("toggle", 1),
        ("rocker", 1), ("lock", 1), ("socket", 2), ("fan", 2), ("speaker", 1), ("encoder", 4),
    ],
)  # fmt: skip
def test_there_is_hardware_of_every_kind(kind: str, least: int) -> None:
    assert sum(p.kind == kind for p in PARTS) >= least


def test_there_are_buttons_for_each_hole_by_clip_and_by_short_and_long_thread() -> None:
    assert {f"button-{d}-{how}" for d in (24, 28, 30) for how in ("snap", "nut-short", "nut-long")} <= set(
        catalogue().parts
    )
    flanges = {p.id: p.flange.shape.size[0] for p in PARTS if p.kind == "button" and p.flange}
    assert (flanges["button-60-nut"], flanges["button-100-nut"]) == (60, 100)
