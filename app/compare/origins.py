"""What came from other designs, in words, for a list of changes."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from app.compare.change import Change
from app.compare.difference import Difference
from app.document.brought_schema import BroughtEntry
from app.document.schema import Design


def origin_changes(before: Design, after: Design, covers: Sequence[Difference]) -> Iterator[Change]:
    """What was brought from other designs since; of what only went nothing is said, for that is told of itself."""
    had = {_place(entry): entry for entry in before.brought or ()}
    told = tuple(covers)
    for entry in after.brought or ():
        old = had.get(_place(entry))
        if old == entry:
            continue
        again = " again" if old is not None and old.source == entry.source else ""
        plural = entry.sort == "cut-outs"
        words = f"{'were' if plural else 'was'} brought{again} from “{entry.source}”"
        board, arrangement, what = _names(after, entry)
        yield Change(
            "changed" if old is not None else "new", board, arrangement, what, words, covers=told,
            board_id=entry.board if board else "", arrangement_id=(entry.arrangement or "") if arrangement else "",
        )  # fmt: skip
        told = ()
    if told:
        yield Change("changed", "", "", "What was brought from other designs", "is no longer noted", covers=told)


def _place(entry: BroughtEntry) -> tuple[str, str, str]:
    return entry.board, entry.arrangement or "", entry.maker or ""


def _names(design: Design, entry: BroughtEntry) -> tuple[str, str, str]:
    """The board and the arrangement it is of, and what it is, in words; the first two empty where they are gone."""
    board = next((b for b in design.boards if b.id == entry.board), None)
    if board is None:
        return "", "", "A board that is gone"
    if entry.sort == "board":
        return board.name, "", f"The board “{board.name}”"
    found = next((a for a in board.arrangements if a.id == entry.arrangement), None)
    if entry.sort == "arrangement" and found is not None:
        return board.name, found.name or found.id, f"The arrangement “{found.name or found.id}”"
    return board.name, "", "An arrangement that is gone" if entry.sort == "arrangement" else "Cut-outs"
