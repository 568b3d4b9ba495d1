"""What was made from revisions: kept by kind and program, found again, forgotten with the program that made it."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from app.store import Store, open_store


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    opened = open_store(tmp_path)
    yield opened
    opened.close()


def test_values_are_found_by_kind_program_and_revision(store: Store) -> None:
    one, two = (store.add("{}", "Test deck", "New deck").revision.id for _ in range(2))
    store.derived.keep("picture", "p1", {one: b"drawn", two: b"\x00\xff"})
    assert store.derived.read_many("picture", "p1", [one, two, "none"]) == {one: b"drawn", two: b"\x00\xff"}
    assert store.derived.read_many("picture", "p1", [two]) == {two: b"\x00\xff"}
    assert store.derived.read_many("picture", "p2", [one]) == {}
    assert store.derived.read_many("verdict", "p1", [one]) == {}
    assert store.derived.read_many("picture", "p1", []) == {}


def test_what_another_process_has_kept_meanwhile_stays(store: Store, tmp_path: Path) -> None:
    one = store.add("{}", "Test deck", "New deck").revision.id
    other = open_store(tmp_path)
    other.derived.keep("picture", "p1", {one: b"first"})
    store.derived.keep("picture", "p1", {one: b"second"})
    assert store.derived.read_many("picture", "p1", [one]) == {one: b"first"}
    other.close()


def test_only_the_kind_of_other_programs_is_forgotten(store: Store) -> None:
    one = store.add("{}", "Test deck", "New deck").revision.id
    for kind in ("picture", "verdict"):
        for code in ("p1", "p2"):
            store.derived.keep(kind, code, {one: code.encode()})
    store.derived.clear_other_codes("picture", "p2")
    left = {(k, c) for k in ("picture", "verdict") for c in ("p1", "p2") if store.derived.read_many(k, c, [one])}
    assert left == {("picture", "p2"), ("verdict", "p1"), ("verdict", "p2")}
