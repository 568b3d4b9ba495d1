"""A PostgreSQL server of the tests' own, in a folder of its own, and a store's URL on each database."""

from __future__ import annotations

import itertools
import os
import shutil
import sqlite3
import subprocess
import tempfile
from collections.abc import Iterator, Sequence
from contextlib import closing, contextmanager
from dataclasses import dataclass, field
from pathlib import Path

import psycopg
import pytest

from tests.tools import NO_POSTGRES, find_postgres

_ADMIN = "builder"

# It writes to the disk for certain, as a server in earnest does; it sorts text as a language has it, not by characters.
_INIT = ("--auth=trust", "--encoding=UTF8", "--locale=C.UTF-8", "--locale-provider=icu", "--icu-locale=en-GB")
_RUN = "-c listen_addresses= -c fsync=on -c shared_buffers=32MB -c max_connections=60 -c timezone=Asia/Kolkata"


@dataclass
class Server:
    """A PostgreSQL server that listens on a socket in its folder.

    Args:
        programs: folder of its programs.
        folder: its own folder, for data, socket and log.
        user: who runs it; None for whoever runs the tests.
    """

    programs: Path
    folder: Path
    user: str | None
    _numbers: Iterator[int] = field(default_factory=lambda: itertools.count(1))

    def make(self) -> None:
        """Make its files and start it."""
        self._run("initdb", "-D", str(self._data), "-U", _ADMIN, "--no-sync", *_INIT)
        self.start()

    def start(self) -> None:
        """Start it and wait until it answers."""
        options = f"-k {self.folder} {_RUN}"
        self._run("pg_ctl", "-D", str(self._data), "-w", "-l", str(self.folder / "log"), "-o", options, "start")

    def stop(self, mode: str = "fast") -> None:
        """Stop it; ``immediate`` is as if it were killed."""
        self._run("pg_ctl", "-D", str(self._data), "-w", "-m", mode, "stop")

    def new_schema(self) -> str:
        """Make a schema with nothing in it; gives the URL by which it is all there is. Much quicker than a database."""
        name = f"shelf_{next(self._numbers)}"
        ask(self.url("postgres"), f"CREATE SCHEMA {name}")
        return f"{self.url('postgres')}&options=-csearch_path%3D{name}"

    def url(self, name: str) -> str:
        """The URL of a database."""
        return f"postgresql://{_ADMIN}@/{name}?host={self.folder}"

    @property
    def _data(self) -> Path:
        return self.folder / "data"

    def _run(self, program: str, *arguments: str) -> None:
        # Not a pipe: the server would hold it open.
        said = self.folder / "said"
        with said.open("ab") as output:
            done = subprocess.run(
                [str(self.programs / program), *arguments],
                cwd=self.folder,
                env={"PATH": os.environ.get("PATH", ""), "HOME": str(self.folder), "LC_ALL": "C"},
                user=self.user,
                stdin=subprocess.DEVNULL,
                stdout=output,
                stderr=subprocess.STDOUT,
                check=False,
                timeout=120,
            )
        assert done.returncode == 0, f"{program}: {said.read_text('utf-8', 'replace')}"


@contextmanager
def running_server() -> Iterator[Server]:
    """A server that is started, and gone at the end.

    Raises:
        RuntimeError: there is none to start.
    """
    programs = find_postgres()
    if programs is None:
        raise RuntimeError(NO_POSTGRES)
    # A short name of its own: the path of a socket may have no more than about 100 characters.
    folder = Path(tempfile.mkdtemp(prefix="holewise-pg-"))
    server = Server(programs, folder, _other_user())
    if server.user is not None:
        shutil.chown(folder, server.user)
    try:
        server.make()
        yield server
    finally:
        if (folder / "data" / "postmaster.pid").exists():
            server.stop("immediate")
        shutil.rmtree(folder, ignore_errors=True)


@pytest.fixture(scope="session")
def postgres() -> Iterator[Server]:
    """A running server; where there is none to run, the test fails in the build and is skipped elsewhere."""
    if find_postgres() is None:
        if os.environ.get("CI") == "true":
            pytest.fail(NO_POSTGRES)
        pytest.skip(NO_POSTGRES)
    with running_server() as server:
        yield server


@pytest.fixture(params=["sqlite", "postgresql"])
def database_url(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[str]:
    """The URL of a database with nothing in it: a file first, then a database on a server."""
    if request.param == "sqlite":
        yield f"sqlite:///{tmp_path / 'holewise.db'}"
        return
    server: Server = request.getfixturevalue("postgres")
    yield server.new_schema()


def ask(url: str, statement: str) -> Sequence[tuple[object, ...]]:
    """What another program reads in a store, or does to it: without any code of Holewise."""
    if url.startswith("sqlite:///"):
        with closing(sqlite3.connect(url.removeprefix("sqlite:///"))) as raw:
            rows = raw.execute(statement).fetchall()
            raw.commit()
            return rows
    with psycopg.connect(url, autocommit=True) as connection:
        cursor = connection.execute(statement.encode())
        return cursor.fetchall() if cursor.description else []


def _other_user() -> str | None:
    """Who runs the server instead of root, whom it refuses."""
    if os.geteuid() != 0:
        return None
    import pwd

    names = {entry.pw_name for entry in pwd.getpwall()}
    return next(name for name in ("postgres", "nobody") if name in names)
