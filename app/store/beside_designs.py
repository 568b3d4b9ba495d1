"""What is kept in the database of designs beside them: printers, bits, places, letters, codes, what can be remade."""

from __future__ import annotations

from collections.abc import Callable

from app.store.derived import Derived
from app.store.engine.database import Database
from app.store.own_bits import OwnBits
from app.store.places import Places
from app.store.profiles import Profiles
from app.store.published import PublishedMoments
from app.store.sheet_codes import SheetCodes


class BesideDesigns:
    """What is kept beside the designs.

    Args:
        database: with the tables in it.
        now: the time as it is written into rows.
    """

    def __init__(self, database: Database, now: Callable[[], str]) -> None:
        self._database = database
        self._time = now

    @property
    def profiles(self) -> Profiles:
        """What is known of the workshop's printers."""
        return Profiles(self._database, self._time)

    @property
    def own_bits(self) -> OwnBits:
        """The bits of the workshop."""
        return OwnBits(self._database, self._time)

    @property
    def places(self) -> Places:
        """Where builders are in drilling runs."""
        return Places(self._database, self._time)

    @property
    def published(self) -> PublishedMoments:
        """Published revisions, by letter."""
        return PublishedMoments(self._database)

    @property
    def sheet_codes(self) -> SheetCodes:
        """What was printed, by check code."""
        return SheetCodes(self._database, self._time)

    @property
    def derived(self) -> Derived:
        """What programs made from revisions and may want again."""
        return Derived(self._database, self._time)
