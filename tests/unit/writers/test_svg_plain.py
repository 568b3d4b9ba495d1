"""What is written as text at once is letter for letter what svgwrite makes of it."""

from __future__ import annotations

from typing import Any

import pytest

from app.catalogue.load import catalogue
from app.document.resolve import resolve
from app.document.scenarios import scenario_list
from app.drafting.view.board_view import board_scene
from app.drafting.view.layer_names import ASKABLE
from app.fit.report.report import check
from app.scene.primitives import Arc, ArcTo, Circle, CubicTo, Group, Item, Line, LineTo, Path, Scene, Style, Text
from app.writers import svg

ODD = "a <b> & \"c\" 'd' \t\u202e é"
PLAIN = Style(role="hole", fill="#abcdef", opacity=0.3, dash=(1.0, 2.5))
ITEMS: tuple[Item, ...] = (
    Circle((1.0, -2.0), 3.00004, PLAIN),
    Circle((0.0, -0.00001), 1.0, Style(stroke=None)),
    Line((0.5, 1.25), (-3.0, 0.0), PLAIN),
    Arc((1.0, 2.0), 4.0, 30.0, 200.0, PLAIN),
    Path((0.0, 0.0), (LineTo((4.0, 0.0)), ArcTo((0.0, 4.0), (0.0, 0.0), 90.0)), PLAIN, closed=True),
    Path((0.0, 0.0), (CubicTo((1.0, 1.0), (2.0, 1.0), (3.0, 0.0)),), Style()),
    Text((1.0, 2.0), "A", 3.0, PLAIN),
    Text((1.0, 2.0), "middle, bold", 3.0, PLAIN, "middle", bold=True),
    Text((1.0, 2.0), "turned", 3.0, PLAIN, "end", angle=90.0),
    Text((1.0, 2.0), "turned, and as wide as it was laid out", 3.0, PLAIN, "middle", angle=30.0, bold=True),
    Text((1.0, 2.0), ODD, 3.0, PLAIN),
    Text((1.0, 2.0), "", 3.0, PLAIN),
    Circle((1.0, 2.0), 3.0, Style(role=ODD)),
    Group((), name="bare"),
    Group(
        (Circle((0.0, 0.0), 1.0, PLAIN),), name="p 1", data={"placement": "p1"}, title="A, Button", role="part selected"
    ),
    Group((Circle((0.0, 0.0), 1.0, PLAIN),), data={"placement": ODD}, title=ODD, role=ODD, shift=(1.0, -2.5)),
    Group((Circle((0.0, 0.0), 1.0, PLAIN),), name="clipped", title="T", clip=(0.0, 0.0, 1.0, 1.0)),
)


def the_long_way(monkeypatch: pytest.MonkeyPatch) -> None:
    """Let svgwrite make every element."""
    for name in ("plain", "opened", "titled"):
        monkeypatch.setattr(svg, name, lambda *_: None)
    svg._remembered.cache_clear()


def written(scenes: list[Scene], **how: Any) -> list[str]:
    return [text for scene in scenes for text in (svg.embed(scene, ident="s", **how), svg.write(scene))]


@pytest.mark.parametrize("interactive", [True, False])
def test_every_item_is_written_alike(interactive: bool, monkeypatch: pytest.MonkeyPatch) -> None:
    scenes = [Scene(0.0, 0.0, 10.0, 10.0, (item,), title="t") for item in ITEMS]
    short = written(scenes, interactive=interactive)
    the_long_way(monkeypatch)
    assert short == written(scenes, interactive=interactive)


def test_what_is_remembered_is_written_alike(monkeypatch: pytest.MonkeyPatch) -> None:
    scene = Scene(0.0, 0.0, 10.0, 10.0, (Group(ITEMS, name="all"),))
    some = svg.embed(scene)
    monkeypatch.setattr(svg, "_MANY", 1)
    assert svg.embed(scene) == some


@pytest.mark.parametrize("face", ["top", "under"])
def test_every_board_is_written_alike(face: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    boards = [resolve(s.design, None, None, catalogue()) for s in scenario_list()]
    scenes = []
    for board in boards:
        found, hand = check(board, catalogue()).findings, [p.id for p in board.placements[:1]]
        scenes.append(board_scene(board, found, face=face, selected=hand, layers=ASKABLE[face]))
    short = written(scenes, interactive=True)
    the_long_way(monkeypatch)
    assert short == written(scenes, interactive=True)
