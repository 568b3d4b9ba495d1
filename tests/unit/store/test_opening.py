"""Opening a store: made anew, brought up from an earlier version, refused when it is not what it should be."""

from __future__ import annotations

import errno
import signal
import sqlite3
import subprocess
import sys
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path
from typing import Any

import pytest
from sqlalchemy import create_engine, inspect

from app.errors import StoreError
from app.store import open_store
from app.store.engine import files
from app.store.tables import SCHEMA_VERSION
from tests.postgres import Server, ask
from tests.together import let_go
from tests.unit.store.old_stores import DERIVED, make_old_store

VERSIONS = range(1, SCHEMA_VERSION)


@contextmanager
def looking(url: str) -> Iterator[Any]:
    """SQLAlchemy's inspector of a database, with no code of Holewise in between."""
    engine = create_engine(url.replace("postgresql:", "postgresql+psycopg:"))
    try:
        yield inspect(engine)
    finally:
        engine.dispose()


def shape_of(url: str) -> dict[str, object]:
    """Every table with its columns, keys, foreign keys, unique columns and indexes."""
    with looking(url) as seen:
        return {
            table: (
                {
                    # The type says its length and how it is sorted.
                    column["name"]: (repr(column["type"]), column["nullable"])
                    for column in seen.get_columns(table)
                },
                seen.get_pk_constraint(table)["constrained_columns"],
                sorted(
                    (key["constrained_columns"], key["referred_table"], key["referred_columns"])
                    for key in seen.get_foreign_keys(table)
                ),
                sorted(constraint["column_names"] for constraint in seen.get_unique_constraints(table)),
                sorted((index["name"], index["column_names"], index["unique"]) for index in seen.get_indexes(table)),
            )
            for table in seen.get_table_names()
        }


@pytest.fixture
def other_url(request: pytest.FixtureRequest, database_url: str, tmp_path: Path) -> Iterator[str]:
    """A second empty database of the same kind."""
    if database_url.startswith("sqlite"):
        yield f"sqlite:///{tmp_path / 'other' / 'holewise.db'}"
        return
    server: Server = request.getfixturevalue("postgres")
    yield server.new_schema()


@pytest.mark.parametrize("version", VERSIONS)
def test_a_store_of_an_earlier_version_keeps_everything_and_can_be_worked_with(database_url: str, version: int) -> None:
    make_old_store(database_url, version)
    store = open_store(database_url)
    head = store.head("d")
    assert (head.revision.document, head.undo, head.redo) == ("as it was last", "Moved A", None)
    assert store.steps_of("w") == (frozenset({"s"}) if version >= 3 else frozenset())
    assert store.undo("d", lambda _: "Old deck").redo == "Moved A"
    assert [profile.printer for profile in store.profiles.all()] == (["Desk"] if version >= 2 else [])
    assert store.derived.read_many("verdict", "1", ["s"]) == ({"s": DERIVED} if version >= 3 else {})
    assert store.own_bits.read() == ("[]" if version >= 4 else None, None)
    store.own_bits.keep("28", None)
    assert store.places.read("d", "deck", "one") == ""
    store.places.keep("d", "deck", "one", "a/hole-1/through")
    assert [(p.letter, p.moment) for p in store.published.of("d")] == ([("A", "r")] if version >= 6 else [])
    assert store.labels.all() == {}
    assert store.labels.set("d", ["Two players", "club"]) == ("club", "Two players")
    store.profiles.keep("Attic", "a4", 1.001, 0.999, "A 189.8 mm")
    store.derived.keep("picture", "1", {"r": b"\0\xff"})
    store.close()
    assert ask(database_url, "SELECT value FROM meta WHERE key = 'version'") == [(str(SCHEMA_VERSION),)]
    again = open_store(database_url)
    assert again.derived.read_many("picture", "1", ["r"]) == {"r": b"\0\xff"}
    assert again.own_bits.read() == ("28", None)
    assert again.places.read("d", "deck", "one") == "a/hole-1/through"
    assert again.labels.all() == {"d": ("club", "Two players")}
    again.close()


