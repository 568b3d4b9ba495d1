"""Text in the store: what is refused, and how it sorts, is the same on every database."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from datetime import UTC, datetime, timedelta, timezone

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from app.errors import EditError, NotFoundError
from app.store import Store, StoredChange, open_store
from app.store.engine.words import unstorable
from tests.postgres import ask

HALF = "\ud83d"  # the first half of a pair that stands for one character outside the first 65536


@pytest.fixture
def store(database_url: str) -> Iterator[Store]:
    opened = open_store(database_url)
    yield opened
    opened.close()


WRITING: dict[str, Callable[[Store, str, str], object]] = {
    "a new title": lambda store, _, text: store.add("{}", text, "New deck"),
    "a new document": lambda store, _, text: store.add(text, "Deck", "New deck"),
    "a changed title": lambda store, design, text: store.edit(design, lambda _: StoredChange("x", "Moved A", text)),
    "a step": lambda store, design, text: store.edit(design, lambda _: StoredChange("x", text, "Deck")),
    "a printer": lambda store, _, text: store.profiles.keep(text, "a4", 1.0, 1.0, "measured"),
    "what was measured": lambda store, _, text: store.profiles.keep("Desk", "a4", 1.0, 1.0, text),
}


@pytest.mark.parametrize("where", sorted(WRITING))
def test_what_no_database_should_get_is_refused_and_nothing_is_written(store: Store, where: str) -> None:
    design = store.add("{}", "Deck", "New deck").design.id
    before = (store.designs(), store.moments(design), store.profiles.all())
    for text, words in (("one\0two", "NUL"), (f"one{HALF}two", "character 4")):
        with pytest.raises(EditError, match=words):
            WRITING[where](store, design, text)
    assert (store.designs(), store.moments(design), store.profiles.all()) == before


@pytest.mark.parametrize("printer", ["P" * 80, "½″" * 40])
def test_a_name_may_be_as_long_as_its_column_and_no_longer(store: Store, printer: str) -> None:
    store.profiles.keep(printer, "a4", 1.0, 1.0, "measured")
    assert store.profiles.get(printer, "a4").printer == printer
    with pytest.raises(EditError, match="81 characters, and there is room for 80"):
        store.profiles.keep(printer + "x", "a4", 1.0, 1.0, "measured")


@pytest.mark.parametrize("odd", ["", "no\0thing", HALF, "x" * 33, "x" * 100_000, "' OR 1=1 --"])
def test_an_id_that_cannot_be_is_not_found(store: Store, odd: str) -> None:
    design = store.add("{}", "Deck", "New deck").design.id
    asking: list[Callable[[], object]] = [
        lambda: store.head(odd),
        lambda: store.moments(odd),
        lambda: store.history(odd),
        lambda: store.revision(design, odd),
        lambda: store.edit(odd, lambda _: StoredChange("x", "x", "x")),
        lambda: store.undo(odd, str),
        lambda: store.redo(odd, str),
        lambda: store.show(design, odd, str),
        lambda: store.remove(odd),
        lambda: store.put_back(odd),
    ]
    for asked in asking:
        with pytest.raises(NotFoundError) as caught:
            asked()
        str(caught.value).encode()
        assert len(str(caught.value)) < 500
    # As with a head that another window has moved on from: nothing happens.
    assert store.undo(design, str, odd or "none").design.id == design


@settings(max_examples=25, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.text(st.characters(exclude_categories=["Cs"], exclude_characters="\0"), max_size=60))
def test_every_other_text_is_read_back_as_it_was_written(store: Store, text: str) -> None:
    head = store.add(text, text, text)
    # What cannot be shown stands as a mark of its own in words; a document is read as it is.
    shown = (c if c in "\t\n\r" or 0x20 <= ord(c) != 0x7F else "\N{REPLACEMENT CHARACTER}" for c in text)
    words = "".join(shown)
    assert (head.revision.document, head.revision.summary, head.design.title) == (text, words, words)


@given(st.text(st.characters(), max_size=40), st.one_of(st.none(), st.integers(0, 40)))
def test_a_text_can_be_kept_if_it_fits_and_every_character_of_it_can(text: str, limit: int | None) -> None:
    can = "\0" not in text and not any(0xD800 <= ord(c) <= 0xDFFF for c in text)
    fits = limit is None or len(text) <= limit
    assert (unstorable(text, limit) == "") == (can and fits)


def test_printers_are_listed_by_name_whatever_language_a_server_sorts_by(store: Store) -> None:
    names = ["desk", "Attic", "desk 10", "Desk", "ähre", "attic", "Desk 2", "Zed", "-", "a b", "ab"]
    for name in names:
        store.profiles.keep(name, "a4", 1.0, 1.0, "measured")
    listed = [profile.printer for profile in store.profiles.all()]
    assert listed == sorted(names, key=lambda name: (name.casefold(), name))


def test_ids_sort_character_by_character(database_url: str, store: Store) -> None:
    """A server that sorts as English does would put small letters among capitals."""
    texts = ["b", "B", "a", "A", "-a", "a-", "é", "z"]
    for text in texts:
        store.profiles.keep(text, "a4", 1.0, 1.0, "measured")
    listed = [row[0] for row in ask(database_url, "SELECT printer FROM profiles ORDER BY printer")]
    assert listed == sorted(texts)


@pytest.mark.parametrize("x", [float("nan"), float("inf"), float("-inf")])
def test_a_factor_that_is_no_number_is_refused(store: Store, x: float) -> None:
    for pair in ((x, 1.0), (1.0, x)):
        with pytest.raises(EditError, match="not two numbers"):
            store.profiles.keep("Desk", "a4", *pair, "measured")
    assert store.profiles.all() == ()


def test_times_are_kept_in_utc_whatever_the_clock_of_server_or_user(database_url: str) -> None:
    when = datetime(2026, 3, 1, 2, 30, 0, 5, tzinfo=timezone(timedelta(hours=5, minutes=30)))
    store = open_store(database_url, lambda: when)
    head = store.add("{}", "Deck", "New deck")
    assert head.design.created == when
    assert head.design.created.tzinfo == UTC
    assert ask(database_url, "SELECT created FROM revisions") == [("2026-02-28T21:00:00.000005+00:00",)]
    store.close()
