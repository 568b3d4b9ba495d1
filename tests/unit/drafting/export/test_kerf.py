"""Lines for a cutter that has a width: inside ones smaller, outside ones larger, each by half of it.

Outside checks: areas by Steiner's formula for parallel bodies (area + length·d + π·d²), and rims against the buffer
of shapely, whose arcs are polygons of 4 × 720 sides here (a sagitta below 1e-6 of the radius).
"""

from __future__ import annotations

import io
import math

import pytest
import shapely
from ezdxf.filemanagement import read as read_dxf
from hypothesis import given
from hypothesis import strategies as st

from app.drafting.export.drawing import export_scene
from app.drafting.export.kerf import parallel_path, shrunk
from app.errors import WriterError
from app.geometry.outline import Corner, Outline, rectangle_outline
from app.geometry.shapes import circle, rectangle, slot
from app.scene.curves import arc_pieces
from app.scene.primitives import ArcTo, LineTo, Path, Style, Text
from app.values import replace
from app.writers import dxf
from tests.unit.drafting.boards import bare, two_player

INK = Style()
L_SHAPE = Outline((Corner(0, 0), Corner(300, 0), Corner(300, 100), Corner(120, 100), Corner(120, 200), Corner(0, 200)))
SET_BACK = Outline(
    (
        Corner(0, 0, (20, 20)),
        Corner(300, 0),
        Corner(300, 160, (60, 30)),
        Corner(100, 160),
        Corner(100, 60, (25, 25)),
        Corner(0, 60),
    )
)


def polygon(path: Path) -> shapely.Polygon:
    """A path as a polygon, its arcs in steps of a quarter of a degree."""
    points, here = [path.start], path.start
    for step in path.steps:
        if isinstance(step, ArcTo):
            points += [p for p, _ in arc_pieces(here, step.end, step.centre, step.sweep, 0.25)]
        else:
            assert isinstance(step, LineTo)
            points.append(step.end)
        here = step.end
    return shapely.Polygon(points)


@given(st.floats(1.0, 60.0), st.floats(0.01, 1.9))
def test_a_circle_stays_a_circle(diameter: float, kerf: float) -> None:
    if kerf < diameter - 1e-6:
        less = shrunk(circle(diameter, 10.0, 20.0), kerf / 2)
        assert less.is_circle
        assert less.core == ((10.0, 20.0),)
        assert 2 * less.radius == pytest.approx(diameter - kerf, abs=1e-12)


def test_a_slot_keeps_its_centres_and_loses_the_kerf_in_width() -> None:
    less = shrunk(slot(40.0, 10.0, 5.0, 6.0, 30.0), 0.15)
    assert less.core == slot(40.0, 10.0, 5.0, 6.0, 30.0).core
    assert 2 * less.radius == pytest.approx(9.7)


@pytest.mark.parametrize(("corner", "kerf"), [(0.0, 0.4), (3.0, 0.4), (0.15, 0.4), (0.2, 0.4)])
def test_a_rectangle_loses_the_kerf_on_both_sides(corner: float, kerf: float) -> None:
    """Also where the corner's radius is less than half the kerf: then it becomes sharp."""
    less = shrunk(rectangle(27.0, 13.0, corner=corner), kerf / 2)
    assert less.size == pytest.approx((27.0 - kerf, 13.0 - kerf))
    assert less.radius == pytest.approx(max(0.0, corner - kerf / 2))


@pytest.mark.parametrize("by", [0.05, 0.15, 3.0])
@pytest.mark.parametrize("outline", [L_SHAPE, SET_BACK, rectangle_outline(600, 220, 40)])
def test_outside_a_rim_is_its_buffer(outline: Outline, by: float) -> None:
    ours = polygon(parallel_path(outline, by, INK))
    theirs = shapely.Polygon(outline.flattened(0.0002)).buffer(by, quad_segs=720)
    # At an inside corner the buffer is sharp as well; the rim itself is followed within 0.0002 mm.
    assert ours.symmetric_difference(theirs).area < 0.002 * outline_length(outline)
    assert ours.hausdorff_distance(theirs) < 0.002


@pytest.mark.parametrize("by", [0.05, 0.15, 3.0])
@pytest.mark.parametrize("outline", [L_SHAPE, SET_BACK, rectangle_outline(600, 220, 40)])
def test_inside_an_opening_is_its_buffer_too(outline: Outline, by: float) -> None:
    ours = polygon(parallel_path(outline, -by, INK))
    theirs = shapely.Polygon(outline.flattened(0.0002)).buffer(-by, quad_segs=720)
    assert ours.symmetric_difference(theirs).area < 0.002 * outline_length(outline)
    assert ours.hausdorff_distance(theirs) < 0.002


def outline_length(outline: Outline) -> float:
    return float(shapely.Polygon(outline.flattened(0.01)).length)


@given(st.floats(100.0, 900.0), st.floats(80.0, 400.0), st.floats(0.0, 35.0), st.floats(0.01, 5.0))
def test_the_area_outside_follows_steiner(width: float, depth: float, setback: float, by: float) -> None:
    outline = rectangle_outline(width, depth, setback if setback > 0.1 else 0.0)
    corners = 2 if setback > 0.1 else 0
    area = width * depth - corners * (1 - math.pi / 4) * setback**2
    length = 2 * (width + depth) - corners * (2 - math.pi / 2) * setback
    got = polygon(parallel_path(outline, by, INK)).area
    assert got == pytest.approx(area + length * by + math.pi * by**2, rel=1e-6)


