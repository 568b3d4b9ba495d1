"""Printer profiles in the store: kept, replaced, forgotten; older databases gain them; killed while keeping one."""

from __future__ import annotations

import signal
import sqlite3
import subprocess
import sys
from pathlib import Path

import pytest

from app.errors import NotFoundError
from app.store import open_store

# The tables as they were before printers were known: schema version 1.
VERSION_1 = """
CREATE TABLE designs (id VARCHAR(32) PRIMARY KEY, title TEXT NOT NULL, created VARCHAR(32) NOT NULL,
  modified VARCHAR(32) NOT NULL, head VARCHAR(32) NOT NULL, removed VARCHAR(32));
CREATE TABLE revisions (id VARCHAR(32) PRIMARY KEY, design VARCHAR(32) NOT NULL REFERENCES designs (id),
  parent VARCHAR(32) REFERENCES revisions (id), number INTEGER NOT NULL, summary TEXT NOT NULL,
  document TEXT NOT NULL, created VARCHAR(32) NOT NULL, redo VARCHAR(32), UNIQUE (design, number));
CREATE TABLE meta (key VARCHAR(32) PRIMARY KEY, value TEXT NOT NULL);
INSERT INTO meta VALUES ('version', '1');
INSERT INTO designs VALUES ('d', 'Old deck', '2026-01-05T10:00:00.000000+00:00',
  '2026-01-05T10:00:00.000000+00:00', 'r', NULL);
INSERT INTO revisions VALUES ('r', 'd', NULL, 1, 'New deck', 'as it was', '2026-01-05T10:00:00.000000+00:00', NULL);
"""


def asked(folder: Path, query: str) -> list[tuple[object, ...]]:
    """What another program reads in the database."""
    raw = sqlite3.connect(folder / "holewise.db")
    try:
        return raw.execute(query).fetchall()
    finally:
        raw.close()


def test_one_profile_for_each_printer_and_paper(tmp_path: Path) -> None:
    store = open_store(tmp_path)
    kept = store.profiles
    kept.keep("Desk", "a4", 1.001, 0.999, "A 189.8 mm")
    kept.keep("Attic", "a4", 1.0, 1.01, "C 247.5 mm")
    kept.keep("Desk", "letter", 1.02, 1.0, "A 186.3 mm")
    kept.keep("Desk", "a4", 1.002, 0.998, "A 189.6 mm")
    assert [(p.printer, p.paper) for p in kept.all()] == [("Attic", "a4"), ("Desk", "a4"), ("Desk", "letter")]
    again = kept.get("Desk", "a4")
    assert (again.x, again.y, again.measured) == (1.002, 0.998, "A 189.6 mm")
    kept.drop("Desk", "a4")
    kept.drop("Desk", "a4")
    with pytest.raises(NotFoundError, match=r"Desk.*a4"):
        kept.get("Desk", "a4")
    assert len(kept.all()) == 2
    store.close()


def test_a_database_from_before_printers_gains_them_and_keeps_its_designs(tmp_path: Path) -> None:
    raw = sqlite3.connect(tmp_path / "holewise.db")
    raw.executescript(VERSION_1)
    raw.close()
    store = open_store(tmp_path)
    assert store.head("d").revision.document == "as it was"
    assert store.profiles.all() == ()
    store.profiles.keep("Desk", "a4", 1.001, 0.999, "A 189.8 mm")
    store.close()
    assert asked(tmp_path, "SELECT value FROM meta WHERE key = 'version'") == [("2",)]
    assert asked(tmp_path, "SELECT printer, paper FROM profiles") == [("Desk", "a4")]
    again = open_store(tmp_path)
    assert [p.printer for p in again.profiles.all()] == ["Desk"]
    again.close()


@pytest.mark.skipif(sys.platform == "win32", reason="a process is killed another way there")
def test_killed_while_replacing_a_profile_the_old_one_stays(tmp_path: Path) -> None:
    """Replacing is deleting and inserting: killed between the two, neither has happened."""
    store = open_store(tmp_path)
    store.profiles.keep("Desk", "a4", 1.001, 0.999, "before")
    script = (
        "import os, signal, sys\nfrom pathlib import Path\nfrom app.store import open_store\n"
        "import app.store.profiles as m\n"
        "store = open_store(Path(sys.argv[1]))\n"
        "m.insert = lambda *a: os.kill(os.getpid(), signal.SIGKILL)\n"
        "store.profiles.keep('Desk', 'a4', 1.02, 1.0, 'after')\n"
    )
    finished = subprocess.run([sys.executable, "-c", script, str(tmp_path)], check=False)
    assert finished.returncode == -signal.SIGKILL
    assert [(p.x, p.measured) for p in store.profiles.all()] == [(1.001, "before")]
    store.profiles.keep("Desk", "a4", 1.02, 1.0, "after")
    assert store.profiles.get("Desk", "a4").measured == "after"
    store.close()
    assert asked(tmp_path, "PRAGMA integrity_check") == [("ok",)]
