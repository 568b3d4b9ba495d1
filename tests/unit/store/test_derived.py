"""What is made from revisions: kept by kind and program, by several at once, forgotten when the program changes."""

from __future__ import annotations

import threading
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest

from app.errors import StoreError
from app.store import Revision, Store, StoredChange, derived, open_store
from tests.unit.store.locked import locked


@pytest.fixture
def store(database_url: str) -> Iterator[Store]:
    opened = open_store(database_url)
    yield opened
    opened.close()


def test_read_back_is_what_was_kept_of_that_kind_and_program(store: Store) -> None:
    one, two = (store.add("a", "Test deck", "New deck").revision.id for _ in range(2))
    everything = bytes(range(256))
    store.derived.keep("picture", "p1", {one: everything, two: b""})
    store.derived.keep("verdict", "p1", {one: b"fits"})
    assert store.derived.read_many("picture", "p1", [two, one, "unknown"]) == {one: everything, two: b""}
    assert store.derived.read_many("verdict", "p1", [one, two]) == {one: b"fits"}
    assert store.derived.read_many("picture", "p2", [one, two]) == {}
    assert store.derived.read_many("picture", "p1", []) == {}


def test_what_is_there_stays_and_what_belongs_to_no_revision_is_left_out(store: Store) -> None:
    one, two = (store.add("a", "Test deck", "New deck").revision.id for _ in range(2))
    store.derived.keep("picture", "p1", {one: b"first"})
    store.derived.keep("picture", "p1", {one: b"second", "gone": b"x", two: b"other"})
    assert store.derived.read_many("picture", "p1", [one, two, "gone"]) == {one: b"first", two: b"other"}


def test_what_other_programs_made_of_a_kind_is_forgotten(store: Store) -> None:
    one = store.add("a", "Test deck", "New deck").revision.id
    for kind, code in (("picture", "p1"), ("picture", "p2"), ("verdict", "p1")):
        store.derived.keep(kind, code, {one: code.encode()})
    store.derived.clear_other_codes("picture", "p2")
    read = store.derived.read_many
    assert (read("picture", "p1", [one]), read("picture", "p2", [one])) == ({}, {one: b"p2"})
    assert read("verdict", "p1", [one]) == {one: b"p1"}


def test_more_than_one_statement_takes_are_kept_and_read(store: Store, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(derived, "_AT_ONCE", 2)
    ids = [store.add("a", "Test deck", "New deck").revision.id for _ in range(5)]
    values = {one: one.encode() for one in ids}
    store.derived.keep("picture", "p1", values)
    assert store.derived.read_many("picture", "p1", ids) == values


def test_two_that_keep_the_same_at_once_both_succeed(database_url: str) -> None:
    stores = [open_store(database_url), open_store(database_url)]
    design = stores[0].add("a", "Test deck", "New deck")
    failures: list[Exception] = []

    def keep(store: Store) -> None:
        try:
            for number in range(60):
                store.derived.keep("picture", f"p{number}", {design.revision.id: b"same"})
        except Exception as error:  # noqa: BLE001 - whatever it is must fail the test, not vanish in the thread
            failures.append(error)

    threads = [threading.Thread(target=keep, args=(store,)) for store in stores]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert failures == []
    read = stores[0].derived.read_many
    assert all(read("picture", f"p{n}", [design.revision.id]) == {design.revision.id: b"same"} for n in range(60))
    for store in stores:
        store.close()


def test_what_can_be_made_again_does_not_wait_for_a_crowd(tmp_path: Path) -> None:
    store = open_store(tmp_path)
    head = store.add("a", "Test deck", "New deck")
    design, revision = head.design.id, head.revision.id
    begun, go_on = threading.Event(), threading.Event()

    def slowly(before: Revision) -> StoredChange:
        begun.set()
        go_on.wait(30)
        return StoredChange("b", "Changed", "Test deck")

    with ThreadPoolExecutor(1) as pool:
        changed = pool.submit(store.edit, design, locked(slowly))
        begun.wait(30)
        with pytest.raises(StoreError, match="still waiting"):
            store.derived.keep("picture", "1", {revision: b"x"})
        assert not changed.done()  # it gave up while the edit went on, where an edit would wait for a minute
        go_on.set()
        assert changed.result(30).revision.document == "b"
    store.derived.keep("picture", "1", {revision: b"x"})
    assert store.derived.read_many("picture", "1", [revision]) == {revision: b"x"}
    store.close()
