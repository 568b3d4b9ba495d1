"""What is known of the workshop's printers: how a print is corrected, by printer and paper."""

from __future__ import annotations

from collections.abc import Callable
from contextlib import AbstractContextManager
from datetime import datetime

from sqlalchemy import Connection, Delete, delete, insert, select

from app.errors import NotFoundError
from app.store.records import Profile
from app.store.tables import profiles

Opening = Callable[[], AbstractContextManager[Connection]]


class Profiles:
    """Printer profiles in the same database as the designs; one for each printer and paper.

    Args:
        reading: begins a transaction that reads.
        writing: begins one that writes.
        now: the time as it is written into rows.
    """

    def __init__(self, reading: Opening, writing: Opening, now: Callable[[], str]) -> None:
        self._reading = reading
        self._writing = writing
        self._now = now

    def all(self) -> tuple[Profile, ...]:
        """Every profile, by printer, then paper."""
        query = select(profiles).order_by(profiles.c.printer, profiles.c.paper)
        with self._reading() as connection:
            return tuple(
                Profile(r.printer, r.paper, r.x, r.y, r.measured, datetime.fromisoformat(r.made))
                for r in connection.execute(query)
            )

    def get(self, printer: str, paper: str) -> Profile:
        """The profile of a printer for a paper.

        Raises:
            NotFoundError: there is none.
        """
        for profile in self.all():
            if (profile.printer, profile.paper) == (printer, paper):
                return profile
        raise NotFoundError(
            f"No correction is kept for the printer “{printer[:60]}” with paper {paper[:40]}. "
            "Print the check sheet for that paper, measure it, and keep what comes of it."
        )

    def keep(self, printer: str, paper: str, x: float, y: float, measured: str) -> None:
        """Keep a correction in place of what was kept for that printer and paper."""
        row = {"printer": printer, "paper": paper, "x": x, "y": y, "measured": measured, "made": self._now()}
        with self._writing() as connection:
            connection.execute(_one(printer, paper))
            connection.execute(insert(profiles).values(**row))

    def drop(self, printer: str, paper: str) -> None:
        """Forget a correction; one that is not there is forgotten already."""
        with self._writing() as connection:
            connection.execute(_one(printer, paper))


def _one(printer: str, paper: str) -> Delete:
    return delete(profiles).where(profiles.c.printer == printer, profiles.c.paper == paper)
