"""Rules about what makers made, each on both sides of its limit.

Limits: 20 % of the cone (a maker of perforated tubes); ISO 13857, from 3 years on (from memory); the rest plain
geometry. Boards are of plywood and drilled by hand: each hole up to 1 mm off.
"""

from __future__ import annotations

import math
from typing import Any

import pytest

from app.catalogue.load import catalogue
from app.fit.rules.finger_guard import reach_through
from app.geometry.outline import rectangle_outline
from app.model.resolved import ResolvedBoard
from app.values import replace
from tests.unit.fit.boards import found
from tests.unit.fit.made_boards import made_board

CATALOGUE = catalogue()
HAIR = 0.01


def seen(board: ResolvedBoard, rule: str) -> list[Any]:
    return [(f.severity, f.subjects) for f in found(board, rule, CATALOGUE)]


GRILLE = ("grille-holes", "grille-magnet")


def cone_for(share: float) -> float:
    """Width of a cone that the 19 holes of 10 mm of the grille open by a share [mm]."""
    return math.sqrt(19 * 10**2 / share)


@pytest.mark.parametrize(("share", "want"), [(0.2 + 1e-6, []), (0.2 - 1e-4, [("caution", GRILLE)])])
def test_a_grille_opens_a_fifth_of_its_cone(share: float, want: list[Any]) -> None:
    board = made_board("grille", cone=cone_for(share), field=88.0)
    assert seen(board, "cone-area") == want


def test_only_holes_in_front_of_the_cone_count_as_open() -> None:
    """The middle one and six at 17.5 mm lie before a cone of 60 mm; six at 30.3 and six at 35 mm do not."""
    (finding,) = found(made_board("grille", cone=60.0, field=88.0), "cone-area", CATALOGUE)
    assert finding.detail.share == pytest.approx(7 * 10**2 / 60**2)


def test_without_its_driver_nothing_is_said_of_a_grille() -> None:
    board = made_board("grille", hole=5.0, field=110.0)
    assert seen(board, "cone-area") and seen(board, "cone-cover")
    alone = board.populated(board.placements[1:])
    assert not seen(alone, "cone-area") and not seen(alone, "cone-cover")


@pytest.mark.parametrize(("beyond", "want"), [(-HAIR, []), (2 * HAIR, [("caution", GRILLE)])])
def test_the_middle_of_each_hole_lies_before_the_cone_drilled_off_its_place(beyond: float, want: list[Any]) -> None:
    """The outermost holes stand 35 mm from the middle, and may be 1 mm off; so the cone is 36 mm wide from there."""
    board = made_board("grille", cone=2 * (35 + 1 - beyond), field=88.0)
    assert seen(board, "cone-cover") == want


def test_holes_that_were_moved_off_the_cone_are_sent_back() -> None:
    board = made_board("grille")
    magnet, holes = board.placements
    moved = tuple(replace(h, shape=h.shape.placed(20.0, 0.0, 0.0)) for h in holes.holes)
    off = board.populated((magnet, replace(holes, x=holes.x + 20, holes=moved)))
    (finding,) = found(off, "cone-cover", CATALOGUE)
    assert finding.measured == pytest.approx(88 / 2 - (35 + 20) - 1)
    assert finding.detail.toward == pytest.approx((-1.0, 0.0), abs=1e-9)


@pytest.mark.parametrize(
    ("width", "far", "slot"),
    [
        (4, 2, False), (4.01 + HAIR, 10, False), (6, 10, False), (8, 20, False), (10, 60, False), (12, 80, False),
        (20, 120, False), (40, 120, False), (41, 850, False), (4, 2, True), (6, 20, True), (8, 40, True),
        (10, 80, True), (12, 100, True), (13, 900, True),
    ],
)  # fmt: skip
def test_how_far_a_hand_reaches_is_the_table_of_the_standard(width: float, far: float, slot: bool) -> None:
    """ISO 13857:2019, table 5; round holes over 20 mm by table 4, for 120 mm up to 40."""
    assert reach_through(width, CATALOGUE, slot=slot) == far


