"""A whole store moved between databases, backed up while others work with it, and restored."""

from __future__ import annotations

import hashlib
import json
import subprocess
import sys
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest

from app.errors import StoreError
from app.store import Store, StoredChange, backups, open_store
from app.store.copying import StoreContents, tally
from app.store.engine.place import file_place, place_of
from app.store.tables import SCHEMA_VERSION
from tests.postgres import Server, ask
from tests.tools import ROOT
from tests.unit.store.old_stores import make_old_store

NOW = datetime(2026, 3, 1, 9, 0, tzinfo=UTC)


@pytest.fixture
def other_url(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[str]:
    """The URL of a second empty database, of the kind the test's parameter names."""
    if request.param == "sqlite":
        yield f"sqlite:///{tmp_path / 'other' / 'holewise.db'}"
        return
    server: Server = request.getfixturevalue("postgres")
    yield server.new_schema()


def fill(url: str) -> None:
    """Two designs with branches and odd characters, one taken off the shelf, a printer, and a derived thing."""
    with opened(url) as store:
        one = store.add('{"ledge": "½″ – 𝟙"}', "Zebra", "New deck").design.id
        for word in ("a", "b", "c"):
            store.edit(one, lambda head, word=word: StoredChange(head.document + word, f"Added {word}", "Ähre"))  # type: ignore[misc]
        store.undo(one, lambda _: "Ähre")
        store.edit(one, lambda head: StoredChange(head.document + "x", "Added x", "alder"))
        two = store.add("{}", "", "New deck")
        store.remove(two.design.id)
        store.labels.set(one, ["½ price", "club"])
        store.profiles.keep("Desk", "a4", 1.0 / 3.0, 0.1 + 0.2, "A 189.8 mm")
        store.derived.keep("picture", "p1", {two.revision.id: b"x"})


@contextmanager
def opened(url: str) -> Iterator[Store]:
    store = open_store(url)
    try:
        yield store
    finally:
        store.close()


def tally_of(url: str) -> StoreContents:
    with opened(url) as store, store._database.reading() as connection:
        return tally(connection)


def everything(url: str) -> list[list[tuple[object, ...]]]:
    """Every row that is to be copied, read without any code of Holewise."""
    return [
        sorted(map(tuple, ask(url, f"SELECT {columns} FROM {table}")), key=repr)  # noqa: S608 - written here
        for table, columns in (
            ("designs", "id, title, created, modified, head, removed"),
            ("revisions", "id, design, parent, number, summary, document, created, redo"),
            ("profiles", "printer, paper, x, y, measured, made"),
            ("labels", "design, label, made"),
        )
    ]


@pytest.mark.parametrize("other_url", ["sqlite", "postgresql"], indirect=True)
def test_everything_is_moved_to_the_last_bit_and_proved(database_url: str, other_url: str) -> None:
    fill(database_url)
    before = everything(database_url)
    there, here = backups.move(place_of(database_url), place_of(other_url))
    assert there == here
    assert (there.designs, there.revisions, there.profiles) == (2, 6, 1)
    assert everything(other_url) == before == everything(database_url)
    assert ask(other_url, "SELECT count(*) FROM derived") == [(0,)]
    with opened(other_url) as store:
        (row,) = store.designs()
        assert store.undo(row.id, lambda _: "alder").redo == "Added x"


def test_the_digest_is_over_every_value_in_a_fixed_order(database_url: str) -> None:
    fill(database_url)
    designs, revisions, profiles, labels = everything(database_url)
    rows = [["designs", *row] for row in sorted(designs)]
    rows += [["revisions", *row] for row in sorted(revisions, key=lambda row: (row[1], row[3]))]
    rows += [["profiles", *row] for row in sorted(profiles)]
    rows += [["labels", *row] for row in sorted(labels)]
    whole = "".join(json.dumps(row) + "\n" for row in rows)
    assert tally_of(database_url).digest == hashlib.sha256(whole.encode()).hexdigest()


@pytest.mark.parametrize(
    "change",
    [
        "UPDATE profiles SET x = 0.3333333333333334",
        "UPDATE revisions SET redo = id WHERE number = 2",
        "UPDATE designs SET title = 'alder ' WHERE title = 'alder'",
        "DELETE FROM profiles",
    ],
)
def test_any_change_changes_the_digest(database_url: str, change: str) -> None:
    fill(database_url)
    before = tally_of(database_url).digest
    ask(database_url, change)
    assert tally_of(database_url).digest != before


SPOILING = {
    "sqlite": """CREATE TRIGGER spoil AFTER INSERT ON revisions WHEN NEW.number = 2
        BEGIN UPDATE revisions SET summary = 'spoilt' WHERE id = NEW.id; END""",
    "postgresql": """CREATE FUNCTION spoil() RETURNS trigger LANGUAGE plpgsql
        AS $$ BEGIN NEW.summary := 'spoilt'; RETURN NEW; END $$;
        CREATE TRIGGER spoil BEFORE INSERT ON revisions FOR EACH ROW WHEN (NEW.number = 2) EXECUTE FUNCTION spoil()""",
}


@pytest.mark.parametrize("other_url", ["sqlite", "postgresql"], indirect=True)
def test_a_copy_that_reads_back_differently_is_not_kept(database_url: str, other_url: str) -> None:
    fill(database_url)
    with opened(other_url):
        ask(other_url, SPOILING[other_url.split(":", maxsplit=1)[0]])
    with pytest.raises(StoreError, match="differs from the original"):
        backups.move(place_of(database_url), place_of(other_url))
    assert everything(other_url) == [[], [], [], []]


def test_a_place_with_something_in_it_is_refused(database_url: str, tmp_path: Path) -> None:
    fill(database_url)
    before = everything(database_url)
    source = f"sqlite:///{tmp_path / 'source.db'}"
    with opened(source) as store:
        store.profiles.keep("Attic", "a4", 1.0, 1.0, "measured")
    for place in (source, database_url):
        with pytest.raises(StoreError, match="already"):
            backups.move(place_of(place), place_of(database_url))
    assert everything(database_url) == before


def test_where_there_is_no_store_there_is_nothing_to_move_or_back_up(database_url: str, tmp_path: Path) -> None:
    with pytest.raises(StoreError, match="no store"):
        backups.move(place_of(database_url), place_of(tmp_path / "to"))
    with pytest.raises(StoreError, match="no store"):
        backups.back_up(place_of(database_url), tmp_path / "backup.db")
    assert list(tmp_path.iterdir()) == []


EDITOR = """
import sys
from app.store import StoredChange as Change, open_store
store = open_store(sys.argv[1])
design = sys.argv[2]
while True:
    head = store.edit(design, lambda r: Change(r.document + "x" * 499 + "\\n", "Added a line", "Test deck"))
    print(head.revision.number, flush=True)
"""


@contextmanager
def somebody_editing(url: str, design: str) -> Iterator[subprocess.Popen[str]]:
    command = [sys.executable, "-c", EDITOR, url, design]
    with subprocess.Popen(command, cwd=ROOT, stdout=subprocess.PIPE, text=True) as process:
        try:
            assert process.stdout is not None
            assert process.stdout.readline() == "2\n"
            # Whoever edits must not wait for us to read what it says.
            threading.Thread(target=process.stdout.read, daemon=True).start()
            yield process
        finally:
            process.kill()


def test_a_backup_taken_while_another_process_edits_is_one_moment_of_it(database_url: str, tmp_path: Path) -> None:
    with opened(database_url) as store:
        design = store.add("", "Test deck", "New deck").design.id
        with somebody_editing(database_url, design) as process:
            for number in range(3):
                first = store.head(design).revision.number
                file = tmp_path / f"backup-{number}.db"
                counted = backups.back_up(place_of(database_url), file)
                last = store.head(design).revision.number
                assert process.poll() is None
                head_number = sqlite3_one(file, "SELECT max(number) FROM revisions")
                assert first <= head_number <= last + 1
                assert counted.revisions == head_number == sqlite3_one(file, "SELECT count(*) FROM revisions")
                # The head is the newest revision, and it is whole.
                document = "SELECT length(document) FROM revisions, designs WHERE revisions.id = designs.head"
                assert sqlite3_one(file, document) == 500 * (head_number - 1)
                assert sqlite3_one(file, "PRAGMA integrity_check") == "ok"
            assert last > first, "somebody edited all the while"
    assert not list(tmp_path.glob("backup-*.db-*")), "a backup is one file"


def sqlite3_one(file: Path, query: str) -> Any:
    (value,) = ask(f"sqlite:///{file}", query)[0]
    return value


@pytest.mark.parametrize("other_url", ["sqlite", "postgresql"], indirect=True)
def test_a_backup_restores_on_either_database(database_url: str, other_url: str, tmp_path: Path) -> None:
    fill(database_url)
    file = tmp_path / "backup.db"
    counted = backups.back_up(place_of(database_url), file)
    data = file.read_bytes()
    restored = backups.restore(file, place_of(other_url), NOW)
    assert (restored.tally, restored.copy) == (counted, None)
    assert everything(other_url) == everything(database_url)
    assert file.read_bytes() == data


def test_a_backup_takes_no_name_that_is_taken(database_url: str, tmp_path: Path) -> None:
    fill(database_url)
    file = tmp_path / "backup.db"
    file.write_bytes(b"the only copy of last year")
    with pytest.raises(StoreError, match="already"):
        backups.back_up(place_of(database_url), file)
    assert file.read_bytes() == b"the only copy of last year"
    with pytest.raises(StoreError, match="no folder"):
        backups.back_up(place_of(database_url), tmp_path / "nowhere" / "backup.db")


def test_what_is_there_is_replaced_only_when_asked_and_a_copy_is_made_first(
    database_url: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    fill(database_url)
    file = tmp_path / "backup.db"
    backups.back_up(place_of(database_url), file)
    with opened(database_url) as store:
        store.add("later", "Later", "New deck")
    now = tally_of(database_url)
    with pytest.raises(StoreError, match="--replace"):
        backups.restore(file, place_of(database_url), NOW)
    assert tally_of(database_url) == now
    restored = backups.restore(file, place_of(database_url), NOW, over=True)
    assert restored.tally == tally_of(database_url) == tally_of(f"sqlite:///{file}") != now
    assert restored.copy is not None
    assert tally_of(f"sqlite:///{restored.copy}") == now
    # And what was replaced comes back the same way.
    backups.restore(restored.copy, place_of(database_url), NOW.replace(minute=1), over=True)
    assert tally_of(database_url) == now


def test_replacing_while_another_process_edits_loses_no_step_that_is_not_in_the_copy(
    database_url: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    with opened(database_url) as store:
        design = store.add("", "Test deck", "New deck").design.id
        file = tmp_path / "backup.db"
        backups.back_up(place_of(database_url), file)
        with somebody_editing(database_url, design):
            before = {moment.id for moment in store.moments(design)}
            restored = backups.restore(file, place_of(database_url), NOW, over=True)
        moments = store.moments(design)
        document = store.head(design).revision.document
    assert restored.copy is not None
    assert restored.tally.revisions == 1
    # The copy has every step there was; then the design is as in the backup, and editing goes on from there.
    with opened(f"sqlite:///{restored.copy}") as copy:
        copied = {moment.id for moment in copy.moments(design)}
    assert before <= copied
    assert {moment.id for moment in moments} & copied == {moments[0].id}
    assert [moment.parent for moment in moments] == [None, *(moment.id for moment in moments[:-1])]
    assert len(document) == 500 * (len(moments) - 1)


@pytest.mark.parametrize("version", range(1, SCHEMA_VERSION))
def test_a_backup_of_an_earlier_version_is_brought_up_and_stays_as_it_is(
    database_url: str, tmp_path: Path, version: int
) -> None:
    file = tmp_path / "old.db"
    make_old_store(f"sqlite:///{file}", version)
    data = file.read_bytes()
    backups.restore(file, place_of(database_url), NOW)
    with opened(database_url) as store:
        assert store.head("d").revision.document == "as it was last"
    assert file.read_bytes() == data
    assert sorted(path.name for path in tmp_path.glob("old*")) == ["old.db"]


@pytest.mark.parametrize(("content", "words"), [(None, "not there"), (b"", "0 bytes"), (b"rubbish" * 200, "cannot be")])
def test_what_is_no_backup_changes_nothing(
    database_url: str, tmp_path: Path, content: bytes | None, words: str
) -> None:
    fill(database_url)
    before = everything(database_url)
    file = tmp_path / "backup.db"
    if content is not None:
        file.write_bytes(content)
    with pytest.raises(StoreError, match=words) as caught:
        backups.restore(file, place_of(database_url), NOW, over=True)
    assert str(file) in str(caught.value)
    assert everything(database_url) == before


def test_a_newer_backup_is_refused_by_its_own_name(tmp_path: Path) -> None:
    file = tmp_path / "newer.db"
    url = f"sqlite:///{file}"
    fill(url)
    ask(url, "UPDATE meta SET value = '99' WHERE key = 'version'")
    with pytest.raises(StoreError, match="newer Holewise") as caught:
        backups.restore(file, place_of(tmp_path / "to"), NOW)
    assert str(file) in str(caught.value)
    assert file_place(file).name == str(file)
