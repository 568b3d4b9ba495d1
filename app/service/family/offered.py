"""What of a design can be brought to others: boards, arrangements, and what makers put on boards."""

from __future__ import annotations

from msgspec import Struct

from app.arrange.design.arrangements import called
from app.arrange.family.wanted import Wanted
from app.arrange.maker.registry import MAKERS
from app.document.schema import BoardEntry, Design
from app.service.screens.words import counted


class Offer(Struct, frozen=True):
    """One thing that can be brought.

    Args:
        wanted: the thing.
        name: what it is called.
        words: what is on it, or on which board it is.
    """

    wanted: Wanted
    name: str
    words: str


def offers_of(design: Design) -> tuple[Offer, ...]:
    """Everything of a design that can be brought, boards first."""
    boards = tuple(Offer(Wanted("board", b.id), b.name or b.id, _on(b)) for b in design.boards)
    arrangements = tuple(
        Offer(
            Wanted("arrangement", b.id, a.id), called(a), f"of {b.name or b.id}, {counted(len(a.placements), 'part')}"
        )
        for b in design.boards
        for a in b.arrangements
        if b.role == "deck" or len(b.arrangements) > 1  # else the board itself is what one wants
    )
    return (*boards, *arrangements, *_cut_outs(design))


def _on(board: BoardEntry) -> str:
    many = len(board.arrangements)
    parts = len({p.id for a in board.arrangements for p in a.placements})
    arranged = f", {counted(many, 'arrangement')}" if many > 1 else ""
    return f"{counted(parts, 'part')}{arranged}"


def _cut_outs(design: Design) -> tuple[Offer, ...]:
    """What makers put on boards that they did not make themselves, each once."""
    titles, found = {maker.name: maker.title for maker in MAKERS}, dict[tuple[str, str], Offer]()
    for board in design.boards:
        for arrangement in board.arrangements:
            for maker in arrangement.makers:
                if maker.outline or maker.maker not in titles:
                    continue
                letters = ", ".join(p.label for p in arrangement.placements if p.maker == maker.id and p.label)
                words = f"on {board.name or board.id}{f': {letters}' if letters else ''}"
                offer = Offer(Wanted("cut-outs", board.id, arrangement.id, maker.id), titles[maker.maker], words)
                found.setdefault((board.id, maker.id), offer)
    return tuple(found.values())