@pytest.mark.parametrize("version", VERSIONS)
def test_a_migrated_store_has_the_same_tables_as_a_new_one(database_url: str, other_url: str, version: int) -> None:
    make_old_store(database_url, version)
    for url in (database_url, other_url):
        open_store(url).close()
    assert shape_of(database_url) == shape_of(other_url)
    marks = "SELECT version_num FROM alembic_version"
    assert ask(database_url, marks) == ask(other_url, marks) == [(str(SCHEMA_VERSION),)]


@pytest.mark.parametrize("version", VERSIONS)
def test_a_file_is_copied_as_it_was_before_it_is_migrated(tmp_path: Path, version: int) -> None:
    make_old_store(f"sqlite:///{tmp_path / 'holewise.db'}", version)
    for number in ("", "-2"):
        with closing(sqlite3.connect(tmp_path / "holewise.db")) as raw:
            before = list(raw.iterdump())
        open_store(tmp_path).close()
        copy = tmp_path / f"holewise.db.before-{SCHEMA_VERSION}{number}"
        with closing(sqlite3.connect(copy)) as raw:
            assert list(raw.iterdump()) == before
        # Back to how it was, as somebody would who wants the older program again; the first copy then stays.
        for name in ("-wal", "-shm"):
            (tmp_path / f"holewise.db{name}").unlink(missing_ok=True)
        (tmp_path / "holewise.db").write_bytes(copy.read_bytes())


def test_a_new_store_leaves_nothing_beside_it_and_is_not_copied(tmp_path: Path) -> None:
    open_store(tmp_path).close()
    open_store(tmp_path).close()
    assert [path.name for path in tmp_path.iterdir()] == ["holewise.db"]


