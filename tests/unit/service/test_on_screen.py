"""What windows show while something is dragged in them: read once in a while, never another revision's."""

from __future__ import annotations

from pathlib import Path

import pytest

from app.arrange.new_deck.new_deck_spec import NewDeck
from app.errors import NotFoundError
from app.service import on_screen
from app.service.on_screen import OnScreen
from app.service.workshop import Workshop
from app.store import Revision, Store, open_store

SPEC = NewDeck(title="Two-seater", players=2, width=760.0, depth=260.0)


@pytest.fixture
def asked(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """The revisions that the store was asked for, as they are."""
    told: list[str] = []
    read = Store.revision

    def revision(self: Store, design_id: str, revision_id: str) -> Revision:
        told.append(revision_id)
        return read(self, design_id, revision_id)

    monkeypatch.setattr(Store, "revision", revision)
    return told


def test_each_of_many_that_drag_at_once_is_read_once(tmp_path: Path, asked: list[str]) -> None:
    store = open_store(tmp_path)
    workshop = Workshop(store)
    heads = [workshop.create(SPEC) for _ in range(3)]
    shown = OnScreen(store, workshop.bench)
    for _ in range(5):
        for head in heads:
            assert shown.shown(head.design.id, head.revision.id).revision == head.revision.id
    assert asked == [head.revision.id for head in heads]
    store.close()


def test_the_bits_are_looked_at_again_after_a_while(
    tmp_path: Path, asked: list[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    clock = [100.0]
    monkeypatch.setattr(on_screen, "monotonic", lambda: clock[0])
    store = open_store(tmp_path)
    workshop = Workshop(store)
    head = workshop.create(SPEC)
    shown = OnScreen(store, workshop.bench)
    shown.shown(head.design.id, head.revision.id)
    clock[0] += 2.0
    shown.shown(head.design.id, head.revision.id)
    assert len(asked) == 2
    store.close()


def test_where_no_such_revision_is_there_the_newest_is_shown(tmp_path: Path) -> None:
    store = open_store(tmp_path)
    workshop = Workshop(store)
    head, other = workshop.create(SPEC), workshop.create(SPEC)
    shown = OnScreen(store, workshop.bench)
    for seen in ("", "unknown", other.revision.id):
        assert shown.shown(head.design.id, seen).revision == head.revision.id
    with pytest.raises(NotFoundError):
        shown.shown("unknown", head.revision.id)
    store.close()
