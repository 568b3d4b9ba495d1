"""Centres as they are marked: within half a reading of the truth, and judged by the rules where they come to lie."""

from __future__ import annotations

import math

import numpy as np
import pytest

from app.catalogue.load import catalogue
from app.document.pattern_schema import BoundaryEntry, PatternEntry
from app.document.patterns import pattern_parts
from app.document.resolve import resolve
from app.document.scenarios import load_scenario
from app.drafting.outline_words import marked_words
from app.fit.report.report import check
from app.model.resolved import ResolvedBoard
from app.model.tooling import Allowance
from app.paper.lists.rounding import rounded, rounded_words
from app.service.edits.makers import board_made
from app.shop.centres import centres_below, centres_of, read_to
from app.shop.marked import Edge, marked_board
from app.units import INCH, Unit
from app.values import replace
from tests.unit.fit.boards import SOURCE, at, board, button

EDGES: tuple[Edge, ...] = ("left", "right")
READINGS = [1.0, 0.5, INCH / 16, INCH / 32, INCH / 64]


@pytest.mark.parametrize("reading", READINGS)
def test_a_mark_is_within_half_a_reading_of_its_centre(reading: float) -> None:
    made = resolve(load_scenario("pine-shelf-compact"), None, None, catalogue())
    centres = centres_of(made, reading)
    holes = [hole.centre for placed in made.drilled for hole in placed.holes]
    assert np.allclose([(c.left, c.front) for c in centres if c.sort != "screw"], holes, atol=1e-9)
    for c in centres:
        for true, marked in ((c.left, c.left_marked), (c.front, c.front_marked)):
            assert abs(marked - true) <= reading / 2 + 1e-9
            assert marked / reading == pytest.approx(round(marked / reading), abs=1e-6)
        assert c.diagonal == pytest.approx(math.hypot(c.left_marked, c.front_marked))


def test_holes_of_a_pattern_are_called_by_their_numbers() -> None:
    design = board_made("grille", {})(load_scenario("pine-shelf-compact")).design
    centres = centres_of(resolve(design, "grille", None, catalogue()), 0.5)
    names = [c.name for c in centres]
    assert len(set(names)) == len(names)
    assert {"B-1", "B-19"} <= set(names)


FRACTIONS = {
    "1/16": 1.5875, "5/64": 1.984375, "3/32": 2.38125, "7/64": 2.778125, "1/8": 3.175, "9/64": 3.571875,
    "5/32": 3.96875, "11/64": 4.365625, "3/16": 4.7625, "7/32": 5.55625, "17/64": 6.746875, "9/32": 7.14375,
    "5/16": 7.9375, "3/8": 9.525, "15/16": 23.8125, "31/32": 24.60625, "63/64": 25.003125, "1 1/16": 26.9875,
    "1 3/8": 34.925,
}  # fmt: skip
"""Fractions of an inch in mm as every conversion table prints them, exact since 1 in is 25.4 mm by definition."""


@pytest.mark.parametrize(("said", "mm"), FRACTIONS.items())
def test_a_rule_in_64ths_reads_the_published_fractions(said: str, mm: float) -> None:
    for off in (-0.19, 0.0, 0.19):  # less than half of 1/64 in, 0.198 mm
        assert read_to(mm + off, INCH / 64) == pytest.approx(mm, abs=1e-9)
        assert marked_words(read_to(mm + off, INCH / 64), INCH / 64, Unit.INCH) == f'{said}"'


@pytest.mark.parametrize(("parts", "most"), [(16, 0.79375), (32, 0.396875), (64, 0.1984375)])
def test_rounding_adds_half_a_step_at_most(parts: int, most: float) -> None:
    """Half of 1/16, 1/32, 1/64 in [mm]."""
    step = INCH / parts
    worst = max(abs(read_to(k * step / 1000, step) - k * step / 1000) for k in range(3000))
    assert worst == pytest.approx(most, abs=1e-9)


@pytest.mark.parametrize(("mm", "reading", "want"), [(0.25, 0.5, 0.5), (-0.25, 0.5, 0.0), (12.3, 1.0, 12.0)])
def test_halves_are_read_upwards(mm: float, reading: float, want: float) -> None:
    assert read_to(mm, reading) == want


def test_what_passes_exactly_and_fails_rounded_is_said_with_the_reading_that_passes() -> None:
    """Holes of 28 mm, each up to 0.51 mm off, 0.02 mm farther apart than must be, 34.04 mm.

    Read to 1 mm they are 34 mm apart, too near by 0.02 mm; read to 0.5 mm they are 34.5 mm apart.
    """
    apart = next(28 + web / 100 for web in range(2000) if not _webs(_two(100.22, 28 + web / 100))) + 0.02
    assert 0.02 < apart % 1 < 0.1
    made = _two(100.22, apart)
    said = " ".join(rounded_words(made, 1.0))
    assert "something no longer fits" in said
    assert "The finest step that passes is 0.5 mm, and no other does. Read to 0.5 mm." in said
    assert "Every rule that holds exactly holds" in " ".join(rounded_words(made, 0.5))
    assert [p.x for p in marked_board(made, 1.0).placements] == [100.0, read_to(100.22 + apart, 1.0)]
    assert rounded(made, 0.5).passes and not rounded(made, 1.0).passes, "what is said to pass was tried"


