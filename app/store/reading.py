"""What a row holds, read as far as it can be: one damaged value must hide neither its row nor any other.

SQLite keeps what it was given, whatever the column was declared as; a disk that failed or a hand in the file leaves
bytes that are no text, dates that are none, or nothing. Such a value is read as near to what it was as can be, and the
row says which of its columns are so.
"""

from __future__ import annotations

import re
from datetime import UTC, datetime

_YEARS = range(1970, 9000)
"""What a date that was written here can lie in; far outside, it cannot be told in local time either."""

_UNSHOWN = re.compile(r"[\x00-\x08\x0b\x0c\x0e-\x1f\x7f\ud800-\udfff]")
"""Control characters, and halves of characters."""


def text_of(value: object) -> str:
    """A value as text; bytes that are no UTF-8 come as lone surrogates, so that :func:`bytes_of` gives them back."""
    if isinstance(value, str):
        return value
    if isinstance(value, bytes):
        return value.decode("utf-8", "surrogateescape")
    return "" if value is None else str(value)


def bytes_of(text: str) -> bytes:
    """The bytes that :func:`text_of` made the text from."""
    try:
        return text.encode("utf-8", "surrogateescape")
    except UnicodeEncodeError:
        return text.encode("utf-8", "surrogatepass")


def words_of(value: object) -> str:
    """A value as words for a page: letters that cannot be shown stand as a mark of their own."""
    return _UNSHOWN.sub("\N{REPLACEMENT CHARACTER}", text_of(value))


def moment_of(value: object) -> datetime | None:
    """A time as it is written into rows; None if it is none. One without a zone is in UTC, as all here are."""
    try:
        found = datetime.fromisoformat(text_of(value))
    except ValueError:
        return None
    if found.year not in _YEARS:
        return None
    return found if found.tzinfo is not None else found.replace(tzinfo=UTC)


def number_of(value: object) -> int:
    """A whole number; 0 if it is none."""
    return value if isinstance(value, int) else 0
