"""The readers against formulas of plane geometry, and the DXF reader against ezdxf."""

from __future__ import annotations

import io
import math

import pytest
from ezdxf.filemanagement import read
from hypothesis import given
from hypothesis import strategies as st

from app.errors import ProofError
from app.proof.curves import Bezier, Bow, Straight, Trace, mapped
from app.proof.read_dxf import read_dxf
from app.proof.read_svg import read_svg
from app.proof.rims import cut_rim
from app.proof.rings import ring
from app.proof.wanted import WantedCut
from app.scene.primitives import Arc, ArcTo, Circle, Line, LineTo, Path, Scene, Style, Text
from app.writers import dxf, svg
from tests.long_run import examples

INK = Style()
KAPPA = 4 / 3 * math.tan(math.pi / 8)
"""Length of the handles of a Bézier that stands for a quarter of a circle; 2.7e-4 of the radius off at most."""

places = st.floats(-500.0, 900.0)


def test_a_millimetre_of_an_svg_file_is_one_however_far_it_goes() -> None:
    """The library takes 0.0393701 in for a millimetre: 0.05 mm too much of 100 m."""
    far, hole = 100_000.0, 28.5
    scene = Scene(0.0, 0.0, far, 50.0, (Circle((far - 20.0, 25.0), hole / 2, INK),))
    (circle,) = read_svg(svg.write(scene).encode()).traces
    found = ring(circle, 0.001)
    assert found is not None
    assert (found.x, found.y, found.diameter) == pytest.approx((far - 20.0, 25.0, hole), abs=0.001)


@given(places, places, st.floats(0.5, 200.0))
def test_areas_of_a_circle_and_of_a_bezier_s_segment(x: float, y: float, r: float) -> None:
    whole = Trace((Bow((x, y), r, 0.3, 2 * math.pi),), closed=True)
    assert whole.area == pytest.approx(math.pi * r * r, rel=1e-6)
    # The Bézier (0,0) (0,1) (1,1) (1,0) encloses 3/5 with its chord: ∫ y dx by hand.
    curve = Bezier((x, y), (x, y + r), (x + r, y + r), (x + r, y))
    assert Trace((curve,), closed=True).area == pytest.approx(0.6 * r * r, rel=1e-6)


@given(places, places, st.floats(0.5, 60.0))
def test_a_circle_of_beziers_is_found_and_a_square_is_none(x: float, y: float, r: float) -> None:
    k = KAPPA * r
    quarters = [((1, 0), (0, 1)), ((0, 1), (-1, 0)), ((-1, 0), (0, -1)), ((0, -1), (1, 0))]
    curves = tuple(
        Bezier(
            (x + r * a[0], y + r * a[1]),
            (x + r * a[0] + k * b[0], y + r * a[1] + k * b[1]),
            (x + r * b[0] + k * a[0], y + r * b[1] + k * a[1]),
            (x + r * b[0], y + r * b[1]),
        )
        for a, b in quarters
    )
    found = ring(Trace(curves, closed=True), 3e-4 * r)
    assert found is not None
    assert (found.x, found.y, found.diameter / 2) == pytest.approx((x, y, r), abs=3e-4 * r)
    assert found.turn == pytest.approx(2 * math.pi)
    assert ring(Trace(curves, closed=True), 1e-5 * r) is None, "it is a little off a circle, and that is seen"
    corners = [(x, y), (x + r, y), (x + r, y + r), (x, y + r)]
    sides = tuple(Straight(corners[i - 1], corners[i]) for i in range(4))
    assert ring(Trace(sides, closed=True), 0.01) is None


