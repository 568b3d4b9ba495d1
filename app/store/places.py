"""At which step of a drilling run a builder is: it is found again after a restart, and by another phone.

It is no step of the design, and nothing to undo. Of two phones the one that went on last has said it; each shows the
step in its own address, so neither is moved by the other.
"""

from __future__ import annotations

from collections.abc import Callable

from sqlalchemy import select

from app.store.engine.database import Database
from app.store.engine.upserts import put_in
from app.store.tables import places


class RunPlaces:
    """Places in drilling runs, in the same database as the designs.

    Args:
        database: the one they are in.
        now: the time as it is written into rows.
    """

    def __init__(self, database: Database, now: Callable[[], str]) -> None:
        self._database = database
        self._now = now

    def read(self, design: str, board: str, arrangement: str) -> str:
        """The name of the step somebody went to last; empty where nobody did."""
        where = (places.c.design == design) & (places.c.board == board) & (places.c.arrangement == arrangement)
        with self._database.glancing() as connection:
            return connection.execute(select(places.c.step).where(where)).scalar_one_or_none() or ""

    def keep(self, design: str, board: str, arrangement: str, step: str) -> None:
        """Note that somebody went to a step.

        Raises:
            EditError: a text that cannot be kept.
        """
        row = {"design": design, "board": board, "arrangement": arrangement, "step": step, "made": self._now()}
        with self._database.writing() as connection:
            put_in(connection, places, [row], replace=True)
