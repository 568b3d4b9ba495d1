"""Lists on paper, read back by PyMuPDF: every cell of the table is there, nothing lies outside the common area.

Both papers, both units; CSV and JSON say the same as the sheet.
"""

from __future__ import annotations

import csv
import io
import json
from collections.abc import Sequence

import numpy as np
import pymupdf
import pytest

from app.arrange.design.own_columns import add_column, set_cells
from app.catalogue.load import catalogue, paper_by_text
from app.document.resolve import resolve
from app.document.scenarios import load_scenario
from app.document.schema import Design
from app.drafting.table_words import row_words
from app.errors import NotFoundError
from app.model.printing import Printing
from app.paper.kinds import FILES
from app.paper.kinds.lists import DRILLING, MARKING, PARTS
from app.paper.sheet_kind import SheetJob, SheetKind
from app.scene.table import Table
from app.service import counted_for, list_file, sheet_file
from app.service.checks.checking import judged
from app.service.drawings.sheet_jobs import sheet_job
from app.service.edits.makers import board_made
from app.units import INCH

KINDS = (MARKING, DRILLING, PARTS)
POINT = INCH / 72
FREE = 6.35
"""No printer reaches nearer to the edge of the paper [mm]: 1/4 in, common practice, no source."""

COMMON = (210.0 - 2 * FREE, 279.4 - 2 * FREE)
"""What prints on A4 (210 × 297 mm, ISO 216) and on Letter (215.9 × 279.4 mm, ANSI/ASME Y14.1) [mm]."""

OWN = ("Price", "Where it is kept", "Bought on", "=Sum")


def priced() -> Design:
    """A two-player deck and a grille, with as many columns of the builder's own as there may be, each filled in."""
    design = board_made("grille", {})(load_scenario("harbour-lane-two-seater")).design
    for name, text in zip(OWN, ("3.20 each", "drawer 2, on the left", "12 March", "=1+1"), strict=True):
        design = add_column(design, name).design
        column = (design.columns or ())[-1].id
        lines = ("part.button-28-nut-long", "part.stick-plate-95x53", "screw.4.16", "board.mdf.18", "nut.37.6")
        design = set_cells(design, column, dict.fromkeys(lines, text)).design
    return design


def tables_of(kind: SheetKind[object], design: Design, board: str | None, printing: Printing) -> tuple[Table, ...]:
    job = sheet_job(design, judged(resolve(design, board, None, catalogue())), "top", printing)
    return kind.tables(job) if kind.tables else ()


def ink_of(page: pymupdf.Page) -> pymupdf.Rect:
    """What all ink of a page lies in: words and lines."""
    boxes = [pymupdf.Rect(word[:4]) for word in page.get_text("words")]
    boxes += [pymupdf.Rect(drawn["rect"]) for drawn in page.get_drawings()]
    whole = pymupdf.Rect(boxes[0])
    for box in boxes[1:]:
        whole |= pymupdf.Rect(box.x0, box.y0, max(box.x1, box.x0 + 0.01), max(box.y1, box.y0 + 0.01))
    return whole


@pytest.mark.parametrize("units", ["mm", "inch"])
@pytest.mark.parametrize("paper", ["a4", "letter"])
@pytest.mark.parametrize("kind", KINDS, ids=lambda kind: kind.name)
def test_every_cell_is_on_the_sheet_and_inside_both_papers(kind: SheetKind[object], paper: str, units: str) -> None:
    design = priced().model_copy(update={"units": units})
    for board in ("deck", "grille"):
        tables = tables_of(kind, design, board, Printing(paper_by_text(paper)))
        with pymupdf.open(stream=sheet_file(kind.name, design, board, paper=paper).data) as pages:
            words = [word for page in pages for word in page.get_text("words")]
            text = " ".join(word[4] for word in words)
            for page in pages:
                wide, high = page.rect.width * POINT, page.rect.height * POINT
                assert (wide, high) == pytest.approx((210, 297) if paper == "a4" else (215.9, 279.4), abs=0.1)
                ink = ink_of(page)
                assert ink.x0 * POINT >= FREE - 0.01 and ink.x1 * POINT <= wide - FREE + 0.01
                assert ink.width * POINT <= COMMON[0] + 0.01 and ink.height * POINT <= COMMON[1] + 0.01
        for table in tables:
            assert table.rows, table.name
            for row in row_words(table):
                for cell in row:
                    for word in cell.split():
                        assert word in text, (kind.name, cell)


@pytest.mark.parametrize("units", ["mm", "inch"])
@pytest.mark.parametrize("kind", KINDS, ids=lambda kind: kind.name)
def test_the_files_for_other_programs_say_the_same(kind: SheetKind[object], units: str) -> None:
    """Every table as CSV by its name, the list itself without one, and all of them as JSON."""
    design = priced().model_copy(update={"units": units})
    tables = tables_of(kind, design, None, Printing(paper_by_text("a4")))
    objects = json.loads(list_file(kind.name, design, fmt="json").data)
    assert list(objects) == [table.name for table in tables]
    for number, table in enumerate(tables):
        name = table.name if number else ""
        lines = read_csv(list_file(kind.name, design, fmt="csv", table=name).data)
        agree(table, lines, objects[table.name], INCH if units == "inch" else 1.0)


def read_csv(data: bytes) -> list[list[str]]:
    """RFC 4180: lines end in CRLF, fields with a comma or a quote are quoted; each line has as many."""
    text = data.decode("utf-8-sig")
    assert text.endswith("\r\n") and "\n" not in text.replace("\r\n", "")
    lines = list(csv.reader(io.StringIO(text, newline=""), strict=True))
    assert len({len(line) for line in lines}) == 1
    assert not [cell for line in lines for cell in line if cell.startswith(("=", "+", "@", "\t")) or cell == "-"]
    return lines


