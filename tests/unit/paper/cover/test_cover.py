"""The cover sheet: everything on it agrees with the board and with the sheets, and nothing runs into anything."""

from __future__ import annotations

import itertools
import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.catalogue.load import catalogue
from app.document.resolve import resolve
from app.document.scenarios import scenario_list
from app.fit.report.acceptance import AcceptedFinding, accepted_as
from app.fit.report.report import check
from app.geometry.outline import Corner, Outline, rectangle_outline
from app.model.part import Face
from app.model.resolved import ResolvedBoard
from app.model.tooling import Paper
from app.paper.cover.cover import cover_page
from app.paper.cover.measures import diagonals, hole_pairs, lettered_holes
from app.paper.cover.text import Paragraph, height, set_text, wrapped
from app.paper.sheet.layout import layouts
from app.paper.sheet.sheets import plan_sheets
from app.scene.bounds import bounds
from app.scene.metrics import text_width
from app.scene.primitives import Circle, Scene, Text
from app.units import Unit
from app.values import replace
from tests.long_run import examples, rows_in_gate
from tests.unit.drafting.boards import A3, A4, BUTTON, LETTER, STICK, bare, board, placed, two_player
from tests.unit.paper.ink import drawn, group, overlapping, text_boxes


def scenario_boards() -> dict[str, ResolvedBoard]:
    return {
        f"{s.id}-{a.id}": resolve(s.design, b.id, a.id, catalogue())
        for s in scenario_list()
        for b in s.design.boards
        for a in b.arrangements
    }


def holes(*at: tuple[float, float]) -> ResolvedBoard:
    """A board with buttons there, lettered from A on."""
    return board(tuple(placed(f"p{k}", BUTTON, x, y, "ABCDEFGHJK"[k]) for k, (x, y) in enumerate(at)), 640, 300)


BOARDS = scenario_boards() | {
    "deck": two_player(),
    "long": two_player(1200, 400, units="inch"),
    "deep": board((placed("a", STICK, 150, 700, "A"), placed("b", BUTTON, 60, 100, "B")), 300, 900),
    "bare": bare(300, 200),
    "one": holes((100, 100)),
    "two": holes((100, 100), (400, 150)),
    "line": holes((100, 100), (200, 100), (400, 100)),
}
SET_BACK = "set back 60 mm along the width and 30 mm along the depth"
every = pytest.mark.parametrize("name", list(BOARDS))
papers = pytest.mark.parametrize("paper", [A4, LETTER, A3], ids=lambda p: p.id)
units = pytest.mark.parametrize("unit", list(Unit))
sheets = pytest.mark.parametrize(
    ("paper", "unit"),
    rows_in_gate(itertools.product((A4, LETTER, A3), Unit), {(A4, Unit.MM), (LETTER, Unit.INCH)}.__contains__),
)
"""In the gate each paper in the unit of those who have it."""


def said(scene: Scene) -> list[str]:
    return [item.text for item, _, _ in drawn(scene) if isinstance(item, Text)]


def paragraph(scene: Scene) -> str:
    return " ".join(said(scene))


@every
@sheets
def test_all_ink_is_inside_the_ink_box_of_the_sheets(name: str, paper: Paper, unit: Unit) -> None:
    page = cover_page(BOARDS[name], paper, unit=unit)
    layout = next(one for one in layouts(paper) if one.orientation == "portrait")
    assert (page.x0, page.y0, page.x1, page.y1) == (0.0, 0.0, *layout.page)
    x0, y0, x1, y1 = layout.ink
    for item, (dx, dy), _ in drawn(page):
        box = bounds([item])
        assert box is not None
        half = getattr(item, "style").width / 2 if getattr(item, "style").stroke else 0.0  # noqa: B009
        assert x0 - 1e-6 <= box[0] + dx - half and box[2] + dx + half <= x1 + 1e-6, item
        assert y0 - 1e-6 <= box[1] + dy - half and box[3] + dy + half <= y1 + 1e-6, item


