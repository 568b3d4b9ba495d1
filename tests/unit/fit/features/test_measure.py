"""The five distances against hand sums: Pythagoras between centres, less both radii."""

from __future__ import annotations

import math

import pytest

from app.catalogue.load import catalogue
from app.document.resolve import resolve
from app.errors import NotFoundError
from app.fit.features.measure import measure
from app.model.resolved import ResolvedBoard
from tests.unit.document.designs import small_design

HOLE, FLANGE, NUT = 28.0, 34.0, 37.0
"""The long-thread button of 28 mm as the catalogue has it [mm]."""


def board(**moved: object) -> ResolvedBoard:
    design = small_design()
    within = design.boards[0].arrangements[0]
    rows = tuple(p.model_copy(update=dict(moved)) if p.id == "c" else p for p in within.placements)
    holder = design.boards[0].model_copy(update={"arrangements": (within.model_copy(update={"placements": rows}),)})
    return resolve(design.model_copy(update={"boards": (holder,)}), None, None, catalogue())


@pytest.mark.parametrize(("x", "y"), [(232.0, 100.0), (220.0, 140.0), (190.0, 60.0), (195.0, 100.0)])
def test_two_buttons_against_hand_sums(x: float, y: float) -> None:
    found = measure(board(x=x, y=y), "b", "c", catalogue())
    far = math.sqrt((x - 190) ** 2 + (y - 100) ** 2)
    assert (found.dx, found.dy) == (x - 190, y - 100)
    assert found.centres == pytest.approx(far)
    assert found.rims == pytest.approx(far - HOLE)
    assert found.flanges == pytest.approx(far - FLANGE)
    assert found.below == pytest.approx(far - NUT)
    assert found.below_what == ("nut", "nut")
    assert found.below_needed == catalogue().rule("spanner-room")


def test_the_other_way_round_is_the_same_but_for_its_sign() -> None:
    one, other = (measure(board(), *pair, catalogue()) for pair in (("b", "c"), ("c", "b")))
    assert (one.dx, one.dy) == (-other.dx, -other.dy)
    assert (one.centres, one.rims, one.flanges, one.below) == (other.centres, other.rims, other.flanges, other.below)


def test_an_undrilled_position_is_measured_like_a_drilled_one() -> None:
    drilled, off = measure(board(), "b", "c", catalogue()), measure(board(drill=False), "b", "c", catalogue())
    assert drilled == off


def test_a_plate_below_is_what_is_nearest_to_a_nut() -> None:
    found = measure(board(), "a", "b", catalogue())
    assert found.below_what == ("plate", "nut")
    # Centres 90 mm apart on one line; the plate of 95 × 53 mm lies across.
    assert found.below == pytest.approx(90 - 95 / 2 - NUT / 2)
    assert found.below_needed == catalogue().rule("spanner-room")


def test_a_part_that_is_gone_is_named() -> None:
    with pytest.raises(NotFoundError, match='no placement "zz"'):
        measure(board(), "b", "zz", catalogue())
