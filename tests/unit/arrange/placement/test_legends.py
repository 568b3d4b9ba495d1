"""Edits of legends: set, deleted, lettered all at once; what cannot be lettered is refused and loses nothing."""

from __future__ import annotations

import pytest

from app.arrange.placement.edit import add
from app.arrange.placement.legends import (
    delete_legend,
    delete_legends,
    letter_again,
    letter_legends,
    set_legend,
    set_lettering,
)
from app.catalogue.load import catalogue
from app.document.dump import dumps
from app.document.load import loads
from app.document.schema import Design, PlacementEntry
from app.errors import DocumentError, EditError
from tests.unit.document.designs import small_design

DESIGN = small_design()
FIRST = DESIGN.boards[0].arrangements[0].placements[0].id


def placed(design: Design, name: str = FIRST) -> PlacementEntry:
    return next(p for p in design.boards[0].arrangements[0].placements if p.id == name)


def test_a_legend_is_set_read_back_and_deleted() -> None:
    done = set_legend(DESIGN, None, None, FIRST, text=" START ", height=6.0, place="ring", turn=20.0)
    legend = placed(loads(dumps(done.design))).legend
    assert legend is not None and (legend.text, legend.height, legend.place, legend.turn) == ("START", 6.0, "ring", 20)
    assert done.placement == FIRST and "START" in done.summary
    assert delete_legend(done.design, None, None, FIRST).design == DESIGN


def test_letters_are_composed_before_they_are_looked_up() -> None:
    """An A with a mark of its own is the letter Ä (Unicode, normalisation form C)."""
    legend = placed(set_legend(DESIGN, None, None, FIRST, text="A\u0308").design).legend
    assert legend is not None and legend.text == "Ä"


@pytest.mark.parametrize(
    ("asked", "field", "said"),
    [
        ({}, "text", "text or a sign"),
        ({"text": "A", "sign": "dot"}, "sign", "got both"),
        ({"sign": "flame"}, "sign", "no sign “flame”"),
        ({"text": "安全"}, "text", "not “安” “全”"),
        ({"text": "x" * 41}, "text", "41"),
        ({"text": "a\tb"}, "text", "cannot be printed"),
        ({"text": "A", "height": 0.5}, "height", "from 1 to 200"),
        ({"text": "A", "height": float("nan")}, "height", "finite"),
        ({"text": "A", "place": "above"}, "place", "no place “above”"),
        ({"text": "A", "turn": 400.0}, "turn", "-360 to 360"),
    ],
)
def test_what_cannot_be_lettered_is_refused_beside_its_field(asked: dict[str, object], field: str, said: str) -> None:
    with pytest.raises(EditError, match=said) as caught:
        set_legend(DESIGN, None, None, FIRST, **asked)  # type: ignore[arg-type]
    assert caught.value.field == field


def test_a_file_with_such_a_legend_is_refused_with_its_place() -> None:
    good = set_legend(DESIGN, None, None, FIRST, text="Good").design
    for wrong, where in (("“安”", "legend.text"), ("text or a sign", "legend")):
        text = dumps(good).replace('"Good"', '"安"' if where.endswith("text") else '""')
        with pytest.raises(DocumentError, match=wrong) as caught:
            loads(text)
        assert (caught.value.place or "").endswith(where)


def test_every_part_is_lettered_by_its_name_once() -> None:
    own = set_legend(DESIGN, None, None, FIRST, sign="dot").design
    done = letter_legends(own, None, None, catalogue(), place="right")
    rows = done.design.boards[0].arrangements[0].placements
    assert all(p.legend is not None for p in rows if p.label)
    assert placed(done.design).legend == placed(own).legend
    assert all(p.legend.text == p.label for p in rows if p.legend and p.legend.text)
    with pytest.raises(EditError, match="already"):
        letter_legends(done.design, None, None, catalogue())
    assert all(
        p.legend is None for p in delete_legends(done.design, None, None).design.boards[0].arrangements[0].placements
    )
    with pytest.raises(EditError, match="no legend"):
        delete_legends(DESIGN, None, None)


def test_what_is_not_seen_from_above_is_not_lettered() -> None:
    below = add(DESIGN, None, None, "encoder-12-screw", 40.0, 40.0, catalogue())
    done = letter_legends(below.design, None, None, catalogue()).design
    rows = {p.id: p for p in done.boards[0].arrangements[0].placements}
    assert rows[below.placement].label
    assert rows[below.placement].legend is None


def test_what_all_legends_of_a_board_have_in_common() -> None:
    done = set_lettering(DESIGN, None, colour="white").design
    lettering = done.boards[0].lettering
    assert lettering is not None and (lettering.height, lettering.colour, lettering.distance) == (5.0, "white", 700.0)
    assert set_lettering(done, None, height=8.0, distance=500.0).design.boards[0].lettering == lettering.model_copy(
        update={"height": 8.0, "distance": 500.0}
    )
    for wrong in ({"colour": "plaid"}, {"height": 300.0}, {"distance": 10.0}):
        with pytest.raises(EditError):
            set_lettering(DESIGN, None, **wrong)


def test_a_legend_goes_to_another_side_or_height_and_no_other_comes_of_it() -> None:
    own = set_legend(DESIGN, None, None, FIRST, text="A", turn=15.0).design
    legend = placed(letter_again(own, None, None, (FIRST,), "left", 4.0).design).legend
    assert legend is not None and (legend.place, legend.height, legend.turn) == ("left", 4.0, 15.0)
    assert letter_again(DESIGN, None, None, (FIRST,), "left", None).design == DESIGN