@every
@sheets
def test_no_words_overlap(name: str, paper: Paper, unit: Unit) -> None:
    found = check(BOARDS[name], catalogue()).findings
    standing = [AcceptedFinding(f, accepted_as(f, "It is a spare deck for the garage."), False) for f in found]
    for accepted in (None, [], standing):
        assert overlapping(text_boxes(cover_page(BOARDS[name], paper, unit=unit, accepted=accepted))) == []


@every
def test_it_says_what_the_sheets_say(name: str) -> None:
    b = BOARDS[name]
    page = cover_page(b, A4, first_page=2)
    words = paragraph(page)
    assert b.title in words and b.arrangement_name in words
    assert all(layer.material.name in words for layer in b.layers)
    assert (b.revision or "no revision") in words
    for face in ("top", "under"):
        plan = plan_sheets(b, "top" if face == "top" else "under", A4)
        drawing = group(page, f"cover-map-{face}")
        numbers = [i.text for i, _, _ in drawn(Scene(0, 0, 1, 1, (drawing,))) if isinstance(i, Text) and i.bold]
        for number in range(2, 2 + len(plan.tiling.tiles)):
            assert numbers.count(str(number)) == 1
        assert words.count(plan.code) == 2  # at its map, and at the foot
    for setting in ("Actual size (100 %)", "Fit to page off", "Borderless off", "One page per sheet", "Single-sided"):
        assert setting in words


@every
def test_numbers_on_the_map_stand_where_their_sheets_are(name: str) -> None:
    """Map coordinates are found from the holes drawn on it, by a fit of scale and place."""
    b = BOARDS[name]
    for face in ("top", "under"):
        plan = plan_sheets(b, "top" if face == "top" else "under", A4)
        drilled = {item.centre for item in plan.template.holes if isinstance(item, Circle)}
        wanted = [circle for circle in plan.template.circles if circle[:2] in drilled]
        if len(wanted) < 2:
            continue
        drawing = Scene(0, 0, 1, 1, (group(cover_page(b, A4), f"cover-map-{face}"),))
        circles = [(i.centre, i.radius) for i, _, _ in drawn(drawing) if isinstance(i, Circle) and i.style.stroke]
        assert len(circles) == len(wanted)
        at = np.array([c for c, _ in circles])
        true = np.array(wanted)
        k = np.ptp(at, axis=0).max() / np.ptp(true[:, :2], axis=0).max()
        move = at[0] - k * true[0, :2]
        assert np.abs(at - (k * true[:, :2] + move)).max() < 1e-6  # to scale, not turned
        assert np.allclose([r for _, r in circles], k * true[:, 2])
        for n, tile in enumerate(plan.tiling.tiles, start=1):
            text = next(i for i, _, _ in drawn(drawing) if isinstance(i, Text) and i.text == str(n) and i.bold)
            x, y = (np.array(text.at) - move) / k
            assert tile.cell[0] < x < tile.cell[2] and tile.cell[1] < y < tile.cell[3]


@every
@units
def test_the_lines_to_rule_are_those_on_the_sheets(name: str, unit: Unit) -> None:
    b = BOARDS[name]
    words = paragraph(cover_page(b, A4, unit=unit)).replace("\u00a0", " ")
    plan = plan_sheets(b, "top", A4, unit=unit)
    for line in plan.ruled:
        shown = f"{line.distance:g} mm" if unit is Unit.MM else f"{int(line.distance / 25.4)}"
        assert shown in words


def test_letters_of_the_measured_holes_are_on_the_map() -> None:
    page = cover_page(two_player(), A4)
    drawing = Scene(0, 0, 1, 1, (group(page, "cover-map-top"),))
    letters = said(drawing)
    for pair in hole_pairs(two_player()):
        assert pair.a.name in letters and pair.b.name in letters
        assert f"Centres {pair.a.name} to {pair.b.name}" in said(page)


def spread(pairs: list[tuple[float, float]]) -> float:
    """Least singular value of what three distances show of x scale, y scale and shear."""
    rows = [(dx * dx, math.sqrt(2) * dx * dy, dy * dy) / np.hypot(dx, dy) for dx, dy in pairs]
    return float(np.linalg.svd(np.array(rows), compute_uv=False)[-1])


centres = st.lists(
    st.tuples(st.integers(2, 60), st.integers(2, 26)).map(lambda p: (10.0 * p[0], 10.0 * p[1])),
    min_size=2,
    max_size=10,
    unique=True,
)


