"""Things of one design brought to another, all of them or none."""

from __future__ import annotations

from collections.abc import Sequence

from msgspec import Struct

from app.arrange.family.arrangements import bring_arrangement
from app.arrange.family.boards import bring_board
from app.arrange.family.cut_outs import bring_cut_outs
from app.arrange.family.wanted import BringSource, BringWays, Wanted, checked_wanted
from app.arrange.pattern.numbers import with_numbers_kept
from app.arrange.pattern.unused import without_unused
from app.catalogue.load import Catalogue
from app.document.schema import Design

_BRING = {"board": bring_board, "arrangement": bring_arrangement, "cut-outs": bring_cut_outs}


class Bringing(Struct, frozen=True):
    """A design with things of another one brought to it.

    Args:
        design: the design after it.
        summary: what was done, for the undo list.
        notes: sentences about what became of ids, letters and what was there before.
        places: board and arrangement of each thing; the arrangement is empty for a whole board.
        changed: whether it takes the place of something that was changed here since it came.
        same: whether the design has it all already, as it is.
    """

    design: Design
    summary: str
    notes: tuple[str, ...]
    places: tuple[tuple[str, str], ...]
    changed: bool
    same: bool


def bring(
    target: Design, source: BringSource, asked: Sequence[Wanted], catalogue: Catalogue, ways: BringWays | None = None
) -> Bringing:
    """Bring boards, arrangements and cut-outs of a design to another.

    Args:
        target: the design that they come to.
        source: the design they are of.
        asked: what.
        catalogue: of built-in hardware.
        ways: how.

    Raises:
        NotFoundError: the source has none of it.
        EditError: the target cannot take it, with the reason.
    """
    wanted, ways = checked_wanted(source.design, tuple(asked)), ways or BringWays()
    design, called, notes, places, changed = target, list[str](), list[str](), list[tuple[str, str]](), False
    for each in wanted:
        piece = _BRING[each.sort](design, source, each, ways, catalogue)
        design, changed = piece.design, changed or piece.changed
        called.append(piece.called)
        notes += piece.notes
        places.append((piece.board, piece.arrangement))
    design = with_numbers_kept(target, without_unused(target, design))
    summary = f"Brought {_list(called)} from “{source.design.title}”"
    same = _bare(design) == _bare(target)
    return Bringing(target if same else design, summary, tuple(dict.fromkeys(notes)), tuple(places), changed, same)


def _bare(design: Design) -> Design:
    return design.model_copy(update={"brought": None})


def _list(names: Sequence[str]) -> str:
    if len(names) > _NAMED:
        return f"{', '.join(names[: _NAMED - 1])} and {len(names) - _NAMED + 1} more"
    return " and ".join([", ".join(names[:-1]), names[-1]] if len(names) > 1 else names)


_NAMED = 4
