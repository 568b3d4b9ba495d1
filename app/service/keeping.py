"""What goes into the store and what comes out of it again, as text."""

from __future__ import annotations

from app.document.keep import kept
from app.document.load import recalled
from app.document.schema import Design
from app.errors import DocumentError, EditError


def kept_after(design: Design, before: Design) -> str:
    """The text of a changed design to store.

    Raises:
        EditError: it could not be read again, or is farther beyond a limit than it was.
    """
    try:
        return kept(design, before)
    except DocumentError as error:
        raise EditError(f"{error} Nothing was changed.") from None


def title_of(document: str) -> str:
    """The title in a document of the store."""
    return recalled(document).title
