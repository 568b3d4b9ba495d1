"""A whole board brought to another design: a further one, or in the place of the one that came before."""

from __future__ import annotations

from collections.abc import Mapping

from app.arrange.board.name import free_board_id
from app.arrange.change import with_board
from app.arrange.copy_names import numbered_name
from app.arrange.design.boards import has_deck
from app.arrange.family.carried import carried, only_in, without_idle
from app.arrange.family.naming import lettered, letters_on, retired_after
from app.arrange.family.origin import board_digest, changed_here, earlier, entry_of, with_entry
from app.arrange.family.piece import BroughtPiece, check_replaced, relettered, still_accepted
from app.arrange.family.wanted import BringSource, BringWays, Wanted
from app.arrange.letters import free_id
from app.catalogue.load import Catalogue
from app.document.as_built import undrilled
from app.document.resolve import find_board, placements_in
from app.document.schema import ArrangementEntry, BoardEntry, Design
from app.errors import EditError
from app.model.limits import BOARDS


def bring_board(
    target: Design, source: BringSource, wanted: Wanted, ways: BringWays, catalogue: Catalogue
) -> BroughtPiece:
    """Bring a board with everything on it; what was drilled of it stays where it was.

    Raises:
        EditError: there are as many boards as a design may have, or what would go is drilled or locked.
    """
    board = find_board(source.design, wanted.board)
    before = earlier(target, source, wanted)
    there = before.board if before else wanted.board if ways.replace else ""
    old = next((b for b in target.boards if b.id == there), None)
    if old is None:
        if len(target.boards) >= BOARDS.most:
            raise EditError(f"A design has up to {BOARDS.most} boards. Delete one first.")
        return _added(target, source, wanted, board, catalogue)
    rows = tuple(placements_in(board))
    check_replaced(old, ((a, p) for a in old.arrangements for p in a.placements), rows)
    changed = bool(before and changed_here(target, before))
    going = tuple(placements_in(old))
    replaceable = only_in(target, going, {id(p) for p in going})
    known = {row.was: row.now for row in before.renamed} if before else {}
    after, parts, notes = carried(source.design, target, [p.part for p in rows], catalogue, replaceable)
    new = board.model_copy(
        update={
            "id": old.id,
            "name": old.name,
            "role": old.role,
            "arrangements": _arrangements(board, parts, old, known),
        }
    )
    went = [a.name or a.id for a in old.arrangements if all(n.id != a.id for n in new.arrangements)]
    gone = [a.id for a in old.arrangements if all(n.id != a.id for n in new.arrangements)]
    new = new.model_copy(update={"gone": (*(old.gone or ()), *gone) or None})
    after = without_idle(with_board(after, new), old, replaceable)
    renamed = {was.id: now.id for was, now in zip(board.arrangements, new.arrangements, strict=True)}
    after = with_entry(after, entry_of(source, wanted, Wanted("board", new.id), board_digest(new), renamed), before)
    said = [f"The board takes the place of “{old.name}”{', which was brought before' if before else ''}."]
    said += [f"The arrangement “{name}” of “{old.name}” goes." for name in went]
    said += [relettered(new, rows, tuple(placements_in(new)))]
    return BroughtPiece(after, new.id, "", f"the board “{new.name}”", (*filter(None, said), *notes), changed)


def _added(
    target: Design, source: BringSource, wanted: Wanted, board: BoardEntry, catalogue: Catalogue
) -> BroughtPiece:
    after, parts, notes = carried(source.design, target, [p.part for p in placements_in(board)], catalogue, ())
    name = numbered_name(board.name or board.id, (b.name for b in target.boards))
    had = {*(b.id for b in target.boards), *(target.gone or ())}
    new = board.model_copy(
        update={
            "id": board.id if board.id not in had else free_board_id(target, name),
            "name": name,
            "role": "companion" if has_deck(target) else board.role,
            "arrangements": _arrangements(board, parts, None, {}),
            "gone": None,
        }
    )
    after = after.model_copy(update={"boards": (*after.boards, new)})
    after = with_entry(after, entry_of(source, wanted, Wanted("board", new.id), board_digest(new)), None)
    said = [f"There is a board “{board.name}” already, so this one is called “{name}”."] if name != board.name else []
    if board.role != new.role:
        said.append(f"“{name}” becomes a companion: a design has one deck.")
    return BroughtPiece(after, new.id, "", f"the board “{name}”", (*said, *notes))


def _arrangements(
    board: BoardEntry, parts: Mapping[str, str], old: BoardEntry | None, known: Mapping[str, str]
) -> tuple[ArrangementEntry, ...]:
    """The arrangements of a board that comes, under letters that never meant anything else on the one that goes."""
    had = {a.id for a in old.arrangements} if old else set[str]()
    never = {*had, *(old.gone or ())} if old else set[str]()
    kept = old.arrangements if old else ()
    letters = letters_on(placements_in(board), kept) if old else {}
    found: list[ArrangementEntry] = []
    for entry in board.arrangements:
        ident = known.get(entry.id, entry.id)
        ident = ident if ident in had and all(a.id != ident for a in found) else free_id(entry.id, never)
        never.add(ident)
        rows = (
            lettered(p, letters.get(p.label, p.label)).model_copy(update={"part": parts[p.part]})
            for p in entry.placements
        )
        new = undrilled(entry).model_copy(update={"id": ident, "placements": tuple(rows)})
        own = next((a.accepted for a in kept if a.id == ident), ())
        more = (e for e in still_accepted(own, new.placements) if e not in new.accepted)
        found.append(new.model_copy(update={"accepted": (*new.accepted, *more)}))
    standing = {p.label.upper() for a in found for p in a.placements if p.label}
    told = [a.model_copy(update={"retired": tuple(r for r in a.retired if r.upper() not in standing)}) for a in found]
    if old is None:
        return tuple(told)
    listed = {r.upper() for a in told for r in a.retired}
    gone = tuple(letter for letter in retired_after(kept, found) if letter.upper() not in listed)
    return (told[0].model_copy(update={"retired": (*told[0].retired, *gone)}), *told[1:])
