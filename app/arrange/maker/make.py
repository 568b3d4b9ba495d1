"""Making: a companion board of the cabinet, or cut-outs on a board that is there."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

from app.arrange.board.name import free_board_id
from app.arrange.change import Edit, number, with_board
from app.arrange.letters import taken_letters
from app.arrange.maker.checked import checked
from app.arrange.maker.made import Made, Maker
from app.arrange.maker.placing import MakerPose, free_maker_id, part_ids, placements_of, with_parts
from app.arrange.maker.registry import maker_named
from app.arrange.maker.ringing import corners_of, openings_at, with_openings
from app.catalogue.load import Catalogue
from app.document.makers import measure_entries
from app.document.pattern_schema import MakerEntry
from app.document.resolve import find_arrangement, find_board
from app.document.schema import ArrangementEntry, BoardEntry, DepthBelowEntry, Design, OutlineEntry
from app.document.where import Where
from app.errors import EditError
from app.geometry.outline import Outline
from app.model.limits import BOARDS, MAKERS, PARTS, PLACE
from app.model.maker.measure import Asked, Value

_ARRANGEMENT: Final = "one"


def make_board(design: Design, maker_name: str, measures: Mapping[str, Value], catalogue: Catalogue) -> Edit:
    """Make a companion board.

    Args:
        design: the design.
        maker_name: which maker.
        measures: by name; what is left out has its default.
        catalogue: for the hardware it knows.

    Returns:
        The edit; its ``board`` is the new board's id.

    Raises:
        NotFoundError: there is no such maker.
        EditError: measures that are not allowed, or there are as many boards as a design can have.
    """
    if len(design.boards) >= BOARDS.most:
        raise EditError(f"A design has up to {BOARDS.most} boards. Delete one first.", "maker")
    maker = maker_named(maker_name)
    asked = checked(maker, measures, design.units)
    made = maker.make(asked, catalogue)
    x0, y0, _, _ = Outline(made.outline).bounds
    pose = MakerPose(-x0 + 0.0, -y0 + 0.0, 0.0)
    board = _bare(design, maker, made, pose)
    ident = free_maker_id(design, maker.name)
    grown = design.model_copy(update={"boards": (*design.boards, board)})
    after, labels = _populated(
        grown, board, board.arrangements[0], _entry(ident, maker, asked, pose, outline=True), made
    )
    return Edit(after, f"Made the board “{board.name}”{_lettered(labels)}", board=board.id)


def make_on_board(
    design: Design,
    where: Where,
    maker_name: str,
    measures: Mapping[str, Value],
    x: float,
    y: float,
    angle: float,
    catalogue: Catalogue,
) -> Edit:
    """Put what a maker makes on a board that is there, its middle at ``(x, y)`` [mm], turned by ``angle`` [degrees].

    Returns:
        The edit; its ``several`` are the ids of the new placements.

    Raises:
        NotFoundError: there is no such maker, board or arrangement.
        EditError: measures or a place that are not allowed, or no more fits into the arrangement.
    """
    maker = maker_named(maker_name)
    board = find_board(design, where.board)
    arrangement = find_arrangement(board, where.arrangement)
    asked = checked(maker, measures, design.units)
    pose = pose_at(x, y, angle)
    made = maker.make(asked, catalogue)
    if len(arrangement.placements) + len(made.pieces) > PARTS.most:
        raise EditError(f"An arrangement has up to {PARTS.most} parts. Delete some first.", "maker")
    if len(arrangement.makers) >= MAKERS.most:
        raise EditError(f"An arrangement has up to {MAKERS.most} makers. Delete some first.", "maker")
    after = with_openings(design, board.id, (), openings_at(made, pose), catalogue)
    ident = free_maker_id(design, maker.name)
    board = find_board(after, board.id)
    within = find_arrangement(board, arrangement.id)
    after, labels = _populated(after, board, within, _entry(ident, maker, asked, pose), made)
    ids = tuple(p.id for p in find_arrangement(find_board(after, board.id), within.id).placements if p.maker == ident)
    return Edit(after, f"Made a {maker.title.lower()}{_lettered(labels)}", several=ids)


def pose_at(x: float, y: float, angle: float) -> MakerPose:
    """A place for the middle of a maker.

    Raises:
        EditError: a number is not allowed.
    """
    return MakerPose(
        number(x, "The distance from the left edge", "x", PLACE.least, PLACE.most),
        number(y, "The distance from the front edge", "y", PLACE.least, PLACE.most),
        number(angle, "The angle", "angle", -360, 360),
    )


def _bare(design: Design, maker: Maker, made: Made, pose: MakerPose) -> BoardEntry:
    """The board that a maker makes, with nothing on it."""
    names = {b.name.casefold() for b in design.boards}
    name, many = maker.title, 2
    while name.casefold() in names:
        name, many = f"{maker.title} {many}", many + 1
    rings = (made.outline, *made.openings)
    corners = [corners_of(ring, pose) for ring in rings]
    return BoardEntry(
        id=free_board_id(design, maker.name),
        name=name,
        role="companion",
        outline=OutlineEntry(corners=corners[0], openings=tuple(corners[1:])),
        layers=made.layers,
        depth_below=DepthBelowEntry(front=made.free_depth, back=made.free_depth),
        keep_clear=tuple(
            area.model_copy(update={"x": area.x + pose.x, "y": area.y + pose.y}) for area in made.keep_clear
        ),
        arrangements=(ArrangementEntry(id=_ARRANGEMENT),),
    )


def _entry(ident: str, maker: Maker, asked: Asked, pose: MakerPose, *, outline: bool = False) -> MakerEntry:
    return MakerEntry(
        id=ident, maker=maker.name, x=pose.x, y=pose.y, angle=pose.angle, outline=outline,
        measures=measure_entries(asked),
    )  # fmt: skip


def _populated(
    design: Design, board: BoardEntry, arrangement: ArrangementEntry, entry: MakerEntry, made: Made
) -> tuple[Design, list[str]]:
    """The design with a maker and its pieces in an arrangement, and their letters."""
    parts = part_ids(design, board, entry.id, made)
    pose = MakerPose(entry.x, entry.y, entry.angle)
    new = list(placements_of(made.pieces, entry.id, parts, pose, taken_letters(board)))
    grown = arrangement.model_copy(
        update={"makers": (*arrangement.makers, entry), "placements": (*arrangement.placements, *new)}
    )
    rows = tuple(grown if a.id == arrangement.id else a for a in board.arrangements)
    after = with_board(design, board.model_copy(update={"arrangements": rows}))
    return with_parts(after, made, parts), [p.label for p in new]


def _lettered(labels: list[str]) -> str:
    return f": {', '.join(labels)}" if labels else ""
