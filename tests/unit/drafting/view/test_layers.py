"""Layers that are asked for: rooms as the rules judge them, hands as people have them, and the place for a pointer."""

from __future__ import annotations

import math
from collections.abc import Iterator

import pytest
import shapely

from app.arrange.new_deck.new_deck import new_deck
from app.arrange.new_deck.new_deck_spec import NewDeck
from app.catalogue.load import catalogue
from app.document.resolve import resolve
from app.drafting.facing import facing
from app.drafting.view.board_view import board_scene
from app.drafting.view.layers import rooms_of
from app.drafting.view.reach_zones import hands, has_hands
from app.fit.report.report import check
from app.geometry.shapes import Shape
from app.model.part import Face, Part
from app.model.resolved import ResolvedBoard
from app.model.tooling import Allowance
from app.scene.primitives import Arc, Circle, Group, Item, Path, Scene, walk
from app.values import replace
from tests.unit.drafting.boards import board as plain_board
from tests.unit.fit.boards import SOURCE, at, board, button, nut
from tests.unit.fit.test_patterns import pattern

HAND = Allowance("hand", "Hand drill", 1.0, 0.5, SOURCE)


def group(scene: Scene, name: str) -> Group:
    found: list[Group] = []

    def look(items: tuple[Item, ...]) -> None:
        for item in items:
            if isinstance(item, Group):
                found.extend([item] if item.name == name else [])
                look(item.items)

    look(scene.items)
    assert len(found) == 1, name
    return found[0]


def roles(scene: Scene, part: str) -> list[str]:
    return [item.role for item in group(scene, f"part-{part}").items if isinstance(item, Group)]


def covered(scene: Scene, part: str) -> int:
    """How many holes are drawn under what covers them."""
    items = group(scene, f"part-{part}").items
    return sum(isinstance(item, Circle) and "hole-under" in item.style.role for item in items)


@pytest.mark.parametrize("allowance", [HAND, Allowance("cnc", "CNC", 0.1, 0.5, SOURCE)])
@pytest.mark.parametrize(
    ("face", "rule", "one", "other"),
    [
        ("top", "web", button(30, flange=0, body=10), button(24, flange=0, body=10)),
        ("top", "web", button(28, flange=0, body=10), button(28, flange=0, body=10)),
        ("under", "under-clash", button(10, flange=0, body=60, depth=40), button(10, flange=0, body=44, depth=40)),
        (
            "under",
            "under-clash",
            button(10, flange=0, body=12, fixing=nut(width=52)),
            button(10, flange=0, body=12, depth=40),
        ),
    ],
)
def test_what_stays_out_of_a_room_is_clear_and_what_enters_is_not(
    face: Face, rule: str, one: Part, other: Part, allowance: Allowance
) -> None:
    """The rules themselves are the measure: what touches the room has no finding, 0.01 mm farther in it has one."""

    def findings(x: float) -> list[str]:
        checked = board(at(200, 150, one), at(x, 150, other, name="b"), allowance=allowance)
        return [f.rule for f in check(checked, catalogue()).findings if f.rule == rule]

    alone = board(at(200, 150, one), allowance=allowance)
    room = max(shape.bounds[2] for shape in rooms_of(alone, facing(alone, "top" if face == "top" else "under"))["a"])
    if face == "under":  # mirrored about the middle of a board 600 mm wide
        room = 600 - min(shape.bounds[0] for shape in rooms_of(alone, facing(alone, "under"))["a"])
    half = other.cutouts[0].width / 2 if face == "top" else other.body.shape.size[0] / 2
    assert findings(room + half + 1e-6) == []
    assert findings(room + half - 0.01) == [rule]


def arcs(items: tuple[Item, ...]) -> Iterator[Arc]:
    return (item for item, _ in walk(items) if isinstance(item, Arc))


def stationed() -> ResolvedBoard:
    """A new deck of one player: a stick, six buttons, two admin buttons at the back."""
    return resolve(new_deck(NewDeck(title="Layers"), catalogue()), None, None, catalogue())


