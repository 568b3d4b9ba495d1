"""What is kept beside the designs, in the same database: each its own small table."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, datetime

from app.store.derived import Derived
from app.store.engine.database import Database
from app.store.labels import Labels
from app.store.own_bits import OwnBits
from app.store.places import RunPlaces
from app.store.profiles import Profiles
from app.store.published import PublishedMoments
from app.store.sheet_codes import SheetCodes

Clock = Callable[[], datetime]


def utc_now() -> datetime:
    """The time now, in UTC."""
    return datetime.now(UTC)


class Beside:
    """What is kept beside designs and revisions.

    Args:
        database: with the tables in it.
        clock: gives the time written into rows.
    """

    def __init__(self, database: Database, clock: Clock = utc_now) -> None:
        self._database = database
        self._clock = clock

    @property
    def profiles(self) -> Profiles:
        """What is known of the workshop's printers."""
        return Profiles(self._database, self._now)

    @property
    def own_bits(self) -> OwnBits:
        """The bits of the workshop."""
        return OwnBits(self._database, self._now)

    @property
    def places(self) -> RunPlaces:
        """Where builders are in drilling runs."""
        return RunPlaces(self._database, self._now)

    @property
    def published(self) -> PublishedMoments:
        """Published revisions, by letter."""
        return PublishedMoments(self._database)

    @property
    def sheet_codes(self) -> SheetCodes:
        """What was printed, by check code."""
        return SheetCodes(self._database, self._now)

    @property
    def labels(self) -> Labels:
        """Labels of designs on the shelf."""
        return Labels(self._database, self._now)

    @property
    def derived(self) -> Derived:
        """What programs made from revisions and may want again."""
        return Derived(self._database, self._now)

    def _now(self) -> str:
        return self._clock().astimezone(UTC).isoformat(timespec="microseconds")
