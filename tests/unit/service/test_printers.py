"""How sheets are asked to be printed, and what is kept of a printer."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from app.catalogue.load import catalogue, paper_by_text
from app.document.resolve import resolve
from app.document.scenarios import load_scenario
from app.errors import EditError, PaperError
from app.model.printing import TRUE, PrintCorrection, Printing
from app.model.resolved import ResolvedBoard
from app.paper.sheet.sheets import plan_sheets
from app.service.checks.checking import judged
from app.service.drawings.printers import (
    PrintRequest,
    bars_of,
    diagnosed,
    farthest,
    kept_as,
    printing_asked,
    profiles_for,
)
from app.store import Profiles, open_store
from app.units import Unit


@pytest.fixture
def kept(tmp_path: Path) -> Iterator[Profiles]:
    store = open_store(tmp_path)
    yield store.profiles
    store.close()


@pytest.fixture(scope="module")
def board() -> ResolvedBoard:
    return resolve(load_scenario("harbour-lane-two-seater"), None, None, catalogue())


def test_nothing_asked_is_the_shops_paper_and_no_correction(board: ResolvedBoard, kept: Profiles) -> None:
    kept.keep("Desk", board.tooling.paper.id, 1.004, 0.997, "A 189.2 mm")
    printing, problems = printing_asked(PrintRequest(), judged(board), kept, Unit.MM)
    assert printing == Printing(board.tooling.paper)
    assert printing.correction is TRUE
    assert problems == {}


def test_lengths_are_in_the_unit_of_the_screen_unless_they_say(board: ResolvedBoard, kept: Profiles) -> None:
    """1/2 in is 12.7 mm exactly (international inch, 25.4 mm, 1959)."""
    for overlap, unit, mm in (("0.5", Unit.INCH, 12.7), ("1/2 in", Unit.MM, 12.7), ("14 mm", Unit.INCH, 14.0)):
        printing, problems = printing_asked(PrintRequest("a4", overlap=overlap), judged(board), kept, unit)
        assert printing.overlap == pytest.approx(mm, abs=1e-9)
        assert not problems


def test_each_field_that_cannot_be_is_told_and_left_as_usual(board: ResolvedBoard, kept: Profiles) -> None:
    asked = PrintRequest("letter", printer="Nobody's", margin="wide", overlap="0.1")
    printing, problems = printing_asked(asked, judged(board), kept, Unit.MM)
    assert set(problems) == {"printer", "margin", "overlap"}
    assert (printing.margin, printing.overlap, printing.correction) == (None, None, TRUE)
    assert printing.paper.id == "letter"
    with pytest.raises(PaperError):
        printing_asked(PrintRequest("foolscap-ish"), judged(board), kept, Unit.MM)


def test_a_correction_holds_for_its_own_paper_only(board: ResolvedBoard, kept: Profiles) -> None:
    name = kept_as(
        kept, "  Workshop\t laser ", Printing(paper_by_text("a4")), PrintCorrection(1.004, 0.997), {"A": 189.243}
    )
    assert name == "Workshop laser"
    printing, problems = printing_asked(PrintRequest("a4", printer=name), judged(board), kept, Unit.MM)
    assert printing.correction == PrintCorrection(1.004, 0.997, name)
    assert not problems
    assert "printer" in printing_asked(PrintRequest("letter", printer=name), judged(board), kept, Unit.MM)[1]
    assert [p.measured for p in profiles_for(kept, "a4")] == ["A 189.24 mm"]
    assert profiles_for(kept, "letter") == ()


@pytest.mark.parametrize("name", ["", "   ", "x" * 41, "bell\aring"])
def test_a_name_that_cannot_be_one_keeps_nothing(kept: Profiles, name: str) -> None:
    with pytest.raises(EditError, match="one line"):
        kept_as(kept, name, Printing(paper_by_text("a4")), PrintCorrection(1.004, 0.997), {})
    assert kept.all() == ()


@pytest.mark.parametrize("paper", ["a4", "letter", "roll 610"])
def test_the_farthest_hole_is_not_beyond_its_nearest_line_on_any_sheet(board: ResolvedBoard, paper: str) -> None:
    """No hole is nearer to a line of its own sheet than to the nearest of all lines, nor farther than the paper."""
    printing = Printing(paper_by_text(paper))
    found = farthest(board, "top", printing)
    assert found is not None
    plan = plan_sheets(board, "top", printing)
    across, along = found[::-1] if plan.tiling.orientation == "landscape" else found
    for k, (axis, reach) in enumerate((("x", across), ("y", along))):
        lines = [line.at for line in plan.ruled if line.axis == axis]
        least = max(min(abs(c[k] - at) for at in lines) for c in plan.template.centres)
        cell = max(tile.cell[k + 2] - tile.cell[k] for tile in plan.tiling.tiles)
        assert least - 1e-9 <= reach <= cell + 1e-9
        if len(plan.tiling.tiles) == 1:
            assert reach == pytest.approx(least, abs=1e-9)


def test_measuring_a_corrected_sheet_corrects_the_correction(board: ResolvedBoard) -> None:
    """A sheet stretched by 1.005 that still comes out 0.2 % large needs 1.005 / 1.002, and 1 stays 1."""
    printing = Printing(paper_by_text("a4"), correction=PrintCorrection(1.005, 1.0, "Desk"))
    bars = {bar.name: bar.length for bar in bars_of(printing, Unit.MM)}
    measured = {"A": bars["A"] * 1.002, "C": bars["C"]}
    found = diagnosed(printing, measured, board, Unit.MM, settings_checked=False)
    assert found.correction is not None
    assert found.correction.x == pytest.approx(1.005 / 1.002, abs=1e-6)
    assert found.correction.y == 1.0
    true = diagnosed(printing, {name: bars[name] for name in "AC"}, board, Unit.MM, settings_checked=False)
    assert true.cause == "true"
    assert true.correction is None
