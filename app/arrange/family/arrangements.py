"""An arrangement brought to a board of another design: a further one, or in the place of the one that came before."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from app.arrange.change import with_board
from app.arrange.family.carried import carried, only_in, without_idle
from app.arrange.family.makers import maker_ids, piece_renamed, with_their_openings
from app.arrange.family.naming import Naming, retired_after
from app.arrange.family.origin import arrangement_digest, changed_here, earlier, entry_of, with_entry
from app.arrange.family.piece import Piece, check_replaced, relettered, still_accepted
from app.arrange.family.places import (
    board_for,
    other_material,
    shift_of,
    shifted_makers,
    shifted_parts,
    shifted_stations,
)
from app.arrange.family.wanted import Source, Wanted, Ways
from app.arrange.letters import free_id
from app.catalogue.load import Catalogue
from app.document.resolve import find_arrangement, find_board
from app.document.schema import ArrangementEntry, BoardEntry, Design, PlacementEntry
from app.document.wiring_schema import WiringPlanEntry
from app.errors import EditError
from app.model.limits import ARRANGEMENTS, WORDS


def bring_arrangement(target: Design, source: Source, wanted: Wanted, ways: Ways, catalogue: Catalogue) -> Piece:
    """Bring an arrangement of a board; holes that are there already at the same place stay one hole.

    Raises:
        EditError: there is no board for it, the board has as many arrangements as it may have, or what would go is
            drilled or locked.
    """
    from_board = find_board(source.design, wanted.board)
    coming = find_arrangement(from_board, wanted.arrangement)
    before = earlier(target, source, wanted)
    board = find_board(target, before.board) if before else board_for(target, source, wanted.board)
    there = before.arrangement if before else coming.id if ways.replace else ""
    old = next((a for a in board.arrangements if a.id == there), None)
    others = tuple(a for a in board.arrangements if a is not old)
    dx = shift_of(from_board, board, ways)
    moved = coming.model_copy(
        update={
            "placements": shifted_parts(coming.placements, dx),
            "makers": shifted_makers(coming.makers, dx),
            "stations": shifted_stations(coming.stations, dx),
        }
    )
    known = {row.was: row.now for row in before.renamed} if before else {}
    if old is not None:
        there_now = {known.get(p.id, p.id): p.locked for p in coming.placements}
        held = [p for p in old.placements if there_now.get(p.id, False)]
        check_replaced(board, ((old, p) for p in old.placements), held)
    elif len(board.arrangements) >= ARRANGEMENTS.most:
        raise EditError(f"A board has up to {ARRANGEMENTS.most} arrangements. Delete one first.")
    going = old.placements if old else ()
    replaceable = only_in(target, going, {id(p) for p in going})
    makers = maker_ids(target, others, moved.makers, _kept_makers(coming, known, old))
    after, parts, notes = carried(
        source.design, target, [p.part for p in moved.placements], catalogue, replaceable, makers
    )
    rows = tuple(piece_renamed(p, makers).model_copy(update={"part": parts[p.part]}) for p in moved.placements)
    naming = Naming(others, (old,) if old else (), _retired(board), _through(coming, rows, known))
    named, ids = naming.named(rows)
    renamed = {p.id: ids[row.id] for p, row in zip(coming.placements, rows, strict=True)}
    name = old.name if old else _free_name(board, coming.name or coming.id)
    new = moved.model_copy(
        update={
            "id": old.id if old else _free_id(board, coming.id),
            "name": name,
            "placements": named,
            "makers": tuple(m.model_copy(update={"id": makers[m.id]}) for m in moved.makers),
            "wiring": _rewired(coming.wiring, renamed) or (old.wiring if old else None),
            "accepted": still_accepted(old.accepted if old else (), named),
            "as_built": None,
            "retired": (),
        }
    )
    new = new.model_copy(update={"retired": retired_after((old,), (*others, new)) if old else ()})
    each = (new if a is old else a for a in board.arrangements)
    after = with_board(after, board.model_copy(update={"arrangements": (*each, *(() if old else (new,)))}))
    gone_makers = [m for m in (old.makers if old else ()) if all(m.id != n.id for a in others for n in a.makers)]
    after = with_their_openings(after, board.id, gone_makers, new.makers, catalogue)
    after = without_idle(after, board if old else None, replaceable)
    now = Wanted("arrangement", board.id, new.id)
    entry = entry_of(source, wanted, now, arrangement_digest(new), renamed)
    after = with_entry(after, entry, before)
    said = [
        _placed(board, old, name, coming, known=before is not None),
        other_material(from_board, board, (source.design.units, target.units), catalogue),
        relettered(rows, named),
    ]
    if coming.accepted:
        said.append("Cautions that were accepted count as open again: look at them.")
    changed = bool(before and changed_here(target, before))
    called = f"the arrangement “{name}”"
    return Piece(after, board.id, new.id, called, (*filter(None, said), *notes), changed)


def _kept_makers(coming: ArrangementEntry, known: Mapping[str, str], old: ArrangementEntry | None) -> dict[str, str]:
    """The id that a maker has in the arrangement that goes, which it keeps, by the one it comes with."""
    if old is None:
        return {}
    bears = {p.id: p.maker for p in old.placements if p.maker}
    had = {m.id for m in old.makers}
    found = {m.id: m.id for m in coming.makers if m.id in had}
    pieces = ((p.maker, bears.get(known.get(p.id, p.id))) for p in coming.placements if p.maker)
    return {**found, **{was: now for was, now in pieces if was and now in had}}


def _through(coming: ArrangementEntry, rows: Sequence[PlacementEntry], known: Mapping[str, str]) -> dict[str, str]:
    """The ids that placements had here before, by those that they have now that their makers are renamed."""
    pairs = zip(coming.placements, rows, strict=True)
    return {row.id: known[was.id] for was, row in pairs if was.id in known}


def _placed(
    board: BoardEntry, old: ArrangementEntry | None, name: str, coming: ArrangementEntry, *, known: bool
) -> str:
    if old is not None:
        return f"It takes the place of “{name}” on “{board.name}”{', which was brought before' if known else ''}."
    there, wanted = f"It goes on the board “{board.name}”", coming.name or coming.id
    return f"{there}." if name == wanted else f"{there}, called “{name}”: there is one called “{wanted}” already."


def _retired(board: BoardEntry) -> list[str]:
    return [letter for a in board.arrangements for letter in a.retired]


def _free_id(board: BoardEntry, wanted: str) -> str:
    return free_id(wanted, {*(a.id for a in board.arrangements), *(board.gone or ())})


def _free_name(board: BoardEntry, name: str) -> str:
    names = {(a.name or a.id).casefold() for a in board.arrangements}
    number, found = 2, name
    while found.casefold() in names:
        end = f" {number}"
        found, number = name[: WORDS.most - len(end)].rstrip() + end, number + 1
    return found


def _rewired(plan: WiringPlanEntry | None, ids: Mapping[str, str]) -> WiringPlanEntry | None:
    """A wiring plan about the same parts under their ids here."""
    if plan is None:
        return None
    apart = tuple(ids.get(ident, ident) for ident in plan.apart)
    pins = tuple(
        pin.model_copy(
            update={
                "placement": ids.get(pin.placement, pin.placement), "encoder": ids.get(pin.encoder, pin.encoder)
            }
        )
        for pin in plan.pins
    )  # fmt: skip
    return plan.model_copy(update={"apart": apart, "pins": pins})
