"""Sheets as a builder's printer needs them: margins, overlap, rolls, a corrected scale, one bit alone."""

from __future__ import annotations

import math

import pymupdf
import pytest

from app.catalogue.load import catalogue, paper_by_text
from app.drafting.template.template_bits import template_bits
from app.errors import PaperError
from app.model.part import Face
from app.model.printing import PrintCorrection, Printing
from app.paper.sheet.sheets import plan_sheets, template_pages
from app.scene.primitives import Circle
from app.values import replace
from app.writers import pdf
from tests.unit.drafting.boards import A3, A4, LETTER, two_player
from tests.unit.paper.ink import drawn, group, overlapping, text_boxes

POINT = 25.4 / 72  # mm: ISO 32000-1, 8.3.2.3
BOARD = two_player()
OFF = PrintCorrection(100 / 99.6, 100 / 100.3, "Workshop laser")


def rects(page: pymupdf.Page) -> list[tuple[float, float]]:
    """Width and height of every filled drawing [mm]."""
    return [(d["rect"].width * POINT, d["rect"].height * POINT) for d in page.get_drawings() if d["fill"]]


@pytest.mark.parametrize("paper", [A4, LETTER, A3], ids=lambda p: p.id)
@pytest.mark.parametrize("face", ["top", "under"])
def test_a_corrected_page_is_the_papers_own_size_and_its_ink_larger_by_the_factors(paper, face: Face) -> None:  # type: ignore[no-untyped-def]
    """A printer that makes 99.6 of 100 needs 100 / 99.6: the product is 1."""
    printing = Printing(paper, correction=OFF)
    plan = plan_sheets(BOARD, face, printing)
    sx, sy = OFF.on(lying=plan.tiling.orientation == "landscape")
    found = list(pymupdf.open(stream=pdf.write(template_pages(BOARD, face, printing))).pages())
    sides = {(round(p.rect.width * POINT, 3), round(p.rect.height * POINT, 3)) for p in found}
    assert len(sides) == 1
    assert sorted(next(iter(sides))) == pytest.approx(sorted((paper.width, paper.height)), abs=0.01)
    for page, tile in zip(found, plan.tiling.tiles, strict=True):
        boxes = [(d["rect"], d["type"]) for d in page.get_drawings()]
        for x, y, r in plan.template.circles:
            at = ((x + tile.offset[0]) * sx, (y + tile.offset[1]) * sy)
            window = tile.window
            if not (window[0] + r < x < window[2] - r and window[1] + r < y < window[3] - r):
                continue
            near = [
                b
                for b, _ in boxes
                if abs(b.width * POINT - 2 * r * sx) < 0.01
                and abs(b.height * POINT - 2 * r * sy) < 0.01
                and abs((b.x0 + b.x1) / 2 * POINT - at[0]) < 0.01
                and abs(page.rect.height * POINT - (b.y0 + b.y1) / 2 * POINT - at[1]) < 0.01
            ]
            assert near, (x, y, r)


def test_the_check_bars_of_a_corrected_page_are_longer_by_the_factor() -> None:
    data = pdf.write(template_pages(BOARD, "top", Printing(A4, correction=OFF)))
    plan = plan_sheets(BOARD, "top", Printing(A4, correction=OFF))
    sx, sy = OFF.on(lying=plan.tiling.orientation == "landscape")
    scene = template_pages(BOARD, "top", Printing(A4, correction=OFF))[0]
    assert scene.stretch == (sx, sy)
    for page in pymupdf.open(stream=data).pages():
        wide = {round(w, 2) for w, _ in rects(page)}
        tall = {round(h, 2) for _, h in rects(page)}
        assert any(abs(w - 100 * sx) < 0.01 for w in wide)
        assert any(abs(w - 101.6 * sx) < 0.01 for w in wide)  # 4 in
        assert any(abs(h - 100 * sy) < 0.01 for h in tall)


def test_a_corrected_sheet_says_so_and_others_do_not() -> None:
    words = [t for t, _ in text_boxes(template_pages(BOARD, "top", Printing(A4, correction=OFF))[0])]
    assert any("corrected x 1.0040 y 0.9970 for Workshop laser" in t for t in words)
    assert not any("corrected" in t for page in template_pages(BOARD, "top", A4) for t, _ in text_boxes(page))


@pytest.mark.parametrize("correction", [PrintCorrection(0.97, 1.03), PrintCorrection(1.03, 0.97), OFF])
@pytest.mark.parametrize("name", ["a4", "letter"])
def test_written_and_printed_ink_stays_in_what_both_papers_have(correction: PrintCorrection, name: str) -> None:
    """ISO 216 A4 is 210 × 297 mm, Letter 215.9 × 279.4 mm: in common 210 × 279.4 mm, centred."""
    printing = Printing(catalogue().papers[name], correction=correction)
    layout = plan_sheets(BOARD, "top", printing).tiling.layout
    common = (210.0, 279.4) if layout.orientation == "portrait" else (279.4, 210.0)
    for stretch in (layout.stretch, (1.0, 1.0)):
        page = tuple(p * s for p, s in zip(layout.page, stretch, strict=True))
        ink = [v * stretch[k % 2] for k, v in enumerate(layout.ink)]
        for axis in (0, 1):
            edge = (page[axis] - common[axis]) / 2 + layout.margin
            if stretch == layout.stretch:
                assert ink[axis] >= edge - 1e-6
                assert ink[axis + 2] <= page[axis] - edge + 1e-6
            assert ink[axis + 2] - ink[axis] <= common[axis] - 2 * layout.margin + 1e-6


