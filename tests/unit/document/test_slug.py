"""Names of files and ids from words."""

from __future__ import annotations

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.document.slug import slug


@given(st.lists(st.text(max_size=60), max_size=4), st.integers(1, 90))
def test_whatever_the_words_the_name_is_one_every_system_takes(words: list[str], longest: int) -> None:
    made = slug(*words, longest=longest, empty="x")
    assert re.fullmatch("[a-z0-9]+(-[a-z0-9]+)*", made)
    assert len(made) <= longest


@pytest.mark.parametrize(
    ("words", "made"),
    [
        (("Harbour Lane", "two-seater"), "harbour-lane-two-seater"),
        (("Büro № 7", "", "top"), "buro-no-7-top"),  # NFKD: № is No
        (("Ω",), "design"),
        ((), "design"),
    ],
)
def test_accents_go_and_what_has_no_plain_letter_is_left_out(words: tuple[str, ...], made: str) -> None:
    assert slug(*words) == made


def test_a_long_name_ends_with_no_hyphen() -> None:
    assert slug("abcd efgh", longest=5) == "abcd"
