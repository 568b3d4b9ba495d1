"""How deep an arc is: the columns lie on one circle, the middle ones as far back as was asked, by geometry alone."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.arrange.new_deck.new_deck import new_deck
from app.arrange.new_deck.new_deck_spec import NewDeck
from app.arrange.station.arcs import arc_depth, arc_steps, deepest_arc
from app.catalogue.load import catalogue
from app.errors import EditError

TINY = 1e-9


def circle_through(a: tuple[float, float], b: tuple[float, float], c: tuple[float, float]) -> tuple[float, float]:
    """Height of the middle on x = 0, and the radius, of the circle through the points and their mirror images."""
    points = sorted({(abs(x), y) for x, y in (a, b, c)})
    (x0, y0), (x1, y1) = points[0], points[-1]
    middle = (x0**2 + y0**2 - x1**2 - y1**2) / (2 * (y0 - y1))
    return middle, math.hypot(x0, y0 - middle)


@given(st.integers(3, 9), st.floats(20, 60), st.floats(0.02, 1))
def test_the_columns_lie_on_a_circle_as_deep_as_was_asked(columns: int, pitch: float, share: float) -> None:
    grid = 0.5
    half = (columns - 1) / 2 * pitch
    near = 0.0 if columns % 2 else pitch / 2
    depth = share * math.sqrt(half**2 - near**2)  # at 1 the outer columns are where the circle is widest
    steps = arc_steps(columns, pitch, depth, grid, "mm")
    assert deepest_arc(columns, pitch) == pytest.approx(math.sqrt(half**2 - near**2))
    assert steps == steps[::-1] and arc_depth(steps) == depth == max(steps) and steps[0] == 0.0
    middle, radius = circle_through((near, depth), (half, 0.0), (near, depth))
    for k, step in enumerate(steps):
        across = (k - (columns - 1) / 2) * pitch
        on_circle = middle + math.sqrt(max(0.0, radius**2 - across**2))
        assert step == pytest.approx(min(on_circle, depth), abs=grid / 2 + 1e-6)


def test_three_columns_on_half_a_circle_lie_one_pitch_deep_and_no_deeper() -> None:
    """Thales: the angle at the middle column is a right one, so the field is as deep as half as wide."""
    assert deepest_arc(3, 42.0) == pytest.approx(42.0)
    assert arc_steps(3, 42.0, 42.0, 0.5, "mm") == (0.0, 42.0, 0.0)
    with pytest.raises(EditError, match=r"3 columns 42 mm apart make an arc up to 42 mm deep.*got 43 mm") as caught:
        arc_steps(3, 42.0, 43.0, 0.5, "mm")
    assert caught.value.field == "arc"


@pytest.mark.parametrize("columns", [0, 1, 2])
def test_so_few_columns_have_no_depth(columns: int) -> None:
    with pytest.raises(EditError, match="needs three columns or more"):
        arc_steps(columns, 42.0, 5.0, 0.5, "mm")


def test_a_limit_is_never_said_larger_than_it_is() -> None:
    with pytest.raises(EditError, match=r"up to 59 mm deep"):  # √(63² − 21²) = 59.397
        arc_steps(4, 42.0, 60.0, 0.5, "mm")
    with pytest.raises(EditError, match=r'up to 2 5/16" deep'):  # 59.397 / 25.4 = 2.338, and 2 5/16 = 2.3125
        arc_steps(4, 42.0, 60.0, 0.5, "inch")


@pytest.mark.parametrize(("units", "depth"), [("mm", 20.0), ("inch", 19.05)])
def test_a_new_deck_has_an_arc_as_deep_as_was_asked(units: str, depth: float) -> None:
    made = new_deck(NewDeck(shape="arc", buttons=8, arc=depth, units=units, width=800), catalogue())  # type: ignore[arg-type]
    station = made.boards[0].arrangements[0].stations[0]
    assert station.shape == "arc" and max(station.steps) == depth
    ys = sorted({p.y for p in made.boards[0].arrangements[0].placements if p.station == "s1" and "button" in p.part})
    assert ys[1] - ys[0] == pytest.approx(depth, abs=1e-6)


def test_a_new_deck_says_beside_its_field_that_an_arc_is_too_deep() -> None:
    for depth, said in ((250.0, "half a circle"), (400.0, "300"), (-1.0, "0")):
        with pytest.raises(EditError, match=said) as caught:
            new_deck(NewDeck(shape="arc", buttons=8, arc=depth), catalogue())
        assert caught.value.field == "arc"
