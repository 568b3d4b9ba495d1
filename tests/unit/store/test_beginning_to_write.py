"""How a change begins: when another program is done, and whether it is on the disk at its end."""

from __future__ import annotations

import sqlite3
from pathlib import Path

import pytest

from app.store import open_store
from app.store.engine import engines
from app.store.engine.database import Database
from app.store.engine.place import place_of


def test_who_waits_for_another_program_writes_as_soon_as_that_is_done(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    open_store(tmp_path).close()
    database = Database(place_of(tmp_path))
    other = sqlite3.connect(database.place.file or "", isolation_level=None)
    other.execute("BEGIN IMMEDIATE")
    waits: list[float] = []

    def slept(seconds: float) -> None:
        waits.append(seconds)
        if len(waits) == 3:
            other.execute("ROLLBACK")

    monkeypatch.setattr(engines, "sleep", slept)
    with database.writing() as connection:
        assert len(waits) == 3, "it asked again after each short wait, and went on at once"
        assert max(waits) <= 0.005
        assert connection.exec_driver_sql("PRAGMA busy_timeout").scalar() == engines.LOCK_WAIT_S * 1000
    database.close()
    other.close()


def test_a_change_is_on_the_disk_at_its_end_and_what_can_be_made_again_need_not_be(database_url: str) -> None:
    # SQLite: 2 is FULL, 1 is NORMAL (sqlite.org, PRAGMA synchronous); PostgreSQL: its manual, 20.5, synchronous_commit.
    open_store(database_url).close()
    database = Database(place_of(database_url))
    ask = "PRAGMA synchronous" if database.place.file is not None else "SHOW synchronous_commit"
    said = []
    for lasting in (True, False, True):
        with database.writing(lasting=lasting) as connection:
            said.append(str(connection.exec_driver_sql(ask).scalar()))
    assert said in (["2", "1", "2"], ["on", "off", "on"])
    database.close()
