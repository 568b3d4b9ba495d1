"""Marks of states and faces of kinds: told apart by form, and where they have to be (our own drawing, no source)."""

from __future__ import annotations

import math
from itertools import combinations

import pytest

from app.catalogue.load import catalogue
from app.drafting.hardware.part_faces import top_view
from app.drafting.hardware.part_letters import rim_radius
from app.drafting.view.state_marks import accepted_badge, locked_badge, not_drilled, selected_ring
from app.model.part import Part
from app.model.resolved import Hole, Placed
from app.scene.bounds import Box, bounds
from app.scene.primitives import Arc, Circle, Item, Line, Path, Text
from app.values import replace


def alone(part: Part) -> Placed:
    return Placed(
        "p", part, 0.0, 0.0, 0.0, "", "", drill=True, holes=tuple(Hole(c, c.shape, None) for c in part.cutouts)
    )


def box(items: tuple[Item, ...]) -> Box:
    found = bounds(items)
    assert found
    return found


def form(item: Item, size: float) -> tuple[object, ...]:
    """What an item is without its colour, as large as it is against the part."""
    assert isinstance(item, Line | Circle | Arc | Path)
    filled, style = item.style.fill is not None, item.style
    if isinstance(item, Circle):
        return ("circle", round(item.radius / size, 1), filled, bool(style.dash))
    if isinstance(item, Path):
        return ("path", len(item.steps), filled, bool(style.dash))
    return (type(item).__name__, filled, bool(style.dash))


def test_each_kind_of_hardware_has_a_form_of_its_own() -> None:
    """Colours, letters and sizes left out, no part of one kind is drawn like a part of another."""
    faces: dict[str, set[tuple[object, ...]]] = {}
    for part in catalogue().parts.values():
        placed = alone(part)
        drawn = [form(i, rim_radius(placed)) for i in top_view(placed) if not isinstance(i, Text)]
        faces.setdefault(part.kind, set()).add(tuple(sorted(drawn, key=str)))
    assert len(faces) >= 10
    for (one, ones), (other, others) in combinations(faces.items(), 2):
        assert not ones & others, f"a {one} and a {other} look alike"


def test_a_button_that_snaps_in_one_with_a_nut_and_a_lit_one_look_different() -> None:
    parts = catalogue().parts
    ids = ("button-28-snap", "button-28-nut-long", "button-28-nut-long-lit")
    forms = [sorted(str(form(i, 17.0)) for i in top_view(alone(parts[ident]))) for ident in ids]
    assert all(one != other for one, other in combinations(forms, 2))


def test_only_the_part_in_hand_has_corner_pieces_and_they_stand_outside_its_ring() -> None:
    plain = selected_ring((100.0, 50.0), 17.0, 1.0, in_hand=False)
    hand = selected_ring((100.0, 50.0), 17.0, 1.0, in_hand=True)
    assert all(isinstance(i, Circle) for i in plain)
    corners = [i for i in hand if isinstance(i, Path)]
    assert hand[: len(plain)] == plain
    assert len(corners) == 2 * 4  # each with its pale edge
    ring = max(i.radius for i in plain if isinstance(i, Circle))
    for corner in corners:
        ends = [corner.start, *(step.end for step in corner.steps)]
        assert all(max(abs(x - 100.0), abs(y - 50.0)) > ring for x, y in ends)


@pytest.mark.parametrize("half", [(17.0, 17.0), (6.0, 6.0), (12.0, 31.0)])
def test_a_padlock_stays_inside_its_part_so_that_the_middle_stays_the_middle(half: tuple[float, float]) -> None:
    at = (40.0, -8.0)
    x0, y0, x1, y1 = box(locked_badge(at, half, 1.7))
    edge = 0.5  # half the weight of its line, on either side
    assert x0 >= at[0] - half[0] - edge and x1 <= at[0] + half[0] + edge
    assert y0 >= at[1] - half[1] - edge and y1 <= at[1] + half[1] + edge
    assert x0 > at[0] - 0.2 * half[0], "at the right"
    assert y1 < at[1] + 0.2 * half[1], "at the front"


def test_padlock_and_tick_do_not_cover_each_other() -> None:
    locked = box(locked_badge((0.0, 0.0), (17.0, 17.0), 1.7))
    ticked = box(accepted_badge((0.0, 0.0), 17.0, 1.7))
    assert ticked[2] < locked[0]


def test_the_hatch_of_what_is_not_drilled_ends_on_its_rim_and_leaves_its_letter_free() -> None:
    lines = not_drilled((5.0, 7.0), 17.0)
    assert lines
    for line in lines:
        assert isinstance(line, Line)
        assert math.dist(line.a, (5.0, 7.0)) == pytest.approx(17.0)
        assert math.dist(line.b, (5.0, 7.0)) == pytest.approx(17.0)
        middle = ((line.a[0] + line.b[0]) / 2, (line.a[1] + line.b[1]) / 2)
        assert math.dist(middle, (5.0, 7.0)) > 0.4 * 17.0
        assert line.b[1] - line.a[1] == pytest.approx(line.b[0] - line.a[0])  # at 45 degrees


def test_a_place_that_is_not_drilled_is_drawn_without_any_filling() -> None:
    placed = replace(alone(catalogue().parts["button-30-snap"]), drill=False)
    assert all(i.style.fill is None for i in top_view(placed) if isinstance(i, Line | Circle | Path))