@given(centres)
@examples(25)
def test_the_first_distance_is_the_longest_there_is(at: list[tuple[float, float]]) -> None:
    pairs = hole_pairs(holes(*at))
    longest = max(math.dist(a, b) for a in at for b in at)
    if longest < 20:
        assert pairs == ()
        return
    assert pairs[0].length == pytest.approx(longest)
    assert len({frozenset((p.a.at, p.b.at)) for p in pairs}) == len(pairs) <= 3
    for pair in pairs:
        assert pair.length == pytest.approx(math.dist(pair.a.at, pair.b.at)) and pair.length >= 20
        assert pair.limit == 2.0  # both holes by 1 mm: the allowance of the board's hand drill


@given(centres)
@examples(25)
def test_three_distances_that_are_news_tell_scale_and_shear_apart(at: list[tuple[float, float]]) -> None:
    pairs = hole_pairs(holes(*at))
    if len(pairs) == 3 and all(p.news for p in pairs):
        shown = spread([(p.b.at[0] - p.a.at[0], p.b.at[1] - p.a.at[1]) for p in pairs])
        assert shown > 1.0  # 1 % of error shows as more than 0.01 mm for every mm; 0 would hide one wholly


def test_on_a_deck_the_three_distances_are_within_half_of_the_best_there_are() -> None:
    """Against every choice of three, the first being given."""
    b = two_player()
    at = [spot.at for spot in lettered_holes(b)]
    steps = [(q[0] - p[0], q[1] - p[1]) for i, p in enumerate(at) for q in at[i + 1 :] if math.dist(p, q) >= 20]
    chosen = [(p.b.at[0] - p.a.at[0], p.b.at[1] - p.a.at[1]) for p in hole_pairs(b)]
    best = max(spread([chosen[0], s, t]) for i, s in enumerate(steps) for t in steps[i + 1 :])
    assert spread(chosen) > 0.5 * best


def test_few_holes_are_told_honestly() -> None:
    assert hole_pairs(BOARDS["bare"]) == hole_pairs(BOARDS["one"]) == ()
    nothing = "No two holes are far enough apart to measure between."
    for name in ("bare", "one"):
        assert nothing in paragraph(cover_page(BOARDS[name], A4))
    assert "No holes are drilled in this board" in paragraph(cover_page(BOARDS["bare"], A4))
    assert "No holes are drilled in this board" not in paragraph(cover_page(BOARDS["one"], A4))
    assert len(hole_pairs(BOARDS["two"])) == 1
    assert "no more holes to measure" in paragraph(cover_page(BOARDS["two"], A4))
    line = hole_pairs(BOARDS["line"])
    assert [p.length for p in line] == [300.0, 200.0, 100.0]
    assert [p.news for p in line] == [True, False, False]
    assert "All holes are nearly in one line" in paragraph(cover_page(BOARDS["line"], A4))


def test_holes_without_a_letter_of_their_own_get_a_name() -> None:
    twins = board((placed("a", BUTTON, 50, 50, "A"), placed("b", BUTTON, 300, 90, "A"), placed("c", BUTTON, 99, 9, "")))
    assert [s.name for s in lettered_holes(twins)] == ["hole 1", "hole 2", "hole 3"]


def test_what_is_not_drilled_is_not_measured() -> None:
    assert "off" not in [s.name for s in lettered_holes(two_player())]
    undrilled = next(p for p in two_player().placements if not p.drill)
    assert undrilled.label not in [s.name for s in lettered_holes(two_player())]


def shaped(*corners: Corner) -> ResolvedBoard:
    return replace(bare(400, 300), outline=Outline(corners))


