"""Broken and hostile files: refused with the place and the reason, and never anything but our own error."""

from __future__ import annotations

import io
import math
import re
import subprocess
import sys
from itertools import pairwise

import pytest
from ezdxf import filemanagement
from hypothesis import given
from hypothesis import strategies as st

from app.document.scenarios import load_scenario
from app.errors import DocumentError, HolewiseError
from app.readers.biarcs import cubic, fitted
from app.readers.outline_file import LARGEST_FILE, read_outline
from app.readers.pieces import Bend, StraightPiece, area_of, bend, bulged
from app.readers.rings import joined
from app.service import export_file
from tests.long_run import examples
from tests.tools import ROOT

OWN = {fmt: export_file(load_scenario("harbour-lane-two-seater"), fmt=fmt).data for fmt in ("dxf", "svg")}
SVG = '<svg xmlns="http://www.w3.org/2000/svg" width="600mm" height="300mm" viewBox="0 0 600 300">{}</svg>'


def svg(inside: str) -> bytes:
    return SVG.format(inside).encode()


def dxf(fill) -> bytes:  # type: ignore[no-untyped-def]
    document = filemanagement.new("R2010")
    document.header["$INSUNITS"] = 4
    fill(document.modelspace(), document)
    stream = io.StringIO()
    document.write(stream)
    return stream.getvalue().encode()


def refusal(data: bytes, name: str = "") -> str | None:
    """Why a file is refused; None if it is a board. Anything but our own error goes through."""
    try:
        found = read_outline(data, name)
        found.corners(found.mm or 1.0, [])
    except HolewiseError as error:
        return str(error)
    return None


@pytest.mark.parametrize(
    ("data", "said"),
    [
        (b"", "empty"),
        (b"  \n", "empty"),
        (b"x" * (LARGEST_FILE + 1), "bytes"),
        (b"hello", "neither a DXF nor an SVG"),
        (b"<html><body>no</body></html>", "no SVG drawing"),
        (b"<svg", "XML"),
        (b"\xff\xfe<\x00s\x00v\x00g\x00", "XML"),
        (svg("<path d='M0,0"), "XML"),
        (svg(""), "no line"),
        (svg("<path d='M0,0 H100 V100'/>"), "one ends"),
        (svg("<path d='M0,0 L100,0 L0,100 L100,100 Z'/>"), "cross"),
        (svg("<path d='M0,0 H100 H0 Z'/>"), "cannot be a board"),
        (svg("<path d='M0,0 H1e300 V100 Z'/>"), "far outside any board"),
        (svg("<rect width='nan' height='10'/>"), ""),
        (svg("<text x='1' y='1'>board</text>"), "no line"),
        (b'<!DOCTYPE svg [<!ENTITY a "aaaaaaaaaa"><!ENTITY b "&a;&a;&a;&a;&a;">]>' + svg("&b;"), "entities"),
        (b'<!DOCTYPE svg [<!ENTITY x SYSTEM "file:///etc/hostname">]>' + svg("&x;"), "entities"),
        (b" Binary DXF\r\n\x1a\x00\x00\x00", "not a readable DXF"),
    ],
)  # fmt: skip
def test_refused_with_the_reason(data: bytes, said: str) -> None:
    refused = refusal(data)
    assert refused is not None
    assert said in refused


def test_the_place_of_a_gap_and_its_width_are_told() -> None:
    def fill(space, _):  # type: ignore[no-untyped-def]
        for a, b in (((0, 0), (400, 0)), ((400, 0), (400, 150)), ((400, 150), (0, 150)), ((0, 148), (0, 0))):
            space.add_line(a, b)

    with pytest.raises(DocumentError, match=r"one ends at 0, 1(50|48) mm, and the nearest other end is 2 mm away"):
        read_outline(dxf(fill))


def test_the_place_of_a_gap_in_an_svg_is_counted_from_its_top_as_it_is_drawn() -> None:
    """A viewBox of half the size: two mm to each of its units."""
    text = '<svg xmlns="http://www.w3.org/2000/svg" width="600mm" height="300mm" viewBox="0 0 300 150">{}</svg>'
    with pytest.raises(DocumentError, match=r"ends at 20 mm from the left and (40|46) mm from the top.* is 6 mm away"):
        read_outline(text.format("<path d='M10,20 H200 V100 H10 V23'/>").encode())


def test_ends_a_hair_apart_are_joined() -> None:
    def fill(space, _):  # type: ignore[no-untyped-def]
        for a, b in (((0, 0), (400, 0)), ((400, 0.01), (400, 150)), ((0, 150), (400, 150.01)), ((0, 150), (0, 0))):
            space.add_line(a, b)

    found = read_outline(dxf(fill))
    assert found.size == pytest.approx((400, 150), abs=0.02)


def test_a_block_within_itself_is_refused_or_read_but_never_endless() -> None:
    def fill(space, document):  # type: ignore[no-untyped-def]
        block = document.blocks.new("A")
        block.add_blockref("A", (0, 0))
        block.add_line((0, 0), (1, 0))
        space.add_blockref("A", (0, 0))

    with pytest.raises(DocumentError):
        read_outline(dxf(fill))


