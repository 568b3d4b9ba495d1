"""Every page of every scenario is made for punching: bare centres, long arms, no fills, words clear of everything.

Both faces, both common papers, words in mm and in inches; in the gate each paper in its own unit. Distances are worked
out from the primitives alone (tests/unit/paper/ink.py), the boxes of words from the font's own advance widths.

Sources: no ink within 0.3 mm of a centre and arms 5 mm beyond the largest circle: common practice, no source.
Height of capitals of at least 2.5 mm: ISO 3098-1 (nominal sizes 1.8, 2.5, 3.5, 5, … mm of lettering on drawings).
"""

from __future__ import annotations

from functools import cache
from itertools import product
from math import hypot

import pytest

from app.catalogue.load import catalogue
from app.document.load import loads
from app.document.resolve import resolve
from app.drafting.template.pattern_marks import CentreMark
from app.paper.sheet.sheets import SheetSet, plan_sheets, template_pages
from app.paper.sheet.tiling import Tile
from app.scene.metrics import ASCENT, CAP_HEIGHT, DESCENT
from app.scene.primitives import Arc, Circle, Group, Line, Path, Scene, Text
from app.units import Unit
from tests.boards.scenario_cuts import Case, cases
from tests.long_run import rows_in_gate
from tests.unit.paper.ink import Box, distance, drawn, group, overlapping, text_boxes

every = pytest.mark.parametrize(
    ("case", "paper", "unit"),
    rows_in_gate(
        product(cases(), ("a4", "letter"), Unit), lambda row: row[1:] in {("a4", Unit.MM), ("letter", Unit.INCH)}
    ),
    ids=str,
)


@cache
def printed(case: Case, paper: str, unit: Unit) -> tuple[SheetSet, tuple[Scene, ...]]:
    board = resolve(loads(case.text), case.board, case.arrangement, catalogue())
    on = catalogue().papers[paper]
    return plan_sheets(board, case.face, on, unit=unit), template_pages(board, case.face, on, unit=unit)


def pages(case: Case, paper: str, unit: Unit) -> list[tuple[Scene, Tile]]:
    plan, scenes = printed(case, paper, unit)
    return list(zip(scenes, plan.tiling.tiles, strict=True))


def shown(tile: Tile, point: tuple[float, float]) -> bool:
    x0, y0, x1, y1 = tile.window
    return x0 <= point[0] <= x1 and y0 <= point[1] <= y1


@every
def test_no_words_overlap(case: Case, paper: str, unit: Unit) -> None:
    for page, tile in pages(case, paper, unit):
        assert overlapping(text_boxes(page)) == [], (tile.row, tile.column)


@every
def test_no_words_touch_a_circle_or_an_arm(case: Case, paper: str, unit: Unit) -> None:
    for page, tile in pages(case, paper, unit):
        boxes = [(words, inked(words, box)) for words, box in text_boxes(page)]
        for item, shift, clip in drawn(page):
            if isinstance(item, Circle | Arc):
                touched = [w for w, box in boxes if (part := seen(box, clip)) and rim_crosses(item, shift, part)]
            elif isinstance(item, Line) and item.style.role == "cross":
                touched = [w for w, box in boxes if (part := seen(box, clip)) and line_crosses(item, shift, part)]
            else:
                continue
            assert touched == [], (tile.row, tile.column, item)


def inked(words: str, box: Box) -> Box:
    """Of a number alone what has ink: its figures stand on the line."""
    left, low, right, high = box
    below = DESCENT / (ASCENT + DESCENT) if words.isdigit() else 0.0
    return (left, low + below * (high - low), right, high)


def seen(box: Box, clip: Box | None) -> Box | None:
    """What of a box lies inside the clip of what is drawn; None if nothing."""
    if clip is None:
        return box
    found = (max(box[0], clip[0]), max(box[1], clip[1]), min(box[2], clip[2]), min(box[3], clip[3]))
    return found if found[0] < found[2] and found[1] < found[3] else None


def rim_crosses(item: Circle | Arc, shift: tuple[float, float], box: Box) -> bool:
    """Whether a circle's line goes through a box: its nearest point lies inside, its farthest outside."""
    x, y, r = item.centre[0] + shift[0], item.centre[1] + shift[1], item.radius
    left, low, right, high = box
    near = hypot(max(left - x, x - right, 0.0), max(low - y, y - high, 0.0))
    far = max(hypot(u - x, v - y) for u in (left, right) for v in (low, high))
    return near < r < far


def line_crosses(item: Line, shift: tuple[float, float], box: Box) -> bool:
    """Whether an upright or level line goes through a box."""
    xs = sorted((item.a[0] + shift[0], item.b[0] + shift[0]))
    ys = sorted((item.a[1] + shift[1], item.b[1] + shift[1]))
    return xs[0] < box[2] and box[0] < xs[1] and ys[0] < box[3] and box[1] < ys[1]


