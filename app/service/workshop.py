"""Designs on the shelf: open, look, change, take back."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from app.arrange.change import Edit
from app.arrange.pattern.numbers import with_numbers_kept
from app.arrange.pattern.unused import without_unused
from app.document.as_built import with_held, without_held
from app.document.resolve import find_arrangement, find_board
from app.document.schema import Design, ShopEntry
from app.document.where import Where
from app.errors import EditError
from app.service.background.computing import give_way
from app.service.background.one_answer import ReadOnce
from app.service.checks.checking import CheckResult, checked, parsed
from app.service.checks.elsewhere import after_step
from app.service.checks.states import States, hold_states, known_states
from app.service.edits.changes import DesignChange
from app.service.edits.dragging import dragged_to
from app.service.edits.shared_holes import in_every_arrangement
from app.service.family.family import Family
from app.service.keeping import kept_after
from app.service.on_screen import OnScreen
from app.service.own_bits import Bench, without_bits
from app.service.revisions import PublishedRevisions
from app.service.shelf.arrivals import Arrivals
from app.service.shelf.shelves import Shelves
from app.service.sight import Sight, read_of, readable, revised_of, sight_of, title_in, with_states
from app.service.windows import Meanwhile, Sender, between
from app.store import Head, Moment, Profiles, Revision, RunPlaces, Store, open_store
from app.store import StoredChange as Stored
from app.values import replace

NOBODY = Sender(window="")
"""For a change that comes from no window."""


class Workshop(Arrivals):
    """The use cases on designs that are kept: those of :class:`Arrivals`, and what is done to one of them.

    Args:
        store: where they are kept.

    Attributes:
        shelf: what is shown of them all, and what is left of those that are damaged.
        bench: the bits of the workshop, with which every design is looked at and judged.
        revisions: what was published of designs, and the codes of what was printed.
        family: things of one design brought to others.
    """

    def __init__(self, store: Store) -> None:
        super().__init__(store)
        self.bench = Bench(store.own_bits)
        self.shelf = Shelves(store, self.bench)
        self._heads: ReadOnce[Head] = ReadOnce()
        self._on_screen = OnScreen(store, self.bench)
        self.revisions = PublishedRevisions(store, self._heads)
        self.family = Family(store, self.bench, self._heads)

    def close(self) -> None:
        """Let go of the store."""
        self._store.close()

    def is_ready(self) -> bool:
        """Whether the store can be worked with right now."""
        return self._store.is_ready()

    @property
    def printers(self) -> Profiles:
        """How prints are corrected, by printer and paper."""
        return self._store.profiles

    @property
    def places(self) -> RunPlaces:
        """Where builders are in drilling runs."""
        return self._store.places

    # -- one design ------------------------------------------------------------------------------------

    def head(self, design_id: str) -> Head:
        """A design in the store as it is now, its document not yet read.

        Raises:
            NotFoundError: no such design.
        """
        return self._heads.once(design_id, lambda: self._store.head(design_id))

    def design(self, design_id: str) -> tuple[Head, Design]:
        """A design as it is now, with the workshop's bits.

        Raises:
            NotFoundError: no such design.
            DamagedError: what is stored of it cannot be read.
        """
        head = self.head(design_id)
        return head, read_of(head.revision, self.bench.bits())

    def written(self, design_id: str) -> Design:
        """A design as its file has it, with the list of bits it carries itself.

        Raises:
            NotFoundError: no such design.
            DamagedError: what is stored of it cannot be read.
        """
        return read_of(self.head(design_id).revision)

    def look(self, design_id: str, where: Where, units: str = "") -> Sight:
        """One board of a design, resolved and judged, in ``units`` or the design's own.

        Raises:
            NotFoundError: no such design, board or arrangement.
            DamagedError: what is stored of it cannot be shown.
        """
        return sight_of(self.head(design_id), where, units, self.bench.bits())

    def see(self, design_id: str, where: Where, units: str = "") -> Sight:
        """The same for a page that names other arrangements as well, with how they stand; raises as :meth:`look`."""
        head, bits = self.head(design_id), self.bench.bits()
        return with_states(sight_of(head, where, units, bits), self.shelf.states(head, bits))

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

        Lands on the grid as :func:`app.service.edits.changes.moved` does. ``seen`` is the revision on screen; the one
        that is shown now if it is empty or unknown.

        Raises:
            NotFoundError: no such design, board, arrangement or placement.
        """
        revised = self._on_screen.shown(design_id, seen)
        design = parsed(revised)
        before = checked(revised, where.board, where.arrangement, units or design.units)
        entries = find_arrangement(find_board(with_held(design), where.board), where.arrangement)
        return before, dragged_to(before.resolved, entries, placements, dx, dy, grid)

    def edit(self, design_id: str, where: Where, change: DesignChange, sender: Sender = NOBODY) -> tuple[Head, Edit]:
        """Make a change to the newest revision of a design, in every arrangement that shares what it is about.

        So a window that shows an older one loses nothing and takes nothing back; :meth:`meanwhile` tells it. It is made
        on the design with the workshop's bits. What it does to these is kept for every design, and no step of this one.
        What is drilled already is held where it is, as what is locked.

        Raises:
            NotFoundError: no such design, or what the change is about is not there.
            EditError: the change cannot be made, or the design would hold too much; nothing is changed.
        """
        made: list[tuple[Edit, ShopEntry, States]] = []
        bits = self.bench.bits()

        def apply(revision: Revision) -> Stored:
            written, plain = read_of(revision), read_of(revision, bits)
            before = with_held(plain)
            done = in_every_arrangement(before, change(before), where.board, where.arrangement)
            after_it = without_unused(plain, without_held(done.design, plain))
            done = replace(done, design=with_numbers_kept(plain, after_it))
            known = known_states(revised_of(revision, bits))
            harm, states = after_step(plain, done.design, where.board, where.arrangement, known)
            done = replace(done, summary=f"{done.summary}; {harm}") if harm else done
            made.append((done, before.shop, states))
            after = without_bits(done.design, written)
            text = revision.document if after == written else kept_after(after, written)
            give_way()  # what is left is to wait until it is written
            return Stored(document=text, summary=done.summary, title=done.design.title)

        head = self._store.edit(design_id, apply, sender.window, self._heads.known(design_id))
        self._heads.now(design_id, head)
        done, had, states = made[-1]
        shop = done.design.shop
        if (shop.bits, shop.owned) != (had.bits, had.owned):
            bits = self.bench.keep(shop.bits)
        hold_states(revised_of(head.revision, bits), states)
        return head, done

    def carry_bits(self, design_id: str, sender: Sender = NOBODY) -> Head:
        """Write the workshop's bits into a design, so that its file shows others what it is made for.

        Raises:
            NotFoundError: no such design.
            EditError: the workshop lists no bits.
        """
        bits = self.bench.bits()
        if not bits:
            raise EditError("You have listed no bits yet, so there is nothing to copy into the design.", "bit")

        def apply(revision: Revision) -> Stored:
            before = read_of(revision)
            after = before.model_copy(update={"shop": before.shop.model_copy(update={"bits": bits})})
            text = revision.document if after == before else kept_after(after, before)
            return Stored(document=text, summary="Copied your bits into the design", title=before.title)

        return self._heads.now(design_id, self._store.edit(design_id, apply, sender.window))

    def undo(self, design_id: str, sender: Sender = NOBODY) -> Head:
        """Take the last step back; nothing, if another step is the last one by now than the sender sees."""
        give_way()
        return self._heads.now(design_id, self._store.undo(design_id, title_in, sender.seen, sender.window))

    def redo(self, design_id: str, sender: Sender = NOBODY) -> Head:
        """Make the step again that was taken back last, unless another window acted since the sender looked."""
        give_way()
        return self._heads.now(design_id, self._store.redo(design_id, title_in, sender.seen, sender.window))

    def meanwhile(self, design_id: str, seen: str, now: str = "") -> Meanwhile:
        """The steps from the revision ``seen`` to ``now``, or to what is shown.

        Raises:
            NotFoundError: no such design.
        """
        return between(self._store.moments(design_id), seen, now or self.head(design_id).revision.id)

    def own_steps(self, meanwhile: Meanwhile, sender: Sender) -> tuple[str, ...]:
        """Ids of the steps that the sender itself made or took back."""
        own = self._store.steps_of(sender.window)
        return tuple(m.id for m in (*meanwhile.made, *meanwhile.taken_back) if m.id in own)

    def moments(self, design_id: str) -> tuple[Moment, ...]:
        """Every step of a design in order of making, those on branches that were undone included."""
        return self._store.moments(design_id)

    def moment(self, design_id: str, revision_id: str) -> Design:
        """A design as it was at some moment; nothing is changed.

        Raises:
            NotFoundError: no such moment.
        """
        return read_of(self._store.revision(design_id, revision_id), self.bench.bits())

    def others(self, design_id: str) -> tuple[tuple[str, str], ...]:
        """Id and title of every other design on the shelf whose title can be read, last changed first."""
        rows = (row for row in self._store.designs() if row.id != design_id and "title" not in row.damaged)
        return tuple((row.id, row.title) for row in rows)

    def seen(self, design_id: str, revision_id: str) -> Design:
        """A design as a window shows it that something is dragged in; as it is now, if there is no such moment.

        Raises:
            NotFoundError: no such design.
            DamagedError: what is stored of it cannot be read.
        """
        head = self.head(design_id)  # which is nearly always it, and what the change is made on
        if head.revision.id == revision_id:
            return read_of(head.revision, self.bench.bits())
        return readable(self._on_screen.shown(design_id, revision_id))

    def go_to(self, design_id: str, revision_id: str) -> Head:
        """Show a design as it was at some moment; nothing is lost, *Redo* leads forward again.

        Raises:
            NotFoundError: no such moment.
        """
        return self._heads.now(design_id, self._store.show(design_id, revision_id, title_in))


def open_workshop(where: Path | str | None = None) -> Workshop:
    """The workshop over the designs in a folder or at the URL of a database; None is the user's data folder.

    Raises:
        StoreError: the folder or the database cannot be used.
    """
    return Workshop(open_store(where))
