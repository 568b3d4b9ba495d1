"""Does another program read what the scenarios ask for?

Every face of every arrangement of every scenario is exported, and the files are read again by programs that had no
part in writing them: the DXF by ezdxf and by KLayout, the SVG by svgpathtools. What they find is compared with what
the scenario's own JSON asks for (tests/boards/scenario_cuts.py).

Sources: DXF reference, release 2010 (``$INSUNITS`` 4 = millimetres, ``$MEASUREMENT`` 1 = metric; layer 0 always
exists); CSS Values and Units (1 in = 25.4 mm); SVG 2, 8.2 (a viewBox as large as width and height in mm makes one
user unit one millimetre). Layer names by operation and size, and the 50 mm and 2 in squares, are our own format,
stated by app.drafting.export.drawing.
"""

from __future__ import annotations

import io
import re
from collections import Counter
from collections.abc import Mapping, Sequence
from functools import cache
from math import acos, atan2, degrees, dist, hypot, pi, sqrt, tan
from pathlib import Path
from typing import Any
from xml.etree.ElementTree import Element, fromstring

import pytest
from ezdxf.bbox import extents
from ezdxf.document import Drawing
from ezdxf.entities.lwpolyline import LWPolyline
from ezdxf.filemanagement import read as read_dxf
from klayout import db
from svgpathtools import Document, parse_path

from app.document.load import loads
from app.service import export_file
from app.service.drawings.made_file import ProvedFile
from app.values import replace
from tests.boards.scenario_cuts import (
    Case,
    Cut,
    board_box,
    board_of,
    cases,
    counterbores,
    pilots,
    recesses,
    scenario_files,
    through_cuts,
)
from tests.reading.measure import Found, svg_circles

CASES = cases()
SVG = "{http://www.w3.org/2000/svg}"
EXACT = 1e-6
"""A coordinate in a file of text is a decimal number; what is left is binary arithmetic [mm]."""

KLAYOUT = 2e-4
"""Two units of the grid KLayout reads on, 0.0001 mm: a box has two rounded sides [mm]."""

BEZIER = 2.73e-4
"""How far a cubic Bezier through the middle of a quarter circle leaves the circle, as a part of its radius: with
controls at 4/3 (sqrt(2) - 1) of the radius, well known; tested below."""

each_case = pytest.mark.parametrize("case", CASES, ids=str)


@cache
def file_of(case: Case, fmt: str) -> ProvedFile:
    return export_file(loads(case.text), case.board, case.arrangement, case.face, fmt)


def exported(case: Case, fmt: str) -> bytes:
    return file_of(case, fmt).data


@cache
def dxf(case: Case) -> Drawing:
    return read_dxf(io.StringIO(exported(case, "dxf").decode("utf-8")))


def number(value: float) -> str:
    """A size as layers write it: three decimals at most, no needless zeros."""
    return f"{value:.3f}".rstrip("0").rstrip(".")


def layer_of(case: Case, cut: Cut) -> str:
    side = "TOP" if case.face == "top" else "UNDER"
    if cut.diameter:
        size = number(cut.diameter)
    else:
        grown = 2 * cut.radius
        sides = [dist(a, b) + grown for a, b in zip(cut.core, (*cut.core[1:], cut.core[0]), strict=True)]
        size = f"{number(max(sides))}_BY_{number(grown if len(cut.core) == 2 else min(sides))}"
    depth = "" if cut.operation == "through" else f"_DEPTH_{number(cut.depth)}"
    return f"{side}_{cut.operation.upper()}_{size}{depth}"


def asked_for(case: Case) -> list[Cut]:
    """What is cut from this face: counterbores and recesses from the underside only, nothing twice."""
    below = counterbores(case) + recesses(case) if case.face == "under" else []
    cuts = through_cuts(case) + pilots(case) + below
    return list({(c.operation, *(round(v, 6) for v in (c.x, c.y, *c.box))): c for c in cuts}.values())


def round_cuts(case: Case) -> list[Cut]:
    return [cut for cut in asked_for(case) if cut.diameter]


def other_cuts(case: Case) -> list[Cut]:
    return [cut for cut in asked_for(case) if not cut.diameter]


