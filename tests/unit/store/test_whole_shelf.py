"""Designs put on a shelf together, all of them or none, and read again as they are at one moment; on both databases."""

from __future__ import annotations

import threading
from datetime import UTC, datetime

import pytest

from app.errors import EditError
from app.store import Coming, DesignRow, Store, open_store

MADE, CHANGED = datetime(2026, 1, 5, 10, 0, tzinfo=UTC), datetime(2026, 2, 6, 11, 30, 15, 250_000, tzinfo=UTC)
WHOLE = Coming(
    "00a1b2c3d4e5", "Ähre ½", "now", "Opened", ("club", "two"), (("A", "first"), ("B", "second")), MADE, CHANGED
)
BARE = Coming("", "Bare", "only", "Opened", away=True)


def rows(store: Store) -> dict[str, DesignRow]:
    return {row.id: row for away in (False, True) for row in store.designs(removed=away)}


def test_what_is_put_on_is_read_again(database_url: str) -> None:
    store = open_store(database_url)
    whole, bare = store.put_on([WHOLE, BARE])
    assert whole == WHOLE.id
    found = {each.row.id: each for each in store.every_design()}
    assert (found[whole].document, found[whole].labels, found[whole].revisions) == (
        "now", ("club", "two"), (("A", "first"), ("B", "second"))
    )  # fmt: skip
    assert (found[bare].document, found[bare].labels, found[bare].revisions) == ("only", (), ())
    assert found[bare].row.removed
    assert not found[whole].row.removed
    assert (found[whole].row.created, found[whole].row.modified) == (MADE, CHANGED)
    assert {row.id: text for row, text in store.heads()} == {whole: "now", bare: "only"}
    assert [m.summary for m in store.moments(whole)] == ["Published revision A", "Published revision B", "Opened"]
    assert store.undo(whole, lambda _: "x").revision.document == "second"
    (again,) = store.put_on([WHOLE])
    assert again not in (whole, bare)  # an id is not given twice
    store.close()


def test_one_that_is_its_last_revision_has_no_step_more(database_url: str) -> None:
    store = open_store(database_url)
    (ident,) = store.put_on([Coming("", "Same", "second", "Opened", revisions=(("A", "first"), ("B", "second")))])
    assert [m.summary for m in store.moments(ident)] == ["Published revision A", "Published revision B"]
    assert store.head(ident).revision.document == "second"
    store.close()


@pytest.mark.parametrize("last", [Coming("", "No\0", "x", "Opened"), Coming("", "Label", "x", "Opened", ("y" * 41,))])
def test_if_one_cannot_be_kept_none_is(database_url: str, last: Coming) -> None:
    store = open_store(database_url)
    with pytest.raises(EditError):
        store.put_on([WHOLE, BARE, last])
    assert rows(store) == {}
    assert store.labels.all() == {}
    store.close()


def test_two_who_open_the_same_at_once_both_get_all_of_it(database_url: str) -> None:
    stores = [open_store(database_url), open_store(database_url)]
    coming = [Coming(f"{n:012x}", f"Deck {n}", "x", "Opened", ("club",)) for n in range(40)]
    failures: list[Exception] = []

    def put(store: Store) -> None:
        try:
            store.put_on(coming)
        except Exception as error:  # noqa: BLE001 - any is a failure
            failures.append(error)

    threads = [threading.Thread(target=put, args=(store,)) for store in stores]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert failures == []
    assert len(rows(stores[0])) == 80
    for store in stores:
        store.close()
