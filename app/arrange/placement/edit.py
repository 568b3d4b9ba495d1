"""Edits of one placement: a document in, a document and a summary out; nothing is changed in place.

A board or arrangement of None is the deck and its first arrangement. All lengths in mm, angles in degrees
anticlockwise. Every function raises NotFoundError for a board, arrangement, placement or part that is
not there, and EditError, with the form field it belongs beside, for a value that is not allowed.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from app.arrange.change import (
    Edit,
    known_part,
    located,
    name_of,
    number,
    shown,
    with_arrangement,
    with_placement,
    words,
)
from app.arrange.held import refuse_locked
from app.arrange.letters import free_id, next_letter, taken_letters
from app.arrange.placement.free_position import beside
from app.catalogue.load import Catalogue
from app.document.as_built import begun
from app.document.resolve import design_parts, find_arrangement, find_board
from app.document.schema import ArrangementEntry, CounterboreEntry, Design, PlacementEntry, RecessEntry
from app.errors import EditError
from app.model.limits import LABEL, PARTS, PLACE


def move(design: Design, board: str | None, arrangement: str | None, placement: str, x: float, y: float) -> Edit:
    """Move a placement to ``(x, y)`` from the datum edges [mm].

    Raises:
        EditError: it is locked, or a number is not allowed.
    """
    _, _, old = located(design, board, arrangement, placement)
    refuse_locked(design, board, arrangement, old, "move")
    x, y = number(x, "The distance from the left edge", "x"), number(y, "The distance from the front edge", "y")
    new = with_placement(design, board, arrangement, placement, x=x, y=y)
    return Edit(new, f"Moved {name_of(old)} {shift_words(x - old.x, y - old.y, design.units)}", placement)


def move_by(design: Design, board: str | None, arrangement: str | None, placement: str, dx: float, dy: float) -> Edit:
    """Move a placement by ``(dx, dy)`` [mm].

    Raises:
        EditError: it is locked, or would be where no number is allowed.
    """
    _, _, old = located(design, board, arrangement, placement)
    return move(design, board, arrangement, placement, old.x + dx, old.y + dy)


def add(
    design: Design, board: str | None, arrangement: str | None, part: str, x: float, y: float, catalogue: Catalogue
) -> Edit:
    """Add a part at ``(x, y)`` [mm]; it gets the next letter that never stood on this board.

    Returns:
        The edit; its ``placement`` is the new one's id.

    Raises:
        EditError: the arrangement is full, or a number is not allowed.
    """
    found = known_part(design, part, catalogue)
    new = {"part": found.id, "x": number(x, "The distance from the left edge", "x")}
    new["y"] = number(y, "The distance from the front edge", "y")
    return _added(
        design, board, arrangement, PlacementEntry(id="new", **new), lambda label: f"Added {label} ({found.name})"
    )


def duplicate(design: Design, board: str | None, arrangement: str | None, placement: str, catalogue: Catalogue) -> Edit:
    """Place a second one of the same part, turned the same way, beside the first, under a letter of its own.

    Returns:
        The edit; its ``placement`` is the new one's id.

    Raises:
        EditError: the arrangement is full.
    """
    holder, within, old = located(design, board, arrangement, placement)
    x, y = beside(holder, within, old, design_parts(design, catalogue))
    # Beyond the last place a part may have, the second one lands on the other side.
    x, y = (v if abs(v) <= PLACE.most else 2 * was - v for v, was in ((x, old.x), (y, old.y)))
    copy = old.model_copy(update={"x": x, "y": y, "locked": False, "maker": None})
    return _added(design, board, arrangement, copy, lambda label: f"Duplicated {name_of(old)} as {label}")


def remove(design: Design, board: str | None, arrangement: str | None, placement: str) -> Edit:
    """Remove a placement; its letter is retired and never given again.

    Raises:
        EditError: it is locked, and nothing of it is drilled.
    """
    holder, within, old = located(design, board, arrangement, placement)
    made = placement in begun(holder, within)  # its holes stay in the board, and in what was drilled
    if not made:
        refuse_locked(design, board, arrangement, old, "delete")

    def change(within: ArrangementEntry) -> ArrangementEntry:
        rest = tuple(p for p in within.placements if p.id != placement)
        return _retired(within.model_copy(update={"placements": rest}), old.label)

    said = "; what is drilled of it stays in the board" if made else ""
    return Edit(with_arrangement(design, board, arrangement, change), f"Deleted {name_of(old)}{said}")


def set_label(design: Design, board: str | None, arrangement: str | None, placement: str, label: str) -> Edit:
    """Give a placement another letter; the one it had is retired, and it alone may have it back.

    Raises:
        EditError: the label is too long, stands elsewhere in this arrangement or was retired.
    """
    _, within, old = located(design, board, arrangement, placement)
    label = words(label, "A label", "label", LABEL.most)
    if label == old.label:
        return Edit(design, f"Left {name_of(old)} as it was", placement)
    other = next((p for p in within.placements if p.label == label and label and p.id != placement), None)
    if other is not None:
        raise EditError(
            f'The label "{label}" is already on another part ({other.part}) of this arrangement; each needs its own. '
            f'Choose another, such as "{next_letter(taken_letters(find_board(design, board)))}".',
            "label",
        )
    if label in within.retired and label.lower() != old.id:
        raise EditError(
            f'The label "{label}" belonged to a part that was deleted or renamed, and may be on plans already '
            f'printed. Choose another, such as "{next_letter(taken_letters(find_board(design, board)))}".',
            "label",
        )

    def change(entry: ArrangementEntry) -> ArrangementEntry:
        kept = tuple(text for text in entry.retired if text != label)
        return _retired(entry.model_copy(update={"retired": kept}), old.label)

    renamed = with_placement(design, board, arrangement, placement, label=label)
    summary = f"Renamed {name_of(old)} to {label}" if label else f"Deleted the label {old.label}"
    return Edit(with_arrangement(renamed, board, arrangement, change), summary, placement)


def set_angle(design: Design, board: str | None, arrangement: str | None, placement: str, angle: float) -> Edit:
    """Turn a placement to ``angle`` [degrees, anticlockwise, −360 to 360].

    Raises:
        EditError: it is locked, or the angle is out of range.
    """
    _, _, old = located(design, board, arrangement, placement)
    refuse_locked(design, board, arrangement, old, "turn")
    angle = number(angle, "The angle", "angle", -360, 360)
    new = with_placement(design, board, arrangement, placement, angle=angle)
    return Edit(new, f"Turned {name_of(old)} to {round(angle, 2) + 0.0:g}°", placement)


def drill(design: Design, board: str | None, arrangement: str | None, placement: str, *, drill: bool) -> Edit:
    """Drill a position, or keep it on the plan and leave it undrilled."""
    _, _, old = located(design, board, arrangement, placement)
    summary = f"Set {name_of(old)} to be drilled" if drill else f"Set {name_of(old)} not to be drilled"
    return Edit(with_placement(design, board, arrangement, placement, drill=drill), summary, placement)


def set_part(
    design: Design, board: str | None, arrangement: str | None, placement: str, part: str, catalogue: Catalogue
) -> Edit:
    """Use another part at a placement; what was cut below for another fixing than the new part's is taken away."""
    _, _, old = located(design, board, arrangement, placement)
    parts = design_parts(design, catalogue)
    found = known_part(design, part, catalogue)
    before = parts.get(old.part)
    keeps = before is not None and before.fixing == found.fixing
    cut = {"counterbore": old.counterbore, "recess": old.recess}
    kept = cut if keeps else dict.fromkeys(cut)
    new = with_placement(design, board, arrangement, placement, part=found.id, **kept)
    gone = " and ".join(what for what, was in cut.items() if was and not keeps)
    also = f" and deleted its {gone}" if gone else ""
    return Edit(new, f"Made {name_of(old)} a {found.name}{also}", placement)


