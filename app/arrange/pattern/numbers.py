"""Numbers of holes that stay, where a pattern in the outline of its board gains and loses holes with it."""

from __future__ import annotations

from app.arrange.change import name_of
from app.document.board_patterns import follows, pattern_on, patterns_on
from app.document.pattern_schema import PatternEntry
from app.document.resolve import placements_in
from app.document.schema import Design
from app.errors import EditError, GeometryError, ModelError
from app.model.limits import NUMBERS, PATTERN_HOLES
from app.model.pattern import Cell, Pattern


def with_numbers_kept(before: Design, after: Design) -> Design:
    """The design after an edit, holes of patterns in the outline of a board under the numbers that they had.

    Wherever such a pattern is placed a hole has one number, so what is written down is of all its places.

    Raises:
        EditError: such a pattern has no hole left, or more than anybody drills.
    """
    had = {entry.id: entry for entry in before.patterns}
    moving = {p.id for p in after.patterns if follows(p) or (p.id in had and follows(had[p.id]))}
    if not moving:
        return after
    check_following(after)
    rows = tuple(_kept(before, had[p.id], after, p) if p.id in moving and p.id in had else p for p in after.patterns)
    return after if rows == after.patterns else after.model_copy(update={"patterns": rows})


def check_following(design: Design) -> None:
    """Refuse a design in which a pattern in the outline of a board has no hole, or more than anybody drills.

    Raises:
        EditError: which, and what to do.
    """
    following = {p.id: p for p in design.patterns if follows(p)}
    for board in design.boards:
        for at in placements_in(board):
            if at.part not in following:
                continue
            who = f"The pattern {name_of(at)} follows the outline of {board.name}"
            try:
                many = len(pattern_on(following[at.part], board, at).holes)
            except (GeometryError, ModelError) as error:
                raise EditError(f"{who}. {error}") from None
            if not many:
                raise EditError(f"{who}, and no hole would fit in. Make its holes smaller, or leave more room.")
            if many > PATTERN_HOLES.most:
                raise EditError(f"{who}. {PATTERN_HOLES.said(many)}")


def _kept(before: Design, old: PatternEntry, after: Design, new: PatternEntry) -> PatternEntry:
    return numbered(new, list(patterns_on(after, new)), old, list(patterns_on(before, old)))


def numbered(new: PatternEntry, now: list[Pattern], old: PatternEntry, was: list[Pattern]) -> PatternEntry:
    """A pattern with the numbers that its holes had.

    Args:
        new: as it is now.
        now: the same wherever it is placed.
        old: as it was.
        was: the same wherever it was placed.
    """
    if was == now:
        return new
    same = was and old.order == new.order and old.middle == new.middle
    listed = _listed(was, old.numbers) if same else []
    plain = [_plain(pattern) for pattern in now]
    if not (same and old.numbers) and _agree(listed, plain):
        return new.model_copy(update={"numbers": ()})
    known = set(listed)
    for pattern in plain:
        listed += [cell for cell in pattern.holes.cells_listed if cell not in known]
        known.update(pattern.holes.cells_listed)
    return new.model_copy(update={"numbers": tuple(listed) if len(listed) <= NUMBERS.most else ()})


def _plain(pattern: Pattern) -> Pattern:
    """The same, counted from the middle outwards."""
    return Pattern(pattern.lattice, pattern.hole, pattern.length, pattern.boundary, pattern.inset, (), pattern.follows)


def _listed(patterns: list[Pattern], numbers: tuple[Cell, ...]) -> list[Cell]:
    """Cells in the order of the numbers that they have in some patterns; the first of these counts."""
    found = list(numbers)
    known = set(found)
    for pattern in patterns:
        found += [cell for cell in pattern.holes.cells_listed if cell not in known]
        known.update(pattern.holes.cells_listed)
    return found


def _agree(listed: list[Cell], plain: list[Pattern]) -> bool:
    """Whether holes counted from the middle outwards have the numbers listed, and the same in every place."""
    number = {cell: k for k, cell in enumerate(listed, 1)}
    cell_of = dict(enumerate(listed, 1))
    for pattern in plain:
        for k, cell in pattern.holes.by_number.items():
            if number.setdefault(cell, k) != k or cell_of.setdefault(k, cell) != cell:
                return False
    return True
