"""What a maker put on a board, brought to a board of another design: new, or in the place of what came before."""

from __future__ import annotations

from collections.abc import Sequence

from app.arrange.change import with_board
from app.arrange.family.carried import carried, only_in, without_idle
from app.arrange.family.makers import maker_ids, piece_renamed, with_their_openings
from app.arrange.family.naming import Naming
from app.arrange.family.origin import changed_here, cut_outs_digest, earlier, entry_of, with_entry
from app.arrange.family.piece import BroughtPiece, check_replaced, relettered
from app.arrange.family.places import board_for, other_material, shift_of, shifted_makers, shifted_parts
from app.arrange.family.wanted import BringSource, BringWays, Wanted
from app.arrange.maker.registry import maker_named
from app.catalogue.load import Catalogue
from app.document.pattern_schema import MakerEntry
from app.document.resolve import find_arrangement, find_board
from app.document.schema import ArrangementEntry, Design, PlacementEntry
from app.errors import EditError


def bring_cut_outs(
    target: Design, source: BringSource, wanted: Wanted, ways: BringWays, catalogue: Catalogue
) -> BroughtPiece:
    """Bring the cut-outs of one maker, into every arrangement of the board; again, into those that have them still.

    Raises:
        EditError: the maker made the whole board, there is no board for it, or what would go is drilled or locked.
    """
    from_board = find_board(source.design, wanted.board)
    within = find_arrangement(from_board, wanted.arrangement)
    entry = next(m for m in within.makers if m.id == wanted.maker)
    if entry.outline:
        raise EditError(f"The board “{from_board.name}” was made with these cut-outs. Bring the board itself.")
    before = earlier(target, source, wanted)
    board = find_board(target, before.board) if before else board_for(target, source, wanted.board)
    ident = before.maker if before else wanted.maker if ways.replace else None
    has = [a for a in board.arrangements if any(m.id == ident for m in a.makers)]
    if before is None and any(m.maker != entry.maker for a in has for m in a.makers if m.id == ident):
        has = []  # another maker under that id, not an older one of these
    old = [(a, p) for a in has for p in a.placements if p.maker == ident]
    dx = shift_of(from_board, board, ways)
    pieces = shifted_parts([p for p in within.placements if p.maker == wanted.maker], dx)
    stay = tuple(_without(a, ident or "") if a in has else a for a in board.arrangements)
    makers = maker_ids(target, stay, (entry,), {wanted.maker: ident} if has and ident else {})
    rows = tuple(piece_renamed(p, makers) for p in pieces)
    check_replaced(board, old, rows)
    going = [p for _, p in old]
    replaceable = only_in(target, going, {id(p) for p in going})
    after, parts, notes = carried(source.design, target, [p.part for p in pieces], catalogue, replaceable, makers)
    rows = tuple(p.model_copy(update={"part": parts[p.part], "station": ""}) for p in rows)
    went = tuple(ArrangementEntry(id=a.id, placements=tuple(p for p in a.placements if p.maker == ident)) for a in has)
    named, ids = Naming(stay, went, [r for a in board.arrangements for r in a.retired]).named(rows)
    (now,) = shifted_makers((entry.model_copy(update={"id": makers[entry.id]}),), dx)
    into = [a.id for a in has] or [a.id for a in board.arrangements]
    arrangements = tuple(_with(a, now, named, ident or "") if a.id in into else a for a in board.arrangements)
    new = board.model_copy(update={"arrangements": arrangements})
    after = with_board(after, new)
    was = next((m for a in has for m in a.makers if m.id == ident), None)
    after = with_their_openings(after, board.id, (was,) if was else (), (now,), catalogue)
    after = without_idle(after, board, replaceable)
    there = Wanted("cut-outs", board.id, "", now.id)
    renamed = {p.id: ids[row.id] for p, row in zip(pieces, rows, strict=True)}
    digest = cut_outs_digest(find_board(after, board.id), now.id)
    after = with_entry(after, entry_of(source, wanted, there, digest, renamed), before)
    called = maker_named(entry.maker).title.lower()
    said = [
        f"The {called} takes the place of the one on “{board.name}”{', which was brought before' if before else ''}."
        if has
        else f"The {called} goes on “{board.name}”{_everywhere(new.arrangements)}.",
        other_material(from_board, board, (source.design.units, target.units), catalogue),
        relettered(board, rows, named),
    ]
    changed = bool(before and changed_here(target, before))
    return BroughtPiece(after, board.id, into[0], f"the {called}", (*filter(None, said), *notes), changed)


def _everywhere(arrangements: Sequence[ArrangementEntry]) -> str:
    return ", in every arrangement of it" if len(arrangements) > 1 else ""


def _without(arrangement: ArrangementEntry, maker: str) -> ArrangementEntry:
    return arrangement.model_copy(
        update={
            "placements": tuple(p for p in arrangement.placements if p.maker != maker),
            "makers": tuple(m for m in arrangement.makers if m.id != maker),
        }
    )


def _with(
    arrangement: ArrangementEntry, maker: MakerEntry, rows: Sequence[PlacementEntry], old: str
) -> ArrangementEntry:
    """An arrangement with a maker and its pieces; those it had keep their places in the list, letters are retired."""
    new, had = {p.id: p for p in rows}, {p.id for p in arrangement.placements if p.maker == old}
    kept = [new.get(p.id, p) for p in arrangement.placements if p.id not in had or p.id in new]
    added = [p for p in rows if p.id not in had]
    placements = (*kept, *added)
    standing = {p.label for p in placements}
    gone = [p.label for p in arrangement.placements if p.maker == old and p.label and p.label not in standing]
    makers = [maker if m.id == maker.id else m for m in arrangement.makers]
    return arrangement.model_copy(
        update={
            "placements": placements,
            "makers": tuple(makers) if maker in makers else (*makers, maker),
            "retired": (*arrangement.retired, *(g for g in gone if g not in arrangement.retired)),
        }
    )
