"""What became of the parts of an arrangement."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from functools import partial

from msgspec import Struct

from app.compare.change import Change, ChangeKind, sorted_by, was_and_is
from app.compare.difference import Difference
from app.drafting.words import bore_size, hole_size, pattern_words, recess_size
from app.fit.words.lengths import say, side_words
from app.model.resolved import Placed, ResolvedBoard
from app.units import Unit, format_exact
from app.values import replace

_MOVE = 1e-6  # mm
_TOGETHER = 3  # parts that all moved alike, at least, are told as one
_SAME_SIZE = 5e-3  # mm

_FIELDS = {
    "station": "belongs to another station",
    "maker": "belongs to another maker",
}
_SAID_BY_ITSELF = frozenset({"x", "y", "angle", "part", "label", "drill", "locked", "counterbore", "recess", "legend"})


class Population(Struct, frozen=True):
    """An arrangement of a board in both designs.

    Args:
        before, after: the board with it.
        differences: of its placements; the path of each begins with ``depth`` steps to their list.
        depth: so many.
        unit: to say lengths in.
        base: a change that says where it is.
    """

    before: ResolvedBoard
    after: ResolvedBoard
    differences: Sequence[Difference]
    depth: int
    unit: Unit
    base: Change


def placement_changes(both: Population) -> Iterator[Change]:
    """What became of its parts: those that moved all alike as one, then each in the order of the newer design."""
    by_id = {path[-1]: found for path, found in sorted_by(both.differences, both.depth + 1).items()}
    together = _moved_together(both, by_id)
    if together is not None:
        yield together
    order = [p.id for p in both.after.placements]
    order += [p.id for p in both.before.placements if both.after.placed(p.id) is None]
    for ident in order:
        found = by_id.pop(ident, [])
        before, after = both.before.placed(ident), both.after.placed(ident)
        if before is not None and after is not None:
            yield from _kept(both, before, after, found, moved=together is None)
        elif after is not None:
            words = f"is new: {_described(after, both.unit)}"
            yield _change(both, after, "new", words, after=_described(after, both.unit), covers=tuple(found))
        elif before is not None:
            yield _change(both, before, "gone", "is gone", before=_described(before, both.unit), covers=tuple(found))
    rest = tuple(d for found in by_id.values() for d in found)
    if rest:
        yield replace(both.base, kind="changed", what="The parts", words="stand in another order", covers=rest)


def _moved_together(both: Population, by_id: Mapping[str, Sequence[Difference]]) -> Change | None:
    """The move of all parts that both have, if they all moved alike and there are several."""
    pairs = [(p, both.after.placed(p.id)) for p in both.before.placements]
    kept = [(before, after) for before, after in pairs if after is not None]
    if len(kept) < _TOGETHER:
        return None
    dx, dy = kept[0][1].x - kept[0][0].x, kept[0][1].y - kept[0][0].y
    if math.hypot(dx, dy) < _MOVE:
        return None
    if any(math.hypot(after.x - before.x - dx, after.y - before.y - dy) > _MOVE for before, after in kept):
        return None
    covers = tuple(d for b, _ in kept for d in by_id.get(b.id, ()) if d.path[-1] in ("x", "y"))
    words = f"moved {side_words(dx, dy, both.unit)}"
    ids = tuple(before.id for before, _ in kept)
    return replace(both.base, kind="moved", what="Every part", words=words, dx=dx, dy=dy, covers=covers, placements=ids)


def _kept(
    both: Population, before: Placed, after: Placed, found: Sequence[Difference], *, moved: bool
) -> Iterator[Change]:
    """What is different of a part that both designs have."""
    fields = {path[-1]: tuple(some) for path, some in sorted_by(found, both.depth + 2).items()}
    unit, of, change = both.unit, fields.get, partial(_change, both, before)
    dx, dy = after.x - before.x, after.y - before.y
    if moved and math.hypot(dx, dy) >= _MOVE:
        covers = (*of("x", ()), *of("y", ()))
        yield change("moved", f"moved {side_words(dx, dy, unit)}", _at(before, unit), _at(after, unit), dx, dy, covers)
    if before.angle != after.angle:
        old, new = (f"{format_exact(round(p.angle, 2))}°" for p in (before, after))
        yield change("changed", f"is turned to {new}, was {old}", old, new, covers=of("angle", ()))
    if before.part.id != after.part.id:
        names = _described(before, unit), _described(after, unit)
        yield change("changed", f"is another part now: {names[1]}; it was {names[0]}", *names, covers=of("part", ()))
    else:
        yield from _resized(both, before, after)
    if before.label != after.label:
        yield change("renamed", f"is called {after.label or 'nothing'} now", before.label, after.label,
                     covers=of("label", ()))  # fmt: skip
    if before.drill != after.drill:
        words = "is drilled now" if after.drill else "is left undrilled"
        yield change("changed", words, covers=of("drill", ()))
    if before.locked != after.locked:
        yield change("changed", "is locked" if after.locked else "is unlocked", covers=of("locked", ()))
    for name in ("counterbore", "recess"):
        sizes = _cut_size(both.before, before, name), _cut_size(both.after, after, name)
        if of(name):
            yield change("resized", f"has {_with(name, sizes[1])}, had {sizes[0] or 'none'}", *sizes,
                         covers=of(name, ()))  # fmt: skip
    if of("legend"):
        was, now = _legend(before), _legend(after)
        if was == now:
            yield change("changed", "has its legend set another way", covers=of("legend", ()))
        else:
            words = f"has {now or 'no legend'}, had {was or 'none'}"
            yield change("changed", words, was, now, covers=of("legend", ()))
    for name in sorted(fields.keys() - _SAID_BY_ITSELF):
        words = _FIELDS.get(name, f"has another {name.replace('_', ' ')}")
        yield change("changed", words, covers=fields[name])


def _resized(both: Population, before: Placed, after: Placed) -> Iterator[Change]:
    """A part that is the same by name, but whose holes are drilled in another size, or are more or fewer."""
    many = len(before.holes), len(after.holes)
    if before.part.is_pattern and (many[0] != many[1] or before.part.pattern != after.part.pattern):
        words = _described(before, both.unit), _described(after, both.unit)
        yield _change(both, before, "resized", was_and_is(*words), *words)
        return
    for old, new in zip(before.holes, after.holes, strict=False):
        if old.is_circle and new.is_circle and abs(old.diameter - new.diameter) > _SAME_SIZE:
            sizes = hole_size(old, both.unit), hole_size(new, both.unit)
            if sizes[0] == sizes[1]:
                sizes = say(old.diameter, both.unit), say(new.diameter, both.unit)
            yield _change(both, before, "resized", f"is drilled {sizes[1]}, was {sizes[0]}", *sizes)
            return


def _change(
    both: Population, placed: Placed, kind: ChangeKind, words: str, before: str = "", after: str = "",
    dx: float = 0.0, dy: float = 0.0, covers: tuple[Difference, ...] = (),
) -> Change:  # fmt: skip
    called = placed.label or placed.part.name
    return replace(both.base, kind=kind, what=called, words=words, before=before, after=after, dx=dx, dy=dy,
                   covers=covers, placements=(placed.id,))  # fmt: skip


def _described(placed: Placed, unit: Unit) -> str:
    """What it is and how wide its hole is drilled."""
    if placed.part.is_pattern:
        return pattern_words(placed, unit)
    return f"{placed.part.name}, hole {hole_size(placed.holes[0], unit)}" if placed.holes else placed.part.name


def _at(placed: Placed, unit: Unit) -> str:
    return f"{say(placed.x, unit)} from the left, {say(placed.y, unit)} from the front"


def _legend(placed: Placed) -> str:
    """What is lettered beside it; empty if nothing is."""
    if placed.legend is None:
        return ""
    return f"the legend “{placed.legend.text}”" if placed.legend.text else f"the sign “{placed.legend.sign}”"


def _with(name: str, size: str) -> str:
    return f"a {name} {size}" if size else f"no {name}"


def _cut_size(board: ResolvedBoard, placed: Placed, name: str) -> str:
    """Size and depth of a counterbore or a recess; empty if there is none."""
    if name == "counterbore":
        return f"{bore_size(placed.counterbore, board)} deep" if placed.counterbore else ""
    unit = Unit(board.units)
    recess = placed.recess
    if recess is None:
        return ""
    return f"{recess_size(recess, unit)}, corners {say(recess.corner, unit)}, {say(recess.depth, unit)} deep"
