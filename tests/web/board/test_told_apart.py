"""A narrow list of hardware shows what differs."""

from __future__ import annotations

import pytest

from app.catalogue.load import catalogue
from app.service.screens.choices import told_apart


def test_sticks_aretold_apart_by_their_plates() -> None:
    names = [
        "Stick, plate 95 × 53 mm below the board, screws 84 × 40 mm",
        "Stick, short lever, plate 95 × 53 mm below the board, screws 84 × 40 mm",
        "Stick, plate 104 × 66 mm below the board, screws 92 × 54 mm",
    ]
    assert told_apart(names) == ("Plate 95 × 53 mm", "Short lever", "Plate 104 × 66 mm")


def test_as_much_is_said_as_it_takes() -> None:
    names = ["Button, 28 mm hole, nut, long thread", "Button, 28 mm hole, nut, long thread, lit", "Large button, dome"]
    assert told_apart(names) == ("28 mm hole, nut, long thread", "28 mm hole, nut, long thread, lit", "Large button")
    assert told_apart(["Fan, 80 mm", "Fan, 80 mm"]) == ("80 mm", "80 mm")


@pytest.mark.parametrize("kind", sorted({p.kind for p in catalogue().parts.values()}))
def test_no_two_parts_of_a_kind_are_called_alike_and_none_is_cut_off(kind: str) -> None:
    names = [p.name for p in catalogue().parts.values() if p.kind == kind]
    told = told_apart(names)
    assert len(set(told)) == len(names)
    # About as many letters as the list in the card has room for.
    assert all(len(words) <= 34 for words in told) or kind in ("socket", "toggle"), told
