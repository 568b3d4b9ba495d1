"""Text as the store keeps it: the same on every database.

PostgreSQL refuses the character NUL, SQLite stores it; neither stores half of a surrogate pair; SQLite does not mind
how long a text is. What one of them would refuse is refused on both, before it gets there.
"""

from __future__ import annotations

from typing import Any

from sqlalchemy import Dialect, String, Text
from sqlalchemy.exc import DontWrapMixin
from sqlalchemy.types import TypeDecorator, TypeEngine

from app.errors import EditError


class UnstorableError(EditError, DontWrapMixin):
    """A text that no database is given."""


class StoredText(TypeDecorator[str]):
    """A column of text, compared and sorted character by character on every database.

    Args:
        limit: most characters it takes; None for any number.
    """

    impl = Text
    cache_ok = True

    def __init__(self, limit: int | None = None) -> None:
        super().__init__()
        self.limit = limit

    def load_dialect_impl(self, dialect: Dialect) -> TypeEngine[Any]:
        """The database's own type; a server would otherwise sort as the language of its machine has it."""
        collation = "C" if dialect.name == "postgresql" else None
        return Text(collation=collation) if self.limit is None else String(self.limit, collation=collation)

    def process_bind_param(self, value: str | None, dialect: Dialect) -> str | None:  # noqa: ARG002
        """The text itself.

        Raises:
            UnstorableError: it cannot be kept.
        """
        if value is not None and (reason := unstorable(value, self.limit)):
            raise UnstorableError(f"The text {value[:40]!a} cannot be saved: {reason}.")
        return value


def unstorable(text: str, limit: int | None = None) -> str:
    """Why a text cannot be kept, with what to do; empty if it can."""
    if limit is not None and len(text) > limit:
        return f"it has {len(text)} characters, and there is room for {limit}. Shorten it"
    if "\0" in text:
        return "it holds the character NUL. Delete that"
    try:
        text.encode()
    except UnicodeEncodeError as error:
        return f"its character {error.start + 1} is half of a pair that makes one character. Type it again"
    return ""
