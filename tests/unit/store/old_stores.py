"""Stores as earlier versions made them, written without any code of today's."""

from __future__ import annotations

import hashlib
import sqlite3
from collections.abc import Iterator
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

# Version 3 had what was made from a revision, and by which window, and said how far its migrations were; on a server
# every text was sorted by its characters.
_VERSION_3 = """
CREATE TABLE derived (revision VARCHAR(32) SORTED NOT NULL, kind VARCHAR(32) SORTED NOT NULL,
  code VARCHAR(64) SORTED NOT NULL, value BINARY NOT NULL, made VARCHAR(32) SORTED NOT NULL,
  PRIMARY KEY (revision, kind, code), FOREIGN KEY(revision) REFERENCES revisions (id));
CREATE TABLE window_steps (step VARCHAR(32) SORTED NOT NULL, "window" VARCHAR(32) SORTED NOT NULL,
  noted VARCHAR(32) SORTED NOT NULL, PRIMARY KEY (step));
CREATE INDEX ix_window_steps_window ON window_steps ("window");
CREATE INDEX ix_window_steps_noted ON window_steps (noted);
CREATE TABLE alembic_version (version_num VARCHAR(32) SORTED NOT NULL,
  CONSTRAINT alembic_version_pkc PRIMARY KEY (version_num));
INSERT INTO alembic_version VALUES ('3');
UPDATE meta SET value = '3';
INSERT INTO derived VALUES ('s', 'verdict', '1', BYTES, WHEN);
INSERT INTO window_steps VALUES ('s', WINDOW, WHEN);
"""
# Version 4 had the bits of the workshop.
_VERSION_4 = """
CREATE TABLE bit_lists (owner VARCHAR(32) SORTED NOT NULL, bits TEXT SORTED, before TEXT SORTED,
  made VARCHAR(32) SORTED NOT NULL, PRIMARY KEY (owner));
UPDATE alembic_version SET version_num = '4';
UPDATE meta SET value = '4';
INSERT INTO bit_lists VALUES ('workshop', '[]', NULL, WHEN);
"""
# Version 5 had places in the drilling run.
_VERSION_5 = """
CREATE TABLE places (design VARCHAR(32) SORTED NOT NULL, board VARCHAR(64) SORTED NOT NULL,
  arrangement VARCHAR(64) SORTED NOT NULL, step VARCHAR(200) SORTED NOT NULL, made VARCHAR(32) SORTED NOT NULL,
  PRIMARY KEY (design, board, arrangement));
UPDATE alembic_version SET version_num = '5';
UPDATE meta SET value = '5';
"""
# Version 6 had published revisions, and check codes of sheets.
_VERSION_6 = """
CREATE TABLE published (design VARCHAR(32) SORTED NOT NULL, letter VARCHAR(8) SORTED NOT NULL,
  moment VARCHAR(32) SORTED NOT NULL, made VARCHAR(32) SORTED NOT NULL, PRIMARY KEY (design, letter),
  FOREIGN KEY(design) REFERENCES designs (id), FOREIGN KEY(moment) REFERENCES revisions (id));
CREATE TABLE sheet_codes (code VARCHAR(16) SORTED NOT NULL, design VARCHAR(32) SORTED NOT NULL,
  moment VARCHAR(32) SORTED NOT NULL, board VARCHAR(64) SORTED NOT NULL, arrangement VARCHAR(64) SORTED NOT NULL,
  sheets VARCHAR(120) SORTED NOT NULL, made VARCHAR(32) SORTED NOT NULL,
  PRIMARY KEY (code, design, moment, board, arrangement, sheets));
UPDATE alembic_version SET version_num = '6';
UPDATE meta SET value = '6';
INSERT INTO published VALUES ('d', 'A', 'r', WHEN);
"""
_SORTED_SINCE_3 = {
    "designs": {"id": 32, "title": 0, "created": 32, "modified": 32, "head": 32, "removed": 32},
    "revisions": {"id": 32, "design": 32, "parent": 32, "summary": 0, "document": 0, "created": 32, "redo": 32},
    "profiles": {"printer": 80, "paper": 40, "measured": 0, "made": 32},
    "meta": {"key": 32, "value": 0},
}
"""By table and column of text its length, 0 for any."""

DERIVED = b"as it was"
"""What version 3 made from the last revision."""


def make_old_store(url: str, version: int) -> None:
    """Make a store as version 1 to 6 did: two revisions; from 2 a printer, 3 a verdict, 4 bits, 6 a published one."""
    file = url.startswith("sqlite:///")
    script = "".join((_VERSION_1, _VERSION_2, _VERSION_3, _VERSION_4, _VERSION_5, _VERSION_6)[:version])
    sorted_, binary, bytes_ = ("", "BLOB", f"X'{DERIVED.hex()}'")
    if not file:
        sorted_, binary, bytes_ = (' COLLATE "C"', "BYTEA", f"'\\x{DERIVED.hex()}'")
        script += "".join(_sorted_by_characters()) if version >= 3 else ""
    window = f"'{hashlib.sha256(b'w').hexdigest()[:32]}'"  # of one that calls itself w
    for word, said in (
        ("WINDOW", window),
        ("WHEN", f"'{_WHEN}'"),
        (" SORTED", sorted_),
        ("BINARY", binary),
        ("BYTES", bytes_),
    ):
        script = script.replace(word, said)
    if file:
        with closing(sqlite3.connect(url.removeprefix("sqlite:///"))) as raw:
            raw.execute("PRAGMA journal_mode=WAL")
            raw.executescript(script)
        return
    with psycopg.connect(url) as connection:
        connection.execute(script.encode())


def _sorted_by_characters() -> Iterator[str]:
    for table, columns in _SORTED_SINCE_3.items():
        for column, length in columns.items():
            kind = f"VARCHAR({length})" if length else "TEXT"
            yield f'ALTER TABLE {table} ALTER COLUMN {column} TYPE {kind} COLLATE "C";'
