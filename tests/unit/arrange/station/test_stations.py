"""Geometry of stations, by formula: pitch, rows, steps, arcs, mirror images, reading order."""

from __future__ import annotations

import math
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.arrange.station.stations import SHAPES, ButtonField, Slot, field_of, named_fields, slots, steps_of
from app.document.schema import StationEntry
from app.errors import EditError

TINY = 1e-9


@st.composite
def stations(draw: st.DrawFn) -> StationEntry:
    """A station of any shape, anywhere."""
    columns = draw(st.integers(1, 6))
    return StationEntry(
        id="s1",
        rows=draw(st.integers(1, 3)),
        columns=columns,
        pitch=draw(st.floats(20, 100)),
        row_spacing=draw(st.floats(20, 100)),
        steps=tuple(draw(st.lists(st.floats(-30, 30), max_size=columns))),
        tilt=draw(st.floats(-45, 45)),
        stick=draw(st.sampled_from(["left", "right", "centre", "none"])),
        hand_gap=draw(st.floats(50, 150)),
        centre=draw(st.floats(0, 1000)),
        front=draw(st.floats(0, 300)),
        mirrored=draw(st.booleans()),
    )


def buttons(station: StationEntry) -> list[Slot]:
    return [spot for spot in slots(station) if not spot.is_stick]


def by_place(found: list[Slot]) -> dict[tuple[int, int], Slot]:
    return {(spot.row, spot.column): spot for spot in found}


def test_a_straight_field_is_a_grid_right_of_the_stick() -> None:
    station = StationEntry(
        id="s1", rows=2, columns=3, pitch=42, row_spacing=40, hand_gap=90, centre=200, front=80, stick="left"
    )
    # from the stick to the last column: 90 + 2 · 42; half of it on either side of the centre
    stick_x = 200 - (90 + 2 * 42) / 2
    expected = [(stick_x, 80 + 40 / 2)]
    expected += [(stick_x + 90 + 42 * column, 80 + 40 * row) for row in (1, 0) for column in (0, 1, 2)]
    assert [(spot.x, spot.y) for spot in slots(station)] == expected


@given(stations())
def test_neighbours_in_a_column_are_a_row_spacing_apart_and_in_a_row_a_pitch_and_the_step(
    station: StationEntry,
) -> None:
    found = by_place(buttons(station))
    assert len(found) == station.rows * station.columns
    step = [*station.steps, *[0.0] * station.columns]
    for (row, column), spot in found.items():
        behind, beyond = found.get((row + 1, column)), found.get((row, column + 1))
        if behind:
            assert math.dist((spot.x, spot.y), (behind.x, behind.y)) == pytest.approx(station.row_spacing, abs=1e-6)
        if beyond:
            expected = math.hypot(station.pitch, step[column + 1] - step[column])
            assert math.dist((spot.x, spot.y), (beyond.x, beyond.y)) == pytest.approx(expected, abs=1e-6)


@given(stations())
def test_a_mirrored_station_is_the_mirror_image_about_its_middle(station: StationEntry) -> None:
    image = station.model_copy(update={"mirrored": not station.mirrored})
    here = sorted((round(2 * station.centre - s.x, 6), round(s.y, 6), s.row, s.column) for s in slots(station))
    there = sorted((round(s.x, 6), round(s.y, 6), s.row, s.column) for s in slots(image))
    for a, b in zip(sorted(here, key=lambda t: t[2:]), sorted(there, key=lambda t: t[2:]), strict=True):
        assert a == pytest.approx(b, abs=1e-5)


@given(stations(), st.floats(-500, 500), st.floats(0, 500))
def test_a_station_moves_as_a_whole(station: StationEntry, dx: float, dy: float) -> None:
    moved = station.model_copy(update={"centre": station.centre + dx, "front": station.front + dy})
    for a, b in zip(slots(station), slots(moved), strict=True):
        assert (b.x - a.x, b.y - a.y) == pytest.approx((dx, dy), abs=1e-6)