def test_a_hand_is_as_long_as_people_s() -> None:
    """Palm: medians 108 mm of women and 116 mm of men; hand: means 181 mm and 193 mm (ANSUR II, 2012)."""
    checked = stationed()
    drawn = hands(checked)
    radii = sorted({arc.radius for arc in arcs(drawn.items)})
    assert len(radii) == 2
    assert 108.0 <= radii[0] <= 116.0
    assert 181.0 <= radii[1] <= 193.0
    wrists = [item.centre for item, _ in walk(drawn.items) if isinstance(item, Circle)]
    assert wrists
    assert {y for _, y in wrists} == {0.0}, "a wrist lies at the front edge"
    stick = next(p for p in checked.placements if p.part.lever is not None)
    buttons = [p.x for p in checked.placements if p.station == stick.station and p is not stick]
    assert sorted(x for x, _ in wrists) == pytest.approx(sorted([stick.x, (min(buttons) + max(buttons)) / 2]))


def test_where_there_is_no_station_there_is_no_hand() -> None:
    checked = plain_board(())
    assert not has_hands(checked)
    assert hands(checked).items == ()


def test_layers_are_drawn_only_where_they_are_asked_for() -> None:
    checked = stationed()
    ident = next(p.id for p in checked.placements if p.part.kind == "button")
    assert roles(board_scene(checked, layers=()), ident) == []
    assert covered(board_scene(checked, layers=()), ident) == 1
    full = board_scene(checked, layers=("bodies", "rooms", "hands", "no such layer"))
    assert roles(full, ident) == ["rooms", "bodies"]
    assert group(full, "hands").items
    under = board_scene(checked, face="under", layers=("bodies", "rooms", "flanges", "hands"))
    assert roles(under, ident) == ["rooms", "flanges"]
    # A file has none of it.
    plain = board_scene(checked)
    assert (roles(plain, ident), covered(plain, ident)) == ([], 0)
    assert "at" not in group(plain, f"part-{ident}").data


@pytest.mark.parametrize("face", ["top", "under"])
def test_a_pointer_is_told_where_each_part_is(face: Face) -> None:
    """In the page's coordinates, y down: on the underside x is the width less x."""
    checked = stationed()
    wide = checked.outline.bounds[2]
    for placed in checked.placements:
        x, y, radius = map(
            float, group(board_scene(checked, face=face, layers=()), f"part-{placed.id}").data["at"].split()
        )
        assert (x, y) == pytest.approx((placed.x if face == "top" else wide - placed.x, -placed.y), abs=0.005)
        shape: Shape | None = placed.flange
        assert radius == pytest.approx(shape.radius if shape and shape.is_circle else radius, abs=0.005)
        assert 3.0 < radius < math.hypot(checked.width, checked.depth_front_to_back)


@pytest.mark.parametrize("face", ["top", "under"])
@pytest.mark.parametrize("drill", [True, False])
def test_a_pattern_can_be_taken_hold_of_between_its_holes(face: Face, *, drill: bool) -> None:
    """Its grip holds every hole, and is no wider than they are; shapely is the measure."""
    held = replace(at(200, 150, pattern(20, width=110), name="s1"), drill=drill, angle=20.0)
    scene = board_scene(board(held), face=face, layers=())
    inner = group(scene, "part-s1").items
    (grip,) = [item for item in inner if isinstance(item, Path) and item.style.role == "grip"]
    area = shapely.Polygon([grip.start, *(step.end for step in grip.steps)]).buffer(0.05)
    holes = [item for item in inner if isinstance(item, Circle) and item.style.role.startswith("hole")]
    assert len(holes) == len(held.part.cutouts)
    centres = shapely.MultiPoint([hole.centre for hole in holes])
    assert area.covers(centres)
    assert area.area < centres.convex_hull.buffer(5.1).area
