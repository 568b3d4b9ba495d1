"""A store opened: made if it is not there, brought to today's tables if it is older, refused if it is newer.

A file of no bytes is not taken for a new store: whoever had designs there must hear that they are gone. So a new file
gets its name only when all tables are in it.
"""

from __future__ import annotations

from pathlib import Path

from sqlalchemy import Connection, func, insert, inspect, select, text

from app.errors import StoreError
from app.store.engine.database import Database
from app.store.engine.files import BESIDE, keep_copy, make_folder, put_whole
from app.store.engine.place import StorePlace, file_place
from app.store.engine.wal import keep_damaged
from app.store.tables import SCHEMA_VERSION, alembic_version, meta, metadata

# Any number that no other program locks in the same database: one process at a time makes or migrates tables.
_TABLES_LOCK = 0x486F6C6577697365


def open_database(place: StorePlace, *, make: bool = True) -> Database:
    """The database at ``place``, with today's tables.

    Args:
        place: where it lies.
        make: whether to make a store that is not there.

    Raises:
        StoreError: there is none and it is not to be made; it cannot be used, is damaged, belongs to another
            program, or was written by a newer Holewise.
    """
    if place.file is not None:
        _see_to_file(place.file, make=make)
    database = Database(place)
    try:
        with database.reading() as connection:
            found = read_version(connection, place)
        if found is None and not make:
            raise StoreError(f"There is no store in {place.name}. Check the name.")
        if found is None or found < SCHEMA_VERSION:
            _bring_up(database)
    except BaseException:
        database.close()
        raise
    return database


def read_version(connection: Connection, place: StorePlace) -> int | None:
    """The version of the tables; None if there are none yet.

    Raises:
        StoreError: they belong to another program, or to a newer Holewise.
    """
    seen = inspect(connection)
    tables = set(seen.get_table_names())
    if not tables:
        return None
    value = None
    if meta.name in tables and {column["name"] for column in seen.get_columns(meta.name)} >= set(meta.columns.keys()):
        value = connection.execute(select(meta.c.value).where(meta.c.key == "version")).scalar_one_or_none()
    if value is None or not value.isdecimal():
        raise StoreError(
            f"{place.name} has tables of another program. They are left alone. Choose another file, or a database "
            "with no tables in it."
        )
    if int(value) > SCHEMA_VERSION:
        raise StoreError(
            f"{place.name} was written by a newer Holewise (store version {value}; this one reads "
            f"{SCHEMA_VERSION}). Install the newer one, or start with another folder: --data FOLDER."
        )
    return int(value)


def _bring_up(database: Database) -> None:
    """Make the tables, or migrate them; whoever comes second finds it done."""
    with database.writing() as connection:
        if connection.dialect.name == "postgresql":
            connection.execute(select(func.pg_advisory_xact_lock(_TABLES_LOCK)))
        found = read_version(connection, database.place)
        if found is None:
            _make(connection, database.place)
        elif found < SCHEMA_VERSION:
            # The transaction has begun, so nobody else writes between the copy and the change.
            if database.place.file is not None:
                keep_copy(database.place.file, f"before-{SCHEMA_VERSION}")
            from app.store.migrating import migrate

            migrate(connection, found)


def _make(connection: Connection, place: StorePlace) -> None:
    if connection.dialect.name == "postgresql":
        encoding = connection.execute(text("SHOW server_encoding")).scalar_one()
        if encoding != "UTF8":
            raise StoreError(
                f"{place.name} keeps text as {encoding}, which lacks characters that designs use. "
                "Make a database with ENCODING 'UTF8'."
            )
    metadata.create_all(connection)
    connection.execute(insert(meta).values(key="version", value=str(SCHEMA_VERSION)))
    connection.execute(insert(alembic_version).values(version_num=str(SCHEMA_VERSION)))


def _see_to_file(file: Path, *, make: bool) -> None:
    # First what lies beside it: that comes after the file, so a file another process makes just now is not missed.
    left = [name for name in BESIDE if file.with_name(file.name + name).exists()]
    if make:
        make_folder(file.parent)
    if not file.exists():
        if left:
            raise StoreError(_gone(file, "is gone, but what belongs to it is still there"))
        if not make:
            raise StoreError(f"There is no store at {file}. Check the name.")
        put_whole(file, fill_new)
    elif file.is_file() and file.stat().st_size == 0:
        raise StoreError(_gone(file, "is empty: it has 0 bytes, and whatever was in it is gone"))
    elif "-wal" in left:
        keep_damaged(file)  # before anything connects: SQLite drops what it cannot read of it, and says nothing


def fill_new(file: Path) -> None:
    """Make a store with nothing in it in a file that is not there yet."""
    database = Database(file_place(file), new=True)
    try:
        with database.writing() as connection:
            _make(connection, database.place)
    finally:
        database.close()


def _gone(file: Path, what: str) -> str:
    return (
        f"The database {file} {what}. Nothing was changed. If you had designs there, put a copy of the file in "
        "its place (from a backup, or one that is beside it); if not, move it and the -wal, -shm and -journal "
        "files beside it away, and Holewise starts empty."
    )