def agree(table: Table, lines: Sequence[Sequence[str]], objects: Sequence[dict[str, object]], each: float) -> None:
    assert len(lines) - 1 == len(objects) == len(table.rows)
    for line, one, row in zip(lines[1:], objects, table.rows, strict=True):
        for text, column, value in zip(line, table.columns, row, strict=True):
            assert one[column.name] == (pytest.approx(value, abs=1e-6) if isinstance(value, float) else value)
            if column.kind == "length" and isinstance(value, float):
                assert float(text) * each == pytest.approx(value, abs=1e-3)
            elif isinstance(value, str):
                assert text.removeprefix("'") == value


def test_the_builders_columns_are_in_every_file_and_no_spreadsheet_reckons_with_them() -> None:
    design = priced()
    lines = read_csv(list_file("parts", design, fmt="csv").data)
    assert lines[0][-4:] == ["Price", "Where it is kept", "Bought on", "'=Sum"]
    assert ["3.20 each", "drawer 2, on the left", "12 March", "'=1+1"] in [line[-4:] for line in lines]
    rows = json.loads(list_file("parts", design, fmt="json").data)["parts"]
    assert {row["own.price"] for row in rows} == {"3.20 each", ""}
    assert {row["own.sum"] for row in rows} == {"=1+1", ""}


def test_a_table_that_is_not_there_is_named_with_those_that_are() -> None:
    with pytest.raises(NotFoundError, match="It has: centres, lines, below, lines_below, checks"):
        list_file("marking", load_scenario("harbour-lane-two-seater"), fmt="csv", table="poems")
    made = list_file("marking", load_scenario("harbour-lane-two-seater"), fmt="csv", table="lines_below")
    assert made.name.endswith("marking-lines-below.csv")


@pytest.mark.parametrize("units", ["mm", "inch"])
@pytest.mark.parametrize("name", ["harbour-lane-two-seater", "leaky-raft", "foundry-yard-cabinet"])
def test_nothing_overlaps_on_a_page_of_a_list(name: str, units: str) -> None:
    """No word of a list lies on another: their boxes as PyMuPDF reads them, less a hair.

    Words written upwards have boxes of their own; letters stand beside the centres of a drawing, where two parts may
    lie on one another, so of a board that cannot be built only the tables are read.
    """
    design = priced() if name.startswith("harbour") else load_scenario(name)
    design = design.model_copy(update={"units": units})
    for kind in (DRILLING, PARTS) if name == "leaky-raft" else KINDS:
        with pymupdf.open(stream=sheet_file(kind.name, design).data) as pages:
            for page in pages:
                words = page.get_text("words")
                x0, y0, x1, y1 = np.array([word[:4] for word in words]).T + np.array([[0.3], [2.0], [-0.3], [-2.0]])
                wide = np.minimum(x1[:, None], x1) - np.maximum(x0[:, None], x0)
                high = np.minimum(y1[:, None], y1) - np.maximum(y0[:, None], y0)
                pairs = np.argwhere(np.triu((wide > 0) & (high > 0), 1))
                assert not [(words[a][4], words[b][4]) for a, b in pairs], (kind.name, page.number)


@pytest.mark.parametrize("counted", ["one", "arrangements", "boards"])
def test_a_list_counted_for_more_says_so_and_is_another_sheet(counted: str) -> None:
    design = priced()
    printing = counted_for(Printing(paper_by_text("a4")), counted)
    said = {"one": "for one arrangement", "arrangements": "for all arrangements", "boards": "for every board"}
    with pymupdf.open(stream=sheet_file("parts", design, None, None, "top", printing).data) as pages:
        text = " ".join(" ".join(word[4] for word in page.get_text("words")) for page in pages)
    assert said[counted] in text


def test_a_code_is_on_every_page_and_changes_with_what_the_list_says_and_with_nothing_else() -> None:
    design = load_scenario("harbour-lane-two-seater")
    printing = Printing(paper_by_text("a4"))
    for kind in KINDS:
        job = SheetJob(resolve(design, None, None, catalogue()), printing)
        code = kind.code(job)
        with pymupdf.open(stream=sheet_file(kind.name, design).data) as pages:
            assert all(f"code {code}" in page.get_text() for page in pages)
        noted = design.model_copy(update={"notes": "Nothing to do with it."})
        assert kind.code(SheetJob(resolve(noted, None, None, catalogue(), "7"), printing)) == code
        first = design.boards[0].arrangements[0]
        moved = first.placements[1].model_copy(update={"x": first.placements[1].x + 3.0, "drill": False})
        arrangement = first.model_copy(update={"placements": (first.placements[0], moved, *first.placements[2:])})
        board = design.boards[0].model_copy(update={"arrangements": (arrangement, *design.boards[0].arrangements[1:])})
        changed = design.model_copy(update={"boards": (board, *design.boards[1:])})
        assert kind.code(SheetJob(resolve(changed, None, None, catalogue()), printing)) != code


@pytest.mark.parametrize(
    "kind", [kind for kind in FILES.values() if kind.tables is not None], ids=lambda kind: kind.name
)
def test_every_list_says_what_it_is_for_and_what_it_holds(kind: SheetKind[object]) -> None:
    job = SheetJob(
        resolve(load_scenario("harbour-lane-two-seater"), None, None, catalogue()), Printing(paper_by_text("a4"))
    )
    assert kind.tables is not None
    assert kind.purpose.endswith(".")
    assert any(c.isdigit() for c in kind.card(job, kind.tables(job)).holds)
