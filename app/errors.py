"""Every error Holewise raises on purpose.

    HolewiseError
    ├── LengthError (ValueError)        a length that cannot be read
    ├── GeometryError (ValueError)      an outline or shape that cannot exist
    ├── ModelError (ValueError)         a value that breaks an invariant of the model
    ├── CatalogueError (ValueError)     a catalogue row that cannot be used
    ├── DocumentError (ValueError)      a design file that cannot be read, with the place
    │   ├── VersionError                written by a newer Holewise
    │   ├── SizeError                   larger or deeper than a design can be
    │   └── LimitError                  holds more than a design may hold
    ├── EditError (ValueError)          an edit that cannot be made
    ├── NotFoundError (LookupError)     a design, board, arrangement, part or placement that is not there
    ├── PaperError (ValueError)         a paper that cannot carry the drawing
    ├── PhotoError (ValueError)         a photograph that nothing can be measured by
    ├── WriterError (ValueError)        a drawing that cannot be written as asked
    ├── ProofError (RuntimeError)       a file that, read back, does not show what the design asks for
    ├── BudgetError (RuntimeError)      work ended because it took more than it may, or nobody waited for it
    └── StoreError (RuntimeError)       the data folder or database cannot be used
        └── DamagedError                what is stored of one design cannot be shown

A message says what, what it got, what is allowed and what to do. A bad *design* is never an
error: that is a finding.

A file that is withheld (``ProofError``) is a fault of ours: whatever is stored can be drawn, and nothing that is sent
could mend it. The web answers it with status 500, as any fault, but with a page that says what is wrong with the file
and how to go on without it, and there is an entry in the log. Where a page asks for a proof, the same words stand in
the place of the download.
"""

from collections.abc import Mapping
from typing import Self


class HolewiseError(Exception):
    """Base of every error a user may see; its text is a sentence for the user."""


class LengthError(HolewiseError, ValueError):
    """A length that cannot be read."""


class GeometryError(HolewiseError, ValueError):
    """An outline or shape that cannot exist."""


class ModelError(HolewiseError, ValueError):
    """A value that breaks an invariant of the model."""


class CatalogueError(HolewiseError, ValueError):
    """A catalogue row that cannot be used."""


class DocumentError(HolewiseError, ValueError):
    """A design file that cannot be read.

    Args:
        message: what is wrong and what to do about it.
        place: where in the file, as a path like ``boards[0].layers[1].thickness``; empty if the whole file.
    """

    def __init__(self, message: str, place: str = "") -> None:
        super().__init__(f"{place}: {message}" if place else message)
        self.place = place


class VersionError(DocumentError):
    """A design file written by a newer Holewise."""


class SizeError(DocumentError):
    """A design file larger or more deeply nested than a design can be."""


class LimitError(DocumentError):
    """A design that holds more than a design may hold, or a board of no size that can be.

    Args:
        message: what is allowed, what there is and what to do about it.
        place: where in the design.
        over: by the name of each limit that is not kept, how far beyond it the design is, in the limit's own unit.
    """

    def __init__(self, message: str, place: str = "", over: Mapping[str, float] | None = None) -> None:
        super().__init__(message, place)
        self.over = dict(over or {})


class EditError(HolewiseError, ValueError):
    """An edit that cannot be made.

    Args:
        message: what is wrong and what to do about it.
        field: the form field the message belongs beside; empty if none.
        problems: sentence by field, where more than one of them is wrong.
    """

    def __init__(self, message: str, field: str = "", problems: Mapping[str, str] | None = None) -> None:
        super().__init__(message)
        self.field = field
        self.problems = dict(problems or {field: message})

    @classmethod
    def of(cls, problems: Mapping[str, str]) -> Self:
        """All that is wrong, a sentence by field; at least one."""
        return cls(" ".join(problems.values()), next(iter(problems)), problems)


class NotFoundError(HolewiseError, LookupError):
    """A design, board, arrangement, part or placement that is not there."""


class PaperError(HolewiseError, ValueError):
    """A paper that cannot carry the drawing."""


class PhotoError(HolewiseError, ValueError):
    """A photograph that nothing can be measured by."""


class WriterError(HolewiseError, ValueError):
    """A drawing that cannot be written as asked."""


class ProofError(HolewiseError, RuntimeError):
    """A file that, read back by another library, does not show what the design asks for; it is not given out."""


class BudgetError(HolewiseError, RuntimeError):
    """Work that was ended because it took more time or memory than it may, or because nobody waited for it."""


class StoreError(HolewiseError, RuntimeError):
    """The data folder or the database cannot be used."""


class DamagedError(StoreError):
    """What is stored of one design cannot be shown; every other design can."""
