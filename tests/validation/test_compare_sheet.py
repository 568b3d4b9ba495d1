"""The sheet of what changed read back by PyMuPDF, which had no part in writing it.

Every change of the comparison stands on it, in the paper's own size; nothing of it is at true size, and it says so.
Sources: ISO 216 and ASME Y14.1 for the papers; the scale of a drawing is measured between two centres 1 : n apart.
"""

from __future__ import annotations

import math
import re

import pymupdf
import pytest

from app.arrange.placement import edit
from app.catalogue.load import catalogue
from app.compare.compared import compared
from app.document.load import validated
from app.document.scenarios import load_scenario
from app.document.schema import Design
from app.service.drawings.compare_files import StatesAsked, compare_file
from app.units import Unit
from tests.long_run import rows_in_gate
from tests.reading.measure import POINT, pdf_circles

PAPERS = {"a4": (297.0, 210.0), "letter": (11 * 25.4, 8.5 * 25.4)}
DECK = load_scenario("harbour-lane-two-seater")
IDS = [p.id for p in DECK.boards[0].arrangements[0].placements]


def changed() -> Design:
    """The deck with a part moved, one gone, one renamed and one exchanged."""
    after = edit.move_by(DECK, None, None, IDS[0], 30, 40).design
    after = edit.remove(after, None, None, IDS[5]).design
    after = edit.set_label(after, None, None, IDS[6], "Z9").design
    return edit.set_part(after, None, None, IDS[7], "button-24-nut-long", catalogue()).design


def words_of(data: bytes) -> list[str]:
    with pymupdf.open(stream=data, filetype="pdf") as file:
        return [" ".join(page.get_text().split()) for page in file]


CASES = [(paper, unit) for paper in PAPERS for unit in ("mm", "inch")]


@pytest.mark.parametrize(
    ("paper", "unit"), rows_in_gate(CASES, lambda case: case in (("a4", "mm"), ("letter", "inch")))
)
def test_every_change_and_finding_stands_on_the_sheet(paper: str, unit: str) -> None:
    after = changed()
    data = compare_file(StatesAsked(DECK, after, "revision A", "revision B"), unit, paper).data
    with pymupdf.open(stream=data, filetype="pdf") as file:
        for page in file:
            assert (page.rect.width * POINT, page.rect.height * POINT) == pytest.approx(PAPERS[paper], abs=0.01)
    pages = words_of(data)
    said = " ".join(pages)
    assert "From revision A to revision B." in pages[0]
    assert "not at true size: to read, not to drill from" in said
    found = compared(DECK, after, catalogue(), Unit(unit))
    for change in found.changes:
        assert f"{change.what} {change.words}." in said, change.sentence
    for finding in found.findings:
        assert all(word in said for word in finding.sentence.split()), finding.sentence
    assert ("50 mm" if unit == "mm" else '1 31/32"') in said  # 3, 4, 5; 50 mm is 1.9685 in, and 63/32 is 1.96875
    assert [re.search(r"page (\d+) of (\d+)", page).groups() for page in pages] == [  # type: ignore[union-attr]
        (str(n), str(len(pages))) for n in range(1, len(pages) + 1)
    ]


def test_the_drawing_has_the_scale_it_names() -> None:
    """The old and the new place of a part, 50 mm apart, are 50 mm / n apart on paper."""
    data = compare_file(StatesAsked(DECK, changed()), "mm", "a4").data
    times = [float(n) for n in re.findall(r"Drawn at 1 : ([\d.]+)", " ".join(words_of(data)))]
    assert len(times) >= 1
    assert min(times) > 1
    circles = pdf_circles(data, 0)
    apart = 50.0 / times[0]
    assert any(
        abs(math.dist((a.x, a.y), (b.x, b.y)) - apart) < 0.01 and abs(a.diameter - b.diameter) < 0.01
        for k, a in enumerate(circles)
        for b in circles[k + 1 :]
    )


@pytest.mark.parametrize("many", [10, 100, pytest.param(1000, marks=pytest.mark.long)])
def test_long_tables_flow_to_further_pages(many: int) -> None:
    before, after = grid(many, 0.0), grid(many, 1.0)
    data = compare_file(StatesAsked(before, after), "mm", "a4").data
    said = " ".join(words_of(data))
    assert f"{many:,} changes" in said
    for k in range(many):
        assert re.search(rf"\bH{k} moved {1 + k % 7} mm to the right\.", said), k
    width, height = (side / POINT for side in PAPERS["a4"])
    with pymupdf.open(stream=data, filetype="pdf") as file:
        boxes = [word[:4] for page in file.pages() for word in page.get_text("words")]
    assert all(min(x0, y0) > 0 and x1 < width and y1 < height for x0, y0, x1, y1 in boxes)


def grid(many: int, times: float) -> Design:
    """A board of so many buttons in rows, each moved to the right by 1 to 7 mm ``times``."""
    across = math.isqrt(2 * many) + 1
    width, depth = 60.0 + 50.0 * across, 60.0 + 45.0 * -(-many // across)
    raw = load_scenario("pine-shelf-compact").model_dump(mode="json")
    board = raw["boards"][0]
    places = [
        {
            "id": f"q{k}", "part": "button-24-nut-long", "label": f"H{k}",
            "x": 30.0 + 50.0 * (k % across) + times * (1 + k % 7), "y": 30.0 + 45.0 * (k // across),
        }
        for k in range(many)
    ]  # fmt: skip
    corners = [{"x": x, "y": y} for x, y in ((0, 0), (width, 0), (width, depth), (0, depth))]
    kept = {k: v for k, v in board.items() if k not in ("edges", "keep_clear")}
    arrangement = {"id": "one", "name": "One", "placements": places}
    raw["boards"] = [{**kept, "outline": {"corners": corners}, "arrangements": [arrangement]}]
    return validated(raw)


def test_of_a_design_and_itself_one_page_says_that_nothing_is_different() -> None:
    pages = words_of(compare_file(StatesAsked(DECK, DECK), "mm", "a4").data)
    assert len(pages) == 1
    assert "Nothing is different." in pages[0]


def test_two_runs_are_the_same_to_the_byte() -> None:
    asked = StatesAsked(DECK, changed())
    assert compare_file(asked, "mm", "letter").data == compare_file(asked, "mm", "letter").data
