"""Designs on the shelf: open, look, change, take back."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from app.arrange.change import Edit
from app.arrange.new_deck import NewDeck
from app.catalogue.load import catalogue
from app.document.dump import dumps
from app.document.load import loads
from app.document.resolve import find_arrangement, find_board, resolve
from app.document.scenarios import Scenario, load_scenario, scenario_list
from app.document.schema import Design
from app.errors import HolewiseError, NotFoundError
from app.model.resolved import ResolvedBoard
from app.service.changes import Change, Where
from app.service.checking import CheckResult, Revised, checked, parsed
from app.service.dragging import dragged_to
from app.service.starting import new_design
from app.service.twins import in_every_arrangement
from app.service.windows import Meanwhile, Sender, Windows, between
from app.store import Change as Stored
from app.store import DesignRow, Head, Moment, Profiles, Revision, Store, default_folder, open_store

NOBODY = Sender(window="")
"""For a change that comes from no window."""


@dataclass(frozen=True, slots=True)
class Sight:
    """A design as it is now, with one board and arrangement of it resolved and judged.

    Args:
        head: the design in the store, and the names of the steps to undo and redo.
        design: its document.
        checked: the board in view.
    """

    head: Head
    design: Design
    checked: CheckResult


@dataclass(frozen=True, slots=True)
class ShelfItem:
    """A design on the shelf.

    Args:
        row: title and times.
        revision: id of what is shown, for a picture that may be kept.
        design: its document; None if it cannot be read any more.
        results: its deck, every arrangement judged.
        problem: why it cannot be shown; empty if it can.
    """

    row: DesignRow
    revision: str
    design: Design | None
    results: tuple[CheckResult, ...]
    problem: str = ""


class Workshop:
    """The use cases on designs that are kept.

    Args:
        store: where they are kept.
    """

    def __init__(self, store: Store) -> None:
        self._store = store
        self._windows = Windows()
        self._drag: tuple[str, Revised] | None = None

    def close(self) -> None:
        """Let go of the store."""
        self._store.close()

    @property
    def printers(self) -> Profiles:
        """How prints are corrected, by printer and paper."""
        return self._store.profiles

    # -- the shelf -------------------------------------------------------------------------------------

    def shelf(self) -> tuple[ShelfItem, ...]:
        """Every design on the shelf, last changed first."""
        return tuple(self._item(row) for row in self._store.designs())

    def put_away(self) -> tuple[DesignRow, ...]:
        """Designs taken off the shelf, last changed first."""
        return self._store.designs(removed=True)

    def create(self, spec: NewDeck) -> Head:
        """Put a new deck on the shelf.

        Raises:
            EditError: a value is not allowed, or the deck would not bear a leaning hand, with the form field it
                belongs beside.
        """
        design = new_design(spec)
        return self._store.add(dumps(design), design.title, "New deck")

    def open_file(self, data: bytes) -> Head:
        """Put a copy of a design file on the shelf; the file itself stays as it is.

        Raises:
            DocumentError: it cannot be read, or names hardware or material that is not known.
        """
        design = loads(data)
        for board in design.boards:
            for arrangement in board.arrangements:
                resolve(design, board.id, arrangement.id, catalogue())
        return self._store.add(dumps(design), design.title, "Opened from a file")

    def open_scenario(self, name: str) -> Head:
        """Put a copy of a scenario on the shelf.

        Raises:
            NotFoundError: there is none of that name.
        """
        design = load_scenario(name)
        return self._store.add(dumps(design), design.title, "Copied from a scenario")

    def remove(self, design_id: str) -> DesignRow:
        """Take a design off the shelf; nothing is deleted."""
        return self._store.remove(design_id)

    def put_back(self, design_id: str) -> DesignRow:
        """Put a design back on the shelf."""
        return self._store.put_back(design_id)

    # -- one design ------------------------------------------------------------------------------------

    def design(self, design_id: str) -> tuple[Head, Design]:
        """A design as it is now.

        Raises:
            NotFoundError: no such design.
        """
        head = self._store.head(design_id)
        return head, parsed(_revised(head.revision))

    def look(self, design_id: str, where: Where, units: str = "") -> Sight:
        """One board of a design, resolved and judged, in ``units`` or the design's own.

        Raises:
            NotFoundError: no such design, board or arrangement.
        """
        head, design = self.design(design_id)
        seen = checked(_revised(head.revision), where.board, where.arrangement, units or design.units)
        return Sight(head, design, seen)

    def preview(
        self,
        design_id: str,
        where: Where,
        units: str,
        placements: Sequence[str],
        dx: float,
        dy: float,
        grid: float,
        seen: str = "",
    ) -> tuple[CheckResult, CheckResult]:
        """The board as it is, and as it would be with placements moved by ``(dx, dy)`` [mm]; nothing is kept.

        Lands on the grid as :func:`app.service.changes.dragged` does. ``seen`` is the revision on screen; the one
        that is shown now if it is empty or unknown.

        Raises:
            NotFoundError: no such design, board, arrangement or placement.
        """
        revised = self._shown(design_id, seen)
        design = parsed(revised)
        before = checked(revised, where.board, where.arrangement, units or design.units)
        entries = find_arrangement(find_board(design, where.board), where.arrangement)
        return before, dragged_to(before.resolved, entries, placements, dx, dy, grid)

    def edit(self, design_id: str, where: Where, change: Change, sender: Sender = NOBODY) -> tuple[Head, Edit]:
        """Make a change to the newest revision of a design, in every arrangement that shares what it is about.

        So a window that shows an older one loses nothing and takes nothing back; :meth:`meanwhile` tells it.

        Raises:
            NotFoundError: no such design, or what the change is about is not there.
            EditError: the change cannot be made; nothing is.
        """
        made: list[Edit] = []
        found: list[str] = []

        def apply(revision: Revision) -> Stored:
            found.append(revision.id)
            before = parsed(_revised(revision))
            done = in_every_arrangement(before, change(before), where.board, where.arrangement)
            made.append(done)
            text = revision.document if done.design == before else dumps(done.design)
            return Stored(document=text, summary=done.summary, title=done.design.title)

        head = self._store.edit(design_id, apply)
        if head.revision.id != found[-1]:
            self._windows.note(head.revision.id, sender.window)
        return head, made[-1]

    def undo(self, design_id: str, sender: Sender = NOBODY) -> Head:
        """Take the last step back; nothing, if another step is the last one by now than the sender sees."""
        head = self._store.undo(design_id, _title_of, sender.seen)
        if sender.seen and head.revision.id != sender.seen and head.revision.redo == sender.seen:
            self._windows.note(sender.seen, sender.window)
        return head

    def redo(self, design_id: str, sender: Sender = NOBODY) -> Head:
        """Make the step again that was taken back last, unless another window acted since the sender looked."""
        head = self._store.redo(design_id, _title_of, sender.seen)
        if sender.seen and head.revision.parent == sender.seen:
            self._windows.note(head.revision.id, sender.window)
        return head

    def meanwhile(self, design_id: str, seen: str, now: str = "") -> Meanwhile:
        """The steps from the revision ``seen`` to ``now``, or to what is shown.

        Raises:
            NotFoundError: no such design.
        """
        return between(self._store.moments(design_id), seen, now or self._store.head(design_id).revision.id)

    def own_steps(self, meanwhile: Meanwhile, sender: Sender) -> tuple[str, ...]:
        """Ids of the steps that the sender itself made or took back."""
        return self._windows.by(sender.window, meanwhile)

    def moments(self, design_id: str) -> tuple[Moment, ...]:
        """Every step of a design in order of making, those on branches that were undone included."""
        return self._store.moments(design_id)

    def moment(self, design_id: str, revision_id: str) -> Design:
        """A design as it was at some moment; nothing is changed.

        Raises:
            NotFoundError: no such moment.
        """
        return parsed(_revised(self._store.revision(design_id, revision_id)))

    def go_to(self, design_id: str, revision_id: str) -> Head:
        """Show a design as it was at some moment; nothing is lost, *Redo* leads forward again.

        Raises:
            NotFoundError: no such moment.
        """
        return self._store.show(design_id, revision_id, _title_of)

    def _shown(self, design_id: str, seen: str) -> Revised:
        """The document of a revision; it never changes, so a drag need not read it for every place of the pointer."""
        held = self._drag
        if held is None or held[0] != design_id or held[1].revision != seen:
            try:
                found = self._store.revision(design_id, seen)
            except NotFoundError:
                return _revised(self._store.head(design_id).revision)
            held = self._drag = (design_id, _revised(found))
        return held[1]

    def _item(self, row: DesignRow) -> ShelfItem:
        revision = self._store.revision(row.id, row.head)
        try:
            design = parsed(_revised(revision))
            deck = find_board(design)
            results = tuple(checked(_revised(revision), deck.id, a.id, design.units) for a in deck.arrangements)
        except HolewiseError as error:
            return ShelfItem(row, row.head, None, (), str(error))
        return ShelfItem(row, row.head, design, results)


def open_workshop(where: Path | str | None = None) -> Workshop:
    """The workshop over the designs in a folder or at the URL of a database; None is the user's data folder.

    Raises:
        StoreError: the folder or the database cannot be used.
    """
    return Workshop(open_store(where or default_folder()))


def scenarios() -> tuple[Scenario, ...]:
    """The designs that come with the program, by id."""
    return scenario_list()


def shown_in(design: Design) -> ResolvedBoard:
    """A design's deck with its first arrangement."""
    return resolve(design, None, None, catalogue())


def _revised(revision: Revision) -> Revised:
    return Revised(revision.id, revision.document)


def _title_of(document: str) -> str:
    return loads(document).title
