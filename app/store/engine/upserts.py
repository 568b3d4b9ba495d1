"""Rows put in where another process may put the same at the same moment: one statement on either database."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from sqlalchemy import Connection, Table


def put_in(connection: Connection, table: Table, rows: Sequence[Mapping[str, Any]], *, replace: bool = False) -> None:
    """Put rows into ``table``; one whose primary key is taken is left out, or takes its place.

    Args:
        connection: a transaction that writes.
        table: the table.
        rows: values by column name, all with the same columns.
        replace: whether a row takes the place of the one that is there.
    """
    if not rows:
        return
    statement = _insert(connection, table)
    if replace:
        keys = [column.name for column in table.primary_key.columns]
        taken = {name: statement.excluded[name] for name in rows[0]}
        statement = statement.on_conflict_do_update(index_elements=keys, set_=taken)
    else:
        statement = statement.on_conflict_do_nothing()
    connection.execute(statement, list(rows))


def _insert(connection: Connection, table: Table) -> Any:
    """The database's own INSERT; the two have no type in common, but the same methods."""
    # Imported here: on SQLite nobody should wait for what PostgreSQL needs.
    if connection.dialect.name == "postgresql":
        from sqlalchemy.dialects.postgresql import insert as on_server

        return on_server(table)
    from sqlalchemy.dialects.sqlite import insert as in_file

    return in_file(table)
