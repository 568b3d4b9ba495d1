"""Rules about what makers made, each on both sides of its limit.

Limits: 20 % of the cone (a maker of perforated tubes); ISO 13857, from 3 years on (from memory); the rest plain
geometry. Boards are of plywood and drilled by hand: each hole up to 1 mm off.
"""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Any

import pytest

from app.catalogue.load import catalogue
from app.fit.rules.finger_guard import reach_through
from app.model.resolved import ResolvedBoard
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