def set_counterbore(
    design: Design, board: str | None, arrangement: str | None, placement: str, diameter: float, depth: float
) -> Edit:
    """Counterbore a placement from the underside: diameter up to 200 mm, depth up to 100 mm.

    Raises:
        EditError: a number is out of range.
    """
    _, _, old = located(design, board, arrangement, placement)
    _refuse_pattern(design, old, "counterbore")
    bore = CounterboreEntry(
        diameter=number(diameter, "The counterbore's diameter", "diameter", 0, 200, above=True),
        depth=number(depth, "The counterbore's depth", "depth", 0, 100, above=True),
    )
    size = f"{shown(bore.diameter, design.units)} wide, {shown(bore.depth, design.units)} deep"
    new = with_placement(design, board, arrangement, placement, counterbore=bore)
    return Edit(new, f"Counterbored {name_of(old)} {size}", placement)


def set_recess(
    design: Design, board: str | None, arrangement: str | None, placement: str, size: tuple[float, float, float, float]
) -> Edit:
    """Rout a recess from the underside about a placement: width, height, corner radius and depth [mm].

    Raises:
        EditError: a number is out of range.
    """
    _, _, old = located(design, board, arrangement, placement)
    _refuse_pattern(design, old, "recess")
    width, height, corner, depth = size
    recess = RecessEntry(
        width=number(width, "The recess's width", "width", 0, 1000, above=True),
        height=number(height, "The recess's height", "height", 0, 1000, above=True),
        corner=number(corner, "The recess's corner radius", "corner", 0, min(width, height) / 2),
        depth=number(depth, "The recess's depth", "depth", 0, 100, above=True),
    )
    new = with_placement(design, board, arrangement, placement, recess=recess)
    return Edit(new, f"Recessed {name_of(old)} {shown(recess.depth, design.units)} deep", placement)


