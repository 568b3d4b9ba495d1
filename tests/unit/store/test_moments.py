"""Going to any moment: nothing is lost, and Undo and Redo go on from there."""

from __future__ import annotations

from collections.abc import Callable, Iterator

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from app.errors import NotFoundError
from app.store import Revision, Store, StoredChange, open_store


@pytest.fixture
def store(database_url: str) -> Iterator[Store]:
    opened = open_store(database_url)
    yield opened
    opened.close()


def adding(word: str) -> Callable[[Revision], StoredChange]:
    return lambda head: StoredChange(document=head.document + word, summary=f"Added {word}", title=f"Up to {word}")


def title_of(document: str) -> str:
    return f"Up to {document[-1:]}"


def made(store: Store, words: str) -> str:
    design = store.add("", "Test deck", "New deck").design.id
    for word in words:
        store.edit(design, adding(word))
    return design


def test_moments_tell_every_step_without_documents(store: Store) -> None:
    design = made(store, "abc")
    moments = store.moments(design)
    assert [m.summary for m in moments] == ["New deck", "Added a", "Added b", "Added c"]
    assert [m.number for m in moments] == [1, 2, 3, 4]
    assert [m.parent for m in moments] == [None, *(m.id for m in moments[:-1])]


def test_going_back_and_redo_forward_again(store: Store) -> None:
    design = made(store, "abcd")
    moments = store.moments(design)
    head = store.show(design, moments[1].id, title_of)
    assert (head.revision.document, head.design.title) == ("a", "Up to a")
    assert (head.undo, head.redo) == ("Added a", "Added b")
    for expected in ("ab", "abc", "abcd"):
        assert store.redo(design, title_of).revision.document == expected
    assert store.head(design).redo is None


def test_a_branch_left_aside_can_be_gone_to_and_walked(store: Store) -> None:
    design = made(store, "ab")
    aside = store.head(design).revision.id
    store.undo(design, title_of)
    store.undo(design, title_of)
    store.edit(design, adding("x"))
    assert store.show(design, aside, title_of).revision.document == "ab"
    assert store.undo(design, title_of).revision.document == "a"
    assert store.undo(design, title_of).revision.document == ""
    assert store.redo(design, title_of).revision.document == "a"
    assert store.redo(design, title_of).revision.document == "ab"


def test_a_moment_of_another_design_is_refused(store: Store) -> None:
    one, other = made(store, "a"), made(store, "b")
    before = store.head(one)
    with pytest.raises(NotFoundError, match="timeline"):
        store.show(one, store.head(other).revision.id, title_of)
    with pytest.raises(NotFoundError, match="timeline"):
        store.show(one, "nonsense", title_of)
    with pytest.raises(NotFoundError):
        store.moments("nonsense")
    assert store.head(one) == before


@settings(max_examples=15, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.lists(st.sampled_from("euRs"), max_size=25), st.randoms(use_true_random=False))
def test_however_one_wanders_nothing_is_lost_and_redo_undoes_undo(
    store: Store, steps: list[str], chance: object
) -> None:
    """Edit, undo, redo and go to in any order: every document ever made can still be shown."""
    design = made(store, "a")
    documents = {m.id: store.revision(design, m.id).document for m in store.moments(design)}
    for index, step in enumerate(steps):
        if step == "e":
            store.edit(design, adding(chr(98 + index % 24)))
        elif step == "u":
            before = store.head(design)
            after = store.undo(design, title_of)
            if before.revision.parent is not None:
                assert after.revision.id == before.revision.parent
                assert after.redo == before.revision.summary
        elif step == "R":
            store.redo(design, title_of)
        else:
            goal = chance.choice(sorted(documents))  # type: ignore[attr-defined]
            assert store.show(design, goal, title_of).revision.document == documents[goal]
        head = store.head(design).revision
        documents[head.id] = head.document
    assert {m.id: store.revision(design, m.id).document for m in store.moments(design)} == documents
