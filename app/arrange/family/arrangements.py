"""An arrangement brought to a board of another design: a further one, or in the place of the one that came before."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from msgspec import Struct

from app.arrange.change import with_board
from app.arrange.copy_names import numbered_name
from app.arrange.family.carried import carried, only_in, without_idle
from app.arrange.family.makers import maker_ids, piece_renamed, with_their_openings
from app.arrange.family.naming import Naming, retired_after
from app.arrange.family.origin import arrangement_digest, changed_here, earlier, entry_of, with_entry
from app.arrange.family.piece import BroughtPiece, check_replaced, relettered, still_accepted
from app.arrange.family.places import (
    board_for,
    other_material,
    shift_of,
    shifted_makers,
    shifted_parts,
    shifted_stations,
)
from app.arrange.family.wanted import BringSource, BringWays, Wanted
from app.arrange.letters import free_id
from app.catalogue.load import Catalogue
from app.document.brought_schema import BroughtEntry
from app.document.pattern_schema import MakerEntry
from app.document.resolve import find_arrangement, find_board
from app.document.schema import ArrangementEntry, BoardEntry, Design, PlacementEntry
from app.document.wiring_schema import WiringPlanEntry
from app.errors import EditError
from app.model.limits import ARRANGEMENTS


def bring_arrangement(
    target: Design, source: BringSource, wanted: Wanted, ways: BringWays, catalogue: Catalogue
) -> BroughtPiece:
    """Bring an arrangement of a board; holes that are there already at the same place stay one hole.

    Raises:
        EditError: there is no board for it, the board has as many arrangements as it may have, or what would go is
            drilled or locked.
    """
    place = _place_of(target, source, wanted, ways)
    place.check()
    board, old, moved = place.board, place.old, place.moved(ways)
    going = old.placements if old else ()
    replaceable = only_in(target, going, {id(p) for p in going})
    makers = maker_ids(target, place.others, moved.makers, _kept_makers(place.coming, place.known, old))
    after, parts, notes = carried(
        source.design, target, [p.part for p in moved.placements], catalogue, replaceable, makers
    )
    rows = tuple(piece_renamed(p, makers).model_copy(update={"part": parts[p.part]}) for p in moved.placements)
    naming = Naming(place.others, (old,) if old else (), _retired(board), place.through(rows))
    named, ids = naming.named(rows)
    renamed = {p.id: ids[row.id] for p, row in zip(place.coming.placements, rows, strict=True)}
    makings = tuple(m.model_copy(update={"id": makers[m.id]}) for m in moved.makers)
    new = place.entry(moved.model_copy(update={"placements": named, "makers": makings}), renamed)
    each = (new if a is old else a for a in board.arrangements)
    after = with_board(after, board.model_copy(update={"arrangements": (*each, *(() if old else (new,)))}))
    after = with_their_openings(after, board.id, place.gone_makers, new.makers, catalogue)
    after = without_idle(after, board if old else None, replaceable)
    now = Wanted("arrangement", board.id, new.id)
    after = with_entry(after, entry_of(source, wanted, now, arrangement_digest(new), renamed), place.before)
    said = [
        place.words(new.name),
        other_material(place.from_board, board, (source.design.units, target.units), catalogue),
        relettered(board, rows, named),
        "Cautions that were accepted count as open again: look at them." if place.coming.accepted else "",
    ]
    changed = bool(place.before and changed_here(target, place.before))
    return BroughtPiece(
        after, board.id, new.id, f"the arrangement “{new.name}”", (*filter(None, said), *notes), changed
    )


class _Place(Struct, frozen=True):
    """Where an arrangement comes to.

    Args:
        from_board, coming: the board it is of, and the arrangement.
        before: what says that it came before; None if nothing does.
        board: the board it comes to.
        old: the arrangement that goes for it; None if none does.
    """

    from_board: BoardEntry
    coming: ArrangementEntry
    before: BroughtEntry | None
    board: BoardEntry
    old: ArrangementEntry | None

    @property
    def others(self) -> tuple[ArrangementEntry, ...]:
        """The arrangements that stay."""
        return tuple(a for a in self.board.arrangements if a is not self.old)

    @property
    def known(self) -> dict[str, str]:
        """The id here of placements that have another, by the one that they come with."""
        return {row.was: row.now for row in self.before.renamed} if self.before else {}

    @property
    def gone_makers(self) -> list[MakerEntry]:
        """Makers that go with the old arrangement, and are in no other."""
        had = {m.id for a in self.others for m in a.makers}
        return [m for m in (self.old.makers if self.old else ()) if m.id not in had]

    def check(self) -> None:
        """Refuse what cannot be: too many arrangements, or that something drilled or locked goes.

        Raises:
            EditError: which, and what to do.
        """
        if self.old is not None:
            locked = {self.known.get(p.id, p.id) for p in self.coming.placements if p.locked}
            held = [p for p in self.old.placements if p.id in locked]
            check_replaced(self.board, ((self.old, p) for p in self.old.placements), held)
        elif len(self.board.arrangements) >= ARRANGEMENTS.most:
            raise EditError(f"A board has up to {ARRANGEMENTS.most} arrangements. Delete one first.")

    def moved(self, ways: BringWays) -> ArrangementEntry:
        """What comes, as far to the right as it shall be."""
        dx, coming = shift_of(self.from_board, self.board, ways), self.coming
        return coming.model_copy(
            update={
                "placements": shifted_parts(coming.placements, dx),
                "makers": shifted_makers(coming.makers, dx),
                "stations": shifted_stations(coming.stations, dx),
            }
        )

    def through(self, rows: Sequence[PlacementEntry]) -> dict[str, str]:
        """The ids that placements had here before, by those that they have now that their makers are renamed."""
        known, pairs = self.known, zip(self.coming.placements, rows, strict=True)
        return {row.id: known[was.id] for was, row in pairs if was.id in known}

    def entry(self, moved: ArrangementEntry, renamed: Mapping[str, str]) -> ArrangementEntry:
        """The arrangement as it is here, from its placements and makers under their ids here."""
        coming, old = self.coming, self.old
        names = ((a.name or a.id) for a in self.board.arrangements)
        had = {*(a.id for a in self.board.arrangements), *(self.board.gone or ())}
        new = moved.model_copy(
            update={
                "id": old.id if old else free_id(coming.id, had),
                "name": old.name if old else numbered_name(coming.name or coming.id, names),
                "wiring": _rewired(coming.wiring, renamed) or (old.wiring if old else None),
                "accepted": still_accepted(old.accepted if old else (), moved.placements),
                "as_built": None,
                "retired": (),
            }
        )
        return new.model_copy(update={"retired": retired_after((old,), (*self.others, new))}) if old else new

    def words(self, name: str) -> str:
        """A sentence about where it comes to."""
        if self.old is not None:
            known = ", which was brought before" if self.before else ""
            return f"The arrangement takes the place of “{name}” on “{self.board.name}”{known}."
        wanted = self.coming.name or self.coming.id
        if name == wanted:
            return f"The arrangement “{name}” goes on “{self.board.name}”."
        return f"The arrangement goes on “{self.board.name}” as “{name}”: there is one called “{wanted}” already."


def _place_of(target: Design, source: BringSource, wanted: Wanted, ways: BringWays) -> _Place:
    from_board = find_board(source.design, wanted.board)
    coming = find_arrangement(from_board, wanted.arrangement)
    before = earlier(target, source, wanted)
    board = find_board(target, before.board) if before else board_for(target, source, wanted.board)
    there = before.arrangement if before else coming.id if ways.replace else ""
    return _Place(from_board, coming, before, board, next((a for a in board.arrangements if a.id == there), None))


def _kept_makers(coming: ArrangementEntry, known: Mapping[str, str], old: ArrangementEntry | None) -> dict[str, str]:
    """The id that a maker has in the arrangement that goes, which it keeps, by the one it comes with."""
    if old is None:
        return {}
    bears = {p.id: p.maker for p in old.placements if p.maker}
    had = {m.id for m in old.makers}
    found = {m.id: m.id for m in coming.makers if m.id in had}
    pieces = ((p.maker, bears.get(known.get(p.id, p.id))) for p in coming.placements if p.maker)
    return {**found, **{was: now for was, now in pieces if was and now in had}}


def _retired(board: BoardEntry) -> list[str]:
    return [letter for a in board.arrangements for letter in a.retired]


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
