"""Which sheets bear which check code: what was printed from this shelf can be found again by the code on the paper."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import datetime

from msgspec import Struct
from msgspec.structs import asdict
from sqlalchemy import select

from app.store.engine.database import Database
from app.store.engine.upserts import put_in
from app.store.engine.words import unstorable
from app.store.reading import moment_of
from app.store.tables import sheet_codes

_CODE = 16
_PATIENCE_S = 0.5


class PrintedSheets(Struct, frozen=True):
    """Sheets that bear a code.

    Args:
        code: as it stands on them.
        design, moment: the design and the moment of it that they show.
        board, arrangement: ids.
        sheets: what they are, in words.
    """

    code: str
    design: str
    moment: str
    board: str
    arrangement: str
    sheets: str


class SheetCodes:
    """Codes of sheets, in the same database as the designs.

    Args:
        database: the one they are in.
        now: the time as it is written into rows.
    """

    def __init__(self, database: Database, now: Callable[[], str]) -> None:
        self._database = database
        self._now = now

    def keep(self, printed: Sequence[PrintedSheets]) -> None:
        """Note what sheets bear; what is known already stays.

        Raises:
            StoreError: the database cannot be used, or others are writing: this waits for nobody long.
        """
        rows = [{**asdict(each), "made": self._now()} for each in printed]
        if rows:
            with self._database.writing(patience=_PATIENCE_S, lasting=False) as connection:
                put_in(connection, sheet_codes, rows)

    def find(self, code: str) -> tuple[tuple[PrintedSheets, datetime | None], ...]:
        """What bears a code and since when, the latest first; nothing if it is unknown."""
        if unstorable(code, _CODE):
            return ()
        query = select(sheet_codes).where(sheet_codes.c.code == code).order_by(sheet_codes.c.made.desc())
        with self._database.glancing() as connection:
            rows = connection.execute(query).mappings().all()
        names = PrintedSheets.__struct_fields__
        return tuple((PrintedSheets(**{name: row[name] for name in names}), moment_of(row["made"])) for row in rows)
