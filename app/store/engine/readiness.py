"""Whether the database can be worked with right now."""

from __future__ import annotations

from sqlalchemy import literal, select
from sqlalchemy.exc import SQLAlchemyError

from app.errors import StoreError
from app.store.engine.database import Database
from app.store.tables import SCHEMA_VERSION, meta, metadata


def is_ready(database: Database) -> bool:
    """Whether the database can be reached and has the schema this program reads, with every table of it."""
    file = database.place.file
    if file is not None and not file.is_file():  # a connection kept open outlives its file
        return False
    try:
        with database.reading() as connection:
            version = connection.execute(select(meta.c.value).where(meta.c.key == "version")).scalar_one_or_none()
            for table in metadata.sorted_tables:
                connection.execute(select(literal(1)).select_from(table).limit(1)).all()
    except (StoreError, SQLAlchemyError):
        return False
    return version == str(SCHEMA_VERSION)
