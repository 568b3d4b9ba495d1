"""Faults of the libraries that read files, told as faults of the file."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager

from app.errors import DocumentError, HolewiseError

_FAULTS = (
    ValueError, ArithmeticError, LookupError, TypeError, AttributeError, AssertionError, OSError, RecursionError,
    NotImplementedError,
)  # fmt: skip


@contextmanager
def told_as(sentence: str, *also: type[Exception]) -> Iterator[None]:
    """Tell whatever a library raises on a broken file by a sentence for the user.

    Args:
        sentence: what to say.
        also: errors of the library's own.

    Raises:
        DocumentError: with the sentence; errors of ours go through as they are.
    """
    known: tuple[type[Exception], ...] = (*_FAULTS, *also)
    try:
        yield
    except HolewiseError:
        raise
    except known as error:
        raise DocumentError(sentence) from error
