"""Wiring on paper and in files, read back: every cell is on the sheet, CSV and JSON say the same, nothing overlaps."""

from __future__ import annotations

import csv
import io
import json
from functools import cache
from itertools import product

import pymupdf
import pytest

from app.catalogue.load import catalogue, paper_by_text
from app.document.resolve import resolve
from app.document.scenarios import load_scenario
from app.document.schema import Design
from app.document.where import Where
from app.drafting.table_words import row_words
from app.model.printing import Printing
from app.paper.kinds.wiring import WIRING
from app.paper.sheet_kind import SheetJob
from app.scene.table import Table
from app.service import list_file, sheet_file
from app.service.edits.wiring import encoder_added, wiring_set
from app.units import INCH
from tests.long_run import rows_in_gate

POINT = INCH / 72
CHOSEN = {"none": (), "one": ("encoder-32-screw",), "two": ("encoder-12-screw", "encoder-12-screw")}


@cache
def design(units: str, boards: str) -> Design:
    """The two-seater with lit buttons and so many encoder boards."""
    plain = load_scenario("harbour-lane-two-seater")
    board, (two, *_) = plain.boards[0], plain.boards[0].arrangements
    lit = tuple(
        p.model_copy(update={"part": "button-28-nut-long-lit"}) if p.label in "BCJK" else p for p in two.placements
    )
    board = board.model_copy(update={"arrangements": (two.model_copy(update={"placements": lit}),)})
    made = plain.model_copy(update={"boards": (board,), "units": units})
    if CHOSEN[boards]:
        made = encoder_added(Where(), CHOSEN[boards], None, 1.0)(made).design
        made = wiring_set(Where(), {"grounds": "ring" if boards == "one" else "tree"})(made).design
    return made


def tables(made: Design, paper: str = "a4") -> tuple[Table, ...]:
    assert WIRING.tables is not None
    return WIRING.tables(SheetJob(resolve(made, None, None, catalogue()), Printing(paper_by_text(paper))))


# In the gate each number of boards once, each paper and unit by turns.
GATE = {("none", "a4", "mm"), ("two", "letter", "inch")}


@pytest.mark.parametrize(
    ("boards", "paper", "units"), rows_in_gate(product(CHOSEN, ("a4", "letter"), ("mm", "inch")), GATE.__contains__)
)
def test_every_cell_is_on_the_sheet_inside_both_papers_and_nothing_lies_on_another(
    boards: str, paper: str, units: str
) -> None:
    made = design(units, boards)
    with pymupdf.open(stream=sheet_file("wiring", made, paper=paper).data) as pages:
        words = [word for page in pages for word in page.get_text("words")]
        text = " ".join(word[4] for word in words)
        # What prints on A4 and on Letter: 210 mm wide, less 6.35 mm on each side that no printer reaches.
        assert min(word[0] for word in words) * POINT >= 6.35
        assert max(word[2] for word in words) * POINT <= (210 if paper == "a4" else 215.9) - 6.35
        for page in pages:
            boxes = [pymupdf.Rect(w[0] + 0.3, w[1] + 2.0, w[2] - 0.3, w[3] - 2.0) for w in page.get_text("words")]
            for index, box in enumerate(boxes):
                for other in boxes[index + 1 :]:
                    assert not (box & other).is_valid or (box & other).is_empty, (box, other)
    for table in tables(made, paper):
        for row in row_words(table):
            for cell in row:
                assert all(word in text for word in cell.split()), (table.name, cell)
    assert "licensed electrician" in text
    assert ("UNDERSIDE, mirrored" in text) is bool(CHOSEN[boards])


@pytest.mark.parametrize("units", ["mm", "inch"])
@pytest.mark.parametrize("boards", CHOSEN)
def test_the_files_for_other_programs_say_the_same(boards: str, units: str) -> None:
    made = design(units, boards)
    data = {fmt: list_file("wiring", made, fmt=fmt).data for fmt in ("csv", "json")}
    told = json.loads(data["json"])
    each = INCH if units == "inch" else 1.0
    for table in tables(made):
        assert len(told[table.name]) == len(table.rows)
        for one, row in zip(told[table.name], table.rows, strict=True):
            for column, value in zip(table.columns, row, strict=True):
                assert one[column.name] == (pytest.approx(value, abs=1e-6) if isinstance(value, float) else value)
    first = tables(made)[0]
    lines = list(csv.reader(io.StringIO(data["csv"].decode("utf-8-sig"), newline="")))[1:]
    assert len(lines) == len(first.rows)
    for line, row in zip(lines, first.rows, strict=True):
        for text, column, value in zip(line, first.columns, row, strict=True):
            if column.kind == "length" and isinstance(value, float):
                assert float(text) * each == pytest.approx(value, abs=1e-3)
            elif isinstance(value, str):
                assert text.removeprefix("'") == value


def test_a_board_that_nobody_chose_an_encoder_for_says_what_would_do() -> None:
    wires, needed, proposed = tables(design("mm", "none"))
    assert (wires.rows, needed.name, proposed.name) == ((), "needed", "proposed")
    assert sum(int(row[2] or 0) for row in needed.rows) == 22
    assert wires.notes == ("22 switches to be read; no encoder board is chosen yet.",)
    assert proposed.rows[0][1] == 1, "one board first"


@pytest.mark.parametrize("boards", ["one", "two"])
def test_an_encoder_board_that_is_added_brings_no_stop_and_no_caution(boards: str) -> None:
    from app.fit.report.report import check

    report = check(resolve(design("mm", boards), None, None, catalogue()), catalogue())
    assert [(f.rule, f.subjects) for f in (*report.stops, *report.cautions)] == []


def test_the_tables_sum_to_each_other() -> None:
    for boards in ("one", "two"):
        named = {table.name: table for table in tables(design("mm", boards))}
        wires, cuts = named["wires"].rows, named["cuts"].rows
        assert sum(int(row[2] or 0) for row in cuts) == len(wires)
        assert sum(float(row[3] or 0) for row in cuts) == pytest.approx(sum(float(row[8] or 0) for row in wires))
        signals = [row for row in wires if str(row[5]).startswith(("input", "axis"))]
        assert sum(int(row[2] or 0) + int(row[4] or 0) for row in named["boards"].rows) == len(signals) == 22
        drawn = sum(float(row[1] or 0) for row in named["lights"].rows)
        read = [catalogue().parts[part].encoder for part in CHOSEN[boards]]
        own = sum(each.current for each in read if each is not None)
        assert sum(float(row[6] or 0) for row in named["boards"].rows) == drawn + own