def test_there_are_scenarios_to_measure() -> None:
    assert len(scenario_files()) >= 5
    assert len(CASES) >= 2 * len(scenario_files())
    assert sum(len(round_cuts(case)) for case in CASES) > 100
    assert any(other_cuts(case) for case in CASES), "no scenario has a cut-out that is not round"
    assert any(counterbores(case) for case in CASES), "no scenario has a counterbore"
    assert any(recesses(case) for case in CASES), "no scenario has a recess"
    assert any(pilots(case) for case in CASES), "no scenario has screws"


def test_how_far_a_bezier_leaves_a_quarter_circle() -> None:
    control = 4 / 3 * (sqrt(2) - 1)
    steps = [i / 1000 for i in range(1001)]
    x = [(1 - t) ** 3 + 3 * (1 - t) ** 2 * t + 3 * (1 - t) * t**2 * control for t in steps]
    assert max(abs(hypot(a, b) - 1) for a, b in zip(x, reversed(x), strict=True)) == pytest.approx(BEZIER, rel=0.002)


@each_case
def test_the_dxf_says_millimetres_and_is_without_fault(case: Case) -> None:
    document = dxf(case)
    auditor = document.audit()
    assert not auditor.errors
    assert not auditor.fixes
    assert document.header["$INSUNITS"] == 4
    assert document.header["$MEASUREMENT"] == 1


@each_case
def test_every_hole_is_a_true_circle_on_the_layer_of_its_operation(case: Case) -> None:
    found = Counter(
        (e.dxf.layer, *(round(v, 5) for v in (e.dxf.center.x, e.dxf.center.y, 2 * e.dxf.radius)))
        for e in dxf(case).modelspace().query("CIRCLE")
    )
    want = Counter(
        (layer_of(case, cut), *(round(v, 5) for v in (cut.x, cut.y, cut.diameter))) for cut in round_cuts(case)
    )
    if found != want:  # rounding may fall on either side of a half
        assert sum(found.values()) == sum(want.values()), (found - want, want - found)
        for layer, x, y, diameter in found:
            near = [w for w in want if w[0] == layer and max(abs(w[1] - x), abs(w[2] - y), abs(w[3] - diameter)) < 2e-5]
            assert near, (layer, x, y, diameter)


@each_case
def test_cut_outs_that_are_not_round_are_closed_and_where_they_belong(case: Case) -> None:
    side = "TOP" if case.face == "top" else "UNDER"
    found = [
        entity
        for entity in dxf(case).modelspace().query("LWPOLYLINE")
        if isinstance(entity, LWPolyline) and entity.dxf.layer.startswith((f"{side}_THROUGH", f"{side}_RECESS"))
    ]
    assert len(found) == len(other_cuts(case))
    assert all(entity.closed for entity in found)
    boxes = [extents([entity], fast=False) for entity in found]
    for cut in other_cuts(case):
        near = min(boxes, key=lambda b: dist((*b.extmin.vec2, *b.extmax.vec2), cut.box))
        # ezdxf takes a bulge for a cubic Bezier, then flattens it to 0.01 mm, before it takes its extents.
        loose = 0.011 + BEZIER * cut.radius
        assert (near.extmin.x, near.extmin.y, near.extmax.x, near.extmax.y) == pytest.approx(cut.box, abs=loose)
    depths = Counter(entity.dxf.layer for entity in found if "_RECESS_" in entity.dxf.layer)
    below = [cut for cut in other_cuts(case) if cut.operation == "recess"]
    assert depths == Counter(layer_of(case, cut) for cut in below)


@each_case
def test_the_outline_is_one_closed_line_as_large_as_the_board(case: Case) -> None:
    rims = [e for e in dxf(case).modelspace() if e.dxf.layer == "OUTLINE"]
    assert len(rims) == 1
    (rim,) = rims
    assert isinstance(rim, LWPolyline)
    assert rim.closed
    first, last = rim[0], rim[-1]
    assert dist(first[:2], last[:2]) > 1e-3, "a closed line does not repeat its first point"
    around = extents([rim], fast=False)
    assert (*around.extmin.vec2, *around.extmax.vec2) == pytest.approx(board_box(case), abs=EXACT)
    openings = [e for e in dxf(case).modelspace() if e.dxf.layer == "OPENING"]
    assert len(openings) == len(board_of(case)["outline"].get("openings", []))
    assert all(isinstance(e, LWPolyline) and e.closed for e in openings)


