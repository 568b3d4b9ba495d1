"""Margins kept to the last, rolls cut off short, corrected pages in the file, and the bits that share a face."""

from __future__ import annotations

import io
from collections.abc import Sequence

import pikepdf
import pymupdf
import pytest

from app.catalogue.load import paper_by_text
from app.drafting.template.drill_template import drill_template
from app.drafting.template.template_bits import template_bits
from app.errors import PaperError
from app.model.part import Face
from app.model.printing import PrintCorrection, Printing
from app.model.tooling import Paper
from app.paper.sheet.layout import layouts
from app.paper.sheet.sheets import SheetSet, plan_sheets, sheet_count, template_pages
from app.scene.primitives import Circle, Scene, Text
from app.writers import pdf
from tests.reading.measure import POINT, fit_circle, pdf_curves
from tests.unit.drafting.boards import A3, A4, LETTER, bare, two_player
from tests.unit.paper.ink import drawn

BOARD = two_player()
DEPTH = BOARD.outline.bounds[3]
OFF = PrintCorrection(1.0125, 0.9960, "workroom")
faces = pytest.mark.parametrize("face", ["top", "under"])
papers = pytest.mark.parametrize("paper", [A4, LETTER, A3], ids=lambda p: p.id)


def words(page: Scene) -> list[str]:
    return [item.text for item, _, _ in drawn(page) if isinstance(item, Text)]


def holes(pages: Sequence[Scene], plan: SheetSet) -> set[tuple[float, float, float]]:
    """Circles of holes and pilots on all pages, in the drawing's coordinates."""
    found = set()
    for page, tile in zip(pages, plan.tiling.tiles, strict=True):
        for item, (dx, dy), _ in drawn(page):
            if isinstance(item, Circle) and item.style.role in ("hole", "pilot", "counterbore", "hole-below"):
                x, y = item.centre[0] + dx - tile.offset[0], item.centre[1] + dy - tile.offset[1]
                found.add((round(x, 6), round(y, 6), item.radius))
    return found


@pytest.mark.parametrize("margin", [0.0, 3.0, 6.35, 12.0, 19.5])
@papers
def test_the_margin_asked_for_stays_free(paper: Paper, margin: float) -> None:
    layout = plan_sheets(BOARD, "top", Printing(paper, margin=margin)).tiling.layout
    x0, y0, x1, y1 = layout.ink
    assert min(x0, y0, layout.page[0] - x1, layout.page[1] - y1) >= margin - 1e-9
    if paper is A3:  # A4 and Letter keep to what both have
        assert (x0, y0) == pytest.approx((margin, margin))


@pytest.mark.parametrize("margin", [-0.1, -5.0, 106.0, 400.0, float("nan")])
def test_a_margin_no_paper_has_is_refused_with_what_is_allowed(margin: float) -> None:
    with pytest.raises(PaperError, match=r"from 0 mm; printers need 6\.35 mm or less"):
        plan_sheets(BOARD, "top", Printing(A4, margin=margin))


@pytest.mark.parametrize("overlap", [9.0, 10.0, 17.5, 40.0])
@papers
def test_sheets_overlap_by_what_is_asked_for_at_least(paper: Paper, overlap: float) -> None:
    plan = plan_sheets(BOARD, "top", Printing(paper, overlap=overlap))
    assert plan.seams
    for seam in plan.seams:
        along = 0 if seam.axis == "x" else 1
        assert seam.first.window[along + 2] - seam.second.window[along] >= overlap - 1e-6
        for tile in (seam.first, seam.second):
            assert tile.window[along] + overlap / 2 - 1e-6 <= seam.at <= tile.window[along + 2] - overlap / 2 + 1e-6


@pytest.mark.parametrize("overlap", [0.0, 8.9, -3.0, 130.0, float("nan")])
def test_an_overlap_that_cannot_be_is_refused_with_its_range_and_why(overlap: float) -> None:
    with pytest.raises(PaperError, match=r"the marks on the seams need 9 mm, and beyond \d+ mm there are more sheets"):
        plan_sheets(BOARD, "top", Printing(A4, overlap=overlap))


def test_a_wider_overlap_never_takes_fewer_sheets() -> None:
    counts = [sheet_count(BOARD, "top", Printing(A4, overlap=o)) for o in (9.0, 20.0, 40.0, 60.0)]
    assert counts == sorted(counts)


