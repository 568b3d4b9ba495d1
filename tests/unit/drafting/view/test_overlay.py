"""Two states of a board over each other: what is drawn old, new or thin, and arrows as long as the moves."""

from __future__ import annotations

import math

import pytest

from app.arrange.placement import edit
from app.catalogue.load import catalogue
from app.document.resolve import resolve
from app.document.scenarios import load_scenario
from app.document.schema import Design
from app.drafting.view.overlay import overlay_scene
from app.model.resolved import ResolvedBoard
from app.scene.primitives import Circle, Group, Line, Path, Scene, Text, walk
from app.units import Unit

MASTER = load_scenario("pine-shelf-compact")
FIRST, SECOND = MASTER.boards[0].arrangements[0].placements[:2]


def board(design: Design) -> ResolvedBoard:
    return resolve(design, None, None, catalogue())


def group(scene: Scene, name: str) -> Group:
    return next(item for item in scene.items if isinstance(item, Group) and item.name == name)


def roles(scene: Scene, name: str) -> list[str]:
    drawn = (item for item, _ in walk(group(scene, name).items))
    return [item.style.role for item in drawn if isinstance(item, Circle | Path)]


def test_the_same_twice_is_thin_and_nothing_else() -> None:
    scene = overlay_scene(board(MASTER), board(MASTER), unit=Unit.MM)
    assert group(scene, "was").items == () == group(scene, "moves").items
    assert set(roles(scene, "is")) == {"kept"}


def test_a_move_leaves_the_old_place_and_says_how_far() -> None:
    after = edit.move_by(MASTER, None, None, FIRST.id, 30, 40).design
    scene = overlay_scene(board(MASTER), board(after), unit=Unit.MM)
    old = [i for i, _ in walk(group(scene, "was").items) if isinstance(i, Circle)]
    assert [(c.centre, c.style.role) for c in old] == [((FIRST.x, FIRST.y), "was")]
    assert roles(scene, "is").count("is") == 1
    moves = [item for item, _ in walk(group(scene, "moves").items)]
    assert [m.text for m in moves if isinstance(m, Text)] == ["50 mm"]  # 3, 4, 5: Pythagoras
    arrow = next(m for m in moves if isinstance(m, Line))
    way = math.atan2(arrow.b[1] - arrow.a[1], arrow.b[0] - arrow.a[0])
    assert way == pytest.approx(math.atan2(40, 30))


@pytest.mark.parametrize("gone", [True, False])
def test_what_only_one_state_has_is_drawn_as_that_one(gone: bool) -> None:
    less = edit.remove(MASTER, None, None, SECOND.id).design
    states = (MASTER, less) if gone else (less, MASTER)
    scene = overlay_scene(*map(board, states), unit=Unit.MM)
    assert ("was" in roles(scene, "was")) is gone
    assert ("is" in roles(scene, "is")) is not gone


def test_a_board_that_is_new_or_gone_is_drawn_alone() -> None:
    new, old = (overlay_scene(*pair, unit=Unit.MM) for pair in ((None, board(MASTER)), (board(MASTER), None)))
    assert set(roles(new, "is")) == {"is"}
    assert group(new, "was").items == ()
    assert set(roles(old, "was")) == {"was"}
    with pytest.raises(ValueError, match="neither"):
        overlay_scene(None, None, unit=Unit.MM)
