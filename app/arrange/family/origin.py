"""Where things of a design came from: found again when they are brought once more, and told when they were changed."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable, Mapping

from app.arrange.family.wanted import BringSource, Wanted
from app.catalogue.fields import Record
from app.document.brought_schema import BroughtEntry, RenamedEntry
from app.document.resolve import find_board
from app.document.schema import ArrangementEntry, BoardEntry, Design

_DIGITS = 32  # of a digest, in hexadecimal


def earlier(design: Design, source: BringSource, wanted: Wanted) -> BroughtEntry | None:
    """What says that the same thing came from the same design before, and is there still; None if nothing does."""
    for entry in reversed(design.brought or ()):
        there = entry.source_board, entry.source_arrangement or "", entry.source_maker or ""
        # Cut-outs are the same thing whichever of its arrangements they are taken from.
        asked = wanted.board, there[1] if wanted.sort == "cut-outs" else wanted.arrangement, wanted.maker
        if entry.sort == wanted.sort and there == asked and _is_of(entry, source) and stands(design, entry):
            return entry
    return None


def _is_of(entry: BroughtEntry, source: BringSource) -> bool:
    if entry.design and source.id:
        return entry.design == source.id
    return entry.source == source.design.title


def stands(design: Design, entry: BroughtEntry) -> bool:
    """Whether what an entry tells of is in the design still."""
    board = next((b for b in design.boards if b.id == entry.board), None)
    if board is None or entry.sort == "board":
        return board is not None
    if entry.sort == "arrangement":
        return any(a.id == entry.arrangement for a in board.arrangements)
    return any(m.id == entry.maker for a in board.arrangements for m in a.makers)


def with_entry(design: Design, entry: BroughtEntry, before: BroughtEntry | None) -> Design:
    """The design with a further entry, or one in the place of that before; those of what is gone are left out."""
    rest = [e for e in design.brought or () if e is not before and stands(design, e) and not _within(e, entry)]
    return design.model_copy(update={"brought": (*rest, entry)})


def _within(one: BroughtEntry, entry: BroughtEntry) -> bool:
    """Whether an entry tells of a part of what came with another, which tells of it from now on."""
    if one.board != entry.board or one.sort == entry.sort:
        return False
    if entry.sort == "board":
        return True
    return entry.sort == "arrangement" and one.arrangement == entry.arrangement


def entry_of(
    source: BringSource, wanted: Wanted, now: Wanted, digest: str, renamed: Mapping[str, str] | None = None
) -> BroughtEntry:
    """What says where something came from; ``now`` is where it is here, ``renamed`` the ids that are others here."""
    rows = (RenamedEntry(was=was, now=is_now) for was, is_now in (renamed or {}).items() if was != is_now)
    return BroughtEntry(
        sort=wanted.sort,
        board=now.board,
        arrangement=now.arrangement or None,
        maker=now.maker or None,
        source=source.design.title,
        design=source.id or None,
        source_board=wanted.board,
        source_arrangement=wanted.arrangement or None,
        source_maker=wanted.maker or None,
        digest=digest,
        renamed=tuple(rows),
    )


def changed_here(design: Design, entry: BroughtEntry) -> bool:
    """Whether what came was changed since, by somebody here."""
    board = find_board(design, entry.board)
    if entry.sort == "board":
        return board_digest(board) != entry.digest
    if entry.sort == "arrangement":
        found = next(a for a in board.arrangements if a.id == entry.arrangement)
        return arrangement_digest(found) != entry.digest
    return cut_outs_digest(board, entry.maker or "") != entry.digest


def board_digest(board: BoardEntry) -> str:
    """A digest of a board with all that is on it, but for what was drilled or accepted and what it is called."""
    bare = [a.model_copy(update={"as_built": None, "accepted": ()}) for a in board.arrangements]
    return _digest([board.model_copy(update={"arrangements": tuple(bare), "name": "", "gone": None})])


def arrangement_digest(arrangement: ArrangementEntry) -> str:
    """A digest of an arrangement, but for what was drilled or accepted and what it is called."""
    return _digest([arrangement.model_copy(update={"as_built": None, "accepted": (), "name": "", "retired": ()})])


def cut_outs_digest(board: BoardEntry, maker: str) -> str:
    """A digest of what a maker put on a board."""
    found = [a for a in board.arrangements if any(m.id == maker for m in a.makers)]
    rows = [*(m for a in found for m in a.makers if m.id == maker)]
    return _digest([*rows, *(p for a in found for p in a.placements if p.maker == maker)])


def _digest(things: Iterable[Record]) -> str:
    dumped = [thing.model_dump(mode="json", exclude_defaults=True) for thing in things]
    return hashlib.sha256(json.dumps(dumped, sort_keys=True).encode()).hexdigest()[:_DIGITS]
