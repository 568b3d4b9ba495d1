"""Drawings of a board: for the screen, for other programs, for the printer."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import replace
from functools import lru_cache

from app.catalogue.load import catalogue, paper_by_text
from app.document.resolve import resolve
from app.document.schema import Design
from app.drafting.board_view import board_scene, line_weight, thumbnail, view_scale
from app.drafting.dimensions import dimensions
from app.drafting.elevation import elevation, elevation_row, row_mates
from app.drafting.facing import facing
from app.drafting.ghosts import Move, ghost_scene
from app.drafting.halos import halos
from app.drafting.part_faces import rim_radius, top_view
from app.drafting.section import section
from app.drafting.snaps import Snap, guides
from app.drafting.tags import word_boxes
from app.drafting.weights import weighted
from app.errors import WriterError
from app.model.part import Face, Part
from app.model.printing import Printing
from app.model.resolved import Hole, Placed, ResolvedBoard
from app.paper.view_page import board_page, section_page
from app.scene.primitives import Group, Item, Scene
from app.service.checking import CheckResult, judged
from app.service.memory import Memory
from app.service.proving import export_file, template_file
from app.units import Unit
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
    r = part_picture_width(part) / 2
    items = tuple(_heavier(item, r / 14.0) for item in top_view(_alone(part), 1.0))
    return svg.write(Scene(-r, -r, r, r, items, title=part.name))


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


def export_drawing(
    design: Design,
    board: str | None = None,
    arrangement: str | None = None,
    face: Face = "top",
    fmt: str = "svg",
    kerf: float = 0.0,
) -> bytes:
    """One true-size drawing of a board for other programs and machines: ``svg`` or ``dxf``, in mm.

    Args:
        design: the design.
        board: id of the board; None for the deck.
        arrangement: id of the arrangement; None for the first.
        face: the face drawn; ``under`` is mirrored.
        fmt: ``svg`` or ``dxf``.
        kerf: full width of the cut, by half of which lines are moved into the waste [mm].

    Raises:
        NotFoundError: no such board or arrangement.
        WriterError: no such format, a number that cannot be drawn, or a kerf that makes something vanish.
        ProofError: the file, read back, does not show what the design asks for.
    """
    return export_file(design, board, arrangement, face, fmt, kerf).data


def template_pdf(
    design: Design,
    board: str | None = None,
    arrangement: str | None = None,
    face: Face = "top",
    paper: str | Printing = "",
) -> bytes:
    """The true-size drill template of one face, a cover and one page a sheet, as PDF.

    Args:
        design: the design.
        board: id of the board; None for the deck.
        arrangement: id of the arrangement; None for the first.
        face: the face it is stuck on; ``under`` is mirrored.
        paper: ``a4``, ``letter``, … or sides as ``594x841``; empty for the shop's; or all of how it is printed.

    Raises:
        NotFoundError: no such board or arrangement.
        PaperError: no such paper, or one too small to carry a sheet.
        ProofError: the file, read back, does not show what the design asks for.
    """
    return template_file(design, board, arrangement, face, paper).data


def view_file(
    design: Design,
    board: str | None = None,
    arrangement: str | None = None,
    view: str = "board",
    fmt: str = "svg",
    paper: str = "",
) -> bytes:
    """A drawing to read: the board as on screen, from either face, or a section, as SVG or as one page of PDF.

    Args:
        design: the design.
        board: id of the board; None for the deck.
        arrangement: id of the arrangement; None for the first.
        view: ``board``, ``underside`` or ``section:`` and the id of a placement, or its letter.
        fmt: ``svg``; or ``pdf``, on the paper, at the largest of the usual scales that fits, which it states.
        paper: ``a4``, ``letter``, … or sides as ``594x841``; empty for the shop's.

    Raises:
        NotFoundError: no such board, arrangement or placement.
        WriterError: no such view or format.
        PaperError: no such paper, or one too small.
    """
    kind, _, placement = view.partition(":")
    if view not in ("board", "underside") and not (kind == "section" and placement):
        raise WriterError(f"There is no view “{view[:40]}”. Use board, underside, or section: and a part's id.")
    if fmt not in ("svg", "pdf"):
        raise WriterError(f"A view is written as svg or pdf, got “{fmt[:20]}”. Choose one of them.")
    seen = judged(resolve(design, board, arrangement, catalogue()))
    resolved, found = seen.resolved, seen.report.findings
    placement = _by_letter(resolved, placement)
    face: Face = "under" if view == "underside" else "top"
    if fmt == "svg":
        scene = section(resolved, placement, found) if placement else board_scene(resolved, found, face=face)
        return svg.write(scene).encode("utf-8")
    from app.writers import pdf

    chosen = paper_by_text(paper) if paper else resolved.shop.paper
    printing = Printing(chosen, stops=len(seen.report.stops))
    section_of = section_page(resolved, placement, found, printing) if placement else None
    return pdf.write((section_of or board_page(resolved, face, found, printing),), title=resolved.title)


def _by_letter(board: ResolvedBoard, name: str) -> str:
    """The id of the placement of that id, or else of that letter; the name itself where there is none."""
    if board.placed(name) is not None:
        return name
    return next((p.id for p in board.placements if p.label and p.label == name), name)


def with_placements(board: ResolvedBoard, changed: Mapping[str, Placed]) -> ResolvedBoard:
    """The board with some placements exchanged, by id."""
    return board.populated(tuple(changed.get(placed.id, placed) for placed in board.placements))
