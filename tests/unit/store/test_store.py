"""The store: edits, undo and redo, two writers, a killed process, a damaged file."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import threading
from collections.abc import Callable, Iterator
from datetime import UTC, datetime, timedelta
from functools import partial
from pathlib import Path

import pytest
from sqlalchemy import event
from sqlalchemy.engine import Engine

from app.errors import EditError, NotFoundError, StoreError
from app.store import Revision, Store, StoredChange, open_store
from tests.postgres import ask
from tests.together import let_go
from tests.tools import ROOT
from tests.unit.store.locked import locked

START = datetime(2026, 3, 1, 9, 0, 0, 250_000, tzinfo=UTC)
"""A time at which no old notes are forgotten: so with all but one step in a hundred."""


class Ticking:
    """A clock that moves one second with every look."""

    def __init__(self) -> None:
        self.now = START

    def __call__(self) -> datetime:
        self.now += timedelta(seconds=1)
        return self.now


@pytest.fixture
def store(database_url: str) -> Iterator[Store]:
    opened = open_store(database_url, Ticking())
    yield opened
    opened.close()


def adding(word: str) -> Callable[[Revision], StoredChange]:
    def change(head: Revision) -> StoredChange:
        return StoredChange(document=head.document + word, summary=f"Added {word}", title="Test deck")

    return change


def title_of(_document: str) -> str:
    return "Test deck"


def test_a_new_design_is_its_own_first_revision(store: Store) -> None:
    head = store.add("{}", "Test deck", "New deck")
    assert head.revision.number == 1
    assert head.revision.document == "{}"
    assert (head.undo, head.redo) == (None, None)
    assert head.design.created == START + timedelta(seconds=1)
    assert [row.id for row in store.designs()] == [head.design.id]


def test_undo_names_the_step_and_redo_makes_it_again(store: Store) -> None:
    design = store.add("a", "Test deck", "New deck").design.id
    store.edit(design, adding("b"))
    after = store.edit(design, adding("c"))
    assert after == store.head(design), "what a step gives back is what is stored"
    assert (after.revision.document, after.undo, after.redo) == ("abc", "Added c", None)
    undone = store.undo(design, title_of)
    assert (undone.revision.document, undone.undo, undone.redo) == ("ab", "Added b", "Added c")
    first = store.undo(design, title_of)
    assert (first.revision.document, first.undo, first.redo) == ("a", None, "Added b")
    assert store.undo(design, title_of).revision.document == "a"
    assert store.redo(design, title_of).revision.document == "ab"
    assert store.redo(design, title_of).revision.document == "abc"
    assert store.redo(design, title_of).revision.document == "abc"


def test_an_edit_after_undo_keeps_the_old_branch(store: Store) -> None:
    design = store.add("a", "Test deck", "New deck").design.id
    store.edit(design, adding("b"))
    store.undo(design, title_of)
    head = store.edit(design, adding("x"))
    assert head == store.head(design)
    assert (head.revision.document, head.redo) == ("ax", None)
    assert [row.document for row in store.history(design)] == ["a", "ab", "ax"]
    assert [row.number for row in store.history(design)] == [1, 2, 3]
    assert store.undo(design, title_of).redo == "Added x"


def test_undo_and_redo_work_after_a_restart(database_url: str) -> None:
    first = open_store(database_url)
    design = first.add("a", "Test deck", "New deck").design.id
    first.edit(design, adding("b"))
    first.edit(design, adding("c"))
    first.undo(design, title_of)
    first.close()
    second = open_store(database_url)
    head = second.head(design)
    assert (head.revision.document, head.undo, head.redo) == ("ab", "Added b", "Added c")
    assert second.redo(design, title_of).revision.document == "abc"
    second.close()


def test_a_change_that_changes_nothing_makes_no_revision(store: Store) -> None:
    design = store.add("a", "Test deck", "New deck").design.id
    store.edit(design, lambda head: StoredChange(head.document, "Moved nothing", "Test deck"))
    assert len(store.history(design)) == 1


def test_others_write_while_a_change_is_worked_out_and_it_is_worked_out_anew_on_what_they_wrote(store: Store) -> None:
    design = store.add("a", "Test deck", "New deck").design.id
    other = store.add("z", "Other deck", "New deck").design.id
    seen: list[str] = []

    def slow(head: Revision) -> StoredChange:
        if not seen:
            store.edit(other, adding("y"))
            store.edit(design, adding("b"))
        seen.append(head.document)
        return adding("c")(head)

    assert store.edit(design, slow).revision.document == "abc"
    assert seen == ["a", "ab"]
    assert [row.document for row in store.history(design)] == ["a", "ab", "abc"]


def test_a_server_is_asked_once_for_the_head_and_once_to_write_a_step(database_url: str) -> None:
    if database_url.startswith("sqlite"):
        pytest.skip("a file is asked at once")
    store = open_store(database_url, Ticking())
    design = store.add("a", "Test deck", "New deck").design.id
    asked: list[str] = []
    record = partial(_record, asked)
    event.listen(Engine, "before_cursor_execute", record)
    head = store.edit(design, adding("b"), "one window")
    event.remove(Engine, "before_cursor_execute", record)
    assert len(asked) == 2
    assert head == store.head(design)
    assert store.steps_of("one window") == {head.revision.id}
    store.close()


def _record(asked: list[str], _connection: object, _cursor: object, statement: str, *_: object) -> None:
    asked.append(statement)


def test_a_step_is_the_same_by_one_statement_and_by_several(database_url: str) -> None:
    for wrapped in (adding, lambda word: locked(adding(word))):
        store = open_store(database_url, Ticking())
        design = store.add("a", "Test deck", "New deck").design.id
        store.edit(design, adding("b"))
        store.undo(design, title_of)
        store.remove(design)
        assert store.edit(design, wrapped("x")).design.removed, "a step does not put a design back on the shelf"
        store.put_back(design)
        store.undo(design, title_of)
        head = store.edit(design, wrapped("y"), design)
        assert head == store.head(design)
        assert [(m.number, m.redo) for m in store.moments(design)] == [(1, None), (2, None), (3, None), (4, None)]
        assert store.steps_of(design) == {head.revision.id}
        store.close()


def test_a_change_that_only_what_came_meanwhile_makes_possible_is_made(store: Store) -> None:
    design = store.add("a", "Test deck", "New deck").design.id

    def after_b(head: Revision) -> StoredChange:
        if not head.document.endswith("b"):
            store.edit(design, adding("b"))
            raise EditError("There is no b.", "b")
        return adding("c")(head)

    assert store.edit(design, after_b).revision.document == "abc"


def test_a_change_that_fails_writes_nothing(store: Store) -> None:
    design = store.add("a", "Test deck", "New deck").design.id

    def fails(_head: Revision) -> StoredChange:
        raise NotFoundError("no such part")

    with pytest.raises(NotFoundError, match="no such part"):
        store.edit(design, fails)
    assert store.head(design).revision.document == "a"
    assert len(store.history(design)) == 1


def test_removing_is_undone_by_putting_back(store: Store) -> None:
    design = store.add("a", "Test deck", "New deck").design.id
    store.remove(design)
    assert store.designs() == ()
    assert [row.id for row in store.designs(removed=True)] == [design]
    store.put_back(design)
    assert [row.id for row in store.designs()] == [design]


def test_shelf_lists_the_last_changed_first(store: Store) -> None:
    first = store.add("a", "First", "New deck").design.id
    second = store.add("b", "Second", "New deck").design.id
    assert [row.id for row in store.designs()] == [second, first]
    store.edit(first, adding("c"))
    assert [row.id for row in store.designs()] == [first, second]


def test_two_threads_at_once_lose_nothing(database_url: str) -> None:
    stores = [open_store(database_url), open_store(database_url)]
    design = stores[0].add("", "Test deck", "New deck").design.id
    rounds = 25
    failures: list[Exception] = []

    def work(store: Store, word: str) -> None:
        try:
            for _ in range(rounds):
                store.edit(design, adding(word))
        except Exception as error:  # noqa: BLE001 - whatever it is must fail the test, not vanish in the thread
            failures.append(error)

    threads = [threading.Thread(target=work, args=pair) for pair in zip(stores, "pq", strict=True)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert failures == []
    document = stores[0].head(design).revision.document
    assert (document.count("p"), document.count("q")) == (rounds, rounds)
    assert len(stores[0].history(design)) == 1 + 2 * rounds
    for store in stores:
        store.close()


EDITOR = """
import sys
from app.store import StoredChange as Change, open_store
url, design, word, rounds = sys.argv[1:]
store = open_store(url)
print("ready", flush=True)
sys.stdin.readline()
for _ in range(int(rounds)):
    store.edit(design, lambda r: Change(r.document + word, f"Added {word}", "Test deck"))
