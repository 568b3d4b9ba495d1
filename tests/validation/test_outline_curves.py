"""Curves of files made by other programs, against SciPy's splines, closed formulas and svgpathtools' own areas.

DXF: $INSUNITS, splines, ellipses, bulges and extrusions as in the public DXF reference. SVG: SVG 1.1, chapters 7 and 8.
"""

from __future__ import annotations

import io
import math
from collections.abc import Callable
from typing import Any

import numpy as np
import pytest
import shapely
import svgpathtools
from ezdxf import filemanagement
from hypothesis import assume, given
from hypothesis import strategies as st
from scipy.interpolate import BSpline

from app.geometry.outline import Outline
from app.geometry.pieces import ArcPiece
from app.readers.outline_file import OutlineFile, read_outline
from tests.long_run import by_turns, examples

FIT = 0.02
"""mm a bend may be from a curve; the polygon of an outline is within 0.0005 mm of it."""


def dxf(fill: Callable[[Any, Any], None], units: int = 4, version: str = "R2010", binary: bool = False) -> bytes:
    document = filemanagement.new(version)
    document.header["$INSUNITS"] = units
    fill(document.modelspace(), document)
    if binary:
        stream = io.BytesIO()
        document.write(stream, fmt="bin")
        return stream.getvalue()
    text = io.StringIO()
    document.write(text)
    return text.getvalue().encode()


def outline(found: OutlineFile, mm: float | None = None) -> Outline:
    return Outline(found.corners(mm or found.mm or 1.0, [])[0])


def polygon(made: Outline) -> shapely.Polygon:
    return shapely.Polygon(made.flattened(0.0005))


def apart(made: Outline, points: np.ndarray) -> float:
    """Largest distance between an outline and a closed line of many points, the corner of its box at 0, 0."""
    moved = points - points.min(axis=0)
    return float(shapely.hausdorff_distance(polygon(made).exterior, shapely.LinearRing(moved)))


CONTROL = [(0, 0, 0), (200, -30, 0), (260, 40, 0), (200, 130, 0), (90, 90, 0), (-20, 120, 0)]


@pytest.mark.parametrize(("degree", "weights"), by_turns([2, 3, 4, 5], [None, [1, 3, 1, 0.5, 2, 1]]))
def test_a_closed_spline_with_even_knots_is_scipys(degree: int, weights: list[float] | None) -> None:
    """Its knots reach beyond its ends; a rational one is a quotient of two splines (The NURBS Book, 4.2)."""

    def fill(space: Any, _: Any) -> None:
        spline = space.add_spline(degree=degree)
        if weights is None:
            spline.set_closed(CONTROL, degree)
        else:
            spline.set_closed_rational(CONTROL, weights, degree)

    points = [p[:2] for p in CONTROL] + [p[:2] for p in CONTROL[:degree]]
    w = np.array([*(weights or [1] * 6), *(weights or [1] * 6)[:degree]], float)
    knots = np.arange(len(points) + degree + 1, dtype=float)
    t = np.linspace(knots[degree], knots[len(points)], 20_001)
    above = BSpline(knots, np.array(points, float) * w[:, None], degree)(t)
    curve = above / BSpline(knots, w, degree)(t)[:, None]
    found = read_outline(dxf(fill))
    assert apart(outline(found), curve) < FIT + 0.002
    assert any("arcs" in note for note in found.notes)


def test_a_clamped_spline_closed_by_a_line_is_scipys() -> None:
    def fill(space: Any, _: Any) -> None:
        space.add_open_spline(CONTROL, 3)
        space.add_line(CONTROL[-1], CONTROL[0])

    count = len(CONTROL)
    knots = np.concatenate(([0] * 3, np.linspace(0, 1, count - 2), [1] * 3))
    curve = BSpline(knots, np.array(CONTROL, float)[:, :2], 3)(np.linspace(0, 1, 20_001))
    assert apart(outline(read_outline(dxf(fill))), curve) < FIT + 0.002


