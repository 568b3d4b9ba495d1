"""How a database is talked to: SQLite and PostgreSQL behave alike from here on."""

from __future__ import annotations

import sqlite3
from functools import partial
from pathlib import Path
from selectors import EVENT_READ, DefaultSelector
from time import monotonic, sleep
from typing import Any

from sqlalchemy import Connection, Engine, create_engine, event
from sqlalchemy.exc import DisconnectionError

from app.errors import StoreError
from app.store.engine.place import StorePlace

#: How long a writer waits for another one, and anybody for a server to answer or a connection to be free [s].
LOCK_WAIT_S = 10.0

#: How long a connection to a server may lie idle and be used without being tried [s].
_TRIED_AFTER_S = 1.0
#: How long a writer of a file waits before it asks again whether another one is done [s].
_ASKED_AGAIN_S = 0.002
#: Connections to a server that stay, and how many there are at most: making one takes longer than what it is asked.
_STAY, _MOST = 10, 15
_IDLE_SINCE = "holewise-idle-since"


def make_engine(place: StorePlace, *, new: bool = False) -> Engine:
    """An engine for a database; nothing is connected yet.

    On SQLite it sets write-ahead logging, foreign keys, explicit transactions, and that what is committed is on the
    disk. Only a ``new`` file is made where there is none; what is written to that need not be on the disk at once.

    Raises:
        StoreError: it is a PostgreSQL database and the package to talk to one is not installed.
    """
    if place.file is None:
        return _server_engine(place)
    return _file_engine(place, place.file, new=new)


def _file_engine(place: StorePlace, file: Path, *, new: bool) -> Engine:
    # A file that is there is opened, none is made: if one is away for a while, an empty one must not take its place.
    mode = "rwc" if new else "rw"

    def connect() -> sqlite3.Connection:
        address = f"{file.absolute().as_uri()}?mode={mode}"
        return sqlite3.connect(address, uri=True, timeout=LOCK_WAIT_S, check_same_thread=False)

    engine = create_engine(place.url, creator=connect, pool_timeout=LOCK_WAIT_S)
    event.listen(engine, "connect", partial(_prepare_sqlite, new))
    event.listen(engine, "begin", partial(_begin_sqlite, new))
    return engine


def _server_engine(place: StorePlace) -> Engine:
    wanted = {"connect_timeout": str(int(LOCK_WAIT_S)), "application_name": "holewise", "client_encoding": "utf8"}
    arguments = {key: value for key, value in wanted.items() if key not in place.url.query}
    try:
        engine = create_engine(
            place.url,
            connect_args=arguments,
            isolation_level="AUTOCOMMIT",
            pool_timeout=LOCK_WAIT_S,
            pool_size=_STAY,
            max_overflow=_MOST - _STAY,
            pool_use_lifo=True,
        )
    except ImportError:
        raise StoreError(
            "A PostgreSQL database needs one more package. Install it beside Holewise: "
            'pip install "psycopg[binary]>=3.2", or Holewise itself as ".[postgres]".'
        ) from None
    event.listen(engine, "connect", _prepare_server)
    event.listen(engine, "begin", _begin_on_server)
    event.listen(engine, "checkout", partial(_try, engine))
    event.listen(engine, "checkin", _put_by)
    return engine


def _try(engine: Engine, connection: Any, record: Any, _proxy: object) -> None:
    """Try a connection that has lain idle before it is used: the server may have been away meanwhile.

    One that was in use a moment ago is not asked: each question to the server is one more wait of every answer.
    If the server has closed it meanwhile, there is something to be read on it, which is always looked at.
    """
    idle = monotonic() - record.info.get(_IDLE_SINCE, monotonic())
    try:
        quiet = idle < _TRIED_AFTER_S and not _something_came(connection)
        alive = quiet or engine.dialect.do_ping(connection)
    except engine.dialect.loaded_dbapi.Error:
        alive = False
    if not alive:
        raise DisconnectionError  # the pool makes another, and all it has made so far


def _something_came(connection: Any) -> bool:
    with DefaultSelector() as selector:
        selector.register(connection.fileno(), EVENT_READ)
        return bool(selector.select(timeout=0))


def _put_by(_connection: Any, record: Any) -> None:
    record.info[_IDLE_SINCE] = monotonic()


def _prepare_sqlite(new: bool, connection: Any, _record: object) -> None:
    # The driver's own transaction handling begins late, after the first read; then two writers can both
    # read the same head and one of them loses its work. So it is switched off and begun by hand.
    connection.isolation_level = None
    # The driver refuses a whole answer for one text in it that is no UTF-8.
    connection.text_factory = partial(str, encoding="utf-8", errors="surrogateescape")
    cursor = connection.cursor()
    cursor.execute(f"PRAGMA synchronous={'OFF' if new else 'FULL'}")
    cursor.execute("PRAGMA journal_mode=WAL")
    cursor.execute("PRAGMA foreign_keys=ON")
    cursor.close()


def _begin_sqlite(new: bool, connection: Connection) -> None:
    options = connection.get_execution_options()
    if not options.get("writes", False):
        connection.exec_driver_sql("BEGIN")
        return
    if not new:
        connection.exec_driver_sql(f"PRAGMA synchronous={'FULL' if options.get('lasting', True) else 'NORMAL'}")
    _begin_to_write(connection)


def _begin_to_write(connection: Connection) -> None:
    """Begin as soon as no other program writes.

    SQLite itself asks again after 1, 2, 5, 10 ms and at last every tenth of a second: who has waited for long is then
    overtaken by all who have not.
    """
    driver: Any = connection.connection.driver_connection
    until = monotonic() + LOCK_WAIT_S
    driver.execute("PRAGMA busy_timeout=0")
    try:
        while monotonic() < until:
            try:
                driver.execute("BEGIN IMMEDIATE")
            except sqlite3.OperationalError as error:
                if error.sqlite_errorcode & 0xFF != sqlite3.SQLITE_BUSY:
                    break
                sleep(_ASKED_AGAIN_S)
            else:
                return
        connection.exec_driver_sql("BEGIN IMMEDIATE")  # what it says against it is told from there
    finally:
        driver.execute(f"PRAGMA busy_timeout={int(LOCK_WAIT_S * 1000)}")


def _begin_on_server(connection: Connection) -> None:
    options = connection.get_execution_options()
    if options.get("writes", False) and not options.get("lasting", True):
        connection.exec_driver_sql("SET LOCAL synchronous_commit = off")


def _prepare_server(connection: Any, _record: object) -> None:
    connection.execute(f"SET lock_timeout = {int(LOCK_WAIT_S * 1000)}")
    # A single statement that had to wait for a row sees it as it is then; the server's own default may be another.
    connection.execute("SET default_transaction_isolation = 'read committed'")
    connection.commit()