def clear_recess(design: Design, board: str | None, arrangement: str | None, placement: str) -> Edit:
    """Take a placement's recess away."""
    _, _, old = located(design, board, arrangement, placement)
    new = with_placement(design, board, arrangement, placement, recess=None)
    return Edit(new, f"Deleted the recess of {name_of(old)}", placement)


def clear_counterbore(design: Design, board: str | None, arrangement: str | None, placement: str) -> Edit:
    """Take a placement's counterbore away."""
    _, _, old = located(design, board, arrangement, placement)
    new = with_placement(design, board, arrangement, placement, counterbore=None)
    return Edit(new, f"Deleted the counterbore of {name_of(old)}", placement)


def _added(
    design: Design, board_id: str | None, arrangement_id: str | None, entry: PlacementEntry, said: Callable[[str], str]
) -> Edit:
    board = find_board(design, board_id)
    within = find_arrangement(board, arrangement_id)
    if len(within.placements) >= PARTS.most:
        raise EditError(
            f"An arrangement has up to {PARTS.most} parts, and this one is full. Delete some first.", "part"
        )
    label = next_letter(taken_letters(board))
    changes: dict[str, Any] = {"id": free_id(label.lower(), {p.id for p in within.placements}), "label": label}
    new = entry.model_copy(update=changes)

    def change(old: ArrangementEntry) -> ArrangementEntry:
        return old.model_copy(update={"placements": (*old.placements, new)})

    return Edit(with_arrangement(design, board_id, arrangement_id, change), said(label), new.id)


def _refuse_pattern(design: Design, placed: PlacementEntry, cut: str) -> None:
    """Nothing is cut from below about a pattern, which has no one hole that it would be about."""
    if any(pattern.id == placed.part for pattern in design.patterns):
        raise EditError(f"{name_of(placed)} is a pattern of holes, which has no {cut}. Choose a part.", "part")


def _retired(arrangement: ArrangementEntry, label: str) -> ArrangementEntry:
    if not label or label in arrangement.retired:
        return arrangement
    return arrangement.model_copy(update={"retired": (*arrangement.retired, label)})


def shift_words(dx: float, dy: float, units: str) -> str:
    """``12 mm right, 3 mm back`` for a shift [mm] in display units; what is too little to show is left out."""
    across = f"{shown(abs(dx), units)} {'right' if dx > 0 else 'left'}" if shown(dx, units) != shown(0, units) else ""
    along = f"{shown(abs(dy), units)} {'back' if dy > 0 else 'forward'}" if shown(dy, units) != shown(0, units) else ""
    return ", ".join(text for text in (across, along) if text) or "a hair"