@every
def test_no_ink_within_three_tenths_of_a_centre(case: Case, paper: str, unit: Unit) -> None:
    plan, _ = printed(case, paper, unit)
    for page, tile in pages(case, paper, unit):
        ink = [(item, shift) for item, shift, _ in drawn(page) if not isinstance(item, Text)]
        boxes = text_boxes(page)
        for centre in (c for c in plan.template.centres if shown(tile, c)):
            x, y = centre[0] + tile.offset[0], centre[1] + tile.offset[1]
            for item, (dx, dy) in ink:
                assert distance(item, (x - dx, y - dy)) > 0.3, (item, centre)
            for words, (x0, y0, x1, y1) in boxes:
                assert not (x0 - 0.3 < x < x1 + 0.3 and y0 - 0.3 < y < y1 + 0.3), (words, centre)


@every
def test_arms_reach_five_millimetres_beyond_the_largest_circle(case: Case, paper: str, unit: Unit) -> None:
    """On the template as a whole; a page shows of each arm what is in its window.

    Those of patterns end sooner, and an opening that is sawn along its outline has none to drill by.
    """
    plan, _ = printed(case, paper, unit)
    board, view = resolve(loads(case.text), case.board, case.arrangement, catalogue()), plan.template.view
    near = {view.point(h.centre) for p in board.drilled for h in p.holes if p.part.is_pattern or not h.is_circle}
    lines = [line for line in plan.template.crosses if isinstance(line, Line)]
    for x, y, r in (c for c in plan.template.circles if c[:2] not in near):
        level = [p[0] for line in lines if line.a[1] == line.b[1] == y for p in (line.a, line.b)]
        upright = [p[1] for line in lines if line.a[0] == line.b[0] == x for p in (line.a, line.b)]
        assert min(level) <= x - r - 5.0 + 1e-9 and max(level) >= x + r + 5.0 - 1e-9
        assert min(upright) <= y - r - 5.0 + 1e-9 and max(upright) >= y + r + 5.0 - 1e-9


@every
def test_nothing_is_filled_but_bars_map_arrow_and_corner(case: Case, paper: str, unit: Unit) -> None:
    for page, _ in pages(case, paper, unit):
        for name in ("template", "marks", "words"):
            for item in group(page, name).items:
                assert isinstance(item, Text | Group) or item.style.fill is None, item
        solid = [i for i, _, _ in drawn(page) if isinstance(i, Path) and i.style.fill and i.style.role == "corner"]
        assert len(solid) == 1


@every
def test_every_seam_rule_and_hole_is_named_on_its_page(case: Case, paper: str, unit: Unit) -> None:
    plan, _ = printed(case, paper, unit)
    for page, tile in pages(case, paper, unit):
        words = [item.text for item in group(page, "words").items if isinstance(item, Text)]
        for seam in plan.seams:
            if tile in (seam.first, seam.second):
                other = seam.second if tile == seam.first else seam.first
                assert any(f"joins row {other.row}, column {other.column}" in text for text in words), seam
        for line in plan.ruled:
            along = 0 if line.axis == "x" else 1
            if tile.window[along] < line.at < tile.window[along + 2]:
                edge = "left" if line.axis == "x" else "front"
                assert any(f"from the {edge} edge" in text for text in words), line
        for mark in plan.template.marks:
            if shown(tile, mark.at):
                assert is_named(mark, words), mark


def is_named(mark: CentreMark, words: list[str]) -> bool:
    lettered = not mark.letter or any(text.split()[0] == mark.letter for text in words)
    return lettered and any(mark.lines[0] in text for text in words)


@every
def test_letters_and_sizes_beside_holes_are_tall_enough(case: Case, paper: str, unit: Unit) -> None:
    """Capitals are 2.5 mm tall (14 minutes of arc at 600 mm); where room is scarce 2.0 mm, never less.

    Words stay inside a recess rather than cross its rim, so on the board with every part one in ten is smaller; on a
    companion with screws close beside its holes up to half.
    """
    plan, _ = printed(case, paper, unit)
    beside = {text for mark in plan.template.marks for text in (mark.letter, *mark.lines) if text}
    words = [item for page, _ in pages(case, paper, unit) for item in group(page, "words").items]
    tall = [CAP_HEIGHT * item.size for item in words if isinstance(item, Text) and item.text in beside]
    assert all(height >= 2.0 for height in tall)
    deck = resolve(loads(case.text), case.board, case.arrangement, catalogue()).role == "deck"
    assert sum(height >= 2.5 for height in tall) >= (0.85 if deck else 0.5) * len(tall)
