"""A pack as a page asks for it: made in another process, with news of how far it is, and kept to be fetched."""

from __future__ import annotations

import threading
from contextvars import copy_context
from time import monotonic
from typing import Final

from msgspec import Struct

from app.document.schema import Design
from app.errors import HolewiseError, NotFoundError
from app.paper.sheet_kind import SheetCode
from app.service.background.budget import apart, apart_heard
from app.service.background.memory import Memory
from app.service.background.worker_process import tell
from app.service.checks.long_designs import has_many_parts
from app.service.pack.figures import PackFigures, figures_of
from app.service.pack.kept import KeptPacks
from app.service.pack.packing import made_pack, zipped
from app.service.pack.request import PackRequest, Since
from app.service.workshop import Workshop
from app.store import PrintedSheets

NOW: Final = ""
"""The design as it is now, where the letter of a revision may stand."""

_ENDING: Final = ".zip"
_SURE: Final = 0.05  # least share of the work that tells how long the rest will take


class PackedWhole(Struct, frozen=True):
    """A pack as one file.

    Args:
        name: of the file.
        data: its bytes.
        files: how many are in it.
        pages: how many pages these have.
        codes: the check codes on its sheets.
    """

    name: str
    data: bytes
    files: int
    pages: int
    codes: tuple[SheetCode, ...]


class PackSource(Struct, frozen=True):
    """What a pack is made from: a design, and the moment of it that its sheets are noted under.

    A revision tells what changed ``since`` the one before it, where this shelf has that.
    """

    design: Design
    id: str
    moment: str
    since: Since | None = None


def source_of(workshop: Workshop, design_id: str, letter: str = NOW) -> PackSource:
    """A design as it is now, or as it was published.

    Raises:
        NotFoundError: no such design, or this shelf has no such revision of it.
        DamagedError: what is stored of it cannot be read.
    """
    if letter == NOW:
        head, design = workshop.design(design_id)
        return PackSource(design, design_id, head.revision.id)
    revisions = sorted(workshop.revisions.of(design_id), key=lambda each: (len(each.letter), each.letter))
    for before, each in zip([None, *revisions], revisions, strict=False):
        if each.letter == letter:
            design = workshop.moment(design_id, each.moment)
            since = _older(workshop, design_id, before.moment, before.letter, design) if before else None
            return PackSource(design, design_id, each.moment, since)
    raise NotFoundError(f"This shelf has no revision “{letter[:12]}” of that design. Its page lists those there are.")


def _older(workshop: Workshop, design_id: str, moment: str, letter: str, newer: Design) -> Since | None:
    """The revision before; None where it cannot be read, or has no board that the newer one has."""
    try:
        design = workshop.moment(design_id, moment)
    except HolewiseError:  # the pack of the newer one is whole without it
        return None
    if not {b.id for b in design.boards} & {b.id for b in newer.boards}:
        return None
    return Since(design, f"revision {letter}")


def packed_whole(design: Design, request: PackRequest, since: Since | None = None) -> PackedWhole:
    """A pack as one file; tells how far it is as ``(done, of about)`` if another process asked for it.

    Raises:
        HolewiseError: a file cannot be made.
    """
    pack = made_pack(design, request, lambda done, total: tell((done, total)), since=since)
    codes = dict.fromkeys(code for file in pack.files for code in file.codes)
    return PackedWhole(f"{pack.name}{_ENDING}", zipped(pack), len(pack.files), pack.pages, tuple(codes))


def pack_at_once(workshop: Workshop, source: PackSource, request: PackRequest) -> PackedWhole:
    """A pack, waited for; raises as :func:`packed_whole`, and BudgetError where it takes too long."""
    made = apart(True, packed_whole, source.design, request, source.since)
    _note(workshop, source, made)
    return made


def figures_asked(source: PackSource, request: PackRequest) -> PackFigures:
    """What a pack will hold; raises as :func:`figures_of`, and BudgetError where it takes too long."""
    many = has_many_parts(source.design)
    return _FIGURES.once(
        (source.id, source.moment, request),
        lambda: apart(many, figures_of, source.design, request, source.since),
        lambda _: _OF_FIGURES,
    )


_OF_FIGURES: Final = 20_000
_FIGURES: Memory[PackFigures] = Memory(100 * _OF_FIGURES)


def _note(workshop: Workshop, source: PackSource, made: PackedWhole) -> None:
    workshop.revisions.note_printed(
        [PrintedSheets(c.code, source.id, source.moment, c.board, c.arrangement, c.words) for c in made.codes]
    )


class PackNews(Struct, frozen=True):
    """How far a pack is.

    Args:
        done: pages and files that are made.
        total: about how many there are; 0 before that is known.
        left: about how long the rest takes [s]; None before that can be told.
    """

    done: int
    total: int
    left: float | None


class PackKept(Struct, frozen=True):
    """A pack that is made and kept: the key to fetch it, its name and size [bytes], and what is in it."""

    key: str
    name: str
    size: int
    files: int
    pages: int


class PackWork:
    """A pack being made in another process, asked about from any thread; stopped, nothing of it is left.

    Args:
        workshop: the workshop.
        source: what it is made from.
        request: what it shall hold.
        kept: where it is kept.
    """

    def __init__(self, workshop: Workshop, source: PackSource, request: PackRequest, kept: KeptPacks) -> None:
        self._workshop, self._source, self._request, self._kept = workshop, source, request, kept
        self._began, self._stopped = monotonic(), threading.Event()
        self._done, self._total = 0, 0
        self._found: PackKept | HolewiseError | None = None
        context = copy_context()  # which knows who waits
        self._thread = threading.Thread(target=context.run, args=(self._work,), name="pack", daemon=True)
        self._thread.start()

    def stop(self) -> None:
        """End it."""
        self._stopped.set()

    @property
    def running(self) -> bool:
        """Whether it is still at work."""
        return self._thread.is_alive()

    def news(self) -> PackNews:
        """How far it is."""
        done, total, passed = self._done, self._total, monotonic() - self._began
        sure = total and done / total >= _SURE
        return PackNews(done, total, passed * (total - done) / done if sure else None)

    def result(self) -> PackKept:
        """What came of it, once it is no longer at work.

        Raises:
            HolewiseError: it could not be made, or was stopped.
        """
        if isinstance(self._found, PackKept):
            return self._found
        raise self._found or HolewiseError("The pack was stopped by a mistake of Holewise. Please report it.")

    def _work(self) -> None:
        try:
            source = self._source
            made = apart_heard(
                self._heard, self._stopped.is_set, packed_whole, source.design, self._request, source.since
            )
            if self._stopped.is_set():
                return
            _note(self._workshop, self._source, made)
            key = self._kept.keep(made.name, made.data)
            self._found = PackKept(key, made.name, len(made.data), made.files, made.pages)
        except HolewiseError as error:
            self._found = error

    def _heard(self, news: tuple[int, int]) -> None:
        self._done, self._total = news