@examples(25)
@given(
    places, places, st.floats(0.5, 60.0), st.floats(1.0, 359.0), st.floats(-350.0, 350.0).filter(lambda v: abs(v) > 1)
)
def test_dxf_is_read_as_ezdxf_reads_it(x: float, y: float, r: float, start: float, sweep: float) -> None:
    slot = Path((x, y), (LineTo((x + 40, y)), ArcTo((x + 40, y + 10), (x + 40, y + 5), 180.0), LineTo((x, y + 10)),
                ArcTo((x, y), (x, y + 5), 180.0)), INK, closed=True, layer="C")  # fmt: skip
    items = (
        Circle((x, y), r, INK, "A"),
        Arc((x, y), r, start, sweep, INK, "B"),
        slot,
        Line((x, y), (y, x + 1.0), INK, "D"),
        Text((x, y), "a\u2028b", 5.0, INK, layer="E"),
    )
    data = dxf.write(Scene(0.0, 0.0, 10.0, 10.0, items))
    ours = {trace.layer: trace for trace in read_dxf(data).traces}
    for entity in read(io.StringIO(data.decode())).modelspace():
        if entity.dxftype() == "TEXT":
            continue
        trace = ours[entity.dxf.layer]
        match entity.dxftype():
            case "CIRCLE" | "ARC":
                (bow,) = trace.curves
                assert isinstance(bow, Bow)
                assert (*bow.centre, bow.radius) == pytest.approx(
                    (entity.dxf.center.x, entity.dxf.center.y, entity.dxf.radius)
                )
                if entity.dxftype() == "ARC":
                    assert bow.a == pytest.approx(entity.start_point.vec2, abs=1e-6)  # type: ignore[attr-defined]
                    assert bow.b == pytest.approx(entity.end_point.vec2, abs=1e-6)  # type: ignore[attr-defined]
            case "LINE":
                assert trace.curves[0].a == pytest.approx(entity.dxf.start.vec2)
            case "LWPOLYLINE":
                assert trace.closed
                # A slot: a rectangle of 40 × 10 mm and two half circles.
                assert trace.area == pytest.approx(400 + math.pi * 25, rel=1e-6)


def test_svg_is_read_in_mm_whatever_its_transforms() -> None:
    scene = Scene(-5.0, -5.0, 105.0, 55.0, (Circle((20.0, 30.0), 6.0, INK),))
    text = svg.write(scene)
    for data, scale in ((text, 1.0), (text.replace("110mm", "55mm").replace('"60mm"', '"30mm"'), 0.5)):
        file = read_svg(data.encode())
        assert (file.width, file.height) == pytest.approx((110.0 * scale, 60.0 * scale), rel=1e-6)
        assert file.scale == pytest.approx((scale, scale), rel=1e-6)
        found = ring(file.traces[0], 0.001)
        assert found is not None
        assert (found.x, found.y, found.diameter) == pytest.approx((25.0 * scale, 35.0 * scale, 12.0 * scale), abs=1e-4)


@pytest.mark.parametrize(
    "data",
    [
        "",
        "0 SECTION",
        "0 SECTION 2 ENTITIES 0 CIRCLE 10 x 20 0 40 1 0 ENDSEC 0 EOF",
        "0 SECTION 2 ENTITIES 0 CIRCLE 10 1 40 1 0 ENDSEC 0 EOF",
        "0 SECTION 2 ENTITIES 0 LWPOLYLINE 90 3 70 1 10 0 20 0 10 1 20 0 0 ENDSEC 0 EOF",
        "0 SECTION 2 ENTITIES 0 INSERT 2 NAME 10 1 20 1 0 ENDSEC 0 EOF",
        "zero SECTION",
    ],
)
def test_a_broken_dxf_is_refused(data: str) -> None:
    with pytest.raises(ProofError, match="cannot be read back"):
        read_dxf(data.replace(" ", "\n").encode())


@pytest.mark.parametrize("data", [b"", b"<svg", b"<svg xmlns='http://www.w3.org/2000/svg'/>"])
def test_a_broken_svg_is_refused(data: bytes) -> None:
    with pytest.raises(ProofError, match="cannot be read back"):
        read_svg(data)


def test_the_rim_of_a_slot_has_its_area_and_its_distance() -> None:
    rim = cut_rim(WantedCut("through", ((0.0, 0.0), (30.0, 0.0)), 5.0, (40.0, 10.0), 0.0, "A"))
    assert rim.area == pytest.approx(300 + math.pi * 25)
    straight = Straight((0.0, 5.0), (30.0, 5.0)), Straight((30.0, -5.0), (0.0, -5.0))
    curves = (
        straight[1],
        Bow((0.0, 0.0), 5.0, -math.pi / 2, -math.pi),
        straight[0],
        Bow((30.0, 0.0), 5.0, math.pi / 2, -math.pi),
    )
    assert rim.difference(Trace(curves, closed=True)) == pytest.approx(0.0, abs=1e-9)
    moved = tuple(mapped(curve, (1.0, 1.0), (0.0, 0.02)) for curve in curves)
    assert rim.difference(Trace(moved, closed=True)) == pytest.approx(0.02, abs=1e-6)
    # All of it on the rim, but not all of the rim: half a slot.
    half = (
        Straight((30.0, -5.0), (0.0, -5.0)),
        Bow((0.0, 0.0), 5.0, -math.pi / 2, -math.pi),
        Straight((0.0, 5.0), (30.0, 5.0)),
    )
    assert rim.difference(Trace(half, closed=True)) > 0.3
