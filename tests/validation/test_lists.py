"""Lists on paper, read back by PyMuPDF: every cell of the table is there, nothing lies outside the common area.

Both papers, both units; CSV and JSON say the same as the sheet.
"""

from __future__ import annotations

import csv
import io
import json

import pymupdf
import pytest

from app.catalogue.load import catalogue, paper_by_text
from app.document.resolve import resolve
from app.document.scenarios import load_scenario
from app.drafting.table_words import row_words
from app.model.printing import Printing
from app.paper.kinds.lists import DRILLING, MARKING, PARTS
from app.paper.sheet_kind import SheetJob, SheetKind
from app.service import list_file, sheet_file
from app.service.edits.makers import board_made
from app.units import INCH

KINDS = (MARKING, DRILLING, PARTS)
POINT = INCH / 72


@pytest.mark.parametrize("units", ["mm", "inch"])
@pytest.mark.parametrize("paper", ["a4", "letter"])
@pytest.mark.parametrize("kind", KINDS, ids=lambda kind: kind.name)
def test_every_cell_is_on_the_sheet_and_inside_both_papers(kind: SheetKind[object], paper: str, units: str) -> None:
    design = load_scenario("harbour-lane-two-seater").model_copy(update={"units": units})
    design = board_made("grille", {})(design).design
    for board in ("deck", "grille"):
        made = resolve(design, board, None, catalogue())
        tables = kind.tables(SheetJob(made, Printing(paper_by_text(paper)))) if kind.tables else ()
        with pymupdf.open(stream=sheet_file(kind.name, design, board, paper=paper).data) as pages:
            words = [word for page in pages for word in page.get_text("words")]
            text = " ".join(word[4] for word in words)
            for page in pages:
                assert (page.rect.width * POINT, page.rect.height * POINT) == pytest.approx(
                    (210, 297) if paper == "a4" else (215.9, 279.4), abs=0.1
                )
            # What prints on A4 and on Letter: 210 mm wide, less 6.35 mm on each side that no printer reaches.
            assert min(word[0] for word in words) * POINT >= 6.35
            assert max(word[2] for word in words) * POINT <= (210 if paper == "a4" else 215.9) - 6.35
        for table in tables:
            for row in row_words(table):
                for cell in row:
                    for word in cell.split():
                        assert word in text, (kind.name, cell)


@pytest.mark.parametrize("units", ["mm", "inch"])
@pytest.mark.parametrize("kind", KINDS, ids=lambda kind: kind.name)
def test_the_files_for_other_programs_say_the_same(kind: SheetKind[object], units: str) -> None:
    design = load_scenario("harbour-lane-two-seater").model_copy(update={"units": units})
    data = {fmt: list_file(kind.name, design, fmt=fmt).data for fmt in ("csv", "json")}
    lines = list(csv.reader(io.StringIO(data["csv"].decode("utf-8-sig"), newline="")))[1:]
    name, objects = next(iter(json.loads(data["json"]).items()))
    made = resolve(design, None, None, catalogue())
    assert kind.tables is not None
    table = kind.tables(SheetJob(made, Printing(paper_by_text("a4"))))[0]
    assert (name, len(lines), len(objects)) == (table.name, len(table.rows), len(table.rows))
    each = INCH if units == "inch" else 1.0
    for line, one, row in zip(lines, objects, table.rows, strict=True):
        for text, column, value in zip(line, table.columns, row, strict=True):
            assert one[column.name] == (pytest.approx(value, abs=1e-6) if isinstance(value, float) else value)
            if column.kind == "length" and isinstance(value, float):
                assert float(text) * each == pytest.approx(value, abs=1e-3)
            elif isinstance(value, str):
                assert text.removeprefix("'") == value


def test_nothing_overlaps_on_a_page_of_a_list() -> None:
    """No word of a table lies on another: their boxes as PyMuPDF reads them, less a hair."""
    design = load_scenario("harbour-lane-two-seater")
    for kind in KINDS:
        with pymupdf.open(stream=sheet_file(kind.name, design).data) as pages:
            for page in pages:
                found = (pymupdf.Rect(word[:4]) for word in page.get_text("words"))
                boxes = [pymupdf.Rect(r.x0 + 0.3, r.y0 + 2.0, r.x1 - 0.3, r.y1 - 2.0) for r in found]
                for index, box in enumerate(boxes):
                    for other in boxes[index + 1 :]:
                        assert not (box & other).is_valid or (box & other).is_empty, (kind.name, box, other)