def test_diagonals_say_what_they_are_measured_between() -> None:
    square = diagonals(bare(400, 300))
    assert square.lengths == (500.0, 500.0)  # 3 : 4 : 5
    assert square.between == "From corner to corner."
    assert square.limit == pytest.approx(2 * 0.5 * 700 / 500)  # each edge by 0.5 mm: d·Δd = w·Δw + h·Δh
    set_back = diagonals(shaped(Corner(0, 0), Corner(400, 0), Corner(400, 300, (40, 40)), Corner(0, 300, (40, 40))))
    assert set_back.lengths == (500.0, 500.0) and "before they are rounded" in set_back.between
    trapezoid = diagonals(shaped(Corner(0, 0), Corner(400, 0), Corner(300, 300), Corner(0, 300)))
    assert trapezoid.lengths == pytest.approx((math.hypot(300, 300), 500.0))
    notch = Corner(400, 300), Corner(250, 300), Corner(250, 280), Corner(150, 280), Corner(150, 300), Corner(0, 300)
    assert diagonals(shaped(Corner(0, 0), Corner(400, 0), *notch)).lengths == (500.0, 500.0)
    cut = diagonals(shaped(Corner(0, 0), Corner(400, 0), Corner(400, 200), Corner(300, 300), Corner(0, 300)))
    three = diagonals(shaped(Corner(0, 0), Corner(400, 0), Corner(200, 300)))
    for none in (cut, three):
        assert none.lengths == () and "no four corners" in none.between
    words = paragraph(cover_page(shaped(Corner(0, 0), Corner(400, 0), Corner(200, 300)), A4))
    assert "no four corners" in words
    two = paragraph(cover_page(shaped(Corner(0, 0), Corner(400, 0), Corner(300, 300), Corner(0, 300)), A4))
    assert "Front left to back right" in two and "424.3 mm" in two and "500 mm" in two


def test_a_mirrored_clockwise_outline_has_the_same_diagonals() -> None:
    assert diagonals(replace(bare(400, 300), outline=rectangle_outline(400, 300).mapped(mirror_x=200))).lengths == (
        500,
        500,
    )


def test_accepted_cautions_stand_with_figure_and_reason() -> None:
    raft = BOARDS["leaky-raft-one"]
    found = check(raft, catalogue()).findings
    cautions = [f for f in found if f.severity == "caution"]
    one = AcceptedFinding(cautions[0], accepted_as(cautions[0], "Only a lamp, nobody leans there."), False)
    words = paragraph(cover_page(raft, A4, accepted=[one]))
    assert "Accepted: Only a lamp, nobody leans there." in words
    worse = paragraph(cover_page(raft, A4, accepted=[replace(one, awake=True)]))
    assert "Worse now than when it was accepted." in worse
    assert "None." in said(cover_page(raft, A4, accepted=[]))
    many = [AcceptedFinding(f, accepted_as(f, "It will do."), False) for f in cautions * 4]
    words = paragraph(cover_page(raft, A4, accepted=many))
    shown = words.count("Accepted: It will do.")
    assert 0 < shown < len(many)
    assert f"{len(many) - shown} more: see the fit report." in words
    unseen = replace(raft, accepted=(accepted_as(cautions[0], "x"),))
    assert "1 caution is accepted in the design" in paragraph(cover_page(unseen, A4))


def test_what_is_done_from_below_is_in_the_steps_only_where_there_is_any() -> None:
    below = paragraph(cover_page(two_player(), A4))
    assert "Turn the board over" in below and "counterbores" in below
    above = paragraph(cover_page(BOARDS["two"], A4))
    assert "Turn the board over" not in above
    assert "Nothing is cut from this face: not needed." in above


@units
def test_the_pilot_has_a_size_and_the_doctor_a_place(unit: Unit) -> None:
    """3 mm, or 1/8 in, the nearest 1/32 to it: common practice, no source."""
    words = paragraph(cover_page(two_player(), A4, unit=unit)).replace("\u00a0", " ")
    assert ('Drill a 1/8" pilot' if unit is Unit.INCH else "Drill a 3 mm pilot") in words
    assert "press Paper, then “Check sheet and print doctor”" in words


@every
def test_only_what_is_cut_from_below_is_named(name: str) -> None:
    words = paragraph(cover_page(BOARDS[name], A4))
    for noun, there in (
        ("counterbores", any(p.counterbore for p in BOARDS[name].drilled)),
        ("recesses", any(p.recess for p in BOARDS[name].drilled)),
    ):
        assert (noun in words) == there, noun


