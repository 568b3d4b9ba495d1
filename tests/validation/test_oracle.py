"""Random boards judged by the rules and, from the document alone, by solids: no miss, no false stop, true figures."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from manifold3d import CrossSection

from app.catalogue.load import catalogue
from app.document.schema import CornerEntry
from app.fit.report.report import check
from app.values import replace
from tests.long_run import examples, in_gate
from tests.oracle.compare import compare
from tests.oracle.documents import document, loaded
from tests.oracle.expect import expected_of
from tests.oracle.flat import Flat, apart
from tests.oracle.land import Ground, land_of, loop_of
from tests.oracle.strips import Strip, strips_of
from tests.oracle.things import disc
from tests.oracle.trial import Total, tried

BOARDS = 500
LOT = 25


@pytest.mark.parametrize("first", in_gate(range(0, BOARDS, LOT), lambda first: first < LOT))
def test_findings_and_solids_agree(first: int) -> None:
    total = Total()
    for seed in range(first, first + LOT):
        total.add(tried(seed))
    assert total.compared > LOT  # boards on which nothing comes near would prove nothing
    assert not total.failed, "\n".join(f"board {t.seed}: {line}" for t in total.failed for line in t.words)


shapes = st.sampled_from(
    (
        disc(30.0),
        disc(9.0, 4.0, -2.0),
        Flat(np.array([(-12.0, 0.0), (15.0, 6.0)]), 4.0),
        Flat(np.array([(-20.0, -9.0), (20.0, -9.0), (20.0, 9.0), (-20.0, 9.0)]), 0.0),
        Flat(np.array([(-14.0, -9.0), (17.0, -11.0), (3.0, 16.0)]), 2.5),
    )
)
turns = st.sampled_from((0.0, 30.0, 90.0, 215.0))


@examples(25)
@given(shapes, shapes, turns, turns, st.floats(-60, 60), st.floats(-60, 60))
def test_the_gap_of_the_oracle_is_that_of_solids(
    one: Flat, other: Flat, turn: float, turned: float, x: float, y: float
) -> None:
    a, b = one.moved(0.0, 0.0, turn), other.moved(x, y, turned)
    gap = apart(a, b)
    solid, second = (CrossSection([f.polygon.tolist()]).extrude(5.0) for f in (a, b))
    if gap >= 0:
        assert min(gap, 30.0) == pytest.approx(solid.min_gap(second, 30.0), abs=0.001)
        return
    # No shift shorter than it parts them, whichever way; one a shade longer does, one way or another.
    ways = np.linspace(0, 2 * math.pi, 721)
    flat, shifted = (CrossSection([f.polygon.tolist()]) for f in (a, b))

    def meets(by: float, way: float) -> bool:
        return bool((flat ^ shifted.translate((by * math.cos(way), by * math.sin(way)))).area() > 0)

    assert all(meets(-gap - 0.002, way) for way in ways)
    assert not all(meets(-gap * 1.0001 + 0.002, way) for way in ways)


def corner(x: float, y: float, *setback: float) -> CornerEntry:
    return CornerEntry(x=x, y=y, setback=(setback[0], setback[1]) if setback else None)


def test_a_set_back_corner_of_a_right_angle_is_a_quarter_of_an_ellipse() -> None:
    rim = loop_of([corner(0, 0), corner(200, 0), corner(200, 100, 30, 50), corner(0, 100)])
    bend = rim.bends[2]
    assert bend is not None
    # About (200 - 50, 100 - 30): half an axis of 50 along x, where it joins the back, and of 30 along y.
    x, y = (bend.points - (150.0, 70.0)).T
    assert (x / 50) ** 2 + (y / 30) ** 2 == pytest.approx(np.ones(len(x)), abs=1e-12)


L_SHAPE = loop_of([corner(0, 0), corner(200, 0), corner(200, 50), corner(100, 50), corner(100, 100), corner(0, 100)])


@pytest.mark.parametrize(
    ("x", "y", "least", "most"),
    [
        (30, 6, -4, -4),  # over one edge: 10 - 6 mm
        (2, 3, -math.hypot(8, 7), -8),  # over a sharp corner: 8 mm to one side and 7 mm to the other
        (94, 42, -(10 - 10), -(10 - 10)),  # its rim just meets the inner corner, 6 and 8 mm away
        (97, 46, -(10 - 5), -(10 - 5)),  # the inner corner, 3 and 4 mm away, is 5 mm deep in it
        (50, 40, 30, 30),  # 40 - 10 mm to the front
    ],
)
def test_a_circle_of_10_mm_lies_so_far_inside_an_l(x: float, y: float, least: float, most: float) -> None:
    inside = Ground(L_SHAPE.section).inside(disc(20.0, x, y), 60.0)
    assert inside is not None
    assert (inside.low, inside.high) == pytest.approx((least, most), abs=0.01)


def test_rails_are_cut_along_the_bisector_where_two_meet_at_a_sharp_corner() -> None:
    raw = document(0)
    raw["boards"][0]["outline"] = {"corners": [{"x": x, "y": y} for x, y in L_SHAPE.corners.tolist()]}
    raw["boards"][0]["edges"] = {name: {"rail": 10.0} for name in ("back", "right")}
    entry = loaded(raw).boards[0]
    rails = [strip for strip in strips_of(entry, land_of(entry), "rail") if isinstance(strip, Strip)]
    # Shorter by its width at an outer corner, longer at the inner one, square where the other edge has no rail.
    assert [sorted(map(tuple, rail.whole.core.round(9).tolist())) for rail in rails] == [
        sorted([(200, 0), (200, 50), (190, 40), (190, 0)]),
        sorted([(200, 50), (100, 50), (90, 40), (190, 40)]),
        sorted([(100, 50), (100, 100), (90, 90), (90, 40)]),
        sorted([(100, 100), (0, 100), (0, 90), (90, 90)]),
    ]


def test_a_finding_left_out_made_up_or_wrong_by_a_hair_is_noticed() -> None:
    expected = expected_of(loaded(document(1)))
    found = [f for f in check(expected.board, catalogue()).findings if f.rule == "web"]
    items = [i for i in expected.looked.items if i.rule == "web" and len(i.subjects) == 2]
    assert found and compare(found, items).agrees
    assert compare(found[1:], items).misses
    assert compare(found, [i for i in items if i.subjects != frozenset(found[0].subjects)]).false
    assert found[0].measured is not None
    assert compare([replace(found[0], measured=found[0].measured - 0.05), *found[1:]], items).off
    assert compare([replace(found[0], severity="caution"), *found[1:]], items).misses
