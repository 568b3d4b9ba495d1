"""Letters: A to Z without I and O, then two letters; never one twice."""

from __future__ import annotations

from itertools import islice, product
from string import ascii_uppercase

from app.arrange.letters import free_id, letter, letters, next_letter

SINGLE = [c for c in ascii_uppercase if c not in "IO"]


def test_the_order_is_single_letters_then_pairs_then_triples_without_i_and_o() -> None:
    pairs = ["".join(pair) for pair in product(SINGLE, repeat=2)]
    expected = [*SINGLE, *pairs, "AAA", "AAB"]
    assert list(islice(letters(), len(expected))) == expected
    assert [letter(0), letter(23), letter(24), letter(24 + 24**2)] == ["A", "Z", "AA", "AAA"]


def test_the_next_letter_is_the_first_free_one() -> None:
    assert next_letter(set()) == "A"
    assert next_letter(set("ABCDEFGH")) == "J"
    assert next_letter(set(SINGLE)) == "AA"


def test_an_id_that_is_taken_gets_a_number() -> None:
    assert free_id("a", set()) == "a"
    assert free_id("a", {"a", "a-2"}) == "a-3"
