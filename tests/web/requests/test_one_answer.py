"""What an answer asks of the store: each thing once, and anew in the next answer."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Callable

import pytest
from starlette.testclient import TestClient

from app.document.where import Where
from app.service.background.one_answer import one_answer
from app.service.edits.changes import title_set
from app.service.workshop import NOBODY, Workshop
from app.store import Head, OwnBits, Store
from app.store.records import Revision, StoredChange

BENCH = {"HX-Request": "true", "HX-Target": "bench"}


@pytest.fixture
def asked(monkeypatch: pytest.MonkeyPatch) -> Counter[str]:
    """How often the store was asked for what."""
    told: Counter[str] = Counter()

    def counting(kind: type, name: str) -> None:
        was: Callable[..., object] = getattr(kind, name)

        def counted(*given: object, **named: object) -> object:
            told[name] += 1
            return was(*given, **named)

        monkeypatch.setattr(kind, name, counted)

    counting(Store, "head")
    counting(Store, "revision")
    counting(OwnBits, "read")
    return told


def test_a_move_asks_once_for_the_head_and_once_for_the_bits(
    client: TestClient, workshop: Workshop, deck: str, asked: Counter[str]
) -> None:
    seen = workshop.head(deck).revision.id
    asked.clear()
    sent = {"select": "d", "unit": "mm", "dx": "3", "dy": "3", "seen": seen}
    answer = client.post(f"/designs/{deck}/edit/move", data=sent, headers=BENCH, follow_redirects=False)
    assert asked == {"head": 1, "read": 1}
    shown = re.search(r'data-revision="(\w+)"', answer.text)
    assert shown is not None
    assert shown[1] == workshop.head(deck).revision.id != seen


def test_the_next_answer_sees_what_another_process_wrote(client: TestClient, workshop: Workshop, deck: str) -> None:
    assert "Two-seater" in client.get(f"/designs/{deck}", headers=BENCH).text
    _by_another(workshop, deck, "Renamed elsewhere")
    assert "Renamed elsewhere" in client.get(f"/designs/{deck}", headers=BENCH).text


def test_what_another_process_writes_while_an_answer_is_made_is_kept(workshop: Workshop, deck: str) -> None:
    with one_answer():
        workshop.head(deck)
        other = _by_another(workshop, deck, "Renamed elsewhere")
        head, _ = workshop.edit(deck, Where(), title_set("Renamed here"), NOBODY)
        assert head.revision.parent == other.revision.id
        assert workshop.head(deck) == head
    assert workshop.head(deck) == head


def _by_another(workshop: Workshop, deck: str, title: str) -> Head:
    """A step that this process' workshop hears nothing of."""

    def renamed(head: Revision) -> StoredChange:
        return StoredChange(head.document.replace("Two-seater", title), "Renamed", title)

    return workshop._store.edit(deck, renamed)
