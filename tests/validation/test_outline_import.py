"""Outlines from files of other programs: our own exports, and files made by ezdxf, KLayout, svgwrite and by hand.

Areas and perimeters are closed formulas or shapely's; the formats are the public DXF reference and SVG 1.1.
"""

from __future__ import annotations

import io
import math

import klayout.db as kdb
import pytest
import shapely
import svgwrite
from ezdxf import filemanagement
from hypothesis import given
from hypothesis import strategies as st

from app.document.scenarios import scenario_list
from app.geometry.outline import Corner, Outline
from app.geometry.pieces import ArcPiece
from app.readers.outline_file import OutlineFile, read_outline
from app.service import export_file
from tests.long_run import examples

HEAD = b'<svg xmlns="http://www.w3.org/2000/svg" width="300mm" height="300mm" viewBox="0 0 300 300">'
SCENARIOS = {s.id: s.design for s in scenario_list()}


def dxf(fill, units: int = 4) -> bytes:  # type: ignore[no-untyped-def]
    document = filemanagement.new("R2010")
    document.header["$INSUNITS"] = units
    fill(document.modelspace(), document)
    stream = io.StringIO()
    document.write(stream)
    return stream.getvalue().encode()


def outline(found: OutlineFile, mm: float | None = None) -> Outline:
    return Outline(found.corners(mm or found.mm or 1.0, [])[0])


def arcs(made: Outline) -> list[ArcPiece]:
    return [piece for piece in made.pieces if isinstance(piece, ArcPiece)]


def area(made: Outline) -> float:
    return float(shapely.Polygon(made.flattened(0.00005)).area)


@pytest.mark.parametrize("name", list(SCENARIOS))
@pytest.mark.parametrize("fmt", ["dxf", "svg"])
def test_our_own_export_comes_back_as_it_was(name: str, fmt: str) -> None:
    design = SCENARIOS[name]
    was = design.boards[0].outline
    found = read_outline(export_file(design, fmt=fmt).data)
    assert found.mm is not None
    openings = [k for k, circle in enumerate(found.circles) if not circle]
    corners, inner = found.corners(found.mm, openings)
    expected = Outline(tuple(Corner(c.x, c.y, c.setback) for c in was.corners))
    assert expected.bounds[:2] == pytest.approx((0, 0), abs=1e-9)
    made = Outline(corners)
    assert made.bounds == pytest.approx(expected.bounds, abs=1e-3)
    both = [shapely.Polygon(o.flattened(0.0002)) for o in (made, expected)]
    assert both[0].hausdorff_distance(both[1]) < 0.002
    if all(c.setback is None or c.setback[0] == c.setback[1] for c in was.corners):
        assert len(corners) == len(was.corners)
        for a, b in zip(
            sorted(corners, key=lambda c: (c.x, c.y)), sorted(was.corners, key=lambda c: (c.x, c.y)), strict=True
        ):
            assert (a.x, a.y) == pytest.approx((b.x, b.y), abs=1e-3)
            assert (a.setback or (0, 0)) == pytest.approx(b.setback or (0, 0), abs=1e-3)
    assert len(inner) >= len(was.openings)


