"""A display's plate: where its holes are, how wide, how long its screws; and what shows before it.

Squares and oblongs: the flat display mounting interface, as four pages quote it. Clearance holes: ISO 273. A screw is
as long as plate and washer, and 5 to 9 mm more for a thread 10 mm deep: computed. The picture of a display 16 : 9:
W = 16 D / √337, H = 9 D / √337.
"""

from __future__ import annotations

import math

import pytest

from app.arrange.maker.make import make_board
from app.arrange.maker.registry import maker_named
from app.catalogue.load import catalogue
from app.document.resolve import resolve
from app.errors import EditError
from app.fit.report.report import check
from app.model.maker.beam import GRAVITY, bend, stiffness
from app.model.maker.measure import Value, answered
from app.model.material import Layer
from tests.unit.arrange.maker.designs import plain

ISO_273 = {"75": (4.3, 4.5, 4.8), "100": (4.3, 4.5, 4.8), "200x100": (4.3, 4.5, 4.8), "200x200": (6.4, 6.6, 7.0)}
CENTRES = {"75": 53.033, "100": 70.711, "200x100": math.hypot(100, 50), "200x200": math.hypot(100, 100)}


def figures(**given: Value) -> dict[str, float]:
    maker = maker_named("display")
    made = maker.make(answered(maker.measures, {k.replace("_", "-"): v for k, v in given.items()}), catalogue())
    return {f.name: f.value for f in made.figures}


@pytest.mark.parametrize("pattern", list(ISO_273))
def test_holes_stand_and_are_as_wide_as_the_standards_say(pattern: str) -> None:
    edit = make_board(plain(), "display", {"pattern": pattern, "cable": False}, catalogue())
    board = resolve(edit.design, edit.board, None, catalogue())
    report = check(board, catalogue())
    assert [(f.rule, f.subjects) for f in (*report.stops, *report.cautions)] == []
    (mount,) = board.placements
    assert {(c.smallest, c.width, c.largest) for c in mount.part.cutouts} == {ISO_273[pattern]}
    away = [math.dist(hole.centre, (mount.x, mount.y)) for hole in mount.holes]
    assert away == pytest.approx([CENTRES[pattern]] * 4, abs=1e-3)


def test_the_larger_screw_of_the_standard_may_be_chosen() -> None:
    assert figures(pattern="200x200", screw="M8")["clearance"] == 9.0
    assert figures(pattern="200x200")["clearance"] == 6.6


def test_a_screw_is_as_long_as_plate_and_washer_and_some_of_the_thread() -> None:
    """6 mm plate, no washer, 10 mm of thread: 15 mm at most, one diameter of an M4 at least; an M4 × 12 is between."""
    found = figures(plate=6.0, washer=0.0, thread_depth=10.0)
    assert (found["screw-least"], found["screw-most"]) == (10.0, 15.0)
    assert found["screw-least"] <= 12 <= found["screw-most"]


def test_a_beam_bends_as_the_handbook_says() -> None:
    """W l³ / (48 E I): 4 kg on 275 × 9 mm of plywood, 450 mm between supports, by hand."""
    layer = Layer(catalogue().materials["plywood"], 9.0)
    strength = layer.material.strength(9.0)
    assert strength is not None
    by_hand = 4 * GRAVITY * 450**3 / (48 * strength.modulus * 275 * 9**3 / 12)
    stiff = stiffness((layer,), 275)
    assert stiff is not None and bend(4000, 450, stiff) == pytest.approx(by_hand)
    assert figures(height=300.0)["bend"] == pytest.approx(by_hand)
    two = stiffness((layer, layer), 275)
    assert two == pytest.approx(2 * stiff), "loose layers slide on each other"


def test_what_an_opening_hides_and_shows_follows_from_the_picture() -> None:
    """The picture of 24 in 16 : 9 is 531.3 × 298.9 mm."""
    wide, high = (side * 24 * 25.4 / math.sqrt(337) for side in (16, 9))
    assert (wide, high) == pytest.approx((531.3, 298.9), abs=0.05)
    found = figures(
        outer_width=560.0, outer_height=330.0, visible_width=wide, visible_height=high, room=600.0,
        opening_width=527.3, opening_height=304.9,
    )  # fmt: skip
    assert found["hidden-width"] == pytest.approx(2, abs=0.03) and found["shows-width"] == 0
    assert found["shows-height"] == pytest.approx(3, abs=0.03) and found["hidden-height"] == 0
    assert found["beside"] == 20
    assert not {"hidden-width", "shows-width"} & set(figures(opening_width=0.0))


def test_what_to_look_for_before_buying_is_said() -> None:
    words = " ".join(maker_named("display").look_for)
    assert all(word in words for word in ("bezel", "Mounting holes", "power comes back", "sockets point"))


@pytest.mark.parametrize(
    ("measures", "fields", "words"),
    [
        ({"room": 439.0}, ("outer-width",), "wider than the cabinet: 439 mm between the sides, got 440 mm"),
        ({"room": 439.0, "visible-height": 266.0}, ("outer-width", "visible-height"), "no larger than the display"),
        ({"pattern": "200x200", "outer-height": 200.0, "visible-height": 190.0}, ("outer-height",), "mounting holes"),
        ({"cable-length": 20.0}, ("cable-length",), "at least as long as wide, 25 mm"),
    ],
)  # fmt: skip
def test_measures_that_cannot_be_are_refused_beside_their_fields(
    measures: dict[str, Value], fields: tuple[str, ...], words: str
) -> None:
    with pytest.raises(EditError) as caught:
        make_board(plain(), "display", measures, catalogue())
    assert set(caught.value.problems) == set(fields) and words in str(caught.value)