@pytest.mark.parametrize(
    ("setbacks", "said_of_them"),
    [
        ((None, None, None, None), ""),
        (((40.0, 40.0),) * 4, "all four corners, radius 40 mm"),
        ((None, None, (25.0, 25.0), (25.0, 25.0)), "back right and back left corners, radius 25 mm"),
        (
            (None, (60.0, 30.0), None, None),
            f"front right corner, {SET_BACK}",
        ),
        (
            (None, None, (30.0, 60.0), None),
            f"back right corner, {SET_BACK}",
        ),
    ],
)
def test_the_step_that_rounds_the_corners_says_how(
    setbacks: tuple[tuple[float, float] | None, ...], said_of_them: str
) -> None:
    """Corners run anticlockwise from front left; a set-back is before and after its corner."""
    square = holes((100, 100), (400, 150))
    rim = Outline(tuple(replace(c, setback=e) for c, e in zip(square.outline.corners, setbacks, strict=True)))
    words = paragraph(cover_page(replace(square, outline=rim), A4)).replace("\u00a0", " ")
    assert ("Last, round the corners" in words) == bool(said_of_them)
    assert said_of_them in words


@every
@papers
def test_both_faces_are_ruled_by_the_same_lines_wherever_a_sheet_has_one(name: str, paper: Paper) -> None:
    """A line keeps 8 mm from a seam, so that both its ends are seen on its sheet; choice of this program."""
    one = BOARDS[name]
    top, under = (plan_sheets(one, face, paper) for face in ("top", "under"))
    x0, y0, x1, y1 = one.outline.bounds
    above = {(line.axis, line.distance) for line in top.ruled}
    cuts = {"x": sorted(x0 + x1 - x for x in under.tiling.vertical), "y": list(under.tiling.horizontal)}
    for axis, low, high in (("x", x0, x1), ("y", y0, y1)):
        marks = [low, *cuts[axis], high]
        for a, b in itertools.pairwise(marks):
            own = [line.distance for line in under.ruled if line.axis == axis and a < low + line.distance < b]
            shared = [d for named, d in above if named == axis and a + 8 <= low + d <= b - 8]
            assert len(own) == 1
            assert not shared or own[0] in shared


def test_file_names_are_used_where_they_are_known() -> None:
    words = said(cover_page(two_player(), A4, files={"top": "harbour-top.pdf"}, first_page=2))
    assert "harbour-top.pdf" in words
    assert any(w.startswith("Pages 2 to ") for w in words)


def test_letters_are_read_at_arms_length() -> None:
    for name in ("deck", "long"):
        for item, _, _ in drawn(cover_page(BOARDS[name], A4)):
            if isinstance(item, Text):
                assert item.size >= 2.4, item.text  # 2.5 mm is the smallest of ISO 3098-1, less the page's scale


def test_running_text_breaks_at_words_and_keeps_numbers_with_their_units() -> None:
    text = "Draw lines right across the top face, 80\u00a0mm and 250\u00a0mm from the left edge."
    for width in range(20, 120, 7):
        lines = wrapped(text, float(width), 3.0)
        assert " ".join(lines) == text.replace("\u00a0", " ")
        assert all(text_width(line, 3.0) <= width for line in lines)
        assert not any(line.startswith("mm") for line in lines)
    assert wrapped("incomprehensibilities", 10.0, 3.0)[0].endswith("…")


def test_the_height_of_paragraphs_is_what_they_take() -> None:
    said_twice = [Paragraph("one two three four five six seven", "1"), Paragraph("eight", "2")]
    items, low = set_text(said_twice, 0.0, 100.0, 30.0, 3.0, 5.0)
    assert low == pytest.approx(100.0 - height(said_twice, 30.0, 3.0, 5.0))
    box = bounds(items)
    assert box is not None and (box[1], box[3]) == pytest.approx((low, 100.0))


@pytest.mark.parametrize("length", [40, 80, 200])
def test_long_file_names_run_into_nothing(length: int) -> None:
    files: dict[Face, str] = {"top": "t" * length + ".pdf", "under": "u" * length + ".pdf"}
    page = cover_page(two_player(), catalogue().papers["a4"], files=files)
    assert overlapping(text_boxes(page)) == []
