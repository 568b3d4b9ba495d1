"""Centres as they are marked: within half a reading of the truth, and judged by the rules where they come to lie."""

from __future__ import annotations

import math

import numpy as np
import pytest

from app.catalogue.load import catalogue
from app.document.resolve import resolve
from app.document.scenarios import load_scenario
from app.fit.report.report import check
from app.model.resolved import ResolvedBoard
from app.model.tooling import Allowance
from app.paper.lists.marking import rounded_words
from app.service.edits.makers import board_made
from app.shop.centres import centres_of, marked_board, read_to
from app.units import INCH
from tests.unit.fit.boards import SOURCE, at, board, button

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


@pytest.mark.parametrize(("mm", "reading", "want"), [(0.25, 0.5, 0.5), (-0.25, 0.5, 0.0), (12.3, 1.0, 12.0)])
def test_halves_are_read_upwards(mm: float, reading: float, want: float) -> None:
    assert read_to(mm, reading) == want


def test_what_passes_exactly_and_fails_rounded_is_said_with_the_reading_that_passes() -> None:
    """Holes of 28 mm, each up to 0.02 mm off, 0.02 mm farther apart than must be, 33.06 mm.

    Read to 1 mm they are 33 mm apart, too near by 0.04 mm; read to 0.5 mm they are 33.5 mm apart.
    """
    apart = next(28 + web / 100 for web in range(2000) if not _webs(_two(100.2, 28 + web / 100))) + 0.02
    assert 0.02 < apart % 1 < 0.3
    made = _two(100.2, apart)
    said = rounded_words(made, 1.0)
    assert "something no longer fits" in said
    assert "Read to 0.5 mm." in said
    assert "every rule that holds exactly" in rounded_words(made, 0.5)
    assert [p.x for p in marked_board(made, 1.0).placements] == [100.0, read_to(100.2 + apart, 1.0)]


def _two(left: float, apart: float) -> ResolvedBoard:
    hand = Allowance("steady", "Steady", 0.02, 0.0, SOURCE)
    plain = button(28, flange=0, body=10)
    return board(at(left, 150, plain), at(left + apart, 150, plain, name="b"), allowance=hand)


def _webs(made: ResolvedBoard) -> list[str]:
    return [f.rule for f in check(made, catalogue()).findings if f.severity != "note"]