@each_case
def test_no_layer_is_empty_and_nothing_is_there_twice(case: Case) -> None:
    table = re.search(r"\nTABLE\n  2\nLAYER\n(.*?)\nENDTAB", exported(case, "dxf").decode(), re.DOTALL)
    assert table
    listed = set(re.findall(r"\nAcDbLayerTableRecord\n  2\n([^\n]*)\n", table[1]))
    used = {entity.dxf.layer for entity in dxf(case).modelspace()}
    assert listed - {"0"} == used
    assert "0" not in used
    lines = Counter(_trace(entity) for entity in dxf(case).modelspace() if entity.dxftype() != "TEXT")
    assert max(lines.values()) == 1, [line for line, times in lines.items() if times > 1]


def _trace(entity: object) -> tuple[object, ...]:
    """What a tool would follow, whatever the layer."""
    if isinstance(entity, LWPolyline):
        return ("path", frozenset((round(v[0], 4), round(v[1], 4)) for v in entity))
    centre = entity.dxf.center  # type: ignore[attr-defined]
    radius = entity.dxf.radius  # type: ignore[attr-defined]
    return ("circle", round(centre.x, 4), round(centre.y, 4), round(radius, 4))


@each_case
def test_no_centre_is_told_two_things(case: Case) -> None:
    """A pilot to a depth and a hole right through on one centre would contradict each other."""
    circles = [(e.dxf.layer, e.dxf.center) for e in dxf(case).modelspace().query("CIRCLE")]
    through = [at for layer, at in circles if "_THROUGH_" in layer]
    for layer, at in circles:
        if "_PILOT_" in layer:
            assert all(at.distance(other) > 1.0 for other in through), (layer, at)


@each_case
def test_the_reference_squares_are_true(case: Case) -> None:
    squares = [e for e in dxf(case).modelspace().query("LWPOLYLINE") if e.dxf.layer == "CHECK_SQUARE"]
    sides = []
    for square in squares:
        assert isinstance(square, LWPolyline)
        assert square.closed
        assert len(square) == 4
        box = extents([square], fast=False)
        assert box.size.x == pytest.approx(box.size.y, abs=EXACT)
        sides.append(box.size.x)
    assert sorted(sides) == [pytest.approx(50.0, abs=EXACT), pytest.approx(2 * 25.4, abs=EXACT)]
    said = " ".join(e.dxf.text for e in dxf(case).modelspace().query("TEXT"))
    x0, y0, x1, y1 = board_box(case)
    assert f"{number(x1 - x0)} x {number(y1 - y0)} mm" in said
    assert ("UNDERSIDE" in said) == (case.face == "under")


@each_case
def test_klayout_reads_the_same_circles(case: Case, tmp_path: Path) -> None:
    shapes = klayout_polygons(exported(case, "dxf"), tmp_path)
    wanted: dict[str, list[Cut]] = {}
    for cut in round_cuts(case):
        wanted.setdefault(layer_of(case, cut), []).append(cut)
    for layer, cuts in wanted.items():
        boxes = shapes[layer]
        assert len(boxes) == len(cuts), layer
        for cut in cuts:
            (x0, y0, x1, y1), _ = min(
                boxes, key=lambda s: hypot((s[0][0] + s[0][2]) / 2 - cut.x, (s[0][1] + s[0][3]) / 2 - cut.y)
            )
            assert ((x0 + x1) / 2, (y0 + y1) / 2) == pytest.approx((cut.x, cut.y), abs=KLAYOUT)
            # It draws a circle as a polygon of 720 sides around it: at most 1/cos(π/720) too wide, 0.001 mm in 100.
            assert x1 - x0 == pytest.approx(cut.diameter, abs=KLAYOUT + cut.diameter * 1e-5)
            assert y1 - y0 == pytest.approx(cut.diameter, abs=KLAYOUT + cut.diameter * 1e-5)


@each_case
def test_klayout_finds_the_area_of_the_board(case: Case, tmp_path: Path) -> None:
    ((box, area),) = klayout_polygons(exported(case, "dxf"), tmp_path)["OUTLINE"]
    assert box == pytest.approx(board_box(case), abs=KLAYOUT)
    least, most = board_area(board_of(case)["outline"]["corners"])
    # Curves of a rim are chords within 0.001 mm (the writer's, of conics) or 720 to the circle (KLayout's).
    slack = 0.002 * (box[2] - box[0] + box[3] - box[1])
    assert least - slack <= area <= most + slack


