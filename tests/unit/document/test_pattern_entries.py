"""Patterns in the design file: what is refused with its place, and what a part made of one is."""

from __future__ import annotations

import json
from typing import Any

import pytest

from app.catalogue.load import catalogue
from app.document.consistency import PATTERN_ID
from app.document.dump import dumps
from app.document.load import loads
from app.document.resolve import resolve
from app.errors import DocumentError
from tests.folding import each
from tests.unit.document.designs import small_design

Raw = dict[str, Any]
BOW = [{"x": 0, "y": 0}, {"x": 50, "y": 50}, {"x": 50, "y": 0}, {"x": 0, "y": 50}]


def design(**changes: object) -> Raw:
    """A small design with a pattern of holes on it, changed by name."""
    raw: Raw = json.loads(dumps(small_design()))
    pattern = {"id": "grille", "order": "square", "hole": 5.0, "pitch": 10.0, "boundary": {"width": 81.0}, **changes}
    raw["patterns"] = [pattern]
    placements = raw["boards"][0]["arrangements"][0]["placements"]
    placements.append({"id": "s1", "part": "grille", "x": 200, "y": 100, "label": "S1"})
    return raw


def test_a_placement_of_a_pattern_has_its_holes_and_nothing_else() -> None:
    board = resolve(loads(json.dumps(design())), None, None, catalogue())
    placed = board.placed("s1")
    assert placed is not None and placed.part.pattern is not None
    # A quarter of the places of a square of 7 × 7 cells and more: |x|, |y| in steps of 10 with √(x² + y²) ≤ 38.
    want = {(10 * i, 10 * j) for i in range(-4, 5) for j in range(-4, 5) if (10 * i) ** 2 + (10 * j) ** 2 <= 38**2}
    assert {(round(x - 200), round(y - 100)) for x, y in (h.centre for h in placed.holes)} == want
    assert (placed.part.flange, placed.part.fixing, placed.part.body.depth) == (None, None, 0.0)


def test_two_placements_may_be_of_one_pattern() -> None:
    raw = design()
    raw["boards"][0]["arrangements"][0]["placements"].append({"id": "s2", "part": "grille", "x": 100, "y": 100})
    board = resolve(loads(json.dumps(raw)), None, None, catalogue())
    assert [len(p.holes) for p in board.placements if p.part.pattern] == [45, 45]


def test_what_was_written_is_read_again() -> None:
    read = loads(json.dumps(design(numbers=[[0, 0], [1, 0], [0, -1]], name="Left grille")))
    assert loads(dumps(read)) == read
    assert read.patterns[0].numbers == ((0, 0), (1, 0), (0, -1))


@each(
    "changes, said",
    [
        ({"pitch": 5.0}, "Holes of 5 mm run into each other at a pitch of 5 mm. Widen the pitch"),
        ({"pitch": 0.001, "hole": 0.0001}, "Widen the pitch, or make the pattern smaller"),
        ({"boundary": {"width": 4.0}}, "No hole of this pattern fits into its boundary"),
        ({"boundary": {"width": 40.0, "inset": 18.0}}, "No hole of this pattern fits into its boundary"),
        ({"boundary": {"shape": "outline", "corners": BOW}}, "crosses or touches itself"),
        ({"boundary": {"shape": "outline"}}, "at least 3 corners, got 0"),
        ({"order": "slots", "length": 4.0}, "A slot is at least as long as wide, got 4 and 5 mm"),
        ({"order": "rings", "gap": 5.0}, "Rings of holes run into each other"),
    ],
)
def test_a_pattern_that_cannot_be_is_refused_with_its_place(changes: Raw, said: str) -> None:
    with pytest.raises(DocumentError, match=said) as caught:
        loads(json.dumps(design(**changes)))
    assert caught.value.place == "patterns[0]"


def test_a_pattern_has_the_id_of_no_other_pattern_or_part_of_the_design() -> None:
    raw = design()
    raw["patterns"].append(dict(raw["patterns"][0]))
    with pytest.raises(DocumentError, match='id of a part or pattern "grille" is there twice'):
        loads(json.dumps(raw))


def test_a_pattern_may_not_be_called_as_built_in_hardware() -> None:
    taken = next(iter(catalogue().parts))
    with pytest.raises(DocumentError, match=f'The id "{taken}" belongs to built-in hardware') as caught:
        loads(json.dumps(design(id=taken)))
    assert "patterns[0].id" in str(caught.value)


def test_no_built_in_hardware_is_called_as_patterns_are() -> None:
    assert [part for part in catalogue().parts if part.startswith(PATTERN_ID)] == []
