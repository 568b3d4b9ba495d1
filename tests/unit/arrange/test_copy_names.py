"""What copies are called."""

from __future__ import annotations

import pytest

from app.arrange.copy_names import copy_name
from app.model.limits import WORDS


@pytest.mark.parametrize(
    ("name", "taken", "wanted"),
    [
        ("Deck", (), "Deck copy"),
        ("Deck", ("Deck", "DECK COPY "), "Deck copy 2"),
        ("Deck copy", ("Deck copy",), "Deck copy 2"),
        ("Deck copy 2", ("Deck copy", "Deck copy 2"), "Deck copy 3"),
        ("Deck copy 7", (), "Deck copy"),
        ("Photocopy", (), "Photocopy copy"),
        ("", (), "Untitled copy"),
    ],
)
def test_a_copy_is_called_after_what_it_copies_and_like_nothing_else(
    name: str, taken: tuple[str, ...], wanted: str
) -> None:
    assert copy_name(name, taken) == wanted


def test_the_longest_name_has_room_for_being_a_copy() -> None:
    first = copy_name("x" * WORDS.most, ())
    second = copy_name("x" * WORDS.most, (first,))
    assert len(first) == len(second) == WORDS.most
    assert first.endswith("x copy") and second.endswith("x copy 2")