@pytest.mark.parametrize(
    ("roll", "width", "sheets"),
    # The board is 640 × 240 mm: it fits either way across a wide roll, lying along a narrow one.
    [("roll 700", 700.0, 1), ("roll 610", 610.0, 1), ("roll 24in", 609.6, 1), ("Roll 36 in", 914.4, 1)],
)
def test_a_roll_is_one_sheet_cut_off_as_long_as_needed(roll: str, width: float, sheets: int) -> None:
    paper = paper_by_text(roll)
    assert paper.roll and paper.width == pytest.approx(width)
    plan = plan_sheets(BOARD, "top", paper)
    assert len(plan.tiling.tiles) == sheets
    page = plan.tiling.layout.page
    assert min(abs(side - width) for side in page) < 1e-9
    x0, y0, x1, y1 = plan.tiling.tiles[0].window
    assert x0 <= 0.0 and y0 <= 0.0 and x1 >= BOARD.width and y1 >= DEPTH
    # Of both ways of laying it, the one that uses less of the roll.
    need = (BOARD.width + 3.0, DEPTH + 3.0)
    ways = [way for way in layouts(paper, need) if way.room[0] >= need[0] and way.room[1] >= need[1]]
    lengths = [way.paper.height for way in ways]
    assert plan.tiling.layout.paper.height == min(lengths)


@pytest.mark.parametrize("text", ["roll", "roll x", "roll -5", "roll 0", "roll 5081", "roll 99", "roll 24inn"])
def test_a_roll_that_is_none_is_refused(text: str) -> None:
    with pytest.raises(PaperError):
        paper_by_text(text)


@faces
@papers
def test_a_corrected_set_is_the_plain_one_on_a_smaller_window(face: Face, paper: Paper) -> None:
    plan = plan_sheets(BOARD, face, Printing(paper, correction=OFF))
    pages = template_pages(BOARD, face, Printing(paper, correction=OFF))
    assert holes(pages, plan) == holes(template_pages(BOARD, face, paper), plan_sheets(BOARD, face, paper))
    upright = (OFF.x, OFF.y)
    for page in pages:
        lying = page.width > page.height
        assert page.stretch == (upright[::-1] if lying else upright)
        sides = sorted((page.width * page.stretch[0], page.height * page.stretch[1]))
        assert sides == pytest.approx(sorted((paper.width, paper.height)), abs=1e-9)


@faces
@papers
@pytest.mark.parametrize("factors", [(1.03, 0.97), (0.97, 1.03), (1.02, 1.02), (0.98, 0.99)])
def test_a_corrected_page_keeps_its_margins_written_and_come_out(
    face: Face, paper: Paper, factors: tuple[float, float]
) -> None:
    """And on A4 and Letter both stay inside what the two have in common."""
    layout = plan_sheets(BOARD, face, Printing(paper, margin=8.0, correction=PrintCorrection(*factors))).tiling.layout
    standing = layout.orientation == "portrait"
    for sx, sy in ((1.0, 1.0), layout.stretch):
        sides = (layout.page[0] * sx, layout.page[1] * sy)
        x0, y0, x1, y1 = layout.ink[0] * sx, layout.ink[1] * sy, layout.ink[2] * sx, layout.ink[3] * sy
        if (sx, sy) == layout.stretch:
            assert min(x0, y0, sides[0] - x1, sides[1] - y1) >= 8.0 - 1e-9
        if paper is not A3:
            both = (min(A4.width, LETTER.width), min(A4.height, LETTER.height))
            most = both if standing else both[::-1]
            assert x1 - x0 <= most[0] - 16.0 + 1e-9 and y1 - y0 <= most[1] - 16.0 + 1e-9


@faces
@papers
def test_every_corrected_sheet_says_so_and_no_other(face: Face, paper: Paper) -> None:
    for page in template_pages(BOARD, face, Printing(paper, correction=OFF)):
        (said,) = [text for text in words(page) if text.startswith("corrected")]
        assert said.startswith("corrected x 1.0125 y 0.9960")
        assert ("paper held upright" in said) == (page.width > page.height)
        assert "workroom" in said
    for page in template_pages(BOARD, face, paper):
        assert not [text for text in words(page) if "correct" in text.lower()]