def klayout_polygons(data: bytes, folder: Path) -> dict[str, list[tuple[tuple[float, ...], float]]]:
    """Box [mm] and area [mm²] of every closed shape, by layer, as KLayout reads them."""
    file = folder / "board.dxf"
    file.write_bytes(data)
    options = db.LoadLayoutOptions()
    options.dxf_unit = 1.0  # one drawing unit is one unit of the layout; only numbers are compared
    options.dxf_dbu = 0.0001
    options.dxf_circle_points = 720
    # In the automatic mode it draws circles with 32 points as soon as there is a closed polyline.
    options.dxf_polyline_mode = 3
    layout = db.Layout()
    layout.read(str(file), options)
    found: dict[str, list[tuple[tuple[float, ...], float]]] = {}
    for index in layout.layer_indexes():
        for shape in layout.top_cell().shapes(index).each():
            if shape.is_polygon() or shape.is_box():
                box, unit = shape.bbox(), layout.dbu
                sides = (box.left * unit, box.bottom * unit, box.right * unit, box.top * unit)
                found.setdefault(layout.get_info(index).name, []).append((sides, shape.area() * unit**2))
    return found


def board_area(corners: Sequence[Mapping[str, Any]]) -> tuple[float, float]:
    """Least and largest area a rim through these corners can have [mm²]; the same where a formula gives it.

    An arc with tangents of length a at an angle θ takes a²·tan(θ/2) − r²(π − θ)/2 away, with r = a·tan(θ/2); a
    quarter ellipse with half axes a and b takes ab(1 − π/4). Any other conic takes something between nothing and
    the triangle of its tangents.
    """
    points = [(float(c["x"]), float(c["y"])) for c in corners]
    sides = zip(points, points[1:] + points[:1], strict=True)
    whole = abs(sum(p[0] * q[1] - q[0] * p[1] for p, q in sides)) / 2
    least = most = whole
    for i, corner in enumerate(corners):
        a, b = (float(v) for v in corner.get("setback") or (0.0, 0.0))
        if not a or not b:
            continue
        here, before, after = points[i], points[i - 1], points[(i + 1) % len(points)]
        u = ((before[0] - here[0]) / dist(before, here), (before[1] - here[1]) / dist(before, here))
        v = ((after[0] - here[0]) / dist(after, here), (after[1] - here[1]) / dist(after, here))
        angle = acos(max(-1.0, min(1.0, u[0] * v[0] + u[1] * v[1])))
        convex = degrees(atan2(v[0] * u[1] - v[1] * u[0], v[0] * u[0] + v[1] * u[1])) > 0
        if a == b:
            r = a * tan(angle / 2)
            low = high = a * r - r * r * (pi - angle) / 2
        elif abs(angle - pi / 2) < 1e-9:
            low = high = a * b * (1 - pi / 4)
        else:
            low, high = 0.0, abs(u[0] * v[1] - u[1] * v[0]) * a * b / 2
        least, most = (least - high, most - low) if convex else (least + low, most + high)
    return least, most


@each_case
def test_the_svg_is_as_large_as_it_says(case: Case) -> None:
    root = Document.from_svg_string(exported(case, "svg").decode("utf-8")).root
    box = [float(v) for v in root.get("viewBox").split()]
    for name, side in (("width", box[2]), ("height", box[3])):
        said = root.get(name)
        assert said.endswith("mm")
        assert float(said[:-2]) == pytest.approx(side, abs=1e-9)


@each_case
def test_every_hole_is_true_in_the_svg(case: Case) -> None:
    text = exported(case, "svg").decode("utf-8")
    x0, y0 = corner_in_svg(text, case)
    left, front, _, _ = board_box(case)
    # Positions from the datum corner of the board, whatever the drawing leaves around it.
    found = [(c.x - x0 + left, c.y - y0 + front, c.diameter) for c in svg_circles(text)]
    want = round_cuts(case)
    assert len(found) == len(want)
    for cut in want:
        near = min(found, key=lambda c: (c[0] - cut.x) ** 2 + (c[1] - cut.y) ** 2 + (c[2] - cut.diameter) ** 2)
        assert near == pytest.approx((cut.x, cut.y, cut.diameter), abs=0.001)
        found.remove(near)


