"""Older tables brought to today's, step by step, by Alembic; imported only when there is something to migrate."""

from __future__ import annotations

from pathlib import Path

from alembic import command
from alembic.config import Config
from sqlalchemy import Connection, update

from app.store.tables import SCHEMA_VERSION, meta

FOLDER = Path(__file__).resolve().parent / "migrations"


def migrate(connection: Connection, found: int) -> None:
    """Bring tables of version ``found`` to today's, in the transaction of ``connection``: all of it or nothing.

    The version in ``meta`` is what counts; Alembic is told it anew each time, because stores are older than its mark.
    """
    config = Config()
    config.set_main_option("script_location", str(FOLDER).replace("%", "%%"))
    config.attributes["connection"] = connection
    command.stamp(config, str(found), purge=True)
    command.upgrade(config, str(SCHEMA_VERSION))
    connection.execute(update(meta).where(meta.c.key == "version").values(value=str(SCHEMA_VERSION)))
