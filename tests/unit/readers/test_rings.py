"""Loose lines joined into rings: doubles, stray lines, gaps, forks, tiny pieces, in any order and direction."""

from __future__ import annotations

import itertools
import math
import random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.readers.outline_file import OutlineFile, read_outline
from app.readers.pieces import Bend, Piece, StraightPiece, area_of, bend, box_of, chords, within
from app.readers.rings import joined

W, D = 400.0, 150.0
CORNERS = [(0.0, 0.0), (W, 0.0), (W, D), (0.0, D)]


def sides() -> list[Piece]:
    return [StraightPiece(a, b) for a, b in zip(CORNERS, CORNERS[1:] + CORNERS[:1], strict=True)]


def rectangle(rings: tuple[tuple[Piece, ...], ...]) -> bool:
    return len(rings) == 1 and abs(area_of(rings[0])) == pytest.approx(W * D)


@given(st.randoms(use_true_random=False), st.lists(st.integers(0, 3), max_size=6))
def test_doubles_in_any_order_and_direction_make_one_ring(dice: random.Random, doubled: list[int]) -> None:
    pieces = sides() + [sides()[k] for k in doubled]
    dice.shuffle(pieces)
    turned = [piece.turned() if dice.random() < 0.5 else piece for piece in pieces]
    found = joined([[piece] for piece in turned], 0.01)
    assert rectangle(found.rings)
    assert found.doubles == len(doubled)
    assert not found.gaps


@given(st.randoms(use_true_random=False), st.integers(0, 3), st.floats(0, 360), st.floats(5, 300))
def test_a_line_that_leads_nowhere_does_not_keep_a_ring_open(
    dice: random.Random, corner: int, angle: float, length: float
) -> None:
    x, y = CORNERS[corner]
    end = (x + length * math.cos(math.radians(angle)), y + length * math.sin(math.radians(angle)))
    if any(math.dist(end, c) < 1 for c in CORNERS):
        return
    pieces = [*sides(), StraightPiece((x, y), end)]
    dice.shuffle(pieces)
    found = joined([[piece] for piece in pieces], 0.01)
    assert rectangle(found.rings)
    assert len(found.gaps) == 1


def test_where_three_lines_meet_is_told() -> None:
    found = joined([[p] for p in (*sides(), StraightPiece((0.0, 0.0), (W, D)))], 0.01)
    assert {(round(x), round(y)) for x, y in found.forks} <= {(0, 0), (400, 150)}
    assert found.forks


@given(st.permutations(range(4)), st.floats(0.05, 50))
def test_a_gap_has_its_width_whatever_the_order(order: list[int], wide: float) -> None:
    pieces = sides()
    pieces[3] = StraightPiece((0.0, D), (0.0, wide))
    found = joined([[pieces[k]] for k in order], 0.01)
    assert not found.rings
    (gap,) = found.gaps
    assert gap.wide == pytest.approx(wide)
    assert gap.at[0] == 0.0
    assert min(abs(gap.at[1]), abs(gap.at[1] - wide)) < 1e-9


def test_a_lone_line_has_no_nearest_end() -> None:
    (gap,) = joined([[StraightPiece((0.0, 0.0), (1.0, 0.0))]], 0.01).gaps
    assert gap.wide is None
    assert not joined([], 0.01).gaps


def test_a_tiny_arc_is_no_circle() -> None:
    """A set-back smaller than a gap may be stays in its ring, whatever the order, and no circle comes of it."""
    r = 0.004
    pieces = [
        StraightPiece((r, 0.0), CORNERS[1]),
        *sides()[1:3],
        StraightPiece(CORNERS[3], (0.0, r)),
        bend((r, r), r, 180, 90),
    ]
    for order in itertools.permutations(pieces):
        (ring,) = joined([[p] for p in order], 0.01).rings
        assert len(ring) == 5, "where nothing is missing no line is left out for being short"
        assert abs(area_of(ring)) == pytest.approx(W * D, rel=1e-6)


@given(
    st.tuples(st.floats(-50, 50), st.floats(-50, 50)), st.floats(1, 300), st.floats(0, 360),
    st.floats(-359, 359).filter(lambda v: abs(v) > 1),
)  # fmt: skip
def test_the_box_of_a_bend_holds_its_points_and_touches_them(
    centre: tuple[float, float], radius: float, start: float, sweep: float
) -> None:
    piece = bend(centre, radius, start, sweep)
    x0, y0, x1, y1 = box_of((piece,))
    points = [*chords(piece, 0.05), piece.b]
    sag = radius * (1 - math.cos(math.radians(0.05)))
    for low, high, axis in ((x0, x1, 0), (y0, y1, 1)):
        values = [p[axis] for p in points]
        assert low <= min(values) + 1e-9
        assert low == pytest.approx(min(values), abs=sag + 1e-9)
        assert high == pytest.approx(max(values), abs=sag + 1e-9)


def test_inside_a_ring_of_bends_is_inside_its_circle() -> None:
    inside = within((bend((0.0, 0.0), 100.0, 0, 360),))
    assert inside((bend((60.0, 60.0), 5.0, 0, 360),))
    assert not inside((bend((85.0, 85.0), 5.0, 0, 360),))
    assert not inside((Bend((300.0, 0.0), (300.0, 0.0), (290.0, 0.0), 360.0),))


SVG = '<svg xmlns="http://www.w3.org/2000/svg" width="600mm" height="300mm" viewBox="0 0 600 300">{}</svg>'


def svg(inside: str) -> OutlineFile:
    return read_outline(SVG.format(inside).encode())


def test_an_outline_drawn_twice_is_no_opening_of_itself() -> None:
    found = svg("<rect width='300' height='100'/><path d='M0,0 V100 H300 V0 Z'/>")
    assert not found.inner


def test_what_can_be_an_opening_and_what_is_taken_unasked() -> None:
    """A window with a line inside it, a circle, and a ring that touches the rim."""
    found = svg(
        "<rect width='300' height='100'/><rect x='20' y='20' width='100' height='50'/>"
        "<rect x='30' y='30' width='20' height='20'/><circle cx='200' cy='50' r='30'/>"
        "<path d='M300,10 H280 V30 H300 Z'/>"
    )
    assert found.mm is not None
    offered, taken = found.openable(found.mm, 100)
    sizes = [round((box_of(found.inner[k])[2] - box_of(found.inner[k])[0]) * found.mm) for k in offered]
    assert sizes == [100, 60, 20]
    assert [round(abs(area_of(found.inner[k])) * found.mm**2) for k in taken] == [100 * 50]


def test_what_a_shape_refers_to_is_not_drawn_by_itself() -> None:
    """SVG 1.1, 5.5: symbols, clipping paths and markers are drawn only where something refers to them."""
    hidden = "".join(
        f"<{name} id='{name}'><rect width='500' height='250'/></{name}>"
        for name in ("defs", "symbol", "clipPath", "mask", "marker", "pattern")
    )
    found = svg(hidden + "<rect width='50' height='20'/>")
    assert found.size[0] * (found.mm or 0) == pytest.approx(50)
    for kind in ("g", "symbol"):
        drawn = svg(f"<defs><{kind} id='s'><rect width='70' height='20'/></{kind}></defs><use href='#s' x='5' y='5'/>")
        assert drawn.size[0] * (drawn.mm or 0) == pytest.approx(70)
    used = svg("<symbol id='s'><rect width='70' height='20'/></symbol><use href='#s' x='5' y='5'/>")
    assert used.size[0] * (used.mm or 0) == pytest.approx(70)