def test_a_spline_with_corners_keeps_them() -> None:
    """A knot as often as the degree is a corner; a spline of degree 1 is its polygon."""

    def fill(space: Any, _: Any) -> None:
        points = [(0, 0), (100, 0), (200, 0), (200, 50), (200, 100), (100, 140), (0, 100), (0, 50), (0, 0)]
        spline = space.add_spline(degree=2)
        spline.control_points = [(*p, 0) for p in points]
        spline.knots = [0, 0, 0, 1, 1, 2, 2, 3, 3, 4, 4, 4]

    made = outline(read_outline(dxf(fill)))
    # Three straight sides and a parabola over the fourth: two thirds of chord times height, here half of 40.
    assert polygon(made).area == pytest.approx(200 * 100 + 2 / 3 * 200 * 20, rel=2e-5)

    def plain(space: Any, _: Any) -> None:
        spline = space.add_spline(degree=1)
        spline.control_points = [(0, 0, 0), (200, 0, 0), (200, 100, 0), (0, 100, 0), (0, 0, 0)]
        spline.knots = [0, 0, 1, 2, 3, 4, 4]

    assert len(outline(read_outline(dxf(plain))).corners) == 4


@examples(25)
@given(
    st.floats(200, 900), st.floats(0.1, 1.0), st.floats(0, 360), st.floats(0, 2 * math.pi), st.floats(1.0, 6.0),
)  # fmt: skip
def test_part_of_an_ellipse_and_its_chord(a: float, ratio: float, turn: float, start: float, span: float) -> None:
    """Area of an elliptic segment: a·b·(Δ − sin Δ)/2 with the difference of the parameters Δ."""
    major = (a * math.cos(math.radians(turn)), a * math.sin(math.radians(turn)))

    def point(t: float) -> tuple[float, float]:
        c, s = math.cos(t), math.sin(t) * ratio
        return (c * major[0] - s * major[1], c * major[1] + s * major[0])

    rim = np.array([point(start + span * k / 200) for k in range(201)])
    assume((np.ptp(rim, axis=0) > 20.1).all())  # less is no board

    def fill(space: Any, _: Any) -> None:
        space.add_ellipse((0, 0), major, ratio, start, start + span)
        space.add_line(point(start), point(start + span))

    made = outline(read_outline(dxf(fill)))
    expected = a * a * ratio * (span - math.sin(span)) / 2
    assert polygon(made).area == pytest.approx(expected, abs=FIT * 2 * math.pi * a)


UNITS = {1: 25.4, 2: 304.8, 4: 1.0, 5: 10.0, 6: 1000.0, 8: 25.4e-6, 9: 0.0254, 13: 1e-3, 14: 100.0}


@pytest.mark.parametrize("units", [*UNITS, 0, 3, 21])
@pytest.mark.parametrize("binary", [False, True])
def test_each_unit_in_text_and_in_binary(units: int, binary: bool) -> None:
    """$INSUNITS of the DXF reference; 0 says nothing, miles (3) and survey feet (21) are no units of boards."""
    mm = UNITS.get(units)
    side = 600 / (mm or 1.0)

    def fill(space: Any, _: Any) -> None:
        space.add_lwpolyline([(0, 0), (side, 0), (side, side / 2), (0, side / 2)], close=True)

    found = read_outline(dxf(fill, units, binary=binary))
    assert found.mm == (pytest.approx(mm) if mm else None)
    assert outline(found).bounds == pytest.approx((0, 0, 600, 300), rel=1e-9)


def test_a_unit_that_cannot_be_is_asked_for() -> None:
    def fill(space: Any, _: Any) -> None:
        space.add_lwpolyline([(0, 0), (600, 0), (600, 300), (0, 300)], close=True)

    found = read_outline(dxf(fill, units=6))
    assert found.mm is None
    assert any("600.0 m large" in note for note in found.notes)


@pytest.mark.parametrize("scale", [(1, 1), (-1, 1), (1, -1), (-2, -2)])
def test_blocks_turned_over_keep_their_arcs(scale: tuple[float, float]) -> None:
    """A stadium with one end a half circle: bulge 1; turned over, the extrusion points away."""
    w, h = 300.0, 100.0

    def fill(space: Any, document: Any) -> None:
        block = document.blocks.new("A")
        block.add_lwpolyline([(0, 0, 0), (w, 0, 1), (w, h, 0), (0, h, 0)], format="xyb", close=True)
        space.add_blockref("A", (40, 7), dxfattribs={"xscale": scale[0], "yscale": scale[1], "rotation": 30})

    made = outline(read_outline(dxf(fill)))
    size = abs(scale[0] * scale[1])
    assert polygon(made).area == pytest.approx((w * h + math.pi * (h / 2) ** 2 / 2) * size, rel=1e-5)
    assert {round(p.radius, 6) for p in made.pieces if isinstance(p, ArcPiece)} == {h / 2 * abs(scale[0])}


