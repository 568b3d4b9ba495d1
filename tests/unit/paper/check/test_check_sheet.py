"""The check sheet: the largest round frame, exact outer edges, ink where both papers have paper, words apart."""

from __future__ import annotations

import math

import pytest

from app.catalogue.load import catalogue, paper_by_text
from app.errors import PaperError
from app.model.printing import PrintCorrection, Printing
from app.model.tooling import Paper
from app.paper.check.check_sheet import CheckSheet, both_units, check_sheet
from app.scene.bounds import bounds
from app.scene.primitives import Text
from app.units import Unit
from tests.unit.drafting.boards import A3, A4, LETTER, two_player
from tests.unit.paper.ink import drawn, group, overlapping, text_boxes

INCH = 25.4  # international inch of 1959, exact
BOARD = two_player()
CORRECTED = PrintCorrection(1.004, 0.998, "study printer")

papers = pytest.mark.parametrize("paper", [A4, LETTER, A3], ids=lambda p: p.id)
units = pytest.mark.parametrize("unit", list(Unit))
corrections = pytest.mark.parametrize("correction", [PrintCorrection(), CORRECTED], ids=["true", "corrected"])


def sheet(paper: Paper, unit: Unit, correction: PrintCorrection) -> CheckSheet:
    return check_sheet(BOARD, Printing(paper, correction=correction), unit=unit)


@papers
@units
@corrections
def test_the_frame_is_as_long_as_the_bars_say(paper: Paper, unit: Unit, correction: PrintCorrection) -> None:
    made = sheet(paper, unit, correction)
    frame = group(made.scene, "check-frame")
    # Filled only: the width of a pen would be added to every length.
    assert all(getattr(item, "style").stroke is None for item in frame.items)  # noqa: B009
    box = bounds(frame.items)
    assert box is not None
    length = {bar.name: bar.length for bar in made.bars}
    assert (box[2] - box[0], box[3] - box[1]) == pytest.approx((length["A"], length["C"]), abs=1e-9)
    assert (length["A"], length["C"]) == (length["B"], length["D"])
    assert length["E"] == length["F"] == pytest.approx(math.hypot(length["A"], length["C"]))  # Pythagoras
    for bar in made.bars:
        assert math.dist(bar.a, bar.b) == pytest.approx(bar.length, abs=1e-9)
        for x, y in (bar.a, bar.b):
            assert x in (box[0], box[2]) and y in (box[1], box[3])


@papers
@units
def test_sides_are_round_and_no_longer_ones_would_fit(paper: Paper, unit: Unit) -> None:
    step = INCH / 4 if unit is Unit.INCH else 10.0
    twin = paper.id in {"a4", "letter"}
    # ISO 216 and ASME Y14.1, size A: what the two have in common is 210 × 279.4 mm.
    room = (210.0, 11 * INCH) if twin else (paper.width, paper.height)
    margin = catalogue().rule("paper-margin")
    made = sheet(paper, unit, PrintCorrection())
    for bar, side in zip((made.bars[0], made.bars[2]), room, strict=True):
        assert bar.length / step == pytest.approx(round(bar.length / step), abs=1e-9)
        assert bar.length <= side - 2 * margin + 1e-9 < bar.length + step


@papers
@units
@corrections
def test_written_and_printed_ink_stays_off_the_edges(paper: Paper, unit: Unit, correction: PrintCorrection) -> None:
    """Also on the other of A4 and Letter, centred: 6.35 mm (1/4 in) of every edge stay white."""
    scene = sheet(paper, unit, correction).scene
    assert scene.stretch == (correction.x, correction.y)
    assert (scene.width * correction.x, scene.height * correction.y) == pytest.approx((paper.width, paper.height))
    xs, ys = [], []
    for item, (dx, dy), _ in drawn(scene):
        box = bounds([item])
        assert box is not None
        xs += [box[0] + dx - scene.width / 2, box[2] + dx - scene.width / 2]
        ys += [box[1] + dy - scene.height / 2, box[3] + dy - scene.height / 2]
    others = [A4, LETTER] if paper.id != "a3" else [A3]
    for other in others:
        for sx, sy in ((1.0, 1.0), scene.stretch):
            assert max(map(abs, xs)) * sx <= other.width / 2 - INCH / 4
            assert max(map(abs, ys)) * sy <= other.height / 2 - INCH / 4


@papers
@units
@corrections
def test_no_words_run_into_each_other_or_the_frame(paper: Paper, unit: Unit, correction: PrintCorrection) -> None:
    made = sheet(paper, unit, correction)
    boxes = text_boxes(made.scene)
    assert overlapping(boxes) == []
    (x0, y0), (x1, y1) = made.bars[4].a, made.bars[4].b
    for words, box in boxes:
        assert x0 + 2.5 < box[0] and y0 + 2.5 < box[1] and box[2] < x1 - 2.5 and box[3] < y1 - 2.5, words


@papers
@units
def test_words_say_what_is_true_of_the_sheet(paper: Paper, unit: Unit) -> None:
    made = sheet(paper, unit, CORRECTED)
    words = [item.text for item, _, _ in drawn(made.scene) if isinstance(item, Text)]
    assert f"{paper.name}, corrected x 1.0040 y 0.9980 for study printer" in words
    for bar in made.bars[:4]:
        first, second = both_units(bar.length, unit)
        assert f"{bar.name}:  {first}  ({second})" in words
    plain = [i.text for i, _, _ in drawn(sheet(paper, unit, PrintCorrection()).scene) if isinstance(i, Text)]
    assert f"{paper.name}, no printer correction" in plain


def test_letters_are_read_at_arms_length() -> None:
    # Common practice, no source: 2.5 mm is the smallest lettering of drawings (ISO 3098-1, series of sizes).
    for item, _, _ in drawn(sheet(A4, Unit.MM, PrintCorrection()).scene):
        if isinstance(item, Text):
            assert item.size >= 2.5


@pytest.mark.parametrize(
    ("mm", "first", "second"),
    [(190.0, "190 mm", '7.480"'), (184.15, "184.15 mm", '7 1/4"'), (254.0, "254 mm", '10"')],  # 1 in = 25.4 mm
)
def test_lengths_in_both_units(mm: float, first: str, second: str) -> None:
    assert both_units(mm, Unit.MM) == (first, second)
    assert both_units(mm, Unit.INCH) == (second, first)


def test_a_paper_or_margin_without_room_is_refused() -> None:
    with pytest.raises(PaperError, match="Choose a larger paper or a smaller margin"):
        check_sheet(BOARD, Printing(A4, margin=90.0))
    with pytest.raises(PaperError, match="100 × 100 mm are needed"):
        check_sheet(BOARD, Printing(paper_by_text("100x150")))


def test_no_side_is_longer_than_a_metre_rule() -> None:
    made = check_sheet(BOARD, Printing(paper_by_text("1200x3000")))
    assert max(bar.length for bar in made.bars[:4]) == 1000.0


@corrections
def test_a_roll_is_cut_off_as_long_as_its_frame_needs(correction: PrintCorrection) -> None:
    made = sheet(paper_by_text("roll 610"), Unit.MM, correction)
    length = {bar.name: bar.length for bar in made.bars}
    assert length["A"] == (590.0 if correction.none else 580.0)  # 610 mm less 10 mm on both sides, and enlarged
    assert length["C"] == 1000.0
    assert made.scene.width * correction.x == pytest.approx(610.0)
    assert 0.0 <= made.scene.height * correction.y - 1020.0 <= 1.0
