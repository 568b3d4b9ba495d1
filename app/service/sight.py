"""A design as it is looked at: a revision read, with one board of it judged."""

from __future__ import annotations

from collections.abc import Iterable

from msgspec import Struct

from app.document.schema import Design
from app.document.where import Where
from app.errors import DamagedError, DocumentError
from app.service.checks.checking import CheckResult, Revised, checked, parsed
from app.service.checks.long_designs import is_long
from app.service.checks.states import PATIENCE_S, States, seen_states
from app.service.keeping import title_of
from app.service.own_bits import Bits
from app.store import Head, Revision
from app.units import Unit
from app.values import replace


class Sight(Struct, frozen=True):
    """A design as it is now, with one board and arrangement of it resolved and judged.

    Args:
        head: the design in the store, and the names of the steps to undo and redo.
        design: its document.
        checked: the board in view.
        states: how its arrangements stand, as far as that is known; None where nobody asked.
    """

    head: Head
    design: Design
    checked: CheckResult
    states: States | None = None

    @property
    def title(self) -> str:
        """The title of the design."""
        return self.design.title

    @property
    def unit(self) -> Unit:
        """The unit it is shown in."""
        return Unit(self.checked.resolved.units)

    @property
    def revision(self) -> str:
        """Id of the revision that is shown."""
        return self.head.revision.id

    @property
    def steps(self) -> tuple[str, str]:
        """Names of the steps to undo and to redo; empty where there is none."""
        return self.head.undo or "", self.head.redo or ""

    def present(self, placements: Iterable[str]) -> tuple[str, ...]:
        """Those of the placements that are on the board in view, by id."""
        return self.checked.present(placements)


def sight_of(head: Head, where: Where, units: str = "", bits: Bits | None = None) -> Sight:
    """One board of the revision that is shown, as :meth:`app.service.workshop.Workshop.look` gives it; pure.

    Raises:
        NotFoundError: no such board or arrangement.
        DamagedError: what is stored of it cannot be shown.
    """
    revised = revised_of(head.revision, bits)
    try:
        design = parsed(revised)
        return Sight(head, design, checked(revised, where.board, where.arrangement, units or design.units))
    except DocumentError as error:
        raise _damaged(error) from error


def with_states(sight: Sight, known: States) -> Sight:
    """What is looked at, with how the design's other arrangements stand.

    Those of a long document are judged by themselves, when they are asked for; others here, as far as a moment reaches.
    """
    long = is_long(sight.head.revision.document)
    return replace(sight, states=seen_states(sight.checked, known, 0.0 if long else PATIENCE_S))


def revised_of(revision: Revision, bits: Bits | None = None) -> Revised:
    """The document of a revision, to be looked at with the workshop's bits."""
    return Revised(revision.id, revision.document, bits, revision.number)


def read_of(revision: Revision, bits: Bits | None = None) -> Design:
    """The design a revision holds.

    Raises:
        DamagedError: what is stored of it cannot be shown.
    """
    return readable(revised_of(revision, bits))


def readable(revised: Revised) -> Design:
    """The design that a document holds; raises as :func:`read_of`."""
    try:
        return parsed(revised)
    except DocumentError as error:
        raise _damaged(error) from error


def _damaged(error: DocumentError) -> DamagedError:
    return DamagedError(f"The stored data of this design cannot be shown. {error} Its timeline takes you back.")


def title_in(document: str) -> str:
    """The title in a stored document.

    Raises:
        DamagedError: it cannot be read.
    """
    try:
        return title_of(document)
    except DocumentError as error:
        raise DamagedError(f"The stored data of that step cannot be read. {error} Go to another step.") from error
