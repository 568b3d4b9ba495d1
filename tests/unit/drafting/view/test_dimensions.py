"""Figures beside a part on the move cover neither a part nor each other, and stay on the board."""

from __future__ import annotations

import math
from itertools import combinations

import pytest

from app.arrange.new_deck.new_deck import new_deck
from app.arrange.new_deck.new_deck_spec import NewDeck
from app.catalogue.load import catalogue
from app.document.resolve import resolve
from app.drafting.facing import facing
from app.drafting.forms import Box
from app.drafting.hardware.part_letters import rim_radius
from app.drafting.labels.tags import word_boxes
from app.drafting.view.board_view import view_scale
from app.drafting.view.dimensions import dimensions
from app.drafting.view.finding_marks import halos
from app.fit.report.report import check
from app.model.part import Face
from app.model.resolved import ResolvedBoard
from app.scene.bounds import bounds
from app.scene.palette import FLAG, MEASURE
from app.scene.primitives import Group, Line, Path
from app.service.drawings.drawings import with_placements

SHIFTS = ((0.0, 0.0), (-7.0, 5.0), (13.0, -11.0), (0.0, -30.0))


def plates(group: Group) -> list[Box]:
    """Rectangles round the figures."""
    found = [bounds((item,)) for item in group.items if isinstance(item, Path) and item.style == FLAG]
    return [box for box in found if box is not None]


def deck(players: int, units: str, width: float) -> ResolvedBoard:
    spec = NewDeck(players=players, width=width, depth=240.0, units="inch" if units == "inch" else "mm")
    return resolve(new_deck(spec, catalogue()), None, None, catalogue())


def overlap(area: Box, x: float, y: float) -> float:
    """How far a circle's middle is from a rectangle [mm]."""
    return math.hypot(max(area[0] - x, x - area[2], 0.0), max(area[1] - y, y - area[3], 0.0))


@pytest.mark.parametrize("face", ["top", "under"])
@pytest.mark.parametrize(("players", "units", "width"), [(2, "mm", 760.0), (2, "inch", 760.0), (1, "mm", 400.0)])
def test_figures_cover_no_part_wherever_it_is_dragged(players: int, units: str, width: float, face: Face) -> None:
    """There is a free place on each of these boards: the strip in front, where the wrists rest, is bare."""
    board = deck(players, units, width)
    for held in board.placements:
        for shift in SHIFTS:
            now = with_placements(board, {held.id: held.moved(*shift)})
            view = facing(now, face)
            group = dimensions(now, held.id, view=view, scale=view_scale(now), full=True)
            boxes = plates(group)
            assert len(boxes) == 3, "from the left, from the front, to the nearest part"
            x0, y0, x1, y1 = now.outline.bounds
            for box in boxes:
                assert x0 - 0.01 <= box[0] and box[2] <= x1 + 0.01 and y0 - 0.01 <= box[1] and box[3] <= y1 + 0.01
                for part in now.placements:
                    far = overlap(box, view.x(part.x), part.y)
                    assert far >= rim_radius(part) - 0.01, f"{held.label} by {shift}: a figure lies on {part.label}"
            for a, b in combinations(boxes, 2):
                assert not (a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3]), f"{held.label} by {shift}"


def test_a_figure_that_had_to_go_elsewhere_is_led_to_its_line() -> None:
    """Every figure touches its own line, or a thin line leads from the rim of its plate to it."""
    board = deck(2, "mm", 760.0)
    for held in board.placements:
        group = dimensions(board, held.id, view=facing(board, "top"), scale=view_scale(board), full=True)
        lines = [item for item in group.items if isinstance(item, Line) and item.style == MEASURE]
        for box in plates(group):
            high = box[3] - box[1]
            nearest = min(min(overlap(box, *end) for end in _along(line)) for line in lines)
            assert nearest <= high * 0.75, f"{held.label}: nothing leads to a figure"


def _along(line: Line) -> list[tuple[float, float]]:
    steps = [k / 200 for k in range(201)]
    return [(line.a[0] + t * (line.b[0] - line.a[0]), line.a[1] + t * (line.b[1] - line.a[1])) for t in steps]


@pytest.mark.parametrize("face", ["top", "under"])
def test_figures_cover_no_sign_of_what_is_wrong(face: Face) -> None:
    """A part dragged on to another gives the most signs there are; each whole plate of them stays free."""
    board = deck(2, "mm", 760.0)
    signs = 0
    for held in board.placements[:8]:
        for other in board.placements[:8]:
            if other is held:
                continue
            there = held.moved(other.x + 9.0 - held.x, other.y - 4.0 - held.y)
            now = with_placements(board, {held.id: there})
            view, scale = facing(now, face), view_scale(now)
            marks = halos(now, check(now, catalogue()).findings, view=view, scale=scale)
            group = dimensions(now, held.id, view=view, scale=scale, avoid=word_boxes(marks), full=True)
            tags = [i for i in marks.items if isinstance(i, Path) and i.style.role.startswith("tag")]
            wrong = [b for i in tags if (b := bounds((i,))) is not None]
            signs += len(wrong)
            for a in plates(group):
                for b in wrong:
                    assert a[0] >= b[2] or b[0] >= a[2] or a[1] >= b[3] or b[1] >= a[3], (held.label, other.label)
    assert signs > 100
