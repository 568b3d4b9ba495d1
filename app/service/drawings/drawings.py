"""Drawings of a board for the screen."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence
from functools import lru_cache

from app.drafting.facing import facing
from app.drafting.hardware.part_faces import top_view
from app.drafting.hardware.part_letters import rim_radius
from app.drafting.labels.tags import word_boxes
from app.drafting.section.section import section
from app.drafting.view.board_view import board_scene, line_weight, thumbnail, view_scale
from app.drafting.view.dimensions import dimensions
from app.drafting.view.elevation import elevation, elevation_row, row_mates
from app.drafting.view.finding_marks import halos
from app.drafting.view.ghosts import Move, ghost_scene
from app.drafting.view.snaps import Snap, guides
from app.drafting.weights import weighted
from app.model.part import Face, Part
from app.model.resolved import Hole, Placed, ResolvedBoard
from app.scene.primitives import Group, Item, Scene
from app.service.background.memory import Memory
from app.service.checks.checking import CheckResult
from app.units import Unit
from app.values import replace
from app.writers import svg


def board_svg(
    seen: CheckResult, face: Face, selected: Sequence[str], to: str = "", layers: Collection[str] = ()
) -> str:
    """The board as on screen: inline SVG that a pointer and the keyboard can take hold of."""
    document = seen.document
    if document is None:
        return _board_svg(seen, face, selected, to, layers)
    asked = (face, tuple(selected), to, tuple(sorted(layers)))
    key = (document, seen.board, seen.arrangement, seen.resolved.units, *asked)
    return _DRAWN.once(
        key, lambda: _board_svg(seen, face, selected, to, layers), lambda drawn: len(drawn) + len(document.text)
    )


_DRAWN: Memory[str] = Memory(24_000_000)
"""Drawings of boards for the screen, one letter a byte: a board of two players takes 60 kB."""


def _board_svg(seen: CheckResult, face: Face, selected: Sequence[str], to: str, layers: Collection[str]) -> str:
    board = seen.resolved
    scene = board_scene(
        board,
        seen.report.open,
        face=face,
        unit=Unit(board.units),
        selected=selected,
        to=to,
        accepted=_accepted(seen),
        layers=layers,
    )
    return svg.embed(scene, ident="board-svg", role="drawing", interactive=True)


def _accepted(seen: CheckResult) -> frozenset[str]:
    """Ids of the placements of which something was accepted as it is."""
    return frozenset(subject for standing in seen.report.accepted for subject in standing.finding.subjects)


def room_svg(seen: CheckResult, moves: Sequence[Move]) -> str:
    """The board from above with ghosts of the parts that would move, inline SVG: a picture to look at."""
    scene = ghost_scene(seen.resolved, moves, unit=Unit(seen.resolved.units))
    return svg.embed(scene, ident="room-svg", role="drawing map")


def row_code(seen: CheckResult, held: str) -> str:
    """A short name of the parts that are cut through with the held one, to tell whether they have changed."""
    board = seen.resolved
    return "-".join(["row", *(p.id for p in row_mates(board, board.placed(held)))])


def moving_svg(
    seen: CheckResult, face: Face, held: str, *, first: bool, row: str = "", taken: Collection[Snap] = ()
) -> str:
    """What follows a part that is being dragged: marks, measures and elevation, to be swapped on the page.

    Args:
        seen: the board with the part where it is now.
        face: the face shown.
        held: id of the part.
        first: whether the drag only begins: then the other rows of the elevation become faint as well.
        row: what :func:`row_code` gave for the row that is on the page; if it is the same, it stays.
        taken: places the part has been drawn to.
    """
    board = seen.resolved
    view, scale = facing(board, face), view_scale(board)
    marks = halos(board, seen.report.open, view=view, scale=scale, accepted=_accepted(seen))
    cut = (elevation if first else elevation_row)(board, view=view, selected=held, scale=scale)
    dims = dimensions(board, held, view=view, scale=scale, avoid=word_boxes(marks), full=True)
    part = board.placed(held)
    if part is not None and taken:
        words = [*word_boxes(marks), *word_boxes(dims)]
        shown = guides(board, part, taken, view=view, scale=scale, avoid=words)
        dims = replace(dims, items=(*shown, *dims.items))
    groups = (marks, dims, cut)
    names = [marks.name, groups[1].name, cut.name]
    if not first and row == row_code(seen, held):
        names[2] = "elevation-hand"
    scene = Scene(0.0, 0.0, 1.0, 1.0, weighted(groups, line_weight(scale)))
    return "".join(svg.swap(scene, name) for name in names)


def section_svg(seen: CheckResult, placement: str) -> str:
    """The section through a part as inline SVG: a picture with words, nothing to take hold of.

    Raises:
        NotFoundError: no such placement on the board.
    """
    board = seen.resolved
    scene = section(board, placement, seen.report.findings, unit=Unit(board.units))
    return svg.embed(scene, ident="section-svg", role="drawing section")


def thumbnail_svg(board: ResolvedBoard) -> str:
    """A small true drawing of a board, as a file."""
    return svg.write(thumbnail(board))


@lru_cache(maxsize=128)
def part_svg(part: Part) -> str:
    """A part as seen from above, as a file: what the palette shows."""
    return svg.write(_part_scene(part))


def parts_svg(parts: Iterable[Part]) -> str:
    """The same of many parts in one file, each by its id: a picture for itself would be a question to the server."""
    return svg.symbols({part.id: _part_scene(part) for part in parts})


def _part_scene(part: Part) -> Scene:
    r = part_picture_width(part) / 2
    items = tuple(_heavier(item, r / 14.0) for item in top_view(_alone(part), 1.0))
    return Scene(-r, -r, r, r, items, title=part.name)


def part_picture_width(part: Part) -> float:
    """How wide the picture of a part is at true size [mm]."""
    return 2.24 * rim_radius(_alone(part))


def _alone(part: Part) -> Placed:
    holes = tuple(Hole(c, c.shape, None) for c in part.cutouts)
    return Placed("part", part, 0.0, 0.0, 0.0, "", "", drill=True, holes=holes)


def _heavier(item: Item, times: float) -> Item:
    """The same with lines that can be seen in a picture of the size of a thumb."""
    if isinstance(item, Group):
        return replace(item, items=tuple(_heavier(each, times) for each in item.items))
    return replace(item, style=replace(item.style, width=item.style.width * max(1.0, times)))


def with_placements(board: ResolvedBoard, changed: Mapping[str, Placed]) -> ResolvedBoard:
    """The board with some placements exchanged, by id."""
    return board.populated(tuple(changed.get(placed.id, placed) for placed in board.placements))