def test_several_outlines_side_by_side_take_the_largest_and_say_so() -> None:
    found = read_outline(svg("<rect width='200' height='100'/><rect x='300' width='250' height='100'/>"))
    assert found.size[0] * (found.mm or 0) == pytest.approx(250, abs=1e-3)
    assert any("not inside the outline" in note for note in found.notes)


def test_external_references_are_not_followed() -> None:
    inside = (
        "<image href='http://127.0.0.1:9/x.png'/><use href='file:///etc/passwd#a'/><rect width='300' height='100'/>"
    )
    assert read_outline(svg(inside)).size[0] > 0


@examples(40)
@given(st.binary(max_size=400))
def test_random_bytes_never_give_anything_but_our_error(data: bytes) -> None:
    for name in ("a.dxf", "a.svg"):
        assert refusal(data, name) != ""


@examples(25)
@given(st.sampled_from(["dxf", "svg"]), st.floats(0, 1), st.floats(0, 1), st.binary(max_size=8))
def test_our_own_files_cut_or_spoilt_never_give_anything_but_our_error(
    fmt: str, cut: float, at: float, put: bytes
) -> None:
    data = OWN[fmt]
    end, place = int(cut * len(data)), int(at * len(data))
    for spoilt in (data[:end], data[:place] + put + data[place + len(put) :]):
        assert refusal(spoilt) != ""


NUMBERS = ["nan", "inf", "-1", "0", "1e308", "1e-320", "99999999999", "", "x", "0.5.5", "-0"]


@examples(40)
@given(st.sampled_from(["dxf", "svg"]), st.lists(st.tuples(st.floats(0, 1), st.sampled_from(NUMBERS)), max_size=4))
def test_our_own_files_with_other_numbers_never_give_anything_but_our_error(
    fmt: str, changes: list[tuple[float, str]]
) -> None:
    data = OWN[fmt]
    for share, number in changes:
        places = [found.span() for found in re.finditer(rb"-?\d+\.?\d*", data)]
        start, end = places[int(share * (len(places) - 1))]
        data = data[:start] + number.encode() + data[end:]
    assert refusal(data) != ""


@examples(40)
@given(st.tuples(*[st.floats(-100, 100)] * 2), st.floats(1, 500), st.floats(0, 360), st.floats(5, 355), st.booleans())
def test_a_bulge_is_the_tangent_of_a_quarter_of_the_sweep(
    centre: tuple[float, float], radius: float, start: float, sweep: float, back: bool
) -> None:
    """DXF reference, LWPOLYLINE, group 42: negative if the arc goes clockwise."""
    arc = bend(centre, radius, start, -sweep if back else sweep)
    made = bulged(arc.a, arc.b, math.tan(math.radians(arc.sweep) / 4))
    assert isinstance(made, Bend)
    assert made.centre == pytest.approx(centre, abs=1e-6 * radius + 1e-9, rel=1e-6)
    assert made.sweep == pytest.approx(arc.sweep)


def test_the_area_of_a_ring_of_bends_is_the_circles() -> None:
    whole = (bend((5, 7), 30, 0, 180), bend((5, 7), 30, 180, 180))
    assert area_of(whole) == pytest.approx(math.pi * 900)
    assert area_of(tuple(piece.turned() for piece in reversed(whole))) == pytest.approx(-math.pi * 900)


@examples(25)
@given(st.tuples(*[st.tuples(st.floats(-100, 100), st.floats(-100, 100))] * 4))
def test_biarcs_stay_as_near_as_they_say_and_join_end_to_end(points) -> None:  # type: ignore[no-untyped-def]
    curve = cubic(*points)
    pieces, off = fitted(curve, 0.01)
    if not pieces:
        return
    assert math.dist(pieces[0].a, points[0]) < 1e-6
    assert math.dist(pieces[-1].b, points[3]) < 1e-6
    for one, other in pairwise(pieces):
        assert math.dist(one.b, other.a) < 1e-6
    assert off <= 0.01 or len(pieces) > 1000


def test_chains_in_any_order_and_either_way_make_one_ring() -> None:
    pieces = [
        StraightPiece((0, 0), (4, 0)),
        StraightPiece((4, 3), (4, 0)),
        StraightPiece((4, 3), (0, 3)),
        StraightPiece((0, 0), (0, 3)),
    ]
    found = joined([[p] for p in pieces], 1e-6)
    assert len(found.rings) == 1
    assert not found.gaps
    assert abs(area_of(found.rings[0])) == pytest.approx(12)


def test_what_is_mended_in_a_file_is_not_written_down_in_its_words() -> None:
    """The library that reads DXF logs what it mends, with the value that stood there; no log may hold contents."""
    stream = io.StringIO()
    made = filemanagement.new()
    made.modelspace().add_lwpolyline([(0, 0), (400, 0), (400, 200), (0, 200)], close=True)
    made.write(stream)
    lines = stream.getvalue().split("\n")
    table = lines.index("TABLE")
    count = next(k for k in range(table, len(lines)) if lines[k].strip() == "70")
    lines[count + 1] = "1 my secret"
    code = "import sys, app.readers.dxf_chains as r; print(len(r.read_dxf(sys.stdin.buffer.read(), 0.1).chains))"
    done = subprocess.run(
        [sys.executable, "-c", code], input="\n".join(lines).encode(), cwd=ROOT, capture_output=True, check=True
    )
    assert (done.stdout.strip(), done.stderr) == (b"1", b"")
