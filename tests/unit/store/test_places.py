"""Where a builder is in a drilling run: found again after a restart, carried along, and of two the last counts."""

from __future__ import annotations

import threading

from app.store import Store, open_store


def test_a_place_by_design_board_and_arrangement(database_url: str) -> None:
    store = open_store(database_url)
    store.places.keep("d", "deck", "one", "a/hole-1/through")
    store.places.keep("d", "deck", "two", "b/hole-1/pilot")
    store.places.keep("d", "deck", "one", "c/hole-1/through")
    store.close()
    again = open_store(database_url)
    assert again.places.read("d", "deck", "one") == "c/hole-1/through"
    assert again.places.read("d", "deck", "two") == "b/hole-1/pilot"
    assert again.places.read("d", "grille", "one") == again.places.read("e", "deck", "one") == ""
    again.close()


def test_two_phones_at_once_do_no_harm(database_url: str) -> None:
    """Each goes its way through forty steps; what is kept is a step one of them went to last, and nothing fails."""
    stores = [open_store(database_url), open_store(database_url)]
    failures: list[Exception] = []

    def walk(store: Store, phone: str) -> None:
        try:
            for step in range(20):
                store.places.keep("d", "deck", "one", f"{phone}/hole-{step}/through")
        except Exception as error:  # noqa: BLE001 - any is a failure
            failures.append(error)

    threads = [threading.Thread(target=walk, args=pair) for pair in zip(stores, ("a", "b"), strict=True)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert failures == []
    assert stores[0].places.read("d", "deck", "one") in {"a/hole-19/through", "b/hole-19/through"}
    for store in stores:
        store.close()
