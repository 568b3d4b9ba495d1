"""Pages of the invented decks: exact ink, bare centres, words that touch nothing."""

from __future__ import annotations

import math
from functools import cache

import pytest

from app.model.part import Face
from app.model.resolved import Placed, ResolvedBoard
from app.model.tooling import Paper
from app.paper.sheet.sheet_map import sheet_map
from app.paper.sheet.sheets import SheetSet, plan_sheets, sheet_count, template_pages
from app.scene.bounds import bounds
from app.scene.primitives import Circle, Group, Line, Scene, Text
from app.values import replace
from tests.unit.drafting.boards import A3, A4, LETTER, bare, two_player
from tests.unit.paper.ink import distance, drawn, group, overlapping, text_boxes

BOARDS = {
    "deck": two_player(),
    "deep": two_player(640, 300),
    "inch": two_player(1200, 400, units="inch"),
    "bare": bare(300, 200),
}
FACES: tuple[Face, Face] = ("top", "under")

every = pytest.mark.parametrize("name", list(BOARDS))
faces = pytest.mark.parametrize("face", FACES)
papers = pytest.mark.parametrize("paper", [A4, LETTER, A3], ids=lambda p: p.id)


@cache
def planned(name: str, face: Face, paper: Paper) -> SheetSet:
    return plan_sheets(BOARDS[name], face, paper)


@cache
def pages(name: str, face: Face, paper: Paper) -> tuple[Scene, ...]:
    return template_pages(BOARDS[name], face, paper)


@every
@faces
@papers
def test_nothing_is_drawn_outside_the_ink_box(name: str, face: Face, paper: Paper) -> None:
    x0, y0, x1, y1 = planned(name, face, paper).tiling.layout.ink
    for page in pages(name, face, paper):
        assert (page.x0, page.y0) == (0.0, 0.0)
        for item, (dx, dy), clip in drawn(page):
            box = clip
            assert not isinstance(item, Group)
            if box is None:
                found = bounds([item])
                assert found is not None
                half = item.style.width / 2 if item.style.stroke else 0.0
                box = (found[0] + dx - half, found[1] + dy - half, found[2] + dx + half, found[3] + dy + half)
            assert x0 - 1e-6 <= box[0] and y0 - 1e-6 <= box[1], item
            assert box[2] <= x1 + 1e-6 and box[3] <= y1 + 1e-6, item


@every
@faces
@papers
def test_no_words_overlap(name: str, face: Face, paper: Paper) -> None:
    for page in pages(name, face, paper):
        assert overlapping(text_boxes(page)) == []


@every
@faces
def test_no_ink_within_the_gap_of_a_centre(name: str, face: Face) -> None:
    plan = planned(name, face, A4)
    for page, tile in zip(pages(name, face, A4), plan.tiling.tiles, strict=True):
        for x, y in plan.template.centres:
            if not (tile.window[0] <= x <= tile.window[2] and tile.window[1] <= y <= tile.window[3]):
                continue
            at = (x + tile.offset[0], y + tile.offset[1])
            for item, (dx, dy), _ in drawn(page):
                assert distance(item, (at[0] - dx, at[1] - dy)) > 0.3, (item, at)
            for words, (x0, y0, x1, y1) in text_boxes(page):
                assert not (x0 - 0.3 < at[0] < x1 + 0.3 and y0 - 0.3 < at[1] < y1 + 0.3), words


@every
@faces
def test_arms_reach_five_millimetres_beyond_the_largest_circle(name: str, face: Face) -> None:
    template = planned(name, face, A4).template
    for x, y, r in template.circles:
        along = [line for line in template.crosses if isinstance(line, Line) and line.a[1] == line.b[1] == y]
        ends = [p[0] for line in along for p in (line.a, line.b) if abs(p[0] - x) <= r + 5.0 + 1e-9]
        assert min(ends) == pytest.approx(x - r - 5.0)
        assert max(ends) == pytest.approx(x + r + 5.0)


@every
@papers
def test_a_circle_stands_on_its_page_where_the_board_has_it(name: str, paper: Paper) -> None:
    board = BOARDS[name]
    plan = planned(name, "top", paper)
    wanted = {(round(h.centre[0], 6), round(h.centre[1], 6), h.diameter / 2) for p in board.drilled for h in p.holes}
    found = set()
    for page, tile in zip(pages(name, "top", paper), plan.tiling.tiles, strict=True):
        for item, (dx, dy), _ in drawn(page):
            if isinstance(item, Circle) and item.style.role == "hole":
                x, y = item.centre[0] + dx - tile.offset[0], item.centre[1] + dy - tile.offset[1]
                found.add((round(x, 6), round(y, 6), item.radius))
    assert found == wanted


def test_the_underside_is_the_mirror_image() -> None:
    board = BOARDS["deck"]
    top, under = plan_sheets(board, "top", A4).template, plan_sheets(board, "under", A4).template
    through = {(round(board.width - h.centre[0], 6), round(h.centre[1], 6)) for p in board.drilled for h in p.holes}
    assert through <= {(round(x, 6), round(y, 6)) for x, y in under.centres}
    assert {(round(x, 6), round(y, 6)) for x, y in top.centres} == {(round(board.width - x, 6), y) for x, y in through}


