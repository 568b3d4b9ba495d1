"""Where a store lies: a database file in a folder, or a database on a server."""

from __future__ import annotations

from pathlib import Path

from msgspec import Struct
from sqlalchemy.engine import URL, make_url
from sqlalchemy.exc import ArgumentError

from app.errors import StoreError

FILE_NAME = "holewise.db"

_FILES = {"sqlite", "sqlite+pysqlite"}
_SERVERS = {"postgres", "postgresql", "postgresql+psycopg"}
_FORMS = "Write it like sqlite:///FOLDER/FILE.db or postgresql://USER@HOST/DATABASE."


class StorePlace(Struct, frozen=True):
    """Where a store lies.

    Args:
        url: the database's address, with its password.
        name: what messages call it, without a password.
        file: the database file; None on a server.
    """

    url: URL
    name: str
    file: Path | None = None

    def __repr__(self) -> str:
        """By its name: there may be a password in the address."""
        return f"StorePlace({self.name!r})"


def default_folder() -> Path:
    """The user's data folder for Holewise, as the operating system has it."""
    from platformdirs import user_data_path

    return user_data_path("holewise", appauthor=False)


def place_of(where: Path | str | None) -> StorePlace:
    """The place that a folder or the URL of a database names; without either, that of the user's data folder.

    Raises:
        StoreError: the URL cannot be read, or is not one of SQLite or PostgreSQL.
    """
    if where is None:
        where = default_folder()
    if isinstance(where, Path):
        return file_place(where / FILE_NAME)
    # What cannot be read is not repeated: there may be a password in it.
    try:
        url = make_url(where)
    except (ArgumentError, ValueError):
        raise StoreError(f"The address of the database cannot be read. {_FORMS}") from None
    if url.drivername in _FILES:
        if url.database in {None, "", ":memory:"} or url.host or url.query:
            raise StoreError(f"The address of the database names no file, or more than a file. {_FORMS}")
        return file_place(Path(str(url.database)))
    if url.drivername in _SERVERS:
        return StorePlace(url.set(drivername="postgresql+psycopg"), _without_secrets(url))
    raise StoreError(f"A database of the kind {url.drivername[:40]!r} is not known here. {_FORMS}")


def file_place(file: Path) -> StorePlace:
    """The place of a database file."""
    return StorePlace(URL.create("sqlite", database=str(file)), str(file), file)


def _without_secrets(url: URL) -> str:
    """Kind, user, host and database: a password may also stand among the options, so none of them is shown."""
    hosts = url.query.get("host", "")
    host = url.host or (hosts if isinstance(hosts, str) else ",".join(hosts))
    bare = URL.create("postgresql", username=url.username, host=host, port=url.port, database=url.database)
    return bare.render_as_string(hide_password=True).replace("%2F", "/")