store.close()
"""


def test_two_processes_at_once_both_keep_their_work(database_url: str) -> None:
    store = open_store(database_url)
    design = store.add("", "Test deck", "New deck").design.id
    rounds = 40
    commands = [[sys.executable, "-c", EDITOR, database_url, design, word, str(rounds)] for word in "pq"]
    processes = [
        subprocess.Popen(command, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True) for command in commands
    ]
    let_go(processes)
    for process in processes:
        process.communicate(timeout=60)
        assert process.returncode == 0
    head = store.head(design).revision
    assert (head.document.count("p"), head.document.count("q")) == (rounds, rounds)
    # Each step was made from the one before it: the whole history is one line, without a branch.
    moments = store.moments(design)
    assert [moment.number for moment in moments] == list(range(1, 2 * rounds + 2))
    assert [moment.parent for moment in moments] == [None, *(moment.id for moment in moments[:-1])]
    store.close()


WRITER = """
import sys
from app.store import StoredChange as Change, open_store
store = open_store(sys.argv[1])
design = sys.argv[2]
while True:
    head = store.edit(design, lambda r: Change(r.document + "x" * 997 + "\\n", "Added a line", "Test deck"))
    print(head.revision.number, flush=True)
"""


def test_killed_in_mid_write_the_store_is_intact(database_url: str) -> None:
    store = open_store(database_url)
    design = store.add("", "Test deck", "New deck").design.id
    for _ in range(3):
        before = store.head(design).revision.number
        with subprocess.Popen(
            [sys.executable, "-c", WRITER, database_url, design], stdout=subprocess.PIPE, text=True
        ) as process:
            assert process.stdout is not None
            confirmed = before
            for _ in range(12):
                confirmed = int(process.stdout.readline())
            os.kill(process.pid, signal.SIGKILL)
            confirmed = max([confirmed, *(int(line) for line in process.stdout.read().split())])
        reopened = open_store(database_url)
        head = reopened.head(design)
        # Whatever was confirmed is there, whole; at most the one step in flight is there as well.
        assert confirmed <= head.revision.number <= confirmed + 1
        assert len(head.revision.document) == (head.revision.number - 1) * 998
        assert [row.number for row in reopened.history(design)] == list(range(1, head.revision.number + 1))
        reopened.close()
    if database_url.startswith("sqlite"):
        assert ask(database_url, "PRAGMA integrity_check") == [("ok",)]
        assert ask(database_url, "PRAGMA foreign_key_check") == []
    store.close()


@pytest.mark.skipif(sys.platform == "win32", reason="a process is killed another way there")
def test_killed_with_a_transaction_open_leaves_the_head_as_it_was(database_url: str) -> None:
    store = open_store(database_url)
    design = store.add("whole", "Test deck", "New deck").design.id
    script = (
        "import os, signal, sys\nfrom app.store import open_store\n"
        "import app.store.store as m\n"
        "store = open_store(sys.argv[1])\n"
        "m.set_head = lambda *a: os.kill(os.getpid(), signal.SIGKILL)\n"
        "from app.store import StoredChange as Change\n"
        "from tests.unit.store.locked import locked\n"
        "store.edit(sys.argv[2], locked(lambda r: Change('half', 'Half', 'Test deck')))\n"
    )
    finished = subprocess.run([sys.executable, "-c", script, database_url, design], check=False, cwd=ROOT)
    assert finished.returncode == -signal.SIGKILL
    assert store.head(design).revision.document == "whole"
    assert len(store.history(design)) == 1
    assert store.edit(design, adding("!")).revision.document == "whole!"
    store.close()


def test_a_damaged_database_is_named_and_left_alone(tmp_path: Path) -> None:
    file = tmp_path / "holewise.db"
    rubbish = b"this was a database once" * 100
    file.write_bytes(rubbish)
    with pytest.raises(StoreError, match="damaged") as caught:
        open_store(tmp_path)
    assert str(file) in str(caught.value)
    assert "backup copy" in str(caught.value)
    assert file.read_bytes() == rubbish


def test_a_folder_that_cannot_be_made_says_what_to_do(tmp_path: Path) -> None:
    blocker = tmp_path / "file"
    blocker.write_text("not a folder")
    with pytest.raises(StoreError, match="--data FOLDER") as caught:
        open_store(blocker / "data")
    assert str(blocker) in str(caught.value)


def test_a_newer_database_is_refused(database_url: str) -> None:
    store = open_store(database_url)
    store.close()
    ask(database_url, "UPDATE meta SET value = '99' WHERE key = 'version'")
    with pytest.raises(StoreError, match="newer Holewise"):
        open_store(database_url)


def test_unknown_designs_and_foreign_revisions_are_not_found(store: Store) -> None:
    one = store.add("a", "One", "New deck")
    two = store.add("b", "Two", "New deck")
    with pytest.raises(NotFoundError, match="no design"):
        store.head("nope")
    with pytest.raises(NotFoundError, match="not in the store"):
        store.revision(one.design.id, two.revision.id)
    assert store.revision(one.design.id, one.revision.id).document == "a"