def run(script: str, *arguments: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run([sys.executable, "-c", script, *arguments], capture_output=True, text=True, check=False)


@pytest.mark.skipif(sys.platform == "win32", reason="a process is killed another way there")
def test_killed_in_the_middle_of_a_migration_the_store_is_as_it_was(database_url: str) -> None:
    make_old_store(database_url, 1)
    before = shape_of(database_url)
    script = (
        "import os, signal, sys\nimport alembic.command as c\nfrom app.store import open_store\n"
        "run = c.upgrade\n"
        "c.upgrade = lambda *a: (run(*a), os.kill(os.getpid(), signal.SIGKILL))\n"
        "open_store(sys.argv[1])\n"
    )
    assert run(script, database_url).returncode == -signal.SIGKILL
    assert shape_of(database_url) == before
    assert ask(database_url, "SELECT value FROM meta") == [("1",)]
    store = open_store(database_url)
    assert store.head("d").revision.document == "as it was last"
    store.close()


def test_without_room_for_the_copy_nothing_is_migrated(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    make_old_store(f"sqlite:///{tmp_path / 'holewise.db'}", 1)
    before = shape_of(f"sqlite:///{tmp_path / 'holewise.db'}")

    def full(_source: Path, target: Path) -> None:
        target.write_bytes(b"as much as there was room for")
        raise OSError(errno.ENOSPC, "No space left on device")

    with monkeypatch.context() as patched:
        patched.setattr(files, "copy_database", full)
        with pytest.raises(StoreError, match="No space left on device"):
            open_store(tmp_path)
    assert shape_of(f"sqlite:///{tmp_path / 'holewise.db'}") == before
    assert not [path for path in tmp_path.iterdir() if "before" in path.name or "part" in path.name]
    store = open_store(tmp_path)
    assert store.head("d").revision.document == "as it was last"
    store.close()


@pytest.mark.skipif(sys.platform == "win32", reason="a process is killed another way there")
def test_killed_while_a_new_store_is_made_there_is_none_yet(tmp_path: Path) -> None:
    script = (
        "import os, signal, sys\nfrom pathlib import Path\nfrom app.store import open_store, opening\n"
        "make = opening._make\n"
        "opening._make = lambda *a: (make(*a), os.kill(os.getpid(), signal.SIGKILL))\n"
        "open_store(Path(sys.argv[1]))\n"
    )
    assert run(script, str(tmp_path)).returncode == -signal.SIGKILL
    assert not (tmp_path / "holewise.db").exists()
    store = open_store(tmp_path)
    assert store.designs() == ()
    store.close()


OPENS = """
import sys
from app.store import open_store
print("ready", flush=True)
sys.stdin.readline()
store = open_store(sys.argv[1])
store.add("a", "Test deck", "New deck")
store.close()
"""


@pytest.mark.parametrize("old", [0, 1])
def test_processes_that_open_at_once_make_or_migrate_it_once(database_url: str, old: int) -> None:
    if old:
        make_old_store(database_url, old)
    processes = [
        subprocess.Popen(
            [sys.executable, "-c", OPENS, database_url],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            text=True,
        )
        for _ in range(3)
    ]
    let_go(processes)
    assert [process.communicate(timeout=60)[1] for process in processes] == [""] * 3
    store = open_store(database_url)
    assert len(store.designs()) == 3 + bool(old)
    store.close()


def test_on_a_file_of_today_neither_alembic_nor_psycopg_nor_postgresql_is_imported(tmp_path: Path) -> None:
    script = (
        "import sys\nfrom app.store import open_store\nfrom pathlib import Path\n"
        "store = open_store(Path(sys.argv[1]))\nstore.add('a', 'Test deck', 'New deck')\nstore.close()\n"
        "print([n for n in ('alembic', 'mako', 'psycopg', 'sqlalchemy.dialects.postgresql') if n in sys.modules])\n"
    )
    for _ in range(2):
        done = run(script, str(tmp_path))
        assert (done.stdout, done.stderr) == ("[]\n", "")


# -- what is refused ---------------------------------------------------------------------------------------


@pytest.mark.parametrize("where", ["folder", "url"])
def test_an_empty_file_is_no_new_store(tmp_path: Path, where: str) -> None:
    file = tmp_path / "holewise.db"
    file.touch()
    with pytest.raises(StoreError, match="0 bytes") as caught:
        open_store(tmp_path if where == "folder" else f"sqlite:///{file}")
    assert str(file) in str(caught.value)
    assert "move it" in str(caught.value)
    assert "backup" in str(caught.value)
    assert file.read_bytes() == b""
    file.unlink()
    store = open_store(tmp_path)
    assert store.designs() == ()
    store.close()


def test_a_file_that_is_gone_while_its_log_is_there_is_no_new_store(tmp_path: Path) -> None:
    (tmp_path / "holewise.db-wal").write_bytes(b"what was written last")
    with pytest.raises(StoreError, match="gone"):
        open_store(tmp_path)
    assert [path.name for path in tmp_path.iterdir()] == ["holewise.db-wal"]


@pytest.mark.parametrize(
    "tables", ["CREATE TABLE meta (key TEXT, value TEXT)", "CREATE TABLE meta (a TEXT)", "CREATE TABLE tools (a TEXT)"]
)
def test_tables_of_another_program_are_left_alone(database_url: str, tables: str) -> None:
    ask(database_url, tables)
    before = shape_of(database_url)
    with pytest.raises(StoreError, match="another program"):
        open_store(database_url)
    assert shape_of(database_url) == before


def test_a_server_that_cannot_write_every_character_is_refused(postgres: Server) -> None:
    ask(
        postgres.url("postgres"),
        "CREATE DATABASE western ENCODING 'LATIN1' LOCALE_PROVIDER libc LOCALE 'C' TEMPLATE template0",
    )
    with pytest.raises(StoreError, match="LATIN1"):
        open_store(postgres.url("western"))
