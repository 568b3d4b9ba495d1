"""Edits of the whole design."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from app.arrange.change import Edit
from app.arrange.design.settings import (
    add_bit,
    remove_bit,
    set_drilling,
    set_notes,
    set_paint,
    set_paper,
    set_thickness,
    set_title,
    set_units,
    take_bits,
)
from app.catalogue.load import catalogue
from app.document.dump import dumps
from app.document.load import loads
from app.document.resolve import resolve_shop
from app.document.schema import Design
from app.errors import EditError
from app.units import INCH
from tests.unit.document.designs import small_design


def test_title_notes_paper_drilling_and_thickness_are_set_and_said() -> None:
    design = small_design()
    steps: list[tuple[Edit, str, Callable[[Design], bool]]] = [
        (set_title(design, "  Two oaks "), 'Renamed the design to "Two oaks"', lambda d: d.title == "Two oaks"),
        (set_notes(design, "a\r\nb"), "Changed the notes", lambda d: d.notes == "a\nb"),
        (set_units(design, "inch"), "Show lengths in inches", lambda d: d.units == "inch"),
        (set_paper(design, "Letter"), "Set the paper to Letter", lambda d: d.shop.paper == "letter"),
        (set_thickness(design, None, 19.05), "Made Control deck 19.1 mm thick",
         lambda d: d.boards[0].layers[0].thickness == 19.05),
    ]  # fmt: skip
    for edit, said, holds in steps:
        assert said in edit.summary
        assert holds(edit.design)
        assert loads(dumps(edit.design)) == edit.design
    press = set_drilling(design, "press", catalogue())
    assert press.design.shop.drilling == "press"


def test_a_bit_bought_for_a_shop_without_a_list_keeps_the_starter_set() -> None:
    design = add_bit(small_design(), "forstner", 37, catalogue()).design
    shop = resolve_shop(design.shop, catalogue())
    assert shop.bits[:-1] == catalogue().bit_sets["metric"]
    assert (shop.bits[-1].kind, shop.bits[-1].diameter) == ("forstner", 37)


def test_a_bit_that_is_there_is_not_bought_twice() -> None:
    once = add_bit(small_design(), "forstner", 37, catalogue()).design
    assert add_bit(once, "forstner", 37, catalogue()).design == once


def test_a_bit_of_an_inch_size_is_an_inch_bit() -> None:
    edit = add_bit(small_design(), "forstner", 1.5625 * INCH, catalogue())
    assert edit.design.shop.bits[-1].inch
    assert edit.summary == 'Added a 1 9/16" Forstner bit'
    assert not add_bit(small_design(), "forstner", 39, catalogue()).design.shop.bits[-1].inch


def test_a_starter_set_is_written_out_bit_by_bit() -> None:
    design = take_bits(small_design(), "inch", catalogue()).design
    assert resolve_shop(design.shop, catalogue()).bits == catalogue().bit_sets["inch"]


REFUSED: list[tuple[Callable[[Design], Edit], str, str]] = [
    (lambda d: set_title(d, "   "), "title", "1 to 200 characters, got 0"),
    (lambda d: set_title(d, "x" * 201), "title", "got 201. Make it shorter"),
    (lambda d: set_notes(d, "x" * 20_001), "notes", "up to 20,000 characters, got 20,001"),
    (lambda d: set_notes(d, "\ud800"), "notes", "half a character"),
    (lambda d: set_units(d, "cubit"), "units", 'mm or inch, got "cubit"'),
    (lambda d: set_paper(d, "parchment"), "paper", "parchment"),
    (lambda d: set_drilling(d, "laser", catalogue()), "drilling", 'no drilling method "laser". Choose one of: hand'),
    (lambda d: add_bit(d, "laser", 3, catalogue()), "kind", 'no kind of bit "laser"'),
    (lambda d: add_bit(d, "twist", 0, catalogue()), "diameter", "above 0 to 200, got 0"),
    (lambda d: take_bits(d, "roman", catalogue()), "bits", 'no set of bits "roman". Choose one of: metric, inch'),
    (lambda d: set_thickness(d, None, -18), "thickness", "from 0.05 to 100, got -18"),
    (lambda d: set_thickness(d, None, 18, 3), "layer", "has 1 layers, got layer 4"),
]


@pytest.mark.parametrize("case", range(len(REFUSED)))
def test_a_setting_that_is_not_allowed_is_refused_beside_its_field(case: int) -> None:
    attempt, field, said = REFUSED[case]
    with pytest.raises(EditError, match=said) as caught:
        attempt(small_design())
    assert caught.value.field == field


def test_a_bit_taken_out_is_gone_and_the_last_one_stays() -> None:
    shop = catalogue().bit_sets["metric"]
    less = remove_bit(small_design(), "forstner", 30, catalogue())
    assert less.summary == "Deleted the 30 mm Forstner bit"
    left = resolve_shop(less.design.shop, catalogue()).bits
    assert set(shop) - set(left) == {b for b in shop if (b.kind, b.diameter) == ("forstner", 30)}
    with pytest.raises(EditError, match="no longer in your list"):
        remove_bit(less.design, "forstner", 30, catalogue())
    entry = less.design.shop.bits[0]
    one = less.design.model_copy(update={"shop": less.design.shop.model_copy(update={"bits": (entry,)})})
    with pytest.raises(EditError, match="last bit"):
        remove_bit(one, entry.kind, entry.diameter, catalogue())


def test_a_bit_reaches_as_deep_as_was_said() -> None:
    design = add_bit(small_design(), "hole-saw", 44, catalogue(), 41.5).design
    assert (design.shop.bits[-1].diameter, design.shop.bits[-1].reach) == (44, 41.5)
    with pytest.raises(EditError) as caught:
        add_bit(small_design(), "hole-saw", 44, catalogue(), 0.0)
    assert caught.value.field == "reach"


def test_paint_is_allowed_for_on_its_board() -> None:
    done = set_paint(small_design(), None, 0.15)
    assert done.design.boards[0].paint == 0.15
    assert "0.15 mm for paint" in done.summary
    assert set_paint(done.design, None, 0.0).design.boards[0].paint == 0.0
    with pytest.raises(EditError, match="from 0 to 2"):
        set_paint(small_design(), None, 2.5)


def test_of_two_bits_of_a_size_the_one_of_that_reach_is_taken() -> None:
    two = add_bit(small_design(), "forstner", 30, catalogue(), 120.0).design
    left = remove_bit(two, "forstner", 30, catalogue(), 55.0).design.shop.bits
    assert [b.reach for b in left if (b.kind, b.diameter) == ("forstner", 30)] == [120.0]
