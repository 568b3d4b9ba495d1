"""What is wrong, on the drawing: tags that cover no letters, no lines through them, many alike told once."""

from __future__ import annotations

import pytest

from app.catalogue.load import catalogue
from app.document.resolve import resolve
from app.document.scenarios import load_scenario
from app.drafting.facing import facing
from app.drafting.labels.tags import word_boxes
from app.drafting.view.board_edit_view import board_sheet
from app.drafting.view.board_handles import handles_of
from app.drafting.view.board_view import board_scene, thumbnail, view_scale
from app.drafting.view.finding_marks import MOST_ALIKE, MOST_TAGS, halos
from app.fit.detail import Detail
from app.fit.finding import Finding
from app.fit.report.report import check
from app.scene.metrics import text_box
from app.scene.primitives import Group, Line, Path, Text, walk
from app.values import replace
from tests.unit.drafting.boards import two_player
from tests.unit.paper.ink import group

RAFT = resolve(load_scenario("leaky-raft"), None, None, catalogue())
WRONG = check(RAFT, catalogue()).findings
Box = tuple[float, float, float, float]


def caution(subject: str, at: tuple[float, float], measured: float) -> Finding:
    return Finding("web", "caution", (subject,), at, measured, 5.0, "invented for the tests", Detail())


def meet(a: Box, b: Box) -> bool:
    return a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3]


def letters(scene_group: Group) -> list[Box]:
    """Boxes round the letters of the parts, as they are drawn."""
    corners = [text_box(item) for item, _ in walk(scene_group.items) if isinstance(item, Text)]
    return [(c[0][0], c[0][1], c[2][0], c[2][1]) for c in corners]


def test_no_tag_stands_on_the_letter_of_a_part() -> None:
    scene = board_scene(RAFT, WRONG[: 3 * MOST_TAGS])
    tags = word_boxes(group(scene, "halos"))
    covered = [(t, b) for t in tags for b in letters(group(scene, "parts")) if meet(t, b)]
    assert len(tags) > 10
    assert not covered


def test_every_line_to_a_tag_is_drawn_before_the_tags() -> None:
    items = halos(RAFT, WRONG, view=facing(RAFT, "top"), scale=view_scale(RAFT)).items
    leaders = [k for k, item in enumerate(items) if isinstance(item, Line) and item.style.role == "leader"]
    tags = [k for k, item in enumerate(items) if isinstance(item, Path) and item.style.role.startswith("tag-")]
    assert leaders
    assert max(leaders) < min(tags)


def test_the_lines_of_measures_run_below_the_tags() -> None:
    names = [item.name for item in board_scene(RAFT, WRONG, selected=("p1",)).items if isinstance(item, Group)]
    assert names.index("dims") < names.index("halos")


@pytest.mark.parametrize("count", [MOST_ALIKE, MOST_ALIKE + 1, 10])
def test_many_alike_have_one_tag_at_the_worst(count: int) -> None:
    """Ten cautions of one rule are one tag that says how many; every place keeps its spot."""
    made = two_player()
    found = [caution(made.placements[k].id, (60.0 + 40.0 * k, 30.0), 4.0 - 0.1 * k) for k in range(count)]
    drawn = halos(made, found, view=facing(made, "top"))
    said = [item.text for item, _ in walk(drawn.items) if isinstance(item, Text)]
    worst = f"web {4.0 - 0.1 * (count - 1):g} mm"
    assert said == ([f"{worst}, {count} places"] if count > MOST_ALIKE else ["web 4 mm", worst])
    spots = [item for item in drawn.items if not isinstance(item, Group) and item.style.role == "spot-caution"]
    assert len(spots) == count


def test_parts_beyond_the_board_are_within_the_whole_of_it_and_its_picture() -> None:
    made = two_player()
    x0, _, x1, y1 = made.outline.bounds
    for at in ((x0 - 300.0, 50.0), (x1 + 300.0, 50.0), (50.0, y1 + 300.0)):
        out = replace(made.placements[0], x=at[0], y=at[1])
        board = replace(made, placements=(out, *made.placements[1:]))
        for scene in (board_scene(board), board_scene(board, face="under"), thumbnail(board)):
            x = made.width - at[0] if "mirrored" in scene.note else at[0]
            assert scene.x0 <= x - out.rim
            assert x + out.rim <= scene.x1
            assert scene.y0 <= at[1] - out.rim
            assert at[1] + out.rim <= scene.y1


def test_words_keep_off_the_handles_of_the_board_itself() -> None:
    scene, scale = board_sheet(RAFT, WRONG, ""), view_scale(RAFT)
    reach = 3.6 * scale
    handles = [(x - reach, y - reach, x + reach, y + reach) for x, y in (h.at for h in handles_of(RAFT, "", scale))]
    words = [
        text_box(item)
        for name in ("board-dims", "board-marks")
        for item, _ in walk(group(scene, name).items)
        if isinstance(item, Text)
    ]
    boxes = [(c[0][0], c[0][1], c[2][0], c[2][1]) for c in words]
    assert len(boxes) > 8
    assert not [(b, h) for b in boxes for h in handles if meet(b, h)]


def test_what_is_not_drilled_looks_so_on_the_board_itself() -> None:
    made = two_player()
    drilled = replace(made, placements=tuple(replace(p, drill=True) for p in made.placements))
    off = replace(drilled, placements=(replace(drilled.placements[0], drill=False), *drilled.placements[1:]))
    roles = []
    for board in (drilled, off):
        drawn = walk(group(board_sheet(board, (), ""), "board-parts").items)
        roles.append([item.style.role for item, _ in drawn if not isinstance(item, Group)])
    assert "not-drilled" not in roles[0]
    assert "hole-off" not in roles[0]
    assert roles[1].count("hole-off") == 1
    assert roles[1].count("not-drilled") > 1
    assert roles[1].count("faint") == roles[0].count("faint") - 1
