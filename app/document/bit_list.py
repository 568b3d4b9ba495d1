"""A list of bits as text of its own: that of a workshop, which no design carries."""

from __future__ import annotations

import json
from functools import cache
from typing import TYPE_CHECKING

from pydantic import ValidationError

from app.document.schema import BitEntry
from app.errors import DocumentError

if TYPE_CHECKING:
    from pydantic import TypeAdapter


@cache
def _reader() -> TypeAdapter[tuple[BitEntry, ...]]:
    from pydantic import TypeAdapter

    return TypeAdapter(tuple[BitEntry, ...])


def write_bits(bits: tuple[BitEntry, ...]) -> str:
    """The text of a list; the same list gives the same text."""
    return json.dumps([bit.model_dump(mode="json") for bit in bits])


def read_bits(text: str) -> tuple[BitEntry, ...]:
    """The list in a text.

    Raises:
        DocumentError: it is none.
    """
    try:
        return _reader().validate_json(text)
    except ValidationError as error:
        raise DocumentError("That is not a list of bits. List them again.") from error
