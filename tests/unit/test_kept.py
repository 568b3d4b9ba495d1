"""What is kept is bounded by what it weighs, not by how many there are."""

from __future__ import annotations

import pytest

from app.document.dump import dumps
from app.errors import DocumentError
from app.service.checking import Revised, _designs, parsed
from app.service.kept import Kept
from tests.bench.boards import grid


def test_many_light_ones_are_kept_or_few_heavy_ones() -> None:
    light, heavy = Kept[int](100), Kept[int](100)
    for k in range(50):
        light.get(k, 2, lambda k=k: k)  # type: ignore[misc]
        heavy.get(k, 40, lambda k=k: k)  # type: ignore[misc]
    assert (len(light), light.weight) == (50, 100)
    assert (len(heavy), heavy.weight) == (100 // 40, 80)


def test_the_one_asked_for_longest_ago_goes_first() -> None:
    kept, made = Kept[str](3), list[str]()
    for name in ("a", "b", "c", "a", "d", "a", "b"):
        kept.get(name, 1, lambda name=name: _noted(made, name))  # type: ignore[misc]
    assert made == ["a", "b", "c", "d", "b"]


def test_the_last_is_kept_whatever_it_weighs() -> None:
    kept = Kept[object](10)
    first = kept.get("large", 1000, object)
    assert kept.get("large", 1000, object) is first
    kept.get("small", 1, object)
    assert (len(kept), kept.weight) == (1, 1)


def test_what_cannot_be_made_is_not_kept() -> None:
    kept = Kept[object](10)

    def fails() -> object:
        raise DocumentError("it is none")

    with pytest.raises(DocumentError):
        kept.get("bad", 1, fails)
    assert (len(kept), kept.weight) == (0, 0)


def test_a_hundred_revisions_of_a_large_board_do_not_weigh_a_hundred_times_as_much() -> None:
    text = dumps(grid(1000))
    for k in range(60):
        parsed(Revised(f"large-{k}", text))
    weight = 20 * len(text)
    assert 60 * weight > 64_000_000
    assert _designs.weight <= 64_000_000
    assert len(_designs) <= 60


def _noted(made: list[str], name: str) -> str:
    made.append(name)
    return name
