"""Stores as earlier versions made them, written without any code of today's."""

from __future__ import annotations

import sqlite3
from contextlib import closing

import psycopg

_WHEN = "2026-01-05T10:00:00.000000+00:00"

# The tables of version 1, as the program of then had them made on either database, and one design in them.
_VERSION_1 = """
CREATE TABLE designs (id VARCHAR(32) NOT NULL, title TEXT NOT NULL, created VARCHAR(32) NOT NULL,
  modified VARCHAR(32) NOT NULL, head VARCHAR(32) NOT NULL, removed VARCHAR(32), PRIMARY KEY (id));
CREATE TABLE revisions (id VARCHAR(32) NOT NULL, design VARCHAR(32) NOT NULL, parent VARCHAR(32),
  number INTEGER NOT NULL, summary TEXT NOT NULL, document TEXT NOT NULL, created VARCHAR(32) NOT NULL,
  redo VARCHAR(32), PRIMARY KEY (id), UNIQUE (design, number), FOREIGN KEY(design) REFERENCES designs (id),
  FOREIGN KEY(parent) REFERENCES revisions (id));
CREATE INDEX ix_revisions_design ON revisions (design);
CREATE TABLE meta (key VARCHAR(32) NOT NULL, value TEXT NOT NULL, PRIMARY KEY (key));
INSERT INTO meta VALUES ('version', '1');
INSERT INTO designs VALUES ('d', 'Old deck', WHEN, WHEN, 's', NULL);
INSERT INTO revisions VALUES ('r', 'd', NULL, 1, 'New deck', 'as it was', WHEN, 's');
INSERT INTO revisions VALUES ('s', 'd', 'r', 2, 'Moved A', 'as it was last', WHEN, NULL);
"""

# Version 2 had printers besides.
_VERSION_2 = """
CREATE TABLE profiles (printer VARCHAR(80) NOT NULL, paper VARCHAR(40) NOT NULL, x FLOAT NOT NULL, y FLOAT NOT NULL,
  measured TEXT NOT NULL, made VARCHAR(32) NOT NULL, PRIMARY KEY (printer, paper));
UPDATE meta SET value = '2';
INSERT INTO profiles VALUES ('Desk', 'a4', 1.001, 0.999, 'A 189.8 mm', WHEN);
"""


def make_old_store(url: str, version: int) -> None:
    """Make a store as version 1 or 2 did, with one design of two revisions, and from version 2 on one printer."""
    script = (_VERSION_1 + (_VERSION_2 if version >= 2 else "")).replace("WHEN", f"'{_WHEN}'")
    if url.startswith("sqlite:///"):
        with closing(sqlite3.connect(url.removeprefix("sqlite:///"))) as raw:
            raw.execute("PRAGMA journal_mode=WAL")
            raw.executescript(script)
        return
    with psycopg.connect(url) as connection:
        connection.execute(script.encode())