@every
@faces
@papers
def test_marks_agree_on_both_sheets(name: str, face: Face, paper: Paper) -> None:
    plan = planned(name, face, paper)
    seen: dict[tuple[str, str], list[tuple[float, float]]] = {}
    for page, tile in zip(pages(name, face, paper), plan.tiling.tiles, strict=True):
        marks = group(page, "marks")
        for item in marks.items:
            if isinstance(item, Text):  # at the right or the left of its mark, as its anchor tells
                x, y = item.at[0] + marks.shift[0] - tile.offset[0], item.at[1] + marks.shift[1] - tile.offset[1]
                seen.setdefault((item.text, item.anchor), []).append((x, y))
    for places in seen.values():
        assert len(places) == 2
        assert math.dist(*places) < 0.001
    for seam in plan.seams:
        assert len(seam.marks) >= 2
        assert len({n for n, _ in seam.marks} & {name for name, _ in seen}) == len(seam.marks)
    tiles = plan.tiling.tiles
    meetings = sum(
        abs(a.row - b.row) + abs(a.column - b.column) == 1 for i, a in enumerate(tiles) for b in tiles[i + 1 :]
    )
    assert len(plan.seams) == meetings


@every
@faces
@papers
def test_every_sheet_has_a_stretch_of_both_ruled_lines(name: str, face: Face, paper: Paper) -> None:
    board = BOARDS[name]
    plan = planned(name, face, paper)
    step = 12.7 if board.units == "inch" else 10.0
    for tile in plan.tiling.tiles:
        x0, y0, x1, y1 = tile.cell
        assert any(r.axis == "x" and x0 < r.at < x1 for r in plan.ruled)
        assert any(r.axis == "y" and y0 < r.at < y1 for r in plan.ruled)
    for line in plan.ruled:
        left = board.width - line.at if face == "under" else line.at
        assert line.distance == pytest.approx(left if line.axis == "x" else line.at)
        if not line.centre:
            assert line.distance / step == pytest.approx(round(line.distance / step), abs=1e-6)


@every
@faces
def test_every_page_says_what_it_is(name: str, face: Face) -> None:
    board = BOARDS[name]
    plan = planned(name, face, A4)
    for page, tile in zip(pages(name, face, A4), plan.tiling.tiles, strict=True):
        words = " | ".join(item.text for item, _, _ in drawn(page) if isinstance(item, Text))
        said = [
            "TOP FACE" if face == "top" else "UNDERSIDE",
            "this edge towards the player",
            board.title,
            "revision C",
            board.arrangement_name,
            '45/64" (0.709") MDF' if board.units == "inch" else "18 mm MDF",
            "A4",
            f"row {tile.row} of {plan.tiling.rows}",
            f"column {tile.column} of {plan.tiling.columns}",
            "Print at actual size.",
            "Measure both bars",
            "before you drill.",
            f"code {plan.code}",
            "eye and ear protection",
            "Clamp the work",
            "tool makers' instructions",
        ]
        assert [s for s in said if s not in words] == []


def test_every_hole_is_lettered_on_a_sheet_with_its_size() -> None:
    board = BOARDS["deck"]
    words = [item.text for page in pages("deck", "top", A4) for item, _, _ in drawn(page) if isinstance(item, Text)]
    assert {p.label for p in board.drilled} <= {w.split()[0] for w in words}
    assert "S" not in words, "a position that is not drilled is not on the template"
    assert "counterbore 32 × 9.5 mm" in words


def test_the_code_changes_with_everything_that_matters() -> None:
    board = BOARDS["deck"]
    moved = replace(board, placements=(_moved(board), *board.placements[1:]))
    sets: tuple[tuple[ResolvedBoard, Face, Paper], ...] = (
        (board, "top", A4),
        (board, "under", A4),
        (board, "top", LETTER),
        (replace(board, revision="D"), "top", A4),
        (replace(board, title="Another"), "top", A4),
        (replace(board, arrangement_id="one"), "top", A4),
        (moved, "top", A4),
    )
    codes = [plan_sheets(b, face, paper).code for b, face, paper in sets]
    assert len(set(codes)) == len(codes)
    assert plan_sheets(two_player(), "top", A4).code == codes[0]


def _moved(board: ResolvedBoard) -> Placed:
    first = board.placements[0]
    holes = tuple(replace(h, shape=h.shape.placed(0.5, 0.0)) for h in first.holes)
    return replace(first, x=first.x + 0.5, holes=holes)


@every
@faces
@papers
def test_the_count_is_that_of_the_pages(name: str, face: Face, paper: Paper) -> None:
    assert sheet_count(BOARDS[name], face, paper) == len(pages(name, face, paper))


def test_pages_are_the_same_every_time() -> None:
    assert template_pages(BOARDS["deck"], "top", A4) == template_pages(two_player(), "top", A4)


@faces
def test_the_map_shows_every_sheet(face: Face) -> None:
    board = BOARDS["inch"]
    plan = plan_sheets(board, face, LETTER)
    scene = sheet_map(board, plan)
    named = {i.name for i in scene.items if isinstance(i, Group) and i.name}
    assert named == {f"sheet-{t.row}-{t.column}" for t in plan.tiling.tiles}
    assert overlapping(text_boxes(scene)) == []
