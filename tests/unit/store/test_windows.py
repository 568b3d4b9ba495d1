"""Which window did which step: noted with the step itself, for every process, and forgotten in time."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from app.store import Revision, Store, StoredChange, open_store
from app.store.windows import REMEMBERED


class Clock:
    """A clock that stands still until it is moved."""

    def __init__(self) -> None:
        self.now = datetime(2026, 1, 1, tzinfo=UTC)

    def __call__(self) -> datetime:
        return self.now


@pytest.fixture
def clock() -> Clock:
    return Clock()


@pytest.fixture
def store(tmp_path: Path, clock: Clock) -> Iterator[Store]:
    opened = open_store(tmp_path, clock)
    yield opened
    opened.close()


def longer(head: Revision) -> StoredChange:
    return StoredChange(head.document + "x", "Longer", "Deck")


def title_of(document: str) -> str:
    return "Deck"


def test_a_step_belongs_to_the_window_that_made_it_for_every_process(
    store: Store, tmp_path: Path, clock: Clock
) -> None:
    design = store.add("", "Deck", "New").design.id
    one = store.edit(design, longer, "one").revision.id
    two = store.edit(design, longer, "two").revision.id
    store.edit(design, longer)
    other = open_store(tmp_path, clock)
    assert other.steps_of("one") == {one}
    assert other.steps_of("two") == {two}
    assert other.steps_of("") == other.steps_of("three") == frozenset()
    other.close()


def test_who_took_a_step_back_or_made_it_again_has_it(store: Store) -> None:
    design = store.add("", "Deck", "New").design.id
    step = store.edit(design, longer, "one").revision.id
    store.undo(design, title_of, step, "two")
    assert [store.steps_of("one"), store.steps_of("two")] == [frozenset(), frozenset({step})]
    store.redo(design, title_of, "", "three")
    assert [store.steps_of("two"), store.steps_of("three")] == [frozenset(), frozenset({step})]
    store.undo(design, title_of)
    assert store.steps_of("three") == frozenset(), "somebody without a name took it back"


def test_what_was_not_done_is_not_noted(store: Store) -> None:
    design = store.add("", "Deck", "New").design.id
    step = store.edit(design, longer, "one").revision.id
    store.undo(design, title_of, "another head", "two")
    store.redo(design, title_of, "", "two")
    store.edit(design, lambda head: StoredChange(head.document, "Nothing", "Deck"), "two")
    with pytest.raises(ZeroDivisionError):
        store.edit(design, lambda head: StoredChange(head.document * (1 // 0), "Broken", "Deck"), "two")
    assert store.steps_of("two") == frozenset()
    assert store.steps_of("one") == {step}


def test_what_is_old_is_forgotten_with_the_next_step(store: Store, clock: Clock) -> None:
    design = store.add("", "Deck", "New").design.id
    store.edit(design, longer, "one")
    clock.now += REMEMBERED
    kept = store.edit(design, longer, "one").revision.id
    assert len(store.steps_of("one")) == 2
    clock.now += timedelta(microseconds=1)
    newest = store.edit(design, longer, "one").revision.id
    assert store.steps_of("one") == {kept, newest}


@pytest.mark.parametrize("name", ["x" * 100_000, "\x00\ud800", "'; --"])
def test_a_window_may_call_itself_anything(store: Store, name: str) -> None:
    design = store.add("", "Deck", "New").design.id
    assert store.steps_of(name) == frozenset()
    step = store.edit(design, longer, name).revision.id
    assert store.steps_of(name) == {step}
