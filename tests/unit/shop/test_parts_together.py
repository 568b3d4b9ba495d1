"""The parts list for several arrangements and boards: what is shared once; screws by the board they go into; bits."""

from __future__ import annotations

from collections import Counter
from math import pi, sqrt

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.catalogue.load import catalogue
from app.document.resolve import resolve
from app.document.scenarios import load_scenario, scenario_list
from app.geometry.outline import EDGE_NAMES, Corner, Outline
from app.model.board import EdgeFeature
from app.model.resolved import ResolvedBoard
from app.model.tooling import Bit
from app.shop.bits_to_buy import bits_to_buy
from app.shop.parts_list import moulding_length, parts_list
from app.shop.screw_choice import STOCK, screws_of
from app.values import replace
from tests.companions import with_companions
from tests.unit.fit.boards import at, board, button

SEVERAL = ["harbour-lane-two-seater", "pine-shelf-compact", "willow-court-easy-reach"]


def arrangements_of(name: str) -> list[ResolvedBoard]:
    design = load_scenario(name)
    deck = design.boards[0]
    return [resolve(design, deck.id, each.id, catalogue()) for each in deck.arrangements]


@given(st.sets(st.integers(0, 11)), st.sets(st.integers(0, 11)))
def test_what_two_arrangements_share_is_counted_once(first: set[int], second: set[int]) -> None:
    """As many as there are places in either: the union of the two sets."""
    plain, wide = button(28, flange=32, body=20), button(24, flange=28, body=20)
    wide = replace(wide, id="wide", name="Wide")
    every = [at(60 + 45 * k, 120, plain if k % 2 else wide, name=f"p{k}") for k in range(12)]
    whole = board(*every)
    one, two = (whole.populated(tuple(every[k] for k in sorted(some))) for some in (first, second))
    counted = Counter(k % 2 for k in first | second)
    found = {item.name: item.count for item in parts_list([one, two], 10.0) if item.sort == "hardware"}
    assert found == {part.name: counted[odd] for odd, part in ((1, plain), (0, wide)) if counted[odd]}
    assert sum(item.count for item in parts_list([one, two], 10.0) if item.sort == "board") == len(whole.layers)


@pytest.mark.parametrize("name", [each.id for each in scenario_list()])
def test_all_arrangements_together_need_no_less_than_any_and_no_more_than_their_sum(name: str) -> None:
    boards = arrangements_of(name)
    together = {item.key: item.count for item in parts_list(boards, 0.0)}
    single = [{item.key: item.count for item in parts_list(each, 0.0)} for each in boards]
    for key, count in together.items():
        counts = [one.get(key, 0) for one in single]
        assert max(counts) <= count <= sum(counts)
    assert set(together) == set().union(*single)


def test_every_board_of_a_design_sums_to_its_boards() -> None:
    design = with_companions()
    boards = [resolve(design, each.id, None, catalogue()) for each in design.boards]
    whole: Counter[tuple[str, str, float | None]] = Counter()
    for each in boards:
        for item in parts_list(each, 0.0):
            if item.sort not in ("bit", "moulding"):
                whole[item.sort, item.name, item.size] += item.count
    together: Counter[tuple[str, str, float | None]] = Counter()
    for item in parts_list(boards, 0.0):
        if item.sort not in ("bit", "moulding"):
            together[item.sort, item.name, item.size] += item.count
    assert together == whole
    area = sum(item.area or 0.0 for item in parts_list(boards, 0.0))
    assert area == pytest.approx(sum(b.width * b.depth_front_to_back * len(b.layers) for b in boards))
    keys = [item.key for item in parts_list(boards, 0.0)]
    assert len(set(keys)) == len(keys), "a line is named once, for what the builder writes beside it"


@pytest.mark.parametrize("units", ["mm", "inch"])
@pytest.mark.parametrize("name", SEVERAL)
def test_a_screw_ends_inside_the_board_and_no_longer_one_that_is_sold_would(name: str, units: str) -> None:
    """Its floor is 3 mm short of the other face (common practice, no source)."""
    floor = catalogue().rule("screw-pilot-floor")
    for made in arrangements_of(name):
        made = replace(made, units=units)
        for placed in made.drilled:
            for choice in screws_of(made, placed):
                if choice.bolt or choice.length is None or choice.why:
                    continue
                plate = getattr(placed.part.fixing, "plate_thickness", 0.0)
                wood = made.thickness - (placed.recess.depth if placed.recess else 0.0)
                assert choice.length <= plate + wood - floor + 1e-6
                longer = [each for each in STOCK[units] if each > choice.length + 1e-6]
                assert longer[0] > plate + wood - floor - 1e-6


def test_bits_that_are_lacking_are_on_the_list_once_for_all_they_drill() -> None:
    made = arrangements_of("pine-shelf-compact")[0]
    none = replace(made, tooling=replace(made.tooling, bits=(Bit("router", 6.0, 30.0),)))
    bare = resolve(load_scenario("pine-shelf-compact"), None, None, catalogue())
    holes = tuple(
        replace(p, holes=tuple(replace(h, bit=None, shape=h.cutout.shape.placed(p.x, p.y, p.angle)) for h in p.holes))
        for p in bare.placements
    )
    none = replace(none, placements=holes)
    found = bits_to_buy(none)
    assert len({(each.bit.kind, each.bit.diameter) for each in found}) == len(found)
    assert 3.0 in {each.bit.diameter for each in found}, "the pilots"
    for hole in (hole for placed in none.drilled for hole in placed.holes):
        wide = [each.bit.diameter for each in found if each.bit.kind != "router"]
        assert any(hole.cutout.smallest <= each <= hole.cutout.largest for each in wide)
    lines = [item for item in parts_list(none, 0.0) if item.sort == "bit"]
    assert len(lines) == len(found) and all(item.count == 1 for item in lines)
    assert not bits_to_buy(made) or all(each.bit not in made.tooling.bits for each in bits_to_buy(made))


def test_moulding_follows_a_round_rim_as_long_as_it_is() -> None:
    """A corner set back evenly is a quarter of a circle: π r / 2; one set back unevenly a quarter of an ellipse.

    Ramanujan's second approximation of its perimeter is good to a hundred-thousandth for such axes.
    """
    edges = tuple(EdgeFeature(name, 9.0) for name in EDGE_NAMES)
    for a, b in ((40.0, 40.0), (60.0, 30.0)):
        corners = [(0, 0), (600, 0), (600, 300), (0, 300)]
        # Each corner is set back by ``a`` along the front or the back, and by ``b`` along a side.
        back = [(b, a), (a, b), (b, a), (a, b)]
        outline = Outline(tuple(Corner(float(x), float(y), s) for (x, y), s in zip(corners, back, strict=True)))
        h = ((a - b) / (a + b)) ** 2
        ellipse = pi * (a + b) * (1 + 3 * h / (10 + sqrt(4 - 3 * h)))
        got = moulding_length(board(outline=outline, edges=edges))
        assert got == pytest.approx(2 * (600 + 300) - 4 * (a + b) + ellipse, rel=2e-4)
