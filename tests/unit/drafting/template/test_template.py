"""Templates and exchange drawings: what is on them, where, on which layer."""

from __future__ import annotations

import pytest

from app.drafting.export.drawing import export_scene
from app.drafting.template.drill_template import drill_template
from app.drafting.words import hole_size, thickness
from app.model.resolved import Counterbore, Recess, ResolvedBoard
from app.scene.bounds import bounds
from app.scene.primitives import Circle, Group, Path, Text, walk
from app.shop.screw_pilots import screw_pilots
from app.units import Unit
from app.values import replace
from tests.unit.drafting.boards import ADMIN, BUTTON, STICK, board, placed, two_player


def layers(made: ResolvedBoard, face: str) -> dict[str, list[object]]:
    found: dict[str, list[object]] = {}
    for item, _ in walk(export_scene(made, "top" if face == "top" else "under").items):
        if not isinstance(item, Group):
            found.setdefault(item.layer, []).append(item)
    return found


def test_a_layer_for_each_operation_and_size_and_none_empty() -> None:
    made = two_player()
    assert set(layers(made, "top")) == {"OUTLINE", "TOP_THROUGH_24", "TOP_THROUGH_30", "CHECK_SQUARE", "NOTES"}
    assert set(layers(made, "under")) == {
        "OUTLINE", "UNDER_THROUGH_24", "UNDER_THROUGH_30", "UNDER_COUNTERBORE_32_DEPTH_9.5", "UNDER_PILOT_3_DEPTH_15",
        "CHECK_SQUARE", "NOTES",
    }  # fmt: skip
    plain = board((placed("a", BUTTON, 100, 100, "A"),))
    assert set(layers(plain, "under")) == {"OUTLINE", "UNDER_THROUGH_30", "CHECK_SQUARE", "NOTES"}


def test_holes_are_true_circles_in_place_and_the_underside_is_mirrored() -> None:
    made = two_player()
    for face in ("top", "under"):
        for item in (
            i for name, items in layers(made, face).items() if "_" in name and "CHECK" not in name for i in items
        ):
            assert isinstance(item, Circle)
    wanted = sorted((round(p.x, 6), round(p.y, 6)) for p in made.drilled)
    top = [
        i.centre for n in ("TOP_THROUGH_24", "TOP_THROUGH_30") for i in layers(made, "top")[n] if isinstance(i, Circle)
    ]
    under = [
        (made.width - i.centre[0], i.centre[1])
        for n in ("UNDER_THROUGH_24", "UNDER_THROUGH_30") for i in layers(made, "under")[n] if isinstance(i, Circle)
    ]  # fmt: skip
    assert sorted((round(x, 6), round(y, 6)) for x, y in top) == wanted
    assert sorted((round(x, 6), round(y, 6)) for x, y in under) == wanted


def test_check_squares_are_fifty_millimetres_and_two_inches_beside_the_board() -> None:
    squares = layers(two_player(), "top")["CHECK_SQUARE"]
    sides = []
    for item in squares:
        assert isinstance(item, Path) and item.closed
        box = bounds([item])
        assert box is not None
        assert box[1] > two_player().depth_front_to_back, "clear of the board, behind it"
        assert box[2] - box[0] == pytest.approx(box[3] - box[1])
        sides.append(box[2] - box[0])
    assert sides == pytest.approx([50.0, 2 * 25.4])


def test_the_note_tells_the_size() -> None:
    words = " | ".join(i.text for i in layers(two_player(), "under")["NOTES"] if isinstance(i, Text))
    assert "640 x 240 mm" in words and "UNDERSIDE, mirrored" in words


def test_positions_not_drilled_are_on_neither() -> None:
    made = two_player()
    off = made.placed("off")
    assert off is not None and not off.drill
    for face in ("top", "under"):
        template = drill_template(made, "top" if face == "top" else "under")
        x = off.x if face == "top" else made.width - off.x
        assert all(abs(c[0] - x) > 1 or abs(c[1] - off.y) > 1 for c in template.circles)
        assert all(m.letter != off.label for m in template.marks)


def test_labels_tell_bit_and_counterbore() -> None:
    made = board((placed("a", ADMIN, 100, 100, "A", bore=Counterbore(32.0, 9.5)),))
    top, under = drill_template(made, "top").marks, drill_template(made, "under").marks
    assert (top[0].letter, top[0].lines) == ("A", ("24 mm", "counterbore 32 × 9.5 mm", "from the underside"))
    assert under[0].lines == ("24 mm", "counterbore 32 × 9.5 mm deep first")
    assert top[0].clear == 16.0


def test_the_largest_circle_about_a_centre_counts() -> None:
    made = board((placed("a", ADMIN, 100, 100, "A", bore=Counterbore(32.0, 9.5)),))
    assert drill_template(made, "top").circles == ((100.0, 100.0, 16.0),)


@pytest.mark.parametrize(("deep", "piloted"), [(17.9, True), (18.0, False), (40.0, False)])
def test_where_a_recess_goes_through_the_board_nothing_is_piloted(deep: float, piloted: bool) -> None:
    """In 18 mm of board: what is left of it bears a pilot, and none has a depth below nothing."""
    sunk = replace(placed("a", STICK, 300.0, 150.0, "A"), recess=Recess(110.0, 70.0, 6.0, deep))
    pilots = screw_pilots(board((sunk,)), sunk)
    assert (pilots is not None) is piloted
    assert pilots is None or pilots.depth > 0


def test_screw_pilots_are_on_the_face_the_screws_come_from() -> None:
    made = board((placed("a", STICK, 100, 100, "A"),))
    assert len(drill_template(made, "top").centres) == 1
    under = drill_template(made, "under")
    assert len(under.centres) == 5
    pilots = screw_pilots(made, made.placements[0])
    assert pilots is not None
    # 60 % of a 5 mm screw (90 % of a root of two thirds the shank), and 3 mm of the 18 mm left.
    assert (pilots.diameter, pilots.depth) == (0.9 * 2 / 3 * 5.0, 18.0 - 3.0)
    assert sum(m.lines == ("3 mm, 15 mm deep",) for m in under.marks) == 4


def test_a_size_is_told_as_the_bit_is_sold() -> None:
    metric = placed("a", BUTTON, 0, 0, "A").holes[0]
    assert hole_size(metric, Unit.INCH) == "30 mm"
    assert metric.bit is not None
    inch = replace(metric, bit=replace(metric.bit, diameter=1.1875 * 25.4, inch=True))
    inch = replace(inch, shape=replace(inch.shape, radius=1.1875 * 12.7))
    assert hole_size(inch, Unit.MM) == '1 3/16"'
    # Without a bit it is drawn as wide as the part asks, under the part's own name.
    assert hole_size(replace(metric, bit=None), Unit.INCH) == "30 mm"


@pytest.mark.parametrize(
    ("mm", "words"),
    [(18.0, '45/64" (0.709")'), (19.05, '3/4"'), (12.7, '1/2"'), (15.0, '19/32" (0.591")'), (6.35, '1/4"')],
)
def test_a_thickness_that_is_no_fraction_is_told_as_the_nearest_and_in_thousandths(mm: float, words: str) -> None:
    assert thickness(mm, Unit.INCH) == words
