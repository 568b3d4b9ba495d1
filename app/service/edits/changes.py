"""What can be changed on a board, as functions from a design to an edit.

The store applies one inside a transaction, on the newest revision, so nothing here may depend on an older one.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence

from app.arrange.change import Edit, known_part, located, name_of
from app.arrange.design import settings
from app.arrange.design.apply_fix import apply_fix
from app.arrange.placement import edit
from app.catalogue.load import catalogue
from app.document.resolve import resolve
from app.document.schema import Design
from app.document.where import Where
from app.drafting.facing import facing
from app.errors import EditError
from app.model.fix import CounterboreAt
from app.model.part import Face
from app.service.edits.landing import landed, snapped
from app.service.edits.new_part_position import clear_position, free_position
from app.units import INCH, Unit

DesignChange = Callable[[Design], Edit]

GRID_MM = 1.0
"""Places a part snaps to on a metric screen [mm]."""

GRID_INCH = INCH / 16
"""Places a part snaps to on an inch screen [mm]."""


def on_board(face: Face, dx: float, dy: float) -> tuple[float, float]:
    """A shift on the board for one on a drawing of ``face`` [mm]: the underside is drawn mirrored."""
    return (-dx if face == "under" else dx, dy)


def grid_of(unit: Unit) -> float:
    """The grid of a screen in ``unit`` [mm]."""
    return GRID_INCH if unit is Unit.INCH else GRID_MM


def moved(
    where: Where,
    placements: Sequence[str],
    dx: float,
    dy: float,
    grid: float,
    seen: Design | None = None,
) -> DesignChange:
    """Move placements together by ``(dx, dy)`` [mm]; the first lands at a place that draws it, or on the grid.

    The others keep their distance; locked ones stay. ``seen`` is the design as it was on screen: a single part
    that lies elsewhere by now still lands where it was let go.
    """

    def change(design: Design) -> Edit:
        _, _, held = located(design, where.board, where.arrangement, placements[0])
        board = resolve(design, where.board, where.arrangement, catalogue())
        shift = (dx, dy)
        if seen is not None and len(placements) == 1:
            _, _, taken_up = located(seen, where.board, where.arrangement, held.id)
            shift = (taken_up.x - held.x + dx, taken_up.y - held.y + dy)
        x, y = landed(board, placements, *shift, grid)
        first = edit.move(design, where.board, where.arrangement, held.id, x, y)
        if len(placements) == 1:
            return first
        after = first.design
        rest = [located(design, where.board, where.arrangement, other)[2] for other in placements[1:]]
        for other in (p.id for p in rest if not p.locked):
            after = edit.move_by(after, where.board, where.arrangement, other, x - held.x, y - held.y).design
        return Edit(after, f"{first.summary} with {sum(not p.locked for p in rest)} more", held.id)

    return change


def placed(
    where: Where,
    placement: str,
    *,
    x: float | None = None,
    y: float | None = None,
    angle: float | None = None,
    label: str | None = None,
) -> DesignChange:
    """Place [mm], turn [degrees] and label a placement as typed, in one step; None leaves a value exactly as it is."""

    def change(design: Design) -> Edit:
        _, _, old = located(design, where.board, where.arrangement, placement)
        to = (old.x if x is None else x, old.y if y is None else y)
        after, said = design, list[str]()
        if to != (old.x, old.y):
            done = edit.move(after, where.board, where.arrangement, placement, *to)
            after, said = done.design, [*said, done.summary]
        if angle is not None and angle != old.angle:
            done = edit.set_angle(after, where.board, where.arrangement, placement, angle)
            after, said = done.design, [*said, done.summary]
        if label is not None and label.strip() != old.label:
            done = edit.set_label(after, where.board, where.arrangement, placement, label)
            after, said = done.design, [*said, done.summary]
        return Edit(after, "; ".join(said) or f"Left {name_of(old)} as it was", placement)

    return change


def added(where: Where, part: str, at: tuple[float, float] | None, face: Face, grid: float) -> DesignChange:
    """Add a part where it was dropped on a drawing of ``face`` [mm], or where there is room if ``at`` is None."""

    def change(design: Design) -> Edit:
        found = known_part(design, part, catalogue())
        board = resolve(design, where.board, where.arrangement, catalogue())
        x, y = free_position(board, found) if at is None else (facing(board, face).x(at[0]), at[1])
        return edit.add(
            design, where.board, where.arrangement, found.id, snapped(x, grid), snapped(y, grid), catalogue()
        )

    return change


def duplicated(where: Where, placement: str, grid: float = 0.0) -> DesignChange:
    """Place a second one of the same part as near to the first as it clears; beside it where it clears nowhere."""

    def change(design: Design) -> Edit:
        done = edit.duplicate(design, where.board, where.arrangement, placement, catalogue())
        board = resolve(done.design, where.board, where.arrangement, catalogue())
        first, copy = board.placed(placement), board.placed(done.placement)
        if first is None or copy is None:
            return done
        position = clear_position(board, copy, first, lambda v: snapped(v, grid))
        if position is None or position == (copy.x, copy.y):
            return done
        there = edit.move(done.design, where.board, where.arrangement, copy.id, *position)
        return Edit(there.design, done.summary, copy.id)

    return change


def removed(where: Where, placements: Sequence[str]) -> DesignChange:
    """Remove placements in one step."""

    def change(design: Design) -> Edit:
        said: list[str] = []
        for placement in placements:
            done = edit.remove(design, where.board, where.arrangement, placement)
            design, said = done.design, [*said, done.summary]
        return Edit(design, said[0] if len(said) == 1 else f"Deleted {len(said)} parts")

    return change


def drilled(where: Where, placements: Sequence[str], *, drill: bool) -> DesignChange:
    """Switch positions on or off in one step."""

    def change(design: Design) -> Edit:
        said: list[str] = []
        for placement in placements:
            done = edit.drill(design, where.board, where.arrangement, placement, drill=drill)
            design, said = done.design, [*said, done.summary]
        many = f"Set {len(said)} positions {'to be drilled' if drill else 'not to be drilled'}"
        return Edit(design, said[0] if len(said) == 1 else many, placements[0] if len(placements) == 1 else "")

    return change


def part_set(where: Where, placement: str, part: str) -> DesignChange:
    """Use another part at a placement."""
    return lambda design: edit.set_part(design, where.board, where.arrangement, placement, part, catalogue())


def counterbore_set(
    where: Where, placement: str, diameter: float | None = None, depth: float | None = None
) -> DesignChange:
    """Counterbore a placement from the underside [mm]; None keeps what there is exactly."""

    def change(design: Design) -> Edit:
        _, _, held = located(design, where.board, where.arrangement, placement)
        kept = (held.counterbore.diameter, held.counterbore.depth) if held.counterbore else _NO_SIZE
        size = [old if new is None else new for old, new in zip(kept, (diameter, depth), strict=False)]
        return edit.set_counterbore(design, where.board, where.arrangement, placement, size[0], size[1])

    return change


def recess_set(where: Where, placement: str, size: Sequence[float | None]) -> DesignChange:
    """Rout a recess about a placement: width, height, corner radius, depth [mm]; None keeps what there is exactly."""

    def change(design: Design) -> Edit:
        _, _, held = located(design, where.board, where.arrangement, placement)
        old = held.recess
        kept = (old.width, old.height, old.corner, old.depth) if old else _NO_SIZE
        width, height, corner, depth = (o if n is None else n for o, n in zip(kept, size, strict=True))
        return edit.set_recess(design, where.board, where.arrangement, placement, (width, height, corner, depth))

    return change


_NO_SIZE = (0.0, 0.0, 0.0, 0.0)


def recess_cleared(where: Where, placement: str) -> DesignChange:
    """Take a placement's recess away."""
    return lambda design: edit.clear_recess(design, where.board, where.arrangement, placement)


def counterbore_set_in_all(where: Where, placements: tuple[str, ...], diameter: float, depth: float) -> DesignChange:
    """Counterbore several placements alike, in one step."""
    bores = CounterboreAt(placements, diameter, depth)
    return lambda design: apply_fix(design, where.board, where.arrangement, bores, catalogue())


def counterbore_cleared(where: Where, placement: str) -> DesignChange:
    """Take a placement's counterbore away."""
    return lambda design: edit.clear_counterbore(design, where.board, where.arrangement, placement)


def beside_fields(change: DesignChange, names: Mapping[str, str]) -> DesignChange:
    """The change, with what is wrong told beside the field of the form: its name there for the edit's own."""

    def named(design: Design) -> Edit:
        try:
            return change(design)
        except EditError as error:
            raise EditError(str(error), names.get(error.field, error.field)) from None

    return named


def title_set(title: str) -> DesignChange:
    """Give the design another title."""
    return lambda design: settings.set_title(design, title)
