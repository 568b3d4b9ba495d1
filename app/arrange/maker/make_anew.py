"""Making anew: what a maker made is exchanged for what it makes of other measures; what others put there stays.

A piece keeps id and letter by its key, and its place if it was moved by hand or is locked. One that was deleted stays
away until it is asked back. Every arrangement of the board that has the maker follows, for its parts are one.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

from msgspec import Struct

from app.arrange.board.rings import rings_of, with_rings
from app.arrange.change import Edit, with_board
from app.arrange.held import refuse_held
from app.arrange.letters import taken_letters
from app.arrange.maker.checked import checked
from app.arrange.maker.made import Made, Maker, Piece
from app.arrange.maker.make import pose_at
from app.arrange.maker.middles import with_middle
from app.arrange.maker.placing import MakerPose, own_parts, part_ids, piece_id, placements_of, pose_of, with_parts
from app.arrange.maker.registry import maker_named
from app.arrange.maker.ringing import openings_at, ring_at, with_openings
from app.catalogue.load import Catalogue
from app.document.as_built import begun
from app.document.makers import given_of, measure_entries
from app.document.pattern_schema import MakerEntry, PatternEntry
from app.document.patterns import pattern_of
from app.document.resolve import find_arrangement, find_board
from app.document.schema import ArrangementEntry, BoardEntry, DepthBelowEntry, Design, PlacementEntry
from app.document.where import Where
from app.errors import EditError, NotFoundError
from app.model.maker.measure import Asked, Value, answered
from app.model.maker.patterning import MIDDLE

_SAME: Final = 1e-6
"""Places this near are the same [mm]: what is left of binary arithmetic."""


def find_maker(arrangement: ArrangementEntry, maker_id: str) -> MakerEntry:
    """The maker of an arrangement with that id.

    Raises:
        NotFoundError: there is none.
    """
    for entry in arrangement.makers:
        if entry.id == maker_id:
            return entry
    known = ", ".join(m.id for m in arrangement.makers) or "none"
    raise NotFoundError(f"There is no maker “{maker_id[:40]}” in this arrangement; there are: {known}.")


def make_anew(
    design: Design,
    where: Where,
    maker_id: str,
    measures: Mapping[str, Value],
    catalogue: Catalogue,
    *,
    x: float | None = None,
    y: float | None = None,
    angle: float | None = None,
    reset: bool = False,
) -> Edit:
    """Make what a maker made anew.

    Args:
        design: the design.
        where: the board, and the arrangement in view.
        maker_id: the maker.
        measures: those to change, by name; the others stay as they are.
        catalogue: for the hardware it knows.
        x: of its middle from the left edge [mm]; None for where it is.
        y: of its middle from the front edge [mm].
        angle: turning [degrees].
        reset: whether pieces that were moved by hand go back, and deleted ones come again.

    Raises:
        NotFoundError: there is no such board, arrangement or maker.
        EditError: measures that are not allowed, an outline no board can have, or a piece that would go is locked.
    """
    board = find_board(design, where.board)
    entry = find_maker(find_arrangement(board, where.arrangement), maker_id)
    maker = maker_named(entry.maker)
    known = answered(maker.measures, given_of(entry))
    asked = checked(maker, {**dict(known.values), **measures}, design.units)
    if MIDDLE not in measures:
        asked = with_middle(design, entry, known, asked, catalogue)
    to = pose_at(
        *(old if new is None else new for old, new in zip((entry.x, entry.y, entry.angle), (x, y, angle), strict=True))
    )
    moved = (to.x - entry.x, to.y - entry.y, to.angle - entry.angle)
    made = _numbered(design, entry, _made_before(maker, known, catalogue), maker.make(asked, catalogue))
    anew = _Anew(board, maker, asked, made, part_ids(design, board, maker_id, made), moved, catalogue, reset)
    after = with_board(design, board.model_copy(update={"arrangements": anew.arrangements(maker_id)}))
    after = with_parts(after, made, anew.parts, own_parts(board, maker_id))
    after = _ringed(after, board.id, entry, to, _made_before(maker, known, catalogue), made, catalogue, reset=reset)
    said = ", ".join(maker_label(maker, name) for name in measures) or ("moved" if any(moved) else "made once more")
    return Edit(after, f"{maker.title} {entry.id}: {said}" if measures else f"{maker.title} {entry.id} {said}")


def maker_label(maker: Maker, name: str) -> str:
    """A measure in words, within a sentence."""
    label = next(m.label for m in maker.measures if m.name == name)
    return label[0].lower() + label[1:]


def _made_before(maker: Maker, known: Asked, catalogue: Catalogue) -> Made | None:
    """What it made of the measures that it had; None where a file gives it measures nothing can be made of."""
    try:
        return maker.make(known, catalogue)
    except EditError:
        return None


def _numbered(design: Design, entry: MakerEntry, before: Made | None, made: Made) -> Made:
    """The same, its holes under the numbers that they had."""
    had = {p.id: p for p in design.patterns}
    pieces = []
    for piece in made.pieces:
        old = had.get(piece_id(entry.id, piece.key))
        if isinstance(piece.part, PatternEntry) and old is not None and before is not None:
            numbers = pattern_of(piece.part).numbered_as(pattern_of(old)).numbers
            piece = Piece(piece.key, piece.part.model_copy(update={"numbers": numbers}), piece.x, piece.y, piece.angle)
        pieces.append(piece)
    return Made(made.outline, made.layers, made.free_depth, tuple(pieces), made.openings, made.keep_clear, made.figures)


class _Anew(Struct, frozen=True):
    board: BoardEntry
    maker: Maker
    asked: Asked
    made: Made
    parts: Mapping[str, str]
    moved: tuple[float, float, float]
    catalogue: Catalogue
    reset: bool

    def arrangements(self, maker_id: str) -> tuple[ArrangementEntry, ...]:
        """Every arrangement of the board, those that have the maker with its pieces made anew."""
        letters = taken_letters(self.board)
        new = {p.id: p for p in placements_of(self._fresh(maker_id), maker_id, self.parts, MakerPose(0, 0, 0), letters)}
        return tuple(
            self._arrangement(a, next(m for m in a.makers if m.id == maker_id), new)
            if any(m.id == maker_id for m in a.makers)
            else a
            for a in self.board.arrangements
        )

    def _fresh(self, maker_id: str) -> list[Piece]:
        """Pieces that no arrangement has yet: they get one letter everywhere."""
        there = {p.id for a in self.board.arrangements for p in a.placements if p.maker == maker_id}
        return [piece for piece in self.made.pieces if piece_id(maker_id, piece.key) not in there]

    def _arrangement(
        self, within: ArrangementEntry, entry: MakerEntry, new: Mapping[str, PlacementEntry]
    ) -> ArrangementEntry:
        dx, dy, turn = self.moved
        before, pose = pose_of(entry), MakerPose(entry.x + dx, entry.y + dy, entry.angle + turn)
        was = _made_before(self.maker, answered(self.maker.measures, given_of(entry)), self.catalogue)
        old = {piece_id(entry.id, piece.key): piece for piece in (was.pieces if was else ())}
        now = {piece_id(entry.id, piece.key): piece for piece in self.made.pieces}
        stood = {p.id: p for p in within.placements if p.maker == entry.id}
        gone = [p for ident, p in stood.items() if ident not in now]
        refuse_held(gone, begun(self.board, within), "apply these measures, which delete {it}")
        kept = [self._kept(p, old.get(p.id), now.get(p.id), before, pose) for p in within.placements if p not in gone]
        wanted = [i for i in now if i not in stood and (i not in old or self.reset)]
        added = [self._added(i, now[i], pose, new) for i in wanted]
        retired = tuple(p.label for p in gone if p.label and p.label not in within.retired)
        told = entry.model_copy(
            update={"measures": measure_entries(self.asked), "x": pose.x, "y": pose.y, "angle": pose.angle}
        )
        return within.model_copy(
            update={
                "placements": (*kept, *added),
                "makers": tuple(told if m.id == entry.id else m for m in within.makers),
                "retired": (*within.retired, *retired),
            }
        )

    def _kept(
        self, placement: PlacementEntry, was: Piece | None, now: Piece | None, before: MakerPose, pose: MakerPose
    ) -> PlacementEntry:
        if now is None:
            return placement  # of somebody else
        update: dict[str, object] = {}
        if not placement.locked and (self.reset or (was is not None and _stands(placement, before.of(was)))):
            update = dict(zip(("x", "y", "angle"), pose.of(now), strict=True))
        own = placement.part.startswith(placement.id) or (was is not None and placement.part == was.part)
        if own:
            update["part"] = self.parts[now.key]
        return placement.model_copy(update=update)

    def _added(self, ident: str, piece: Piece, pose: MakerPose, new: Mapping[str, PlacementEntry]) -> PlacementEntry:
        found = new.get(ident) or next(p for a in self.board.arrangements for p in a.placements if p.id == ident)
        x, y, angle = pose.of(piece)
        return found.model_copy(update={"x": x, "y": y, "angle": angle, "part": self.parts[piece.key]})


def _stands(placement: PlacementEntry, at: tuple[float, float, float]) -> bool:
    """Whether a placement is where its maker put it."""
    return all(abs(a - b) < _SAME for a, b in zip((placement.x, placement.y, placement.angle), at, strict=True))


def _ringed(
    design: Design,
    board_id: str,
    entry: MakerEntry,
    to: MakerPose,
    before: Made | None,
    made: Made,
    catalogue: Catalogue,
    *,
    reset: bool,
) -> Design:
    """The design with openings, outline and free depth exchanged, as far as what the maker makes of them changed."""
    old = openings_at(before, pose_of(entry)) if before else ()
    after = with_openings(design, board_id, old, openings_at(made, to), catalogue)
    if not entry.outline:
        return after
    if before is None or before.free_depth != made.free_depth or reset:
        below = DepthBelowEntry(front=made.free_depth, back=made.free_depth)
        after = with_board(after, find_board(after, board_id).model_copy(update={"depth_below": below}))
    if before is None or before.outline != made.outline or reset:
        _, *openings = rings_of(find_board(after, board_id))
        after = with_rings(after, board_id, (ring_at(made.outline, to), *openings), catalogue, "width")
    return after


def remove_maker(design: Design, where: Where, maker_id: str) -> Edit:
    """Take a maker and what it made out of an arrangement; letters are retired, and a board that it made stays.

    Raises:
        NotFoundError: no such board, arrangement or maker.
        EditError: a piece of it is locked or drilled.
    """
    board = find_board(design, where.board)
    within = find_arrangement(board, where.arrangement)
    entry = find_maker(within, maker_id)
    own = [p for p in within.placements if p.maker == entry.id]
    refuse_held(own, begun(board, within), "delete what it was made with")
    rest = within.model_copy(
        update={
            "placements": tuple(p for p in within.placements if p.maker != entry.id),
            "makers": tuple(m for m in within.makers if m.id != entry.id),
            "retired": (*within.retired, *(p.label for p in own if p.label and p.label not in within.retired)),
        }
    )
    rows = tuple(rest if a.id == within.id else a for a in board.arrangements)
    after = with_board(design, board.model_copy(update={"arrangements": rows}))
    return Edit(
        with_parts(after, Made((), (), 0.0, ()), {}, own_parts(board, entry.id)),
        f"Deleted {entry.id} with what it made",
    )
