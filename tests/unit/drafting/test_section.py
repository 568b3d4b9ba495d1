"""Sections: to scale, everything measured, no words in each other's way."""

from __future__ import annotations

from dataclasses import replace

import pytest

from app.catalogue.load import catalogue
from app.drafting.section import section
from app.errors import NotFoundError
from app.fit.report import check
from app.model.material import Layer
from app.model.resolved import ResolvedBoard
from tests.unit.drafting.boards import board, placed
from tests.unit.paper.ink import overlapping, text_boxes

THICKNESSES = (6.0, 12.0, 18.0, 19.05, 25.0)


def one_part(part: str, *layers: tuple[str, float], units: str = "mm") -> ResolvedBoard:
    """One part of the catalogue in the middle of a board of these layers."""
    made = board((placed("a", catalogue().parts[part], 200.0, 120.0, "B"),), units=units)
    return replace(made, layers=tuple(Layer(catalogue().materials[m], t) for m, t in layers))


@pytest.mark.parametrize("thickness", THICKNESSES)
@pytest.mark.parametrize("part", catalogue().parts)
def test_words_collide_neither_with_each_other_nor_the_frame(part: str, thickness: float) -> None:
    made = one_part(part, ("mdf", thickness))
    scene = section(made, "a", check(made, catalogue()).findings)
    boxes = text_boxes(scene)
    assert len(boxes) >= 5
    assert overlapping(boxes) == []
    for text, (x0, y0, x1, y1) in boxes:
        assert scene.x0 <= x0 and x1 <= scene.x1 and scene.y0 <= y0 and y1 <= scene.y1, text


def test_a_part_that_is_not_there_has_no_section() -> None:
    with pytest.raises(NotFoundError):
        section(one_part("button-28-nut-short", ("mdf", 18.0)), "gone")
