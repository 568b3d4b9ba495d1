"""An access door: its size from the opening and the other way round, and where its hinges stand.

1/16 in a side, so 1/8 in smaller both ways: common practice, no source.
"""

from __future__ import annotations

import pytest

from app.arrange.maker.figured import figures_of
from app.arrange.maker.make import make_board
from app.arrange.maker.registry import maker_named
from app.catalogue.load import catalogue
from app.document.resolve import find_board, resolve
from app.errors import EditError
from app.fit.report.report import check
from app.model.maker.measure import Value, answered
from tests.unit.arrange.maker.designs import plain

INCH = 25.4


def figures(**given: Value) -> dict[str, float]:
    maker = maker_named("door")
    asked = answered(maker.measures, {k.replace("_", "-"): v for k, v in given.items()})
    allowance = resolve(plain(), None, None, catalogue()).tooling.drilling
    return {f.name: f.value for f in figures_of(maker.make(asked, catalogue()), allowance, 60.0)}


def test_a_door_is_an_eighth_of_an_inch_smaller_than_its_opening_both_ways() -> None:
    found = figures(opening_width=12 * INCH, opening_height=8 * INCH)
    assert found["door-width"] == pytest.approx((12 - 1 / 8) * INCH)
    assert found["door-height"] == pytest.approx((8 - 1 / 8) * INCH)
    assert found["shims"] == pytest.approx(INCH / 16)


def test_paint_on_both_edges_is_counted_and_the_gap_is_what_is_left() -> None:
    """Two coats lie in each gap: one on the door, one on the opening."""
    found = figures(paint=0.2)
    assert found["door-width"] == pytest.approx(300 - 2 * (INCH / 16 + 2 * 0.2))
    assert found["gap"] == pytest.approx(found["shims-painted"]) == pytest.approx(INCH / 16)
    assert found["shims"] == pytest.approx(INCH / 16 + 2 * 0.2)


def test_the_opening_of_a_door_at_hand_gives_that_door_again() -> None:
    found = figures(sized="door", width=250.0, height=180.0, paint=0.1)
    back = figures(opening_width=found["opening-width"], opening_height=found["opening-height"], paint=0.1)
    assert (back["door-width"], back["door-height"]) == pytest.approx((250.0, 180.0))


@pytest.mark.parametrize("hinged", ["left", "right", "front", "back"])
@pytest.mark.parametrize("opens", ["in", "out"])
def test_hinged_at_any_edge_it_has_no_stop_and_no_caution(hinged: str, opens: str) -> None:
    measures: dict[str, Value] = {"hinged": hinged, "opens": opens, "vents": True, "finger-hole": 25.0, "hinges": 2}
    edit = make_board(plain(), "door", measures, catalogue())
    report = check(resolve(edit.design, edit.board, None, catalogue()), catalogue())
    assert [(f.rule, f.subjects) for f in (*report.stops, *report.cautions)] == []
    board = find_board(edit.design, edit.board)
    hinges = [p for p in board.arrangements[0].placements if "hinge" in p.id]
    right, back = board.outline.corners[2].x, board.outline.corners[2].y
    middle = 2 + (25 - INCH / 32 - 2) / 2  # of what lies on the door of a leaf of 25 mm: the pin is over half the gap
    at = {
        "left": ("x", middle), "right": ("x", right - middle), "front": ("y", middle), "back": ("y", back - middle),
    }[hinged]  # fmt: skip
    assert len(hinges) == 2
    assert [getattr(p, at[0]) for p in hinges] == pytest.approx([at[1]] * 2, abs=1e-5)


def test_hinges_stand_as_far_from_the_corners_as_asked_and_evenly_between() -> None:
    measures: dict[str, Value] = {"sized": "door", "height": 310.0, "hinges": 3, "hinge": 50.0, "inset": 40.0}
    edit = make_board(plain(), "door", measures, catalogue())
    places = find_board(edit.design, edit.board).arrangements[0].placements
    assert [p.y for p in places if "hinge" in p.id] == pytest.approx([65.0, 155.0, 245.0])


@pytest.mark.parametrize(
    ("measures", "fields", "words"),
    [
        ({"sized": "both", "width": 301.0, "height": 220.0}, ("width", "height"), "an opening of 300 mm"),
        ({"sized": "both", "width": 299.0, "paint": 0.25}, ("width",), "got 300 mm with its paint"),
        ({"opening-width": 30.0, "gap": 6.0}, ("opening-width",), "Narrow the gap"),
        ({"hinges": 4}, ("hinges",), "4 hinges and the corners take 260 mm of the edge"),
        ({"screw-line": 25.0}, ("screw-line",), "on the leaf, 25 mm wide"),
        ({"leaf": 298.0, "screw-line": 17.0}, ("leaf",), "narrower than the door"),
        ({"lock-in": 297.0}, ("lock-in",), "Bring it nearer"),
        ({"finger-hole": 25.0, "opening-width": 32.0, "held": "catch", "hinges": 0}, ("finger-hole",), "no room"),
        ({"vents": True, "vent-pitch": 5.0}, ("vent-pitch",), "wider than a hole, 6 mm"),
        ({"vents": True, "vent-hole": 30.0, "vent-pitch": 40.0, "vent-width": 20.0}, ("vent-hole",), "No hole fits"),
    ],
)  # fmt: skip
def test_measures_that_cannot_be_are_refused_beside_their_fields(
    measures: dict[str, Value], fields: tuple[str, ...], words: str
) -> None:
    with pytest.raises(EditError) as caught:
        make_board(plain(), "door", measures, catalogue())
    assert set(caught.value.problems or {caught.value.field: ""}) == set(fields)
    assert words in str(caught.value)