@given(stations())
def test_the_stick_on_the_right_is_the_mirror_image_of_the_stick_on_the_left(station: StationEntry) -> None:
    left = station.model_copy(update={"stick": "left", "mirrored": False})
    assert slots(left.model_copy(update={"mirrored": True})) == slots(left.model_copy(update={"stick": "right"}))


@given(stations())
def test_a_stick_in_the_centre_stands_dead_on_it(station: StationEntry) -> None:
    stick = slots(station.model_copy(update={"stick": "centre"}))[0]
    assert stick.is_stick
    assert stick.x == station.centre


@given(stations(), st.integers(0, 18))
def test_fewer_buttons_are_places_of_the_whole_field_back_row_first(station: StationEntry, number: int) -> None:
    number = min(number, station.rows * station.columns)
    whole = by_place(buttons(station))
    fewer = by_place(buttons(station.model_copy(update={"buttons": number})))
    assert len(fewer) == number
    assert all(whole[place] == spot for place, spot in fewer.items())
    rows = [sum(1 for row, _ in fewer if row == k) for k in range(station.rows)]
    assert rows == sorted(rows), "a row in front never has more than one behind it"


@given(stations())
def test_spots_are_read_stick_first_then_rows_back_to_front_left_to_right(station: StationEntry) -> None:
    found = list(slots(station))
    if station.stick != "none":
        assert found.pop(0).is_stick
    for a, b in pairwise(found):
        assert a.row > b.row or (a.row == b.row and a.x < b.x)


@given(st.integers(2, 8), st.floats(20, 60), st.floats(150, 300))
def test_columns_of_an_arc_lie_on_a_circle_of_its_radius(columns: int, pitch: float, radius: float) -> None:
    grid = 0.5
    steps = steps_of(ButtonField("arc", 2, columns), pitch, 0.0, radius, grid)
    half = (columns - 1) / 2 * pitch
    for k, step in enumerate(steps):
        across = (k - (columns - 1) / 2) * pitch
        on_circle = math.sqrt(max(0.0, radius**2 - across**2)) - math.sqrt(max(0.0, radius**2 - half**2))
        assert step == pytest.approx(on_circle, abs=grid / 2 + TINY)
    assert min(steps) == 0
    assert steps == steps[::-1]


def test_a_stepped_field_s_first_column_lies_in_front_of_the_others() -> None:
    assert steps_of(ButtonField("stepped", 2, 4), 42, 15, 187, 0.5) == (0, 15, 15, 15)
    assert steps_of(ButtonField("straight", 2, 4), 42, 15, 187, 0.5) == ()


@pytest.mark.parametrize(
    ("shape", "number", "name"),
    [
        ("row", 1, "1 × 1"),
        ("row", 6, "1 × 6"),
        ("straight", 2, "1 × 2"),
        ("straight", 4, "2 × 2"),
        ("straight", 5, "2 × 3 straight"),
        ("straight", 6, "2 × 3 straight"),
        ("stepped", 6, "2 × 3 stepped"),
        ("arc", 8, "2 × 4 arc"),
        ("arc", 3, "1 × 3 arc"),
        ("stepped", 7, "2 × 4 stepped"),
    ],
)
def test_a_field_is_named_by_its_shape(shape: str, number: int, name: str) -> None:
    assert field_of(shape, number).name == name


@pytest.mark.parametrize("number", range(1, 9))
def test_the_shapes_offered_for_a_number_hold_it_and_differ(number: int) -> None:
    offered = named_fields(number)
    assert len({name for _, name in offered}) == len(offered)
    for shape, name in offered:
        field = field_of(shape, number)
        assert field.name == name
        assert field.rows * (field.columns - 1) < number <= field.rows * field.columns
    assert set(SHAPES) >= {shape for shape, _ in offered}


def test_a_shape_or_number_that_is_not_known_is_refused() -> None:
    with pytest.raises(EditError, match=r'no shape "spiral"\. Choose one of: row, straight, stepped, arc') as caught:
        field_of("spiral", 6)
    assert caught.value.field == "shape"
    with pytest.raises(EditError, match="1 to 20 buttons, got 0") as caught:
        field_of("arc", 0)
    assert caught.value.field == "buttons"
