"""One database: transactions that read, transactions that write, and its troubles in words for the user."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import AbstractContextManager, contextmanager, nullcontext
from typing import Any

from sqlalchemy import Connection
from sqlalchemy.exc import DBAPIError, IntegrityError
from sqlalchemy.exc import TimeoutError as NoConnectionError

from app.errors import StoreError
from app.store.engine.advice import advice
from app.store.engine.engines import make_engine
from app.store.engine.place import StorePlace
from app.store.engine.turns import WriterTurns


class Database:
    """A database that can be talked to; nothing is connected before the first transaction.

    Args:
        place: where it lies.
        new: whether it is a file being made. Only then is one made where there is none, and what is written need not
            be on the disk before it counts.

    Raises:
        StoreError: the package to talk to it is not installed.
    """

    def __init__(self, place: StorePlace, *, new: bool = False) -> None:
        self.place = place
        self._engine = make_engine(place, new=new)
        self._turns = WriterTurns()
        reads: dict[str, Any] = {}
        writes: dict[str, Any] = {"writes": True}
        if self.is_served:
            # As on SQLite, one that reads sees a single state of everything, and one that writes sees, once it has
            # locked a row, what the one before it wrote. The server's own default may be another. A single statement
            # sees a single state by itself, and so do connections as they are: most that is asked is that.
            reads |= {"isolation_level": "REPEATABLE READ", "postgresql_readonly": True}
            writes |= {"isolation_level": "READ COMMITTED"}
        self._reader = self._engine.execution_options(**reads)
        self._writer = self._engine.execution_options(**writes)
        self._jotter = self._engine.execution_options(**writes, lasting=False)

    def close(self) -> None:
        """Let go of every connection."""
        self._engine.dispose()

    @contextmanager
    def reading(self) -> Iterator[Connection]:
        """A transaction that only reads.

        Raises:
            StoreError: the database cannot be used.
        """
        with self._guarded(), self._reader.begin() as connection:
            yield connection

    @contextmanager
    def glancing(self) -> Iterator[Connection]:
        """For one statement that reads: a server is asked once, and not to begin and to end as well.

        Raises:
            StoreError: the database cannot be used.
        """
        with self._guarded(), self._engine.begin() as connection:
            yield connection

    @property
    def is_served(self) -> bool:
        """Whether a server has it: each question to it is a wait, and one statement may write several rows."""
        return self.place.file is None

    @contextmanager
    def striking(self, row: str) -> Iterator[Connection]:
        """For one statement that writes, on a server: it is a transaction by itself, on the disk once it is answered.

        Args:
            row: id of the design whose row it locks.

        Raises:
            StoreError: the database cannot be used, or others are writing all the time.
        """
        with self._turn(row, None), self._guarded(), self._engine.begin() as connection:
            yield connection

    @contextmanager
    def writing(self, row: str = "", patience: float | None = None, *, lasting: bool = True) -> Iterator[Connection]:
        """A transaction that writes: on SQLite the only one, on PostgreSQL the only one on the rows it locks.

        Args:
            row: id of the design whose row it locks first; empty if it locks none for long.
            patience: how long to wait at most for others of this program [s]; None is a minute.
            lasting: whether it is on the disk once it is written; what can be made again need not be, and is written
                sooner. Whatever stands before it is safe, and so is it once something lasting follows.

        Raises:
            StoreError: the database cannot be used, or others are writing all the time.
        """
        writer = self._writer if lasting else self._jotter
        with self._turn(row, patience), self._guarded(), writer.begin() as connection:
            yield connection

    def _turn(self, row: str, patience: float | None) -> AbstractContextManager[None]:
        """That of this writer among the threads of this program; on a server writers of other rows pass it."""
        if not self.is_served:
            return self._turns.of("", patience)
        return self._turns.of(row, patience) if row else nullcontext()

    @contextmanager
    def _guarded(self) -> Iterator[None]:
        try:
            yield
        except IntegrityError:
            raise  # a fault of ours, not of the place: it must not be hidden behind advice
        except DBAPIError as error:
            code = getattr(error.orig, "sqlstate", None) or ""
            lost = error.connection_invalidated
            raise StoreError(advice(self.place, str(error.orig), code, lost=lost)) from error
        except NoConnectionError as error:
            raise StoreError(
                f"Too many people are using {self.place.name} at once. Try again in a moment. Nothing was changed."
            ) from error
