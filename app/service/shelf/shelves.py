"""The use cases of the shelf: look at a page of it, draw what stands on it, save what is left of a damaged design."""

from __future__ import annotations

import logging

from app.errors import DamagedError, HolewiseError, NotFoundError
from app.service.background.budget import apart
from app.service.background.made_once import MadeOnce
from app.service.checks.checking import parsed
from app.service.checks.long_designs import is_long
from app.service.checks.states import States, every_state, hold_states, known_states
from app.service.own_bits import Bench, Bits, bits_code
from app.service.shelf.search import ShelfQuery, titled
from app.service.shelf.shelf import MadeOfRevisions, Shelf, deck_of, shelf_of
from app.service.shelf.verdict import unpacked
from app.service.sight import revised_of
from app.store import DesignRow, Head, Past, Store, bytes_of
from app.values import replace

_LOG = logging.getLogger("holewise.shelf")
_NEWEST = ShelfQuery()


class Shelves:
    """What is shown of all designs at once; nothing here fails because one of them is damaged.

    Args:
        store: where they are kept.
        bench: the bits of the workshop they are judged with.
    """

    def __init__(self, store: Store, bench: Bench) -> None:
        self._store = store
        self._bench = bench
        self._kept = MadeOnce(store.derived, self._bench.code)

    def look(self, wanted: ShelfQuery = _NEWEST) -> Shelf:
        """A page of the shelf; what had to be made for it is kept by :meth:`keep`, which may wait till it is shown."""
        return shelf_of(self._store.shelved, self._kept, wanted, self._bench.bits(), self._store.labels.all())

    def keep(self, made: MadeOfRevisions) -> None:
        """Keep what was made, so that it need not be made again; nothing happens if it cannot be kept."""
        made.keep(self._kept)

    def picture(self, design_id: str, revision_id: str) -> tuple[bytes, MadeOfRevisions]:
        """A small true drawing of a design's deck as it was at some moment, as SVG, and what was made for it.

        Raises:
            NotFoundError: no such moment.
            DamagedError: what is stored of it cannot be drawn.
        """
        there = self._store.shelved.present([revision_id]).get(revision_id)
        if there is None or there.design != design_id:
            raise NotFoundError("That step of this design is not in the store. Its timeline lists those there are.")
        bits = self._bench.bits()
        sizes = {revision_id: there.size}
        found = self._kept.read("picture", sizes)
        if found:
            return found[revision_id], MadeOfRevisions({}, {}, sizes)
        from app.service.drawings.drawings import thumbnail_svg

        revision = self._store.revision(design_id, revision_id)
        try:
            drawn = thumbnail_svg(deck_of(parsed(revised_of(revision, bits)))).encode("utf-8")
        except Exception as error:
            if not isinstance(error, HolewiseError):
                _LOG.exception("a moment of design %s cannot be drawn", design_id)
            raise DamagedError("The stored data of this step cannot be drawn.") from error
        made = MadeOfRevisions({}, {revision_id: drawn}, sizes, self._kept.code_of(bits_code(bits)))
        made.hold(self._kept)
        return drawn, made

    def states(self, head: Head, bits: Bits | None) -> States:
        """What is known of a design's arrangements: at hand, or kept with the verdict on it; nothing is judged."""
        document = revised_of(head.revision, bits)
        known = known_states(document)
        if known:
            return known
        found = self._kept.read("verdict", {document.revision: len(document.text)})
        if found:
            known = unpacked(found[document.revision]).states
            hold_states(document, known)
        return known

    def all_states(self, head: Head) -> States:
        """The same with every one judged, in another process if the document is long."""
        bits = self._bench.bits()
        document = revised_of(head.revision, bits)
        found = apart(is_long(document.text), every_state, document, self.states(head, bits))
        hold_states(document, found)
        return found

    def past(self, design_id: str) -> Past:
        """A design with every step of it in order of making, whatever of it is damaged.

        Raises:
            NotFoundError: there is nothing of such a design.
        """
        found = self._store.shelved.past(design_id)
        return replace(found, design=titled(self._store.shelved, [found.design])[0])

    def stored(self, design_id: str) -> tuple[DesignRow, bytes]:
        """A design's document to the byte as it is stored, readable or not: the newest, if the one shown is missing.

        Raises:
            NotFoundError: no document of it is stored.
        """
        past = self.past(design_id)
        shown = past.head or (past.moments[-1] if past.moments else None)
        if shown is None:
            raise NotFoundError("None of that design’s steps is stored any more: there is nothing to save.")
        return past.design, bytes_of(self._store.revision(design_id, shown.id).document)
