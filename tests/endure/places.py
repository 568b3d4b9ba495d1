"""A place to keep designs on each kind of database, with nothing in it."""

from __future__ import annotations

import itertools
import shutil
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from tests.postgres import Server

DATABASES = ("sqlite", "postgres")


class Places:
    """Makes places, one as empty as the other.

    Args:
        folder: of this run alone.
        server: a running PostgreSQL server; None for folders with an SQLite file each.
    """

    def __init__(self, folder: Path, server: Server | None = None) -> None:
        self.folder = folder
        self.server = server
        self._numbers = itertools.count(1)

    def new(self) -> Path | str:
        """A new place: a folder that is not there yet, or the URL of a server's database, with a schema for itself."""
        if self.server is not None:
            from tests.postgres import ask

            name = f"endure_{next(self._numbers)}"
            ask(self.server.url("postgres"), f"CREATE SCHEMA {name}")
            return f"{self.server.url('postgres')}&options=-csearch_path%3D{name}"
        return self.folder / f"designs-{next(self._numbers)}"

    def drop(self, where: Path | str) -> None:
        """Remove a place that nobody is at work with any more."""
        if isinstance(where, Path):
            shutil.rmtree(where, ignore_errors=True)
        else:
            from tests.postgres import ask

            ask(where, f"DROP SCHEMA {where.rpartition('%3D')[2]} CASCADE")


@contextmanager
def places_of(database: str) -> Iterator[Places]:
    """Places on ``sqlite`` or ``postgres``; the server of the latter is started, and ends with them.

    Raises:
        RuntimeError: there is no PostgreSQL to start.
    """
    with tempfile.TemporaryDirectory(prefix="holewise-endure-") as name:
        folder = Path(name)
        if database == "sqlite":
            yield Places(folder)
            return
        from tests.postgres import running_server

        with running_server() as server:
            yield Places(folder, server)