def corner_in_svg(text: str, case: Case) -> tuple[float, float]:
    """Where the board's front-left datum corner is, from the lower left corner of the drawing [mm].

    Found by svgpathtools as the corner of the one path whose box is as large as the board.
    """
    document = Document.from_svg_string(text)
    left, top, _, height = (float(v) for v in document.root.get("viewBox").split())
    x0, y0, x1, y1 = board_box(case)
    boxes = [path.bbox() for path in document.paths() if len(path)]
    rims = [
        (a - left, top + height - d)
        for a, b, c, d in boxes
        if abs(b - a - (x1 - x0)) < 0.001 and abs(d - c - (y1 - y0)) < 0.001
    ]
    assert len(rims) >= 1, "no path is as large as the board"
    assert all(dist(rim, rims[0]) < 0.001 for rim in rims)
    return rims[0]


@pytest.mark.parametrize("case", cases("top"), ids=str)
@pytest.mark.parametrize("fmt", ["svg", "dxf"])
def test_the_underside_is_the_mirror_image(case: Case, fmt: str) -> None:
    under = replace(case, face="under")
    through = {"top": circles_through(case, fmt), "under": circles_through(under, fmt)}
    x0, _, x1, _ = board_box(case)
    assert len(through["top"]) == len(through["under"])
    mirrored = sorted((round(x0 + x1 - x, 3), round(y, 3), round(d, 3)) for x, y, d in through["under"])
    for (x, y, d), (mx, my, md) in zip(sorted(through["top"]), mirrored, strict=True):
        assert (mx, my, md) == pytest.approx((x, y, d), abs=0.002)


def circles_through(case: Case, fmt: str) -> list[tuple[float, float, float]]:
    """x, y and diameter of the holes right through that a file shows [mm]: those both faces have."""
    wanted = {(round(c.x, 2), round(c.y, 2), round(c.diameter, 2)) for c in through_cuts(case)}
    if fmt == "dxf":
        query = dxf(case).modelspace().query("CIRCLE")
        found = [(e.dxf.center.x, e.dxf.center.y, 2 * e.dxf.radius) for e in query if "_THROUGH_" in e.dxf.layer]
        return [(round(x, 3), round(y, 3), round(d, 3)) for x, y, d in found]
    text = exported(case, "svg").decode("utf-8")
    x0, y0 = corner_in_svg(text, case)
    left, front, _, _ = board_box(case)
    circles: list[Found] = svg_circles(text)
    moved = [(round(c.x - x0 + left, 3), round(c.y - y0 + front, 3), round(c.diameter, 3)) for c in circles]
    return [c for c in moved if any(max(abs(a - b) for a, b in zip(c, w, strict=True)) < 0.011 for w in wanted)]


def tree(case: Case) -> Element:
    return fromstring(exported(case, "svg"))  # noqa: S314 - a file of our own


@each_case
def test_the_svg_is_clean(case: Case) -> None:
    """One group for each layer, none of them empty; nothing open, nothing twice, nothing beside the layers."""
    root = tree(case)
    groups = [child for child in root if child.tag == f"{SVG}g"]
    assert {child.tag for child in root} <= {f"{SVG}g", f"{SVG}title", f"{SVG}desc", f"{SVG}defs"}
    names = [group.get("data-layer", "") for group in groups]
    assert names == [group.get("id") for group in groups]
    assert len(set(names)) == len(names)
    assert set(names) == {e.dxf.layer for e in dxf(case).modelspace()}, "the same layers as in the DXF"
    assert all(len(group) for group in groups)
    lines = []
    for group in groups:
        for element in group:
            assert element.tag in {f"{SVG}circle", f"{SVG}path", f"{SVG}text"}
            assert "transform" not in element.attrib
            if element.tag == f"{SVG}path":
                assert element.get("d", "").rstrip().endswith("Z"), "an open line"
            if element.tag != f"{SVG}text":
                lines.append(tuple(sorted((k, v) for k, v in element.items() if k in ("cx", "cy", "r", "d"))))
    assert len(set(lines)) == len(lines), "a line is there twice"


@each_case
def test_the_svg_s_paths_are_closed_for_another_library(case: Case) -> None:
    paths = [path for path in Document.from_svg_string(exported(case, "svg").decode("utf-8")).paths() if len(path)]
    assert paths
    for path in paths:
        assert len(path.continuous_subpaths()) == 1
        # A number in the file has four decimals.
        assert abs(path[0].start - path[-1].end) < 2e-4