def test_old_polylines_with_bulges() -> None:
    """R12 knows no LWPOLYLINE and no $INSUNITS."""

    def fill(space: Any, _: Any) -> None:
        points = [(0, 0, 0), (300, 0, math.tan(math.pi / 8)), (350, 50, 0), (350, 200, 0), (0, 200, 0)]
        space.add_polyline2d(points, format="xyb", close=True)

    found = read_outline(dxf(fill, version="R12"))
    assert found.mm is None
    # A quarter circle of radius 50 where the corner was: less by its square and more by its quarter.
    assert polygon(outline(found)).area == pytest.approx(350 * 200 - (1 - math.pi / 4) * 2500, rel=1e-6)


PATHS = {
    "arcs": "M 50,10 H 400 A 60,60 0 0 1 460,70 V 250 A 40,40 0 0 1 420,290 H 50 A 40,40 0 0 1 10,250 V 50 "
    "A 40,40 0 0 1 50,10 Z",
    "cubics": "M 20,150 C 20,40 130,10 250,20 S 470,80 480,170 C 470,280 300,260 240,280 S 20,250 20,150 Z",
    "quadratics": "M 20,150 Q 130,-20 250,20 T 480,170 Q 300,330 150,270 Z",
    "relative": "m 20,20 h 300 l 40,60 v 120 q -180,60 -340,0 z",
    "wide ellipse": "M 20,150 A 220,90 20 1 1 20,151 Z",
}


@pytest.mark.parametrize("name", list(PATHS))
@pytest.mark.parametrize("transform", ["", "rotate(30)", "scale(-1,1)", "scale(0.5,1.3)", "skewX(20)"])
def test_paths_have_the_area_svgpathtools_finds(name: str, transform: str) -> None:
    path = svgpathtools.parse_path(PATHS[name])
    dense = np.array([(p.real, p.imag) for k in range(len(path)) for p in map(path[k].point, np.linspace(0, 1, 2001))])
    # The area of a dense polygon, and what the transform makes of any area: its determinant.
    factor = {"": 1.0, "rotate(30)": 1.0, "scale(-1,1)": 1.0, "scale(0.5,1.3)": 0.65}.get(transform, 1.0)
    text = (
        '<svg xmlns="http://www.w3.org/2000/svg" width="500mm" height="300mm" viewBox="0 0 500 300">'
        f'<g transform="{transform}"><path d="{PATHS[name]}"/></g></svg>'
    )
    made = outline(read_outline(text.encode()))
    expected = shapely.Polygon(dense).area * factor
    assert polygon(made).area == pytest.approx(expected, abs=FIT * polygon(made).length)
    if name == "arcs" and transform in ("", "rotate(30)", "scale(-1,1)"):
        assert sorted(round(p.radius, 3) for p in made.pieces if isinstance(p, ArcPiece)) == [40, 40, 40, 60]


def test_a_file_written_by_svgpathtools(tmp_path: Any) -> None:
    """It says its size in pixels without a unit, so the unit is asked for."""
    path = svgpathtools.parse_path(PATHS["arcs"])
    file = tmp_path / "made.svg"
    svgpathtools.wsvg([path], filename=str(file), openinbrowser=False)
    found = read_outline(file.read_bytes())
    assert found.mm is None
    made = outline(found, 25.4 / 96)
    box = path.bbox()
    width = (box[1] - box[0]) * (found.size[0] / (box[1] - box[0])) * 25.4 / 96
    assert made.bounds[2] == pytest.approx(width, rel=1e-6)
    assert found.size[0] / found.size[1] == pytest.approx((box[1] - box[0]) / (box[3] - box[2]), rel=1e-6)
    assert sum(isinstance(p, ArcPiece) for p in made.pieces) == 4