@examples(25)
@given(
    width=st.floats(200, 1500),
    depth=st.floats(100, 600),
    radii=st.tuples(*[st.one_of(st.just(0.0), st.floats(1, 45))] * 4),
    units=st.sampled_from([(1, 25.4), (4, 1.0), (5, 10.0), (6, 1000.0)]),
)
def test_a_rounded_rectangle_of_lines_and_arcs_made_by_ezdxf(
    width: float, depth: float, radii: tuple[float, ...], units: tuple[int, float]
) -> None:
    """Area w·d − (4 − π)/4 · Σ r²: a quarter circle less than its square at each corner. Any order, either way."""
    code, mm = units
    w, d = width / mm, depth / mm
    r = [v / mm for v in radii]

    def fill(space, _):  # type: ignore[no-untyped-def]
        corners = [(0, 0, 180), (w, 0, 270), (w, d, 0), (0, d, 90)]
        signs = [(1, 1), (-1, 1), (-1, -1), (1, -1)]
        ends = []
        for (x, y, start), (sx, sy), radius in zip(corners, signs, r, strict=True):
            if radius > 0:
                space.add_arc((x + sx * radius, y + sy * radius), radius, start, start + 90)
            ends.append((x, y, radius))
        (ax, ay, ar), (bx, by, br), (cx, cy, cr), (dx, dy, dr) = ends
        space.add_line((bx, by + br), (cx, cy - cr))
        space.add_line((ax + ar, ay), (bx - br, by))
        space.add_line((dx, dy - dr), (ax, ay + ar))
        space.add_line((dx + dr, dy), (cx - cr, cy))

    found = read_outline(dxf(fill, code))
    assert found.mm == pytest.approx(mm)
    made = outline(found)
    expected = width * depth - (4 - math.pi) / 4 * sum(v * v for v in radii)
    assert area(made) == pytest.approx(expected, rel=1e-6)
    kept = [v for v in radii if v > 0]
    assert sorted(a.radius for a in arcs(made)) == pytest.approx(sorted(kept), abs=1e-6)


def test_a_full_circle_a_half_circle_and_a_stadium_keep_their_radii() -> None:
    disc = outline(read_outline(dxf(lambda s, _: s.add_circle((50, 80), 120))))
    assert area(disc) == pytest.approx(math.pi * 120**2, rel=1e-6)
    assert {round(a.radius, 6) for a in arcs(disc)} == {120.0}

    def stadium(space, _):  # type: ignore[no-untyped-def]
        space.add_lwpolyline([(0, 0, 0), (300, 0, 1), (300, 100, 0), (0, 100, 1)], format="xyb", close=True)

    made = outline(read_outline(dxf(stadium)))
    assert area(made) == pytest.approx(300 * 100 + math.pi * 50**2, rel=1e-6)
    assert {round(a.radius, 6) for a in arcs(made)} == {50.0}


def test_splines_and_ellipses_are_arcs_within_a_hundredth() -> None:
    def fill(space, _):  # type: ignore[no-untyped-def]
        space.add_ellipse((0, 0), (300, 0), 0.5)

    found = read_outline(dxf(fill))
    made = outline(found)
    assert area(made) == pytest.approx(math.pi * 300 * 150, rel=2e-5)
    for x, y in made.flattened(0.01):
        u = (x - 300) / 300
        v = (y - 150) / 150
        assert abs(math.hypot(u, v) - 1) * 150 < 0.05
    assert any("arcs" in note for note in found.notes)


def test_blocks_layers_and_what_is_no_outline() -> None:
    """A block put in turned and scaled, on a layer named after it; text, a frame round it and open lines beside it."""

    def fill(space, document):  # type: ignore[no-untyped-def]
        block = document.blocks.new("DECK")
        block.add_lwpolyline([(0, 0), (100, 0), (100, 40), (0, 40)], close=True, dxfattribs={"layer": "board outline"})
        block.add_circle((20, 20), 6, dxfattribs={"layer": "holes"})
        block.add_lwpolyline([(40, 10), (60, 10), (60, 30), (40, 30)], close=True, dxfattribs={"layer": "window"})
        space.add_blockref("DECK", (10, 10), dxfattribs={"xscale": 5, "yscale": 5, "rotation": 90})
        space.add_lwpolyline([(-500, -500), (900, -500), (900, 900), (-500, 900)], close=True)
        space.add_line((0, 0), (5, 5))
        space.add_text("not an outline")

    found = read_outline(dxf(fill))
    made = outline(found)
    assert made.bounds == pytest.approx((0, 0, 200, 500), abs=1e-6)
    assert list(found.circles) == [False, True]
    (opening,) = found.corners(1.0, [0])[1]
    assert area(Outline(opening)) == pytest.approx(100 * 100, rel=1e-9)


