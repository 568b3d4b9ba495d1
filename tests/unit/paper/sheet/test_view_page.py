"""Views to read on one page: at the scale that is stated, whole inside the margins."""

from __future__ import annotations

import re

import pytest

from app.catalogue.load import catalogue
from app.document.scenarios import scenario_list
from app.errors import NotFoundError, WriterError
from app.model.limits import PLACE
from app.model.part import Face
from app.model.tooling import Paper
from app.paper.sheet.view_page import board_page, section_page
from app.scene.bounds import bounds
from app.scene.primitives import Path, Scene, Text, walk
from app.service import view_file
from app.values import replace
from tests.unit.drafting.boards import A3, A4, LETTER, bare, two_player
from tests.unit.paper.ink import group, overlapping, text_boxes

PAPERS = (A4, LETTER, A3)


def stated(page: Scene) -> float:
    """The scale in the title strip."""
    said = next(i.text for i, _ in walk(page.items) if isinstance(i, Text) and i.text.startswith("Scale "))
    first, second = re.fullmatch(r"Scale (\S+) : (\S+)", said).groups()  # type: ignore[union-attr]
    return float(first) / float(second)


@pytest.mark.parametrize("paper", PAPERS, ids=lambda p: p.id)
@pytest.mark.parametrize("face", ["top", "under"])
def test_the_board_is_as_large_as_the_scale_says(paper: object, face: Face) -> None:
    made = two_player()
    page = board_page(made, face, paper)  # type: ignore[arg-type]
    board_group = group(page, "board")
    rim = next(i for i in board_group.items if isinstance(i, Path) and "board-mdf" in i.style.role)
    box = bounds([rim])
    assert box is not None
    assert (box[2] - box[0]) == pytest.approx(stated(page) * 640.0)
    assert (box[3] - box[1]) == pytest.approx(stated(page) * 240.0)


@pytest.mark.parametrize("paper", PAPERS, ids=lambda p: p.id)
def test_pages_are_of_the_paper_and_all_ink_is_inside_the_least_margin(paper: object) -> None:
    made = two_player()
    margin = catalogue().rule("paper-margin-least")
    for page in (board_page(made, "top", paper), section_page(made, "s0", paper)):  # type: ignore[arg-type]
        assert sorted((page.width, page.height)) == pytest.approx([paper.width, paper.height])  # type: ignore[attr-defined]
        box = bounds(page.items)
        assert box is not None
        assert min(box[0], box[1], page.width - box[2], page.height - box[3]) >= margin - 1e-6
        assert overlapping(text_boxes(page)) == []


def test_a_section_on_larger_paper_is_no_smaller() -> None:
    made = two_player()
    for ident in ("s0", "b00", "m0"):
        assert stated(section_page(made, ident, A3)) >= stated(section_page(made, ident, A4))
    layer = [i for i, _ in walk(group(section_page(made, "m0", A4), "section-board").items) if isinstance(i, Path)]
    cut = bounds([i for i in layer if i.style.role == "cut cut-mdf"])
    assert cut is not None
    assert cut[3] - cut[1] == pytest.approx(18.0 * stated(section_page(made, "m0", A4)))


def test_a_sheet_of_eight_by_four_feet_still_fits_a_page() -> None:
    page = board_page(bare(2440.0, 1220.0), "top", A4)
    assert 0.05 <= stated(page) <= 0.1


@pytest.mark.parametrize("paper", PAPERS, ids=lambda p: p.id)
@pytest.mark.parametrize("face", ["top", "under"])
def test_parts_as_far_off_as_they_may_be_are_on_the_page_with_the_board(paper: Paper, face: Face) -> None:
    """20 m from the one to the other are 400 mm at 1 : 50, and 200 mm at 1 : 100."""
    made = two_player()
    left, right, *others = made.placements
    ends = (left.moved(PLACE.least - left.x, 0.0), right.moved(PLACE.most - right.x, 0.0))
    page = board_page(replace(made, placements=(*ends, *others)), face, paper)
    scale = stated(page)
    assert scale == (0.02 if paper is A3 else 0.01)
    drawn = bounds([group(page, f"part-{end.id}") for end in ends])
    assert drawn is not None and drawn[2] - drawn[0] == pytest.approx(20_000 * scale, abs=100 * scale)


@pytest.mark.parametrize("view", ["board", "underside", "section:{}"])
def test_views_are_written_as_svg_and_pdf(view: str) -> None:
    design = scenario_list()[0].design
    placement = design.boards[0].arrangements[0].placements[0].id
    asked = view.format(placement)
    drawing, page = (view_file(design, None, None, asked, fmt).data for fmt in ("svg", "pdf"))
    assert drawing.startswith(b"<?xml") and b"<svg" in drawing
    assert page.startswith(b"%PDF-") and page.count(b"/Type /Page\n") == 1
    assert view_file(design, None, None, asked, "pdf", "a3").data != page
    assert view_file(design, None, None, asked, "pdf").data == page  # the same in, the same out


def test_what_is_not_a_view_is_refused() -> None:
    design = scenario_list()[0].design
    for view in ("", "section:", "section", "back"):
        with pytest.raises(WriterError, match="view"):
            view_file(design, view=view)
    with pytest.raises(WriterError, match="svg or pdf"):
        view_file(design, fmt="dxf")
    with pytest.raises(NotFoundError):
        view_file(design, view="section:gone")
