"""Pieces of a maker on an arrangement: ids, letters and places, and the parts that the design carries for them."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from itertools import count

from msgspec import Struct

from app.arrange.letters import next_letter
from app.arrange.maker.made import Made, Piece
from app.document.pattern_schema import MakerEntry
from app.document.resolve import placements_in
from app.document.schema import BoardEntry, Design, PlacementEntry
from app.geometry.shapes import rotate

_TURN = 360.0


class MakerPose(Struct, frozen=True):
    """Where the middle of a maker is on its board [mm, degrees]."""

    x: float
    y: float
    angle: float

    def of(self, piece: Piece) -> tuple[float, float, float]:
        """Place and turning of a piece on the board."""
        dx, dy = rotate((piece.x, piece.y), self.angle)
        turned = (self.angle + piece.angle) % _TURN if piece.angle else self.angle
        return round(self.x + dx, 9) + 0.0, round(self.y + dy, 9) + 0.0, turned


def pose_of(entry: MakerEntry) -> MakerPose:
    """Where a maker of the design file is."""
    return MakerPose(entry.x, entry.y, entry.angle)


def piece_id(maker_id: str, key: str) -> str:
    """Id of the placement of a piece, and of the part it is of where the design carries that."""
    return f"{maker_id}-{key}"


def free_maker_id(design: Design, name: str) -> str:
    """An id for a maker: ``name`` or the first of ``name-2`` … whose pieces meet no id there is."""
    arrangements = [a for board in design.boards for a in board.arrangements]
    makers = {m.id for a in arrangements for m in a.makers} | {p.maker for a in arrangements for p in a.placements}
    ids = {p.id for a in arrangements for p in a.placements}
    ids |= {p.id for p in design.hardware} | {p.id for p in design.patterns}
    names = (name if n == 1 else f"{name}-{n}" for n in count(1))
    return next(each for each in names if each not in makers and not any(i.startswith(f"{each}-") for i in ids))


def part_ids(design: Design, board: BoardEntry, maker_id: str, made: Made) -> dict[str, str]:
    """Id of the part of each piece, by key: its own wherever nobody else uses that, else a further one."""
    used = {p.part for b in design.boards for p in placements_in(b) if _others(b, p, board, maker_id)}
    found = {}
    for piece in made.pieces:
        wanted = piece_id(maker_id, piece.key)
        names = (wanted if n == 1 else f"{wanted}-{n}" for n in count(1))
        found[piece.key] = piece.part if isinstance(piece.part, str) else next(n for n in names if n not in used)
    return found


def _others(board: BoardEntry, placement: PlacementEntry, own: BoardEntry, maker_id: str) -> bool:
    return board.id != own.id or placement.maker != maker_id


def own_parts(board: BoardEntry, maker_id: str) -> frozenset[str]:
    """Ids of the parts that the design carries for what a maker made on a board."""
    placed = [p for a in board.arrangements for p in a.placements if p.maker == maker_id]
    return frozenset(p.part for p in placed if p.part.startswith(p.id))


def with_parts(design: Design, made: Made, ids: Mapping[str, str], before: Collection[str] = ()) -> Design:
    """The design with the parts of a maker as it makes them now.

    Args:
        design: the design, with its pieces placed.
        made: what the maker makes.
        ids: id of the part of each piece, by key.
        before: ids of parts it made before; those that nothing is placed of any more go.
    """
    hardware = {ids[key]: part.model_copy(update={"id": ids[key]}) for key, part in made.hardware.items()}
    patterns = {ids[key]: part.model_copy(update={"id": ids[key]}) for key, part in made.patterns.items()}
    placed = {p.part for p in placements_in(*design.boards)}
    gone = set(before) - placed
    old_parts = {p.id: p for p in design.hardware if p.id not in gone and p.id not in patterns}
    old_patterns = {p.id: p for p in design.patterns if p.id not in gone and p.id not in hardware}
    new_parts = {**old_parts, **{name: part for name, part in hardware.items() if name in placed}}
    new_patterns = {**old_patterns, **{name: part for name, part in patterns.items() if name in placed}}
    return design.model_copy(update={"hardware": tuple(new_parts.values()), "patterns": tuple(new_patterns.values())})


def placements_of(
    pieces: Collection[Piece], maker_id: str, parts: Mapping[str, str], pose: MakerPose, letters: Collection[str]
) -> Iterator[PlacementEntry]:
    """A placement for each piece, lettered on.

    Args:
        pieces: what to place.
        maker_id: which they bear.
        parts: id of the part of each, by key.
        pose: the middle of the maker.
        letters: those that are taken.
    """
    taken = set(letters)
    for piece in pieces:
        label = next_letter(taken)
        taken.add(label)
        x, y, angle = pose.of(piece)
        ident = piece_id(maker_id, piece.key)
        yield PlacementEntry(
            id=ident, part=parts[piece.key], x=x, y=y, angle=angle, label=label, maker=maker_id
        )  # fmt: skip
