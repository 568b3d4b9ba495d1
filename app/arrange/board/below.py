"""What is at a board's edges and below it, and what must stay clear: slots, rails, free depth, areas."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final, Literal, cast

from app.arrange.change import Edit, number, shown, with_board, words
from app.catalogue.load import Catalogue
from app.document.outlines import outline_of
from app.document.resolve import find_board
from app.document.schema import BoardEntry, DepthBelowEntry, Design, KeepClearEntry
from app.errors import EditError, NotFoundError
from app.geometry.outline import EDGE_NAMES, EdgeName, Outline
from app.geometry.strips import longest_straight
from app.model.limits import AREAS, WORDS
from app.units import LONGEST

_FACES: Final = ("top", "under")


def set_edges(design: Design, board_id: str | None, slots: Mapping[str, float], rails: Mapping[str, float]) -> Edit:
    """Set slot depths and rail widths [mm] by edge: ``front``, ``right``, ``back``, ``left``; others stay.

    Raises:
        NotFoundError: no such board or edge.
        EditError: a length is below 0, or is more than the board has; field ``slot-front`` or ``rail-front``.
    """
    board = find_board(design, board_id)
    outline = outline_of(board.outline.corners)
    x0, y0, x1, y1 = outline.bounds
    edges, said = board.edges, []
    for given, key, field, what, none in (
        (slots, "slot_depth", "slot", "a slot", "no slot"),
        (rails, "rail", "rail", "a rail", "no rail"),
    ):
        for name, value in given.items():
            if name not in EDGE_NAMES:
                raise NotFoundError(f"There is no edge “{name[:20]}”. Choose {', '.join(EDGE_NAMES)}.")
            most = y1 - y0 if name in ("front", "back") else x1 - x0
            size = number(value, f"The {field} at the {name} edge in mm", f"{field}-{name}", 0, most)
            entry = getattr(edges, name)
            if getattr(entry, key) != size:
                if key == "rail":
                    _check_straight(outline, name, size, design.units)
                edges = edges.model_copy(update={name: entry.model_copy(update={key: size})})
                said.append(f"{what} of {shown(size, design.units)}" if size else none)
                said[-1] += f" at the {name} edge"
    after = with_board(design, board.model_copy(update={"edges": edges}))
    return Edit(after, _sentence("Put", said) if said else "Left the edges as they were")


def _check_straight(outline: Outline, edge: str, rail: float, units: str) -> None:
    """Refuse a rail where the rim has nothing straight to glue it along."""
    straight = longest_straight(outline, cast("EdgeName", edge))
    if straight < rail:
        has = f"only {shown(straight, units)} straight" if straight else "nothing straight"
        said = f"The {edge} edge has {has}: too little to glue a rail {shown(rail, units)} wide to"
        raise EditError(f"{said}. Enter 0, or reduce the set-backs of the corners beside it first.", f"rail-{edge}")


def set_free_depth(
    design: Design, board_id: str | None, catalogue: Catalogue, front: float | None = None, back: float | None = None
) -> Edit:
    """Say how much free depth there is below the front and the back edge [mm]; None keeps one exactly.

    Raises:
        NotFoundError: no such board.
        EditError: a depth is out of range.
    """
    board = find_board(design, board_id)
    old = board.depth_below
    values = {}
    for name, value in (("front", front), ("back", back)):
        kept = getattr(old, name) if old else catalogue.rule(f"deck-depth-{name}")
        values[name] = kept if value is None else number(value, f"The depth below the {name} edge", name, 0, LONGEST)
    new = DepthBelowEntry(**values)
    if new == old:
        return Edit(design, "Left the depth below as it was")
    after = with_board(design, board.model_copy(update={"depth_below": new}))
    size = f"{shown(new.front, design.units)} at the front, {shown(new.back, design.units)} at the back"
    return Edit(after, f"Made the free depth below {size}")


def clear_free_depth(design: Design, board_id: str | None) -> Edit:
    """Say that nothing is below the board: no part can be too deep.

    Raises:
        NotFoundError: no such board.
    """
    board = find_board(design, board_id)
    after = with_board(design, board.model_copy(update={"depth_below": None}))
    return Edit(after, "Set no limit below")


def add_area(
    design: Design, board_id: str | None, face: str, box: tuple[float, float, float, float], label: str = ""
) -> Edit:
    """Keep a rectangle clear on one face, by its front-left corner, width and height [mm].

    Raises:
        NotFoundError: no such board.
        EditError: a value is not allowed, or there are as many areas as can be.
    """
    board = find_board(design, board_id)
    if len(board.keep_clear) >= AREAS.most:
        said = f"A board has up to {AREAS.most} areas to keep clear, and this one is full. Delete one first."
        raise EditError(said, "x")
    new = _area(face, box, label)
    after = with_board(design, board.model_copy(update={"keep_clear": (*board.keep_clear, new)}))
    return Edit(after, f"Kept {_area_words(new, design.units)} clear")


def set_area(
    design: Design,
    board_id: str | None,
    index: int,
    *,
    face: str | None = None,
    x: float | None = None,
    y: float | None = None,
    width: float | None = None,
    height: float | None = None,
    label: str | None = None,
) -> Edit:
    """Change an area to keep clear, counted from 0; None leaves a value exactly as it is [mm].

    Raises:
        NotFoundError: no such board or area.
        EditError: a value is not allowed.
    """
    board = find_board(design, board_id)
    old = found_area(board, index)
    asked = (x, y, width, height)
    kept = (old.x, old.y, old.width, old.height)
    a, b, w, h = (o if n is None else n for n, o in zip(asked, kept, strict=True))
    new = _area(old.face if face is None else face, (a, b, w, h), old.label if label is None else label)
    if new == old:
        return Edit(design, f"Left area {index + 1} as it was")
    rows = tuple(new if k == index else row for k, row in enumerate(board.keep_clear))
    after = with_board(design, board.model_copy(update={"keep_clear": rows}))
    moved = f"Moved area {index + 1} to {shown(new.x, design.units)}, {shown(new.y, design.units)}"
    only_moved = old.model_copy(update={"x": new.x, "y": new.y}) == new
    return Edit(after, moved if only_moved else f"Kept {_area_words(new, design.units)} clear")


def remove_area(design: Design, board_id: str | None, index: int) -> Edit:
    """Keep an area no longer clear.

    Raises:
        NotFoundError: no such board or area.
    """
    board = find_board(design, board_id)
    gone = found_area(board, index)
    rows = tuple(row for k, row in enumerate(board.keep_clear) if k != index)
    after = with_board(design, board.model_copy(update={"keep_clear": rows}))
    return Edit(after, f"Deleted the area kept clear, {_area_words(gone, design.units)}")


def found_area(board: BoardEntry, index: int) -> KeepClearEntry:
    """The area of that number, from 0.

    Raises:
        NotFoundError: there is none.
    """
    if not 0 <= index < len(board.keep_clear):
        said = f"There is no area {index + 1} to keep clear; the board has {len(board.keep_clear)}"
        raise NotFoundError(f"{said}. Reload the page.")
    return board.keep_clear[index]


def _area(face: str, box: tuple[float, float, float, float], label: str) -> KeepClearEntry:
    if face not in _FACES:
        raise EditError(f"A face is top or under, got “{face[:20]}”. Choose one of them.", "face")
    return KeepClearEntry(
        face=cast("Literal['top', 'under']", face),
        x=number(box[0], "The area’s distance from the left edge", "x"),
        y=number(box[1], "The area’s distance from the front edge", "y"),
        width=number(box[2], "The area’s width in mm", "width", 0, LONGEST, above=True),
        height=number(box[3], "The area’s height in mm", "height", 0, LONGEST, above=True),
        label=words(label, "The words", "label", WORDS.most),
    )


def _area_words(area: KeepClearEntry, units: str) -> str:
    face = "on the underside" if area.face == "under" else "on the top face"
    return f"{shown(area.width, units)} × {shown(area.height, units)} {face}"


def _sentence(verb: str, said: list[str]) -> str:
    return f"{verb} {', '.join(said)}"