def test_rounding_that_takes_more_than_a_hole_may_be_off_is_said_and_no_step_is_promised_that_does_too() -> None:
    """31/64 in is 12.303 mm: read to 1/16 in it is 1/64 in off in each direction, 0.56 mm in all."""
    plain = button(28, flange=0, body=10)
    for allowed, finest in ((0.5, "1/64 in"), (0.001, "")):
        hand = Allowance("press", "Drill press", allowed, 0.0, SOURCE)
        at_odd = at(100 * INCH / 25 + INCH * 31 / 64, 150 + INCH / 64, plain)
        made = replace(board(at_odd, allowance=hand), units="inch")
        said = " ".join(rounded_words(made, INCH / 16))
        assert f"a hole may be {allowed:g} mm off" in said
        assert rounded(made, INCH / 16).coarse
        if finest:
            assert f"The finest step that passes is {finest}" in said
        else:
            assert "No step passes: 1/16 in, 1/32 in, 1/64 in were tried. Use the template" in said


def test_holes_of_a_pattern_are_judged_where_each_is_marked() -> None:
    """Twenty holes of 4.5 mm in a row, 5.25 mm apart, 0.75 mm of board between any two; read to 1 mm some have 0.5."""
    entry = PatternEntry(
        id="row", order="square", hole=4.5, pitch=5.25,
        boundary=BoundaryEntry(shape="rectangle", width=20 * 5.25, height=5.0),
    )  # fmt: skip
    made = board(at(200, 100, pattern_parts((entry,))["row"]), allowance=Allowance("none", "None", 1.0, 0.0, SOURCE))
    marked = marked_board(made, 1.0)
    centres = np.array(sorted(hole.centre for hole in marked.placements[0].holes))
    assert np.allclose(centres, np.round(centres), atol=1e-9)
    apart = np.diff(centres[:, 0])
    assert apart.min() == pytest.approx(5.0) and apart.max() == pytest.approx(6.0)
    web = [f for f in check(marked, catalogue()).findings if f.rule == "web"]
    exact = [f for f in check(made, catalogue()).findings if f.rule == "web"]
    assert min(f.measured for f in web if f.measured is not None) == pytest.approx(
        min(f.measured for f in exact if f.measured is not None) - 0.25, abs=1e-6
    )


def test_screws_are_judged_where_each_is_marked_from_either_edge() -> None:
    design = load_scenario("pine-shelf-compact")
    made = resolve(design, None, None, catalogue())
    x1 = made.outline.bounds[2]
    for below in EDGES:
        marked = marked_board(made, 1.0, below)
        for placed in marked.drilled:
            for x, y in placed.screws:
                counted = x if below == "left" else x1 - x
                assert counted == pytest.approx(round(counted), abs=1e-6) and y == pytest.approx(round(y), abs=1e-6)


def test_the_underside_is_the_mirror_image_and_names_what_is_marked_there() -> None:
    """Pains 2: back x is the width less x, for every mark."""
    for name in ("pine-shelf-compact", "harbour-lane-two-seater", "foundry-yard-cabinet"):
        made = resolve(load_scenario(name), None, None, catalogue())
        straight = {c.name: c for c in centres_of(made, 0.5)}
        below = centres_below(made, 0.5)
        assert {c.sort for c in below} <= {"screw", "counterbore", "recess"}
        for c in below:
            assert abs(c.left_marked - c.left) <= 0.25 + 1e-9
            if c.sort == "screw":
                assert c.left == pytest.approx(made.width - straight[c.name].left)
                assert c.front == pytest.approx(straight[c.name].front)
        want = sum(bool(p.counterbore) + bool(p.recess) for p in made.drilled)
        assert sum(c.sort != "screw" for c in below) == want


def test_no_two_centres_bear_one_name() -> None:
    plain = button(28, flange=0, body=10)
    made = board(at(100, 150, plain, name="a"), at(200, 150, plain, name="b"), at(300, 150, plain, name="c"))
    made = made.populated(tuple(replace(p, label="") for p in made.placements))
    names = [c.name for c in centres_of(made, 0.5)]
    assert len(set(names)) == 3


def _two(left: float, apart: float) -> ResolvedBoard:
    hand = Allowance("steady", "Steady", 0.51, 0.0, SOURCE)
    plain = button(28, flange=0, body=10)
    return board(at(left, 150, plain), at(left + apart, 150, plain, name="b"), allowance=hand)


def _webs(made: ResolvedBoard) -> list[str]:
    return [f.rule for f in check(made, catalogue()).findings if f.severity != "note"]
