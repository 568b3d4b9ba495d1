"""Whether the database can be worked with right now."""

from __future__ import annotations

from pathlib import Path

from sqlalchemy import Engine, literal, select
from sqlalchemy.exc import SQLAlchemyError

from app.store.tables import SCHEMA_VERSION, meta, metadata


def is_ready(engine: Engine) -> bool:
    """Whether the database can be reached and has the schema this program reads, with every table of it."""
    if not _is_there(engine):
        return False
    try:
        with engine.begin() as connection:
            version = connection.execute(select(meta.c.value).where(meta.c.key == "version")).scalar_one_or_none()
            for table in metadata.sorted_tables:
                connection.execute(select(literal(1)).select_from(table).limit(1)).all()
    except SQLAlchemyError:
        return False
    return version == str(SCHEMA_VERSION)


def _is_there(engine: Engine) -> bool:
    """Whether the file of a database that is one is still there: a connection kept open outlives it."""
    file = engine.url.database
    return engine.dialect.name != "sqlite" or not file or file == ":memory:" or Path(file).is_file()
