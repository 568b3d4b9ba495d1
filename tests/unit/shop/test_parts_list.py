"""The parts list: every part of the design is on it, sums as the design has them, spares never short."""

from __future__ import annotations

import math

import pytest

from app.catalogue.load import catalogue
from app.document.resolve import resolve
from app.document.scenarios import load_scenario, scenario_list
from app.geometry.outline import rectangle_outline
from app.model.board import EdgeFeature
from app.model.part import NutFixing, ScrewFixing
from app.shop.parts_list import moulding_length, parts_list, spare_of
from tests.unit.fit.boards import board


@pytest.mark.parametrize("name", [each.id for each in scenario_list()])
def test_the_list_sums_to_the_design(name: str) -> None:
    design = load_scenario(name)
    for entry in design.boards:
        made = resolve(design, entry.id, None, catalogue())
        items = parts_list(made, 10.0)
        drilled = [placed for placed in made.drilled if not placed.part.is_pattern]
        fixings = [placed.part.fixing for placed in drilled]
        totals = {sort: sum(item.count for item in items if item.sort == sort) for sort in ("hardware", "screw", "nut")}
        assert totals == {
            "hardware": len(drilled),
            "screw": sum(len(f.holes) for f in fixings if isinstance(f, ScrewFixing)),
            "nut": sum(isinstance(f, NutFixing) for f in fixings),
        }
        letters = {letter for item in items if item.sort == "hardware" for letter in item.letters}
        assert letters == {placed.label or placed.part.name for placed in drilled}
        firsts = [item.measured for item in items]
        assert firsts == sorted(firsts), "what has to be measured stands on top"


@pytest.mark.parametrize(("count", "share", "spare"), [(0, 10, 0), (1, 10, 1), (10, 10, 1), (11, 10, 2), (12, 0, 0)])
def test_spares_are_whole_and_never_short(count: int, share: float, spare: int) -> None:
    assert spare_of(count, share) == spare
    assert spare >= count * share / 100


def test_moulding_goes_along_the_edges_that_have_a_slot() -> None:
    made = board(outline=rectangle_outline(600.0, 300.0), edges=(EdgeFeature("front", 9.0), EdgeFeature("left", 9.0)))
    assert moulding_length(made) == 900.0
    assert math.isclose(moulding_length(board(outline=rectangle_outline(600.0, 300.0))), 0.0)