@pytest.mark.parametrize(
    ("measures", "thickness", "want"),
    [
        ({"holes": "square", "hole": 6.0}, 10.0, False),
        ({"holes": "square", "hole": 6.0}, 10.0 - 0.1, True),
        ({"holes": "square", "hole": 8.0, "pitch": 16.0}, 20.0, False),
        ({"holes": "square", "hole": 8.0, "pitch": 16.0}, 19.9, True),
        ({"holes": "slots", "hole": 6.0, "slot": 20.0}, 19.9, True),
        ({"holes": "slots", "hole": 6.0, "slot": 20.0}, 20.0, False),
        ({"holes": "opening", "guard": True}, 9.0, False),
        ({"holes": "opening", "guard": False}, 9.0, True),
    ],
)
def test_no_finger_reaches_the_blades(measures: dict[str, Any], thickness: float, want: bool) -> None:
    board = made_board("fan", **measures)
    (layer,) = board.layers
    thick = replace(board, layers=(replace(layer, thickness=thickness),))
    subjects = tuple(p.id for p in reversed(board.placements))
    assert seen(thick, "finger-guard") == ([("caution", subjects)] if want else [])


BORE_60 = math.pi / 4 * 57**2  # published: bores of 60 mm frames are 57 mm wide
ROW = math.pi / 4 * 10**2