def test_arcs_stay_arcs_and_a_cutter_goes_round_a_sharp_corner() -> None:
    path = parallel_path(rectangle_outline(600, 220, 40), 0.15, INK)
    arcs = [step for step in path.steps if isinstance(step, ArcTo)]
    radii = sorted(math.dist(step.end, step.centre) for step in arcs)
    assert radii == pytest.approx([0.15, 0.15, 40.15, 40.15])
    assert all(step.sweep == pytest.approx(90.0) for step in arcs)


def test_inside_and_outside_move_opposite_ways_and_depths_stay() -> None:
    """Read again by ezdxf: where a kerf goes wrong, it is by its sign."""
    model = replace(
        two_player(), openings=(Outline((Corner(300, 20), Corner(340, 20), Corner(340, 50), Corner(300, 50))),)
    )
    found = {}
    for kerf in (0.0, 0.3):
        space = read_dxf(io.StringIO(dxf.write(export_scene(model, "under", kerf)).decode())).modelspace()
        found[kerf] = {
            layer: sorted({round(2 * e.dxf.radius, 9) for e in space.query(f'CIRCLE[layer=="{layer}"]')})
            for layer in ("UNDER_THROUGH_30", "UNDER_COUNTERBORE_32_DEPTH_9.5")
        }
        rim = next(iter(space.query('LWPOLYLINE[layer=="OUTLINE"]')))
        hole = next(iter(space.query('LWPOLYLINE[layer=="OPENING"]')))
        for name, entity in (("rim", rim), ("hole", hole)):
            xs = [v[0] for v in entity]  # type: ignore[attr-defined]
            found[kerf][name] = [round(max(xs) - min(xs), 9)]
    assert found[0.0] == {
        "UNDER_THROUGH_30": [30.0],
        "UNDER_COUNTERBORE_32_DEPTH_9.5": [32.0],
        "rim": [640.0],
        "hole": [40.0],
    }
    assert found[0.3] == {
        "UNDER_THROUGH_30": [29.7],
        "UNDER_COUNTERBORE_32_DEPTH_9.5": [32.0],
        "rim": [640.3],
        "hole": [39.7],
    }


def test_the_note_says_what_the_kerf_does() -> None:
    for kerf, words in (
        (0.0, "round holes as wide as the bits that drill them; no kerf"),
        (0.3, "holes and openings drawn 0.15 mm smaller on every side"),
    ):
        scene = export_scene(two_player(), "top", kerf)
        assert words in scene.note
        assert any(isinstance(i, Text) and words in i.text for i in scene.items)
    assert "the outline 0.15 mm larger" in export_scene(two_player(), "top", 0.3).note


def test_the_note_says_how_wide_the_holes_are_drawn() -> None:
    """As the bits where there are some, whatever the parts ask: a note that calls such sizes nominal is not true."""
    made = two_player()
    assert "nominal" not in export_scene(made, "top").note
    first, *others = made.placements
    without = replace(first, holes=tuple(replace(hole, bit=None) for hole in first.holes))
    mixed = export_scene(replace(made, placements=(without, *others)), "top").note
    assert (
        "round holes as wide as the bits that drill them, those without a bit at the size the part needs; no kerf"
        in mixed
    )
    alone = export_scene(replace(made, placements=(without,)), "top").note
    assert "no bits for the round holes: drawn at the sizes the parts need; no kerf" in alone
    assert "round holes" not in export_scene(bare(200.0, 150.0), "top").note


@pytest.mark.parametrize("kerf", [-0.1, 20.1, math.nan, math.inf])
def test_a_kerf_that_cannot_be_is_refused(kerf: float) -> None:
    with pytest.raises(WriterError, match="from 0 to 20 mm"):
        export_scene(two_player(), "top", kerf)


def test_what_would_vanish_is_refused() -> None:
    for shape in (circle(6.0), slot(20.0, 6.0), rectangle(30.0, 6.0), rectangle(30.0, 6.0, corner=2.0)):
        assert shrunk(shape, 2.9).size[1] == pytest.approx(0.2)
        with pytest.raises(WriterError, match="would vanish"):
            shrunk(shape, 3.0)
    narrow = Outline((Corner(50, 50), Corner(56, 50), Corner(56, 90), Corner(50, 90)))
    model = replace(bare(200.0, 150.0), openings=(narrow,))
    export_scene(model, "top", 5.9)
    with pytest.raises(WriterError, match="would vanish"):
        export_scene(model, "top", 6.0)


def test_a_notch_the_cutter_does_not_fit_into_is_refused() -> None:
    notch = ((90, 0), (90, -40), (96, -40), (96, 0))
    corners = [Corner(0, -80), Corner(200, -80), Corner(200, 0), *(Corner(*p) for p in reversed(notch)), Corner(0, 0)]
    outline = Outline(tuple(corners))
    parallel_path(outline, 2.9, INK)
    with pytest.raises(WriterError, match="would vanish"):
        parallel_path(outline, 3.1, INK)
    tight = Outline(
        (Corner(0, 0), Corner(200, 0), Corner(200, 100), Corner(100, 100, (5, 5)), Corner(100, 200), Corner(0, 200))
    )
    with pytest.raises(WriterError, match="would vanish"):
        parallel_path(tight, 6.0, INK)