def test_every_way_of_printing_has_a_code_of_its_own() -> None:
    ways = [
        Printing(A4),
        Printing(A4, overlap=14.0),
        Printing(A4, margin=12.0),
        Printing(A4, correction=OFF),
        Printing(A4, correction=replace(OFF, y=1.0)),
    ]
    codes = {plan_sheets(BOARD, "top", way).code for way in ways}
    bits = template_bits(BOARD, "top")
    codes |= {plan_sheets(BOARD, "top", A4, only=bit).code for bit in bits}
    assert len(codes) == len(ways) + len(bits)
    named = replace(OFF, printer="Another name")
    assert plan_sheets(BOARD, "top", Printing(A4, correction=named)).code == plan_sheets(BOARD, "top", ways[3]).code


@pytest.mark.parametrize("overlap", [9.0, 14.0, 40.0])
def test_neighbours_overlap_by_as_much_as_is_asked(overlap: float) -> None:
    tiling = plan_sheets(BOARD, "top", Printing(A4, overlap=overlap)).tiling
    for tile in tiling.tiles:
        right = tiling.tile(tile.row, tile.column + 1)
        if right is not None:
            assert tile.window[2] - right.window[0] >= overlap - 1e-6


@pytest.mark.parametrize(
    ("how", "said"),
    [
        ({"overlap": 2.0}, "marks"),
        ({"overlap": 500.0}, "between"),
        ({"margin": -1.0}, "from 0 mm"),
        ({"margin": math.nan}, "from 0 mm"),
        ({"margin": 60.0}, "smaller margin"),
        ({"overlap": math.nan}, "marks"),
    ],
)
def test_margins_and_overlaps_that_cannot_be_are_refused(how: dict[str, float], said: str) -> None:
    with pytest.raises(PaperError, match=said):
        plan_sheets(BOARD, "top", Printing(A4, **how))  # type: ignore[arg-type]


def test_a_wider_margin_is_kept_by_every_bit_of_ink() -> None:
    for page in template_pages(BOARD, "top", Printing(A4, margin=14.0)):
        assert overlapping(text_boxes(page)) == []
        for _, (x0, y0, x1, y1) in text_boxes(page):
            assert x0 >= 14.0 - 1e-6 and x1 <= page.width - 14.0 + 1e-6
            assert y0 >= 14.0 - 1e-6 and y1 <= page.height - 14.0 + 1e-6


@pytest.mark.parametrize(("text", "sheets"), [("roll 610", 1), ("roll 24in", 1), ("roll 297", 1), ("roll 914 mm", 1)])
def test_a_roll_takes_the_board_as_one_sheet_cut_as_long_as_needed(text: str, sheets: int) -> None:
    tiling = plan_sheets(BOARD, "top", paper_by_text(text)).tiling
    assert len(tiling.tiles) == sheets
    x0, y0, x1, y1 = BOARD.outline.bounds
    window = tiling.tiles[0].window
    assert window[0] <= x0 and window[1] <= y0 and window[2] >= x1 and window[3] >= y1
    across = min(tiling.layout.page) if tiling.orientation == "portrait" else tiling.layout.page[1]
    assert paper_by_text(text).width in [pytest.approx(side) for side in tiling.layout.page]
    assert across > 0
    # Little is wasted: the strip, bars and margins take less than 60 mm.
    other = [side for side in tiling.layout.page if side != pytest.approx(paper_by_text(text).width)]
    assert all(side < max(x1 - x0, y1 - y0) + 60 for side in other)


def test_a_narrow_roll_has_seams_along_it_and_nonsense_is_refused() -> None:
    wide = two_player(1200, 400)
    tiling = plan_sheets(wide, "top", paper_by_text("roll 297")).tiling
    assert len(tiling.tiles) == 2
    for text in ("roll", "roll wide", "roll 5", "roll -610", "roll 1e9"):
        with pytest.raises(PaperError, match="roll 610"):
            paper_by_text(text)
    with pytest.raises(PaperError, match="wider roll"):
        plan_sheets(BOARD, "top", paper_by_text("roll 100"))


@pytest.mark.parametrize("face", ["top", "under"])
def test_a_template_for_one_bit_has_its_holes_and_no_other(face: Face) -> None:
    bits = template_bits(BOARD, face)
    whole = plan_sheets(BOARD, face, A3).template
    for bit in bits:
        pages = template_pages(BOARD, face, A3, only=bit)
        circles = {
            round(2 * item.radius, 6)
            for page in pages
            for item, _, _ in drawn(page)
            if isinstance(item, Circle) and item.style.role != "seam-mark"
        }
        assert circles == {bit.diameter}
        plan = plan_sheets(BOARD, face, A3, only=bit)
        assert set(plan.template.centres) <= set(whole.centres)
        assert any("ONLY what the" in t for t, _ in text_boxes(pages[0]))
    made = sum(len(plan_sheets(BOARD, "top", A3, only=bit).template.centres) for bit in template_bits(BOARD, "top"))
    holes = [h for p in BOARD.drilled for h in p.holes if h.bit is not None]
    assert made >= len({h.centre for h in holes}) > 0


def test_how_many_places_were_weighed_is_counted() -> None:
    small = plan_sheets(BOARD, "top", paper_by_text("2000x2000")).tiling
    assert small.weighed == 0, "one sheet has no seam to place"
    tiling = plan_sheets(BOARD, "top", A4).tiling
    assert tiling.weighed > len(tiling.vertical) + len(tiling.horizontal)


def test_words_do_not_overlap_on_corrected_sheets_of_one_bit() -> None:
    bit = template_bits(BOARD, "top")[0]
    for page in template_pages(BOARD, "top", Printing(LETTER, correction=OFF), only=bit):
        assert overlapping(text_boxes(page)) == []
        assert group(page, "bar-x-mm").items