def test_a_file_written_by_klayout() -> None:
    layout = kdb.Layout()
    layout.dbu = 0.001
    cell = layout.create_cell("TOP")
    points = [(0, 0), (50, 0), (50, 20), (25, 26), (0, 20)]
    cell.shapes(layout.layer(1, 0)).insert(kdb.DPolygon([kdb.DPoint(x, y) for x, y in points]))
    options = kdb.SaveLayoutOptions()
    options.format = "DXF"
    data = layout.write_bytes(options)
    found = read_outline(bytes(data))
    assert found.mm is None, "it does not say its unit, so it is asked for"
    assert area(outline(found, 1.0)) == pytest.approx(shapely.Polygon(points).area, rel=1e-9)
    assert area(outline(found, 25.4)) == pytest.approx(shapely.Polygon(points).area * 25.4**2, rel=1e-9)


@pytest.mark.parametrize(("width", "scale"), [("600mm", 1.0), ("60cm", 1.0), (f"{600 / 25.4}in", 1.0)])
def test_an_svg_written_by_svgwrite_in_each_unit(width: str, scale: float) -> None:
    drawing = svgwrite.Drawing(
        size=(width, width.replace("600", "300").replace("60cm", "30cm").replace(str(600 / 25.4), str(300 / 25.4))),
        viewBox="0 0 600 300",
        debug=False,
    )
    group = drawing.g(id="outline", transform="translate(10,20)")
    group.add(drawing.path(d="M0,0 H500 V150 A50,50 0 0 1 450,200 H50 A50,50 0 0 1 0,150 Z"))
    drawing.add(group)
    drawing.add(drawing.circle((100, 100), 14))
    found = read_outline(drawing.tostring().encode())
    assert found.mm is not None
    made = outline(found)
    assert made.bounds[2:] == pytest.approx((500 * scale, 200 * scale), abs=1e-3)
    assert sorted(a.radius for a in arcs(made)) == pytest.approx([50, 50], abs=1e-3)
    assert area(made) == pytest.approx(500 * 200 - (2 - math.pi / 2) * 50**2, rel=1e-5)


def test_svg_shapes_curves_and_turns() -> None:
    """A rectangle turned by 90 degrees; an ellipse; a path of quadratic curves: π·a·b and 2/3 of the box."""
    rect = HEAD + b'<rect x="10" y="10" width="200" height="80" rx="10" transform="rotate(90 100 100)"/></svg>'
    made = outline(read_outline(rect))
    assert made.bounds[2:] == pytest.approx((80, 200), abs=1e-3)
    assert area(made) == pytest.approx(200 * 80 - (4 - math.pi) * 100, rel=1e-5)
    ellipse = HEAD + b'<ellipse cx="150" cy="150" rx="140" ry="60"/></svg>'
    assert area(outline(read_outline(ellipse))) == pytest.approx(math.pi * 140 * 60, rel=3e-5)
    arch = HEAD + b'<path d="M0,200 Q150,0 300,200 Z"/></svg>'
    # A parabola's segment is two thirds of chord times height; the height is half that of the control point.
    assert area(outline(read_outline(arch))) == pytest.approx(2 / 3 * 300 * 100, rel=3e-5)


def test_a_file_written_by_hand_from_the_public_reference() -> None:
    rows = ["0", "SECTION", "2", "ENTITIES"]
    points = [(0, 0), (400, 0), (400, 150), (0, 150)]
    for (ax, ay), (bx, by) in zip(points, points[1:] + points[:1], strict=True):
        rows += ["0", "LINE", "8", "0", "10", str(ax), "20", str(ay), "11", str(bx), "21", str(by)]
    rows += ["0", "ENDSEC", "0", "EOF"]
    found = read_outline("\n".join(rows).encode())
    assert found.mm is None
    assert found.size == pytest.approx((400, 150))
