"""Labels of designs: kept beside them, spelled alike, carried along, and refused when they cannot be."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from pathlib import Path

import pytest

from app.errors import EditError, NotFoundError
from app.store import open_store
from app.store.labels import MOST_LABELS
from app.store.tables import LABEL_LENGTH


def test_labels_are_kept_in_order_and_each_once(database_url: str) -> None:
    store = open_store(database_url)
    one, two = (store.add("{}", title, "New deck").design.id for title in ("One", "Two"))
    assert store.labels.set(one, [" two  players ", "Club", "club", "", "Äther"]) == ("club", "two players", "Äther")
    assert store.labels.set(two, ["CLUB"]) == ("club",)  # spelled as it is on the shelf already
    store.labels.set(one, ["Two Players"])  # nobody else has it, so it is spelled anew
    store.close()
    again = open_store(database_url)
    assert again.labels.all() == {one: ("Two Players",), two: ("club",)}
    again.labels.set(two, [])
    assert again.labels.all() == {one: ("Two Players",)}
    again.close()


REFUSED = {
    "up to 40 characters": (["x" * (LABEL_LENGTH + 1)], ["a\x00b"], ["a\x1bb"], ["\ud800"]),
    "no comma": (["a,b"],),
    "up to 12 labels, got 13": ([f"label {k}" for k in range(MOST_LABELS + 1)],),
}


def test_a_label_that_cannot_be_changes_nothing(database_url: str) -> None:
    store = open_store(database_url)
    design = store.add("{}", "One", "New deck").design.id
    store.labels.set(design, ["kept"])
    for said, each in REFUSED.items():
        for labels in each:
            with pytest.raises(EditError, match=said):
                store.labels.set(design, labels)
    assert store.labels.all() == {design: ("kept",)}
    with pytest.raises(NotFoundError):
        store.labels.set("none", ["x"])
    store.close()


def test_a_design_whose_entry_is_lost_is_not_labelled(tmp_path: Path) -> None:
    """Of a file alone: a server lets no entry go while its steps are there."""
    store = open_store(tmp_path)
    design = store.add("{}", "One", "New deck").design.id
    with closing(sqlite3.connect(tmp_path / "holewise.db")) as raw:
        raw.execute("DELETE FROM designs")
        raw.commit()
    with pytest.raises(EditError, match="entry on the shelf was lost"):
        store.labels.set(design, ["x"])
    store.close()