@pytest.mark.parametrize(
    ("vent", "want"),
    [(0, ["note"]), (1, ["caution"]), (int(BORE_60 / ROW) // 2 * 2 - 1, ["caution"]), (int(BORE_60 / ROW) | 1, [])],
)
def test_as_much_is_open_elsewhere_as_the_bore(vent: int, want: list[str]) -> None:
    """57² / 10² = 32.49 holes: 31 are too few, 33 enough."""
    board = made_board("fan", vent=vent, frame="60")
    assert [severity for severity, _ in seen(board, "air-flow")] == want


def test_a_fan_is_not_too_near_what_it_was_made_behind_and_is_near_anything_else() -> None:
    board = made_board("fan", holes="staggered-60")
    assert seen(board, "under-clash") == []
    strange = board.populated(tuple(replace(p, maker="" if p.part.is_pattern else p.maker) for p in board.placements))
    assert [severity for severity, _ in seen(strange, "under-clash")] == ["stop"]


@pytest.mark.parametrize(("free", "want"), [(45.0 + 15, []), (45 + 15 - HAIR, ["caution"]), (45 - HAIR, ["stop"])])
def test_the_driver_and_its_wires_need_the_depth_that_was_measured(free: float, want: list[str]) -> None:
    """15 mm for wires: a default of the catalogue (common practice, no source)."""
    board = made_board("grille", free_depth=free + 0.0)
    assert [severity for severity, _ in seen(board, "depth-below")] == want


EDGE = CATALOGUE.allowances["hand"].edge
"""How far off a sawn edge may be [mm]; both the door's and the opening's are sawn."""


@pytest.mark.parametrize(
    ("gap", "want"),
    [
        (0.5 + 2 * EDGE, []),
        (0.5 + 2 * EDGE - HAIR, [("caution", ())]),
        (HAIR, [("caution", ())]),
        (0.0, [("stop", ())]),
    ],
)
def test_a_door_has_half_a_millimetre_left_a_side_sawn_at_worst(gap: float, want: list[Any]) -> None:
    assert seen(made_board("door", gap=gap), "door-clearance") == want


@pytest.mark.parametrize(("paint", "want"), [(0.0, []), (0.3, []), (0.31, [("caution", ())])])
def test_paint_of_the_shop_thicker_than_what_was_asked_narrows_the_gap(paint: float, want: list[Any]) -> None:
    """A gap of 1.5 mm and 2 × 0.3 mm of paint asked for; twice 0.01 mm more on each of the two edges is too much."""
    board = made_board("door", gap=0.5 + 2 * EDGE, paint=0.3)
    assert seen(replace(board, paint=paint), "door-clearance") == want


def test_a_door_cut_larger_than_its_maker_made_it_is_judged_as_it_is() -> None:
    board = made_board("door")
    x, y = board.outline.bounds[2:]
    larger = replace(board, outline=rectangle_outline(x + 4, y))
    (finding,) = found(larger, "door-clearance", CATALOGUE)
    assert finding.severity == "stop"
    assert finding.measured == pytest.approx(25.4 / 16 - 4 / 2)


def swing(width: float, gap: float, thick: float) -> float:
    """What is free past the free edge of a door 12 mm thick whose inner corner swings by, at worst [mm].

    The pins stand over the middle of the gap, in the plane of the face that it opens to.
    """
    return gap / 2 + width + gap - math.hypot(gap / 2 + width, thick) - 2 * EDGE


@pytest.mark.parametrize(("more", "want"), [(HAIR, []), (-HAIR, ["caution"]), (-2 * EDGE - HAIR, ["stop"])])
def test_the_free_edge_of_a_door_swings_clear_of_its_opening(more: float, want: list[str]) -> None:
    low, high = 0.01, 20.0
    while high - low > 1e-6:
        middle = (low + high) / 2
        low, high = (low, middle) if swing(60, middle, 12) > more else (middle, high)
    board = made_board("door", sized="door", width=60.0, gap=high, held="catch", room=80.0)
    assert [f.severity for f in found(board, "door-swing", CATALOGUE)] == want


@pytest.mark.parametrize(("deeper", "want"), [(-HAIR, []), (2 * HAIR, [("caution", ("door-lock",))])])
def test_what_hangs_on_a_door_swings_clear_of_its_opening_too(deeper: float, want: list[Any]) -> None:
    board = made_board("door", sized="door", width=100.0, gap=2.0, lock_in=20.0)
    free, far = 1 + 100 + 2 - 2 * EDGE, 1 + 100 - 20 + 18.7 / 2
    lock = next(p for p in board.placements if p.id == "door-lock")
    body = replace(lock.part.body, depth=math.sqrt(free**2 - far**2) + deeper)
    longer = replace(lock, part=replace(lock.part, body=body))
    others = tuple(longer if p.id == lock.id else p for p in board.placements)
    assert seen(board.populated(others), "door-swing") == want


@pytest.mark.parametrize(("room", "want"), [(HAIR, []), (-HAIR, [("caution", ())])])
def test_a_door_has_room_to_swing(room: float, want: list[Any]) -> None:
    needed = math.hypot(200 + 25.4 / 32, 12)
    assert seen(made_board("door", sized="door", width=200.0, room=needed + room), "door-swing") == want


@pytest.mark.parametrize(
    ("length", "frame", "want"),
    [
        (10.0, 8.5 + 3, []), (10.0, 8.5 + 3 - HAIR, ["caution"]), (10.0, 8.5 - HAIR, ["stop", "caution"]),
        (7.5, 12.0, []),        (7.5 - HAIR, 12.0, ["caution"]), (4.0, 6.0, ["caution"]), (10.0, 2.9, ["stop", "stop"]),
    ],
)  # fmt: skip
def test_screws_of_the_other_leaf_end_in_the_board_round_the_opening_and_hold(
    length: float, frame: float, want: list[str]
) -> None:
    """3 mm of board beyond them, and 2 × 3 mm of them in it; 1.5 mm are in the leaf."""
    board = made_board("door", screw_length=length, frame=frame)
    assert [f.severity for f in found(board, "hinge-screw", CATALOGUE)] == want


def test_a_door_that_lifts_out_needs_no_room_to_swing_and_no_screws() -> None:
    board = made_board("door", hinges=0, room=0.0, frame=1.0)
    assert not seen(board, "door-swing") and not seen(board, "hinge-screw")
