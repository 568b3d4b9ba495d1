"""Edits of several placements in one step: locked ones stay where they are, and the others say what was done.

All lengths in mm, angles in degrees anticlockwise. Every function raises NotFoundError for a board, arrangement,
placement or part that is not there, and EditError, beside its form field, for what cannot be done.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import Any, Final

from msgspec import Struct

from app.arrange.change import Edit, find_placement, name_of, number, shown, with_arrangement
from app.arrange.held import drilled_words
from app.arrange.letters import free_id, next_letter, taken_letters
from app.arrange.placement.edit import set_part
from app.arrange.placement.free_position import APART, is_inside, radius_of
from app.catalogue.load import Catalogue
from app.document.as_built import begun
from app.document.resolve import design_parts, find_arrangement, find_board
from app.document.schema import ArrangementEntry, BoardEntry, Design, PlacementEntry
from app.errors import EditError
from app.geometry.shapes import Point, rotate
from app.model.limits import PARTS
from app.units import LONGEST

_NAMED: Final = 6
"""Parts named one by one in a summary; of more the number is given."""


class Chosen(Struct, frozen=True):
    """Placements chosen together.

    Args:
        board, within: where they stand.
        all: every one, in the order it was chosen.
        free: those that are not locked.
    """

    board: BoardEntry
    within: ArrangementEntry
    all: tuple[PlacementEntry, ...]
    free: tuple[PlacementEntry, ...]

    @property
    def names(self) -> str:
        """``A, B and C`` of what may be changed."""
        return names_of(self.free)


def chosen(
    design: Design,
    board: str | None,
    arrangement: str | None,
    ids: Sequence[str],
    what: str,
    *,
    least: int = 2,
    moving: bool = True,
) -> Chosen:
    """The placements of those ids.

    Args:
        design: the design.
        board: where they stand; None for the deck.
        arrangement: where they stand; None for the board's first.
        ids: which.
        what: what is to be done with them, as ``align them``.
        least: how many it takes.
        moving: whether locked ones are in the way of it.

    Raises:
        EditError: there are too few, or all of them are locked and they would move.
    """
    holder = find_board(design, board)
    within = find_arrangement(holder, arrangement)
    found = tuple(find_placement(within, each) for each in dict.fromkeys(ids))
    if len(found) < least:
        more = "a part" if least == 1 else f"{least} parts or more"
        raise EditError(f"It takes {more} to {what}; {len(found) or 'none'} selected. Select more.", "how")
    free = tuple(p for p in found if not p.locked)
    if moving and not free:
        made = {p.id for p in found} <= begun(holder, within)
        why = "drilled, so it stays where it is. Select others" if made else "locked. Unlock a part"
        raise EditError(f"Everything selected is {why} to {what}.", "how")
    return Chosen(holder, within, found, free)


def names_of(placements: Sequence[PlacementEntry]) -> str:
    """``A``, ``A and B``, ``A, B and C``, ``9 parts``: what a summary calls them."""
    names = [name_of(p) for p in placements]
    if len(names) > _NAMED:
        return f"{len(names)} parts"
    return " and ".join([", ".join(names[:-1]), names[-1]]) if len(names) > 1 else "".join(names)


def changed(
    design: Design, board: str | None, arrangement: str | None, changes: Mapping[str, Mapping[str, Any]], said: str
) -> Edit:
    """The design with fields of several placements changed, by id.

    Raises:
        EditError: one would be where no number is allowed.
    """
    for fields in changes.values():
        for field in fields.keys() & {"x", "y"}:
            number(fields[field], "The distance from the datum edge", field)

    def change(within: ArrangementEntry) -> ArrangementEntry:
        rows = (p.model_copy(update=dict(changes[p.id])) if p.id in changes else p for p in within.placements)
        return within.model_copy(update={"placements": tuple(rows)})

    return Edit(with_arrangement(design, board, arrangement, change), said)


def added_copies(
    design: Design, board: str | None, arrangement: str | None, copies: Sequence[PlacementEntry], said: str
) -> Edit:
    """The design with further placements, each under the next letter that never stood on the board.

    Returns:
        The edit; its ``several`` are the ids of the new ones. ``{}`` in ``said`` becomes their letters.

    Raises:
        EditError: the arrangement would be too full, or one would be where no number is allowed.
    """
    holder = find_board(design, board)
    within = find_arrangement(holder, arrangement)
    if len(within.placements) + len(copies) > PARTS.most:
        raise EditError(f"An arrangement has up to {PARTS.most} parts. Delete some first.", "how")
    letters, ids = set(taken_letters(holder)), {p.id for p in within.placements}
    new: list[PlacementEntry] = []
    for copy in copies:
        for value in (copy.x, copy.y):
            number(value, "The distance from the datum edge", "how")
        label = next_letter(letters)
        ident = free_id(label.lower(), ids)
        letters.add(label)
        ids.add(ident)
        new.append(copy.model_copy(update={"id": ident, "label": label, "locked": False}))

    def change(old: ArrangementEntry) -> ArrangementEntry:
        return old.model_copy(update={"placements": (*old.placements, *new)})

    after = with_arrangement(design, board, arrangement, change)
    return Edit(after, said.replace("{}", names_of(new)), several=tuple(p.id for p in new))


def shift(design: Design, board: str | None, arrangement: str | None, ids: Sequence[str], dx: float, dy: float) -> Edit:
    """Move placements by ``(dx, dy)`` [mm]; they keep their distances."""
    found = chosen(design, board, arrangement, ids, "move it", least=1)
    dx, dy = number(dx, "The shift to the right", "dx"), number(dy, "The shift to the back", "dy")
    units = design.units
    across = f"{shown(abs(dx), units)} {'right' if dx > 0 else 'left'}" if dx else ""
    along = f"{shown(abs(dy), units)} {'back' if dy > 0 else 'forward'}" if dy else ""
    way = ", ".join(text for text in (across, along) if text) or "not at all"
    places = {p.id: {"x": p.x + dx, "y": p.y + dy} for p in found.free}
    return changed(design, board, arrangement, places, f"Moved {found.names} {way}")


def turn(
    design: Design, board: str | None, arrangement: str | None, ids: Sequence[str], by: float, *, together: bool = False
) -> Edit:
    """Turn placements by ``by`` degrees, each about its own middle, or ``together`` about the middle of them all."""
    found = chosen(design, board, arrangement, ids, "turn it", least=1)
    by = number(by, "The angle", "by", -360, 360)
    middle = centre_of(found.free)
    rows = {}
    for p in found.free:
        fields: dict[str, float] = {"angle": plain_angle(p.angle + by)}
        if together:
            x, y = rotate((p.x - middle[0], p.y - middle[1]), by)
            fields |= {"x": tidy(middle[0] + x), "y": tidy(middle[1] + y)}
        rows[p.id] = fields
    how = " together" if together and len(rows) > 1 else ""
    way = "anticlockwise" if by >= 0 else "clockwise"
    return changed(design, board, arrangement, rows, f"Turned {found.names}{how} by {abs(round(by, 2)):g}° {way}")


def set_angles(design: Design, board: str | None, arrangement: str | None, ids: Sequence[str], angle: float) -> Edit:
    """Turn placements to the same angle [degrees, −360 to 360]."""
    found = chosen(design, board, arrangement, ids, "turn it", least=1)
    angle = number(angle, "The angle", "angle", -360, 360)
    rows = {p.id: {"angle": angle} for p in found.free}
    return changed(design, board, arrangement, rows, f"Turned {found.names} to {round(angle, 2) + 0.0:g}°")


def set_parts(
    design: Design, board: str | None, arrangement: str | None, ids: Sequence[str], part: str, catalogue: Catalogue
) -> Edit:
    """Use another part at placements; what was cut below for another fixing is taken away."""
    found = chosen(design, board, arrangement, ids, "use another part", least=1, moving=False)
    for p in found.all:
        design = set_part(design, board, arrangement, p.id, part, catalogue).design
    name = design_parts(design, catalogue)[part].name
    return Edit(design, f"Made {names_of(found.all)} each a {name}")


def lock(design: Design, board: str | None, arrangement: str | None, ids: Sequence[str], *, locked: bool) -> Edit:
    """Lock placements where they are, or let them go.

    Raises:
        EditError: what is to be let go is drilled, all of it.
    """
    holder = find_board(design, board)
    within = find_arrangement(holder, arrangement)
    found = [find_placement(within, each) for each in ids]
    stay = begun(holder, within)
    if not locked and found and all(p.id in stay for p in found):
        raise EditError(drilled_words(names_of(found), several=len(found) > 1), "lock")
    rows = {p.id: {"locked": locked} for p in found}
    return changed(design, board, arrangement, rows, f"{'Locked' if locked else 'Unlocked'} {names_of(found)}")


def duplicate_all(
    design: Design, board: str | None, arrangement: str | None, ids: Sequence[str], catalogue: Catalogue, grid: float
) -> Edit:
    """Place a second one of each, all together, beside the first ones: as near as circles round the parts clear.

    The copies keep their distances from each other, belong to no station and are not locked.
    """
    found = chosen(design, board, arrangement, ids, "duplicate it", least=1, moving=False)
    parts = design_parts(design, catalogue)
    discs = [(p.x, p.y, radius_of(p, parts)) for p in found.all]
    others = [(p.x, p.y, radius_of(p, parts)) for p in found.within.placements]
    dx, dy = _clear_shift(found.board, discs, others, grid)
    loose = {"station": "", "maker": None}
    copies = [p.model_copy(update={"x": tidy(p.x + dx), "y": tidy(p.y + dy), **loose}) for p in found.all]
    return added_copies(design, board, arrangement, copies, f"Duplicated {names_of(found.all)} as {{}}")


def _clear_shift(
    board: BoardEntry,
    discs: Sequence[tuple[float, float, float]],
    others: Sequence[tuple[float, float, float]],
    grid: float,
) -> Point:
    """The shortest shift along x or y at which discs are on the board and clear the others; else their own width."""
    wide = max(x + r for x, _, r in discs) - min(x - r for x, _, r in discs) + APART
    deep = max(y + r for _, y, r in discs) - min(y - r for _, y, r in discs) + APART
    step = max(grid, 1.0)
    far = range(1, math.ceil(4 * max(wide, deep) / step) + 1)
    ways = ((1, 0), (-1, 0), (0, 1), (0, -1))
    for n in far:
        for ux, uy in ways:
            dx, dy = ux * n * step, uy * n * step
            moved = [(x + dx, y + dy, r) for x, y, r in discs]
            if all(is_inside(board, (x, y), r) for x, y, r in moved) and all(
                math.hypot(x - a, y - b) >= r + s + APART for x, y, r in moved for a, b, s in others
            ):
                return (dx, dy)
    return (math.ceil(wide / step) * step, 0.0)


def centre_of(placements: Sequence[PlacementEntry]) -> Point:
    """The middle between the outermost centres [mm]."""
    xs, ys = [p.x for p in placements], [p.y for p in placements]
    return ((min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2)


def plain_angle(angle: float) -> float:
    """The same turning from above −180 to 180 [degrees]."""
    plain = tidy(angle) % 360.0
    return plain - 360.0 if plain > 180.0 else plain


def tidy(value: float) -> float:
    """Without what is left of binary arithmetic [mm or degrees]: to a millionth."""
    value = round(value, 6) + 0.0
    return min(max(value, -LONGEST), LONGEST) if abs(value) <= LONGEST + 1e-6 else value