@papers
def test_a_corrected_file_has_the_standards_page_and_ellipses_with_the_right_axes(paper: Paper) -> None:
    printing = Printing(paper, correction=OFF)
    plan, pages = plan_sheets(BOARD, "top", printing), template_pages(BOARD, "top", printing)
    data = pdf.write(pages)
    with pikepdf.open(io.BytesIO(data)) as file:
        for sheet in file.pages:
            box = [float(v) * POINT for v in sheet.obj.MediaBox]
            assert sorted(box[2:]) == pytest.approx(sorted((paper.width, paper.height)), abs=0.01 * POINT)
    sx, sy = pages[0].stretch
    seen = 0
    for number, tile in enumerate(plan.tiling.tiles):
        # The file's curves, put back by the factors, are circles where the board has them.
        fits = [fit_circle(run / (sx, sy)) for run in pdf_curves(data, number) if len(run) >= 9]
        found = [fit for fit in fits if fit.spread < 0.01]
        for x, y, r in plan.template.circles:
            x0, y0, x1, y1 = tile.window
            if x0 <= x - r and x + r <= x1 and y0 <= y - r and y + r <= y1:
                at = (x + tile.offset[0], y + tile.offset[1])
                off = min(max(abs(f.x - at[0]), abs(f.y - at[1]), abs(f.diameter - 2 * r)) for f in found)
                assert off < 0.01
                seen += 1
        # As they are written they are none: the axes differ by the factors.
        raw = [fit_circle(run) for run in pdf_curves(data, number) if len(run) >= 9]
        assert all(fit.spread > 0.01 for fit in raw if fit.diameter > 20.0)
    assert seen >= len(plan.template.circles) / 2


def test_the_writer_enlarges_the_page_and_its_ink_by_the_stretch() -> None:
    (page,) = template_pages(bare(180, 150), "top", A4)
    for sx, sy in ((1.0, 1.0), (1.02, 0.99)):
        made = Scene(0.0, 0.0, page.width, page.height, page.items, stretch=(sx, sy))
        with pymupdf.open(stream=pdf.write([made]), filetype="pdf") as file:
            box = file[0].mediabox
            assert (box.width * POINT, box.height * POINT) == pytest.approx(
                (page.width * sx, page.height * sy), abs=0.001
            )


@faces
def test_the_bits_of_a_face_share_its_work_between_them(face: Face) -> None:
    every = drill_template(BOARD, face)
    bits = template_bits(BOARD, face)
    assert bits and len(set(bits)) == len(bits)
    centres = [set(drill_template(BOARD, face, only=bit).centres) for bit in bits]
    assert all(centres), "each bit makes something there"
    assert set().union(*centres) <= set(every.centres)
    if face == "top":
        for bit, own in zip(bits, centres, strict=True):
            want = {h.centre for p in BOARD.drilled for h in p.holes if h.bit == bit}
            assert {(round(x, 6), round(y, 6)) for x, y in own} >= {(round(x, 6), round(y, 6)) for x, y in want}


@faces
@papers
def test_the_sheets_of_one_bit_are_those_it_has_work_on(face: Face, paper: Paper) -> None:
    """No sheet without a cut, and every cut of the whole template that the bit makes is still on them."""
    for bit in template_bits(BOARD, face):
        plan = plan_sheets(BOARD, face, paper, only=bit)
        pages = template_pages(BOARD, face, paper, only=bit)
        assert len(pages) == len(plan.tiling.tiles) == sheet_count(BOARD, face, paper, only=bit)
        for tile in plan.tiling.tiles:
            x0, y0, x1, y1 = tile.window
            assert any(x0 <= x + r and x - r <= x1 and y0 <= y + r and y - r <= y1 for x, y, r in plan.template.circles)
        for x, y, r in plan.template.circles:
            shown = [t.window for t in plan.tiling.tiles]
            for u, v in ((x, y), (x - r, y), (x + r, y), (x, y - r), (x, y + r)):
                assert any(x0 <= u <= x1 and y0 <= v <= y1 for x0, y0, x1, y1 in shown)


def test_a_sheet_speaks_of_dashed_circles_only_where_there_are_some() -> None:
    for only in (None, *template_bits(BOARD, "under")):
        plan = plan_sheets(BOARD, "under", A4, only=only)
        for page, tile in zip(template_pages(BOARD, "under", A4, only=only), plan.tiling.tiles, strict=True):
            x0, y0, x1, y1 = tile.window
            below = [
                item for item in plan.template.holes if isinstance(item, Circle) and item.style.role == "hole-below"
                and x0 <= item.centre[0] + item.radius and item.centre[0] - item.radius <= x1
                and y0 <= item.centre[1] + item.radius and item.centre[1] - item.radius <= y1
            ]  # fmt: skip
            assert ("Dashed circles are drilled" in words(page)) == bool(below)
