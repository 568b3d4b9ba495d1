"""What became of the boards of a design, and of the arrangements on them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from msgspec import Struct

from app.catalogue.load import Catalogue
from app.compare.board_fields import FIELD_WORDS, HAD, RESIZED
from app.compare.change import Change, ChangeKind, below, sorted_by, was_and_is
from app.compare.difference import Difference
from app.compare.placements import Population, placement_changes
from app.document.resolve import resolve
from app.document.schema import ArrangementEntry, BoardEntry, Design
from app.model.resolved import ResolvedBoard
from app.units import Unit
from app.values import replace

_BOARD, _ARRANGEMENT = 2, 4  # steps of a path to a board, to an arrangement
_KEPT_FOR_IDS = frozenset({"gone", "retired"})  # ids and letters that are not given again: nobody needs to be told
_OF_BOARD = {
    "role": "serves another purpose",
    "outline": "has an outline of another shape",
    "keep_clear": "has other areas to keep clear",
    "edges": "has other rails or slots",
    "lettering": "has its legends lettered another way",
}
_OF_ARRANGEMENT = {
    "accepted": "has other accepted cautions",
    "makers": "has makers with other measures",
    "as_built": "has other marks of what was drilled",
    "wiring": "is wired another way",
}


class DesignPair(Struct, frozen=True):
    """Two designs whose boards are compared.

    Args:
        before, after: the older and the newer design, both in the unit that is said.
        catalogue: of hardware.
        unit: to say lengths in.
    """

    before: Design
    after: Design
    catalogue: Catalogue
    unit: Unit

    def resolved(self, board: str, arrangement: str) -> tuple[ResolvedBoard, ResolvedBoard]:
        """A board that both have with an arrangement that both have.

        Raises:
            DocumentError: one of them cannot be put together.
        """
        old, new = (resolve(design, board, arrangement, self.catalogue) for design in (self.before, self.after))
        return old, new


def board_changes(pair: DesignPair, differences: Sequence[Difference]) -> Iterator[Change]:
    """What became of each board, in the order of the newer design, those that are gone last."""
    found = sorted_by(below(differences, "boards"), _BOARD)
    old, new = ({b.id: b for b in design.boards} for design in (pair.before, pair.after))
    for ident in (*new, *(i for i in old if i not in new)):
        mine = tuple(found.pop(("boards", ident), ()))
        if ident not in old or ident not in new:
            board = new.get(ident) or old[ident]
            base = Change("new" if ident in new else "gone", board.name, "", board.name, "", board_id=ident)
            yield replace(base, words="is new" if ident in new else "is gone", covers=mine)
        elif mine or _may_differ(pair):
            yield from _kept_board(pair, old[ident], new[ident], mine)
    rest = tuple(d for some in found.values() for d in some)
    if rest:
        yield Change("changed", "", "", "The boards", "stand in another order", covers=rest)


def _may_differ(pair: DesignPair) -> bool:
    """Whether a board may be another though nothing of it is: what it is made from and with is."""
    names = ("hardware", "patterns", "shop", "coupon")
    return any(getattr(pair.before, name) != getattr(pair.after, name) for name in names)


def _kept_board(pair: DesignPair, old: BoardEntry, new: BoardEntry, mine: Sequence[Difference]) -> Iterator[Change]:
    base = Change("changed", new.name, "", new.name, "", board_id=new.id)
    fields = {path[-1]: tuple(some) for path, some in sorted_by(mine, _BOARD + 1).items()}
    first = pair.resolved(new.id, None) if fields.keys() - {"arrangements"} else None  # type: ignore[arg-type]
    for name, covers in fields.items():
        if name in _KEPT_FOR_IDS or name == "arrangements":
            continue
        if name == "name":
            yield replace(
                base, kind="renamed", words=f"was called {old.name}", before=old.name, after=new.name, covers=covers
            )
            continue
        said = FIELD_WORDS.get(name)
        before, after = said(old, new, first, pair.unit) if said and first else ("", "")
        if before == after:
            before = after = ""
            words = _OF_BOARD.get(name, _another(name))
        elif name in HAD:
            words = f"has {after}, had {before}"
        else:
            words = was_and_is(before, after)
        kind: ChangeKind = "resized" if before != after and name in RESIZED else "changed"
        yield replace(base, kind=kind, words=words, before=before, after=after, covers=covers)
    yield from _arrangement_changes(pair, old, new, mine, base)


def _another(name: str) -> str:
    """What is said of a field that nothing better is known of."""
    return f"has another {name.replace('_', ' ')}"


def _arrangement_changes(
    pair: DesignPair, old: BoardEntry, new: BoardEntry, mine: Sequence[Difference], base: Change
) -> Iterator[Change]:
    found = sorted_by(below(mine, "boards", new.id, "arrangements"), _ARRANGEMENT)
    before, after = ({a.id: a for a in board.arrangements} for board in (old, new))
    for ident in (*after, *(i for i in before if i not in after)):
        covers = tuple(found.pop(("boards", new.id, "arrangements", ident), ()))
        entry = after.get(ident) or before[ident]
        there = replace(base, arrangement=entry.name or entry.id, arrangement_id=ident)
        if ident in before and ident in after:
            if covers or _may_differ(pair):
                yield from _kept_arrangement(pair, before[ident], entry, covers, there)
        else:
            what = f"The arrangement “{there.arrangement}”"
            kind: ChangeKind = "new" if ident in after else "gone"
            yield replace(there, kind=kind, what=what, words=f"is {kind}", covers=covers)
    rest = tuple(d for some in found.values() for d in some)
    if rest:
        yield replace(base, what="The arrangements", words="stand in another order", covers=rest)


def _kept_arrangement(
    pair: DesignPair, old: ArrangementEntry, new: ArrangementEntry, mine: Sequence[Difference], base: Change
) -> Iterator[Change]:
    what = f"The arrangement “{base.arrangement}”"
    fields = {path[-1]: tuple(some) for path, some in sorted_by(mine, _ARRANGEMENT + 1).items()}
    for name, covers in fields.items():
        if name in _KEPT_FOR_IDS or name == "placements":
            continue
        if name == "name":
            names = old.name or old.id, new.name or new.id
            yield replace(base, kind="renamed", what=what, words=f"was called “{names[0]}”", before=names[0],
                          after=names[1], covers=covers)  # fmt: skip
        elif name == "stations":
            yield replace(base, what=what, words=_stations(old, new), covers=covers)
        else:
            yield replace(base, what=what, words=_OF_ARRANGEMENT.get(name, _another(name)), covers=covers)
    before, after = pair.resolved(base.board_id, new.id)
    both = Population(before, after, below(mine, *_path(base, new)), _ARRANGEMENT + 1, pair.unit, base)
    yield from placement_changes(both)


def _path(base: Change, arrangement: ArrangementEntry) -> tuple[str, ...]:
    return ("boards", base.board_id, "arrangements", arrangement.id, "placements")


def _stations(old: ArrangementEntry, new: ArrangementEntry) -> str:
    """How many stations there are now, or that one of them is laid out another way."""
    many = len(old.stations), len(new.stations)
    return "has a station laid out another way" if many[0] == many[1] else f"has {many[1]} stations, had {many[0]}"
