"""What is known of the workshop's printers: how a print is corrected, by printer and paper."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from math import isfinite

from sqlalchemy import delete, select

from app.errors import EditError, NotFoundError
from app.store.engine.database import Database
from app.store.engine.upserts import put_in
from app.store.records import Profile
from app.store.tables import profiles


class Profiles:
    """Printer profiles in the same database as the designs; one for each printer and paper.

    Args:
        database: the one they are in.
        now: the time as it is written into rows.
    """

    def __init__(self, database: Database, now: Callable[[], str]) -> None:
        self._database = database
        self._now = now

    def all(self) -> tuple[Profile, ...]:
        """Every profile, by printer, then paper, capitals and small letters alike."""
        with self._database.glancing() as connection:
            found = [
                Profile(r.printer, r.paper, r.x, r.y, r.measured, datetime.fromisoformat(r.made))
                for r in connection.execute(select(profiles))
            ]
        return tuple(sorted(found, key=lambda kept: (kept.printer.casefold(), kept.printer, kept.paper)))

    def get(self, printer: str, paper: str) -> Profile:
        """The profile of a printer for a paper.

        Raises:
            NotFoundError: there is none.
        """
        for profile in self.all():
            if (profile.printer, profile.paper) == (printer, paper):
                return profile
        raise NotFoundError(
            f"No correction is saved for the printer “{printer[:60]}” with paper {paper[:40]}. "
            "Print the check sheet for that paper, measure it, and save the correction."
        )

    def keep(self, printer: str, paper: str, x: float, y: float, measured: str) -> None:
        """Keep a correction in place of what was kept for that printer and paper.

        Raises:
            EditError: a text that cannot be kept, or a factor that is no number.
        """
        if not (isfinite(x) and isfinite(y)):
            raise EditError(f"The correction {x}, {y} is not two numbers. Measure the check sheet again.")
        row = {"printer": printer, "paper": paper, "x": x, "y": y, "measured": measured, "made": self._now()}
        with self._database.writing() as connection:
            put_in(connection, profiles, [row], replace=True)

    def forget(self, printer: str, paper: str) -> None:
        """Forget a correction; one that is not there is forgotten already."""
        with self._database.writing() as connection:
            connection.execute(delete(profiles).where(profiles.c.printer == printer, profiles.c.paper == paper))
