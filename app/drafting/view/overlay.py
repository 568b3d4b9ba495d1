"""Two states of a board over each other: the older one dashed in grey, the newer one in teal, moves as arrows."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from app.drafting.facing import facing
from app.drafting.forms import outline_path, shape_item
from app.drafting.hardware.part_letters import LETTER, letter, letter_below, rim_radius, seen_shapes
from app.drafting.labels.tags import TagSpace, around, tag, tag_size
from app.drafting.view.board_view import view_scale
from app.drafting.view.plan import blank
from app.fit.words.lengths import say
from app.model.resolved import Placed, ResolvedBoard
from app.scene.palette import LIGHT, TEXT, TEXT_LIGHT, TEXT_MUTED
from app.scene.primitives import Group, Item, Line, LineTo, Path, Scene, Style
from app.units import Unit

_WAS = Style(stroke=LIGHT["muted"], width=0.6, dash=(2.4, 1.6), role="was")
_IS = Style(stroke=LIGHT["teal"], width=0.9, fill=LIGHT["teal-pale"], role="is")
_KEPT = Style(stroke=LIGHT["field"], width=0.35, fill=LIGHT["hole"], role="kept")
_SHAFT = Style(stroke=LIGHT["teal-deep"], width=0.8, role="arrow")
_HEAD = Style(stroke=None, fill=LIGHT["teal-deep"], role="arrow-head")
_TAG = Style(stroke=None, fill=LIGHT["teal-deep"], role="tag-move")
_STILL = 1e-6  # mm
_CROWDED = 60.0
"""A figure that would cover more than this is left to the table; what covers are, :class:`TagSpace` says."""
_TOLD_APART = 600
"""Of more holes than this what lies round them all is drawn."""


def overlay_scene(before: ResolvedBoard | None, after: ResolvedBoard | None, *, unit: Unit, size: float = 0.0) -> Scene:
    """The top face of a board as it was and as it is; one of them alone if the board is new or gone.

    Groups ``board``, ``was``, ``is`` and ``moves``. What is the same in both is thin and grey. Letters and thin details
    are ``size`` times their nominal size; 0 for what a screen is filled with.
    """
    ground = after or before
    if ground is None:
        raise ValueError("neither state of the board is given")
    scale, view = size or view_scale(ground), facing(ground, "top")
    old = {p.id: p for p in before.placements} if before else {}
    new = {p.id: p for p in after.placements} if after else {}
    items: list[Item] = [Group(blank(ground, view, scale), name="board")]
    was: list[Item] = []
    if before is not None and (after is None or before.outline != after.outline):
        was.append(outline_path(before.outline, _WAS))
    if before is not None and (after is None or before.openings != after.openings):
        was += [outline_path(opening, _WAS) for opening in before.openings]
    same = [p for p in new.values() if p.id in old and is_as_it_was(old[p.id], p)]
    other = [p for p in new.values() if p.id not in old or not is_as_it_was(old[p.id], p)]
    left = [p for p in old.values() if p.id not in new or not is_as_it_was(p, new[p.id])]
    was += [shape_item(shape, _WAS) for p in left for shape in seen_shapes(p, _TOLD_APART)]
    now: list[Item] = [item for p in same for item in _part(p, _KEPT, TEXT_MUTED, scale)]
    now += [item for p in other for item in _part(p, _IS, TEXT, scale)]
    gone = [item for p in left if p.id not in new for item in _gone_letter(p, list(new.values()), scale)]
    moves = [(old[p.id], p) for p in other if p.id in old and _far(old[p.id], p) > _STILL]
    items += [Group(tuple(now), name="is"), Group((*was, *gone), name="was")]
    items.append(Group(tuple(_moves(ground, moves, unit, scale)), name="moves"))
    return _framed(ground, before, items, scale)


def is_as_it_was(before: Placed, after: Placed) -> bool:
    """Whether a part is where it was, turned as it was, and what is cut for it is the same."""
    return (
        _far(before, after) <= _STILL
        and before.angle == after.angle
        and before.part == after.part
        and before.drill == after.drill
        and before.holes == after.holes
        and before.counterbore == after.counterbore
        and before.recess == after.recess
    )


def _framed(ground: ResolvedBoard, before: ResolvedBoard | None, items: Sequence[Item], scale: float) -> Scene:
    boxes = [board.outline.bounds for board in (ground, before) if board is not None]
    rims = [(p.x, p.y, rim_radius(p)) for board in (ground, before) if board for p in board.placements]
    boxes += [(x - r, y - r, x + r, y + r) for x, y, r in rims]
    edge = 9.0 * scale
    return Scene(
        min(b[0] for b in boxes) - edge,
        min(b[1] for b in boxes) - edge,
        max(b[2] for b in boxes) + edge,
        max(b[3] for b in boxes) + edge,
        tuple(items),
        title=f"{ground.title}: {ground.name}, what changed",
        note="top face, drawn in mm",
    )


def _part(placed: Placed, style: Style, ink: Style, scale: float) -> Iterator[Item]:
    """What is seen of a part from above, and its letter; one that is not drilled is only dashed."""
    drawn = style if placed.drill else Style(style.stroke, style.width, (2.0, 1.4), None, 1.0, style.role)
    yield from (shape_item(shape, drawn) for shape in seen_shapes(placed, _TOLD_APART))
    yield from _letter(placed, ink, scale)


def _letter(placed: Placed, ink: Style, scale: float) -> Iterator[Item]:
    yield from letter((placed.x, placed.y), placed.label, LETTER * scale, 1.5 * rim_radius(placed), ink)


def _gone_letter(placed: Placed, now: Sequence[Placed], scale: float) -> Iterator[Item]:
    """The letter of a part that is gone; below where it was, if another part is there now."""
    rim = rim_radius(placed)
    if any(_far(placed, other) < rim + rim_radius(other) for other in now):
        yield from letter(letter_below(placed, scale), placed.label, 0.75 * LETTER * scale, 40.0, TEXT_MUTED)
    else:
        yield from _letter(placed, TEXT_MUTED, scale)


def _moves(board: ResolvedBoard, moves: Sequence[tuple[Placed, Placed]], unit: Unit, scale: float) -> Iterator[Item]:
    """An arrow from where each part was to where it is, and how far that is."""
    discs = [(p.x, p.y, rim_radius(p)) for p in board.placements]
    x0, y0, x1, y1 = board.outline.bounds
    letters = [(x - r / 2, y - r / 2, x + r / 2, y + r / 2) for x, y, r in discs]
    frame = (x0 - 4 * scale, y0 - 4 * scale, x1 + 4 * scale, y1 + 8 * scale)
    taken = TagSpace(frame, discs, soft=letters, soft_cost=_CROWDED)
    size = 5.6 * scale
    for before, after in moves:
        yield from _arrow((before.x, before.y), (after.x, after.y), rim_radius(after), scale)
    for before, after in moves[:1] if _alike(moves) else moves:
        words = say(_far(before, after), unit)
        places = around((after.x, after.y), rim_radius(after) + 2.0 * scale, tag_size(words, size))
        if taken.costs(places).min() < _CROWDED:
            yield from tag(taken.best(places), words, size, _TAG, TEXT_LIGHT)


def _alike(moves: Sequence[tuple[Placed, Placed]]) -> bool:
    """Whether all moved as far and the same way: then one figure says it."""
    ways = [(after.x - before.x, after.y - before.y) for before, after in moves]
    return len(ways) > 1 and all(math.dist(way, ways[0]) <= _STILL for way in ways)


def has_bare_arrows(scene: Scene) -> bool:
    """Whether some of the arrows bear no figure, since there was no room for one."""
    moves = next(g for g in scene.items if isinstance(g, Group) and g.name == "moves")
    roles = [item.style.role for item in moves.items if isinstance(item, Line | Path)]
    return roles.count(_TAG.role) < roles.count(_SHAFT.role)


def _arrow(was: tuple[float, float], now: tuple[float, float], rim: float, scale: float) -> Iterator[Item]:
    """From the old centre to the rim of the new one; where that is too near, from beyond its far side."""
    far = math.dist(was, now)
    u = ((now[0] - was[0]) / far, (now[1] - was[1]) / far)
    head = 3.2 * scale
    start, tip = (0.0, far - rim) if far - rim > 2.0 * head else (far - rim - 9.0 * scale, far - rim)

    def along(by: float, aside: float = 0.0) -> tuple[float, float]:
        return (was[0] + u[0] * by - u[1] * aside, was[1] + u[1] * by + u[0] * aside)

    yield Line(along(start), along(tip - head), _SHAFT)
    wings = (LineTo(along(tip - head, 0.45 * head)), LineTo(along(tip - head, -0.45 * head)))
    yield Path(along(tip), wings, _HEAD, closed=True)


def _far(before: Placed, after: Placed) -> float:
    return math.hypot(after.x - before.x, after.y - before.y)