@each_case
def test_the_datum_corner_is_the_corner_of_the_svg(case: Case) -> None:
    """So that a program that takes the lower left corner of a drawing as its origin has the board's."""
    if case.good:
        x0, y0, _, _ = board_box(case)
        assert corner_in_svg(exported(case, "svg").decode("utf-8"), case) == pytest.approx((x0, y0), abs=0.001)


@each_case
def test_both_check_squares_are_in_the_svg_and_clear_of_the_board(case: Case) -> None:
    group = next(g for g in tree(case) if g.get("data-layer") == "CHECK_SQUARE")
    boxes = [parse_path(path.get("d")).bbox() for path in group]
    sides = sorted(side for x0, x1, y0, y1 in boxes for side in (x1 - x0, y1 - y0))
    assert sides == pytest.approx([50.0, 50.0, 2 * 25.4, 2 * 25.4], abs=2e-4)
    board = next(g for g in tree(case) if g.get("data-layer") == "OUTLINE")
    _, _, top, _ = parse_path(board[0].get("d")).bbox()
    assert all(y1 < top - 5.0 for _, _, _, y1 in boxes)


@each_case
def test_a_kerf_moves_holes_and_outline_opposite_ways(case: Case) -> None:
    """Holes right through lose the kerf in diameter, the outline gains it; what is cut to a depth stays."""
    kerf = 0.3
    made = export_file(loads(case.text), case.board, case.arrangement, case.face, "dxf", kerf).data
    space = read_dxf(io.StringIO(made.decode("utf-8"))).modelspace()
    found = Counter((e.dxf.layer, *(round(v, 4) for v in (e.dxf.center.x, e.dxf.center.y, 2 * e.dxf.radius)))
                    for e in space.query("CIRCLE"))  # fmt: skip
    want = Counter(
        (layer_of(case, c), round(c.x, 4), round(c.y, 4), round(c.diameter - kerf * (c.operation == "through"), 4))
        for c in round_cuts(case)
    )
    assert sum(found.values()) == sum(want.values())
    for row in found:
        assert any(row[0] == w[0] and max(abs(a - b) for a, b in zip(row[1:], w[1:], strict=True)) < 2e-4 for w in want)
    (rim,) = (e for e in space if e.dxf.layer == "OUTLINE")
    around, (x0, y0, x1, y1) = extents([rim], fast=False), board_box(case)
    grown = (x0 - kerf / 2, y0 - kerf / 2, x1 + kerf / 2, y1 + kerf / 2)
    # ezdxf flattens bulges to 0.01 mm before it takes their extents.
    assert (*around.extmin.vec2, *around.extmax.vec2) == pytest.approx(grown, abs=0.011)


@each_case
@pytest.mark.parametrize("fmt", ["svg", "dxf"])
def test_the_app_s_own_proof_counts_what_the_scenario_asks_for(case: Case, fmt: str) -> None:
    made = file_of(case, fmt)
    openings = len(board_of(case)["outline"].get("openings", []))
    assert made.proof.holes == len(asked_for(case)) + openings
    assert made.proof.largest < 0.0015
    x0, y0, x1, y1 = board_box(case)
    assert made.name.endswith(f"-{number(x1 - x0)}x{number(y1 - y0)}mm.{fmt}")


def test_the_area_formula_agrees_with_known_figures() -> None:
    square = [{"x": 0, "y": 0}, {"x": 100, "y": 0}, {"x": 100, "y": 100}, {"x": 0, "y": 100}]
    assert board_area(square) == pytest.approx((10000.0, 10000.0))
    set_back = [{**corner, "setback": [50, 50]} for corner in square]
    assert board_area(set_back) == pytest.approx((pi * 2500, pi * 2500))  # a circle of 100 mm
    oval = [{"x": x, "y": y, "setback": e} for x, y, e in ((0, 0, [30, 50]), (100, 0, [50, 30]))]
    oval += [{"x": x, "y": y, "setback": e} for x, y, e in ((100, 60, [30, 50]), (0, 60, [50, 30]))]
    assert board_area(oval) == pytest.approx((pi * 50 * 30, pi * 50 * 30))  # an ellipse of 100 × 60 mm
