"""Limits that no single field can keep: the size of a board, how far off parts lie, and what a design holds in all."""

from __future__ import annotations

from collections.abc import Iterator

from msgspec import Struct

from app.catalogue.hardware import ScrewsEntry, cut_sides
from app.catalogue.load import catalogue
from app.document.outlines import outline_of
from app.document.schema import ArrangementEntry, BoardEntry, Design
from app.errors import LimitError
from app.model import limits
from app.model.limits import DesignLimit
from app.model.part import Part, ScrewFixing
from app.units import format_exact


class _Beyond(Struct, frozen=True):
    """A limit that is not kept: how far beyond it, where, and the sentence for it."""

    limit: DesignLimit
    over: float
    place: str
    said: str


def check_bounds(design: Design) -> None:
    """Refuse a design that makes sense but holds more than a design may hold, or a board no sheet is sold for.

    Raises:
        LimitError: with the place, what there is, what is allowed and what to do; it names every limit not kept.
    """
    found = list(_beyond(design))
    if found:
        over: dict[str, float] = {}
        for each in found:
            over[each.limit.name] = max(over.get(each.limit.name, 0.0), each.over)
        raise LimitError(found[0].said, found[0].place, over)


def _beyond(design: Design) -> Iterator[_Beyond]:
    yield from _counted(limits.ARRANGEMENTS_IN_ALL, sum(len(b.arrangements) for b in design.boards), "boards")
    parts = sum(len(a.placements) for b in design.boards for a in b.arrangements)
    yield from _counted(limits.PARTS_IN_ALL, parts, "boards")
    holes = _holes_of_parts(design)
    for index, pattern in enumerate(design.patterns):
        yield from _counted(limits.PATTERN_HOLES, holes.get(pattern.id, 0), f"patterns[{index}]")
        yield from _wide(f"patterns[{index}].hole", pattern.hole)
    for index, entry in enumerate(design.hardware):
        for k, cutout in enumerate(entry.cutouts):
            yield from _wide(f"hardware[{index}].cutouts[{k}]", *cut_sides(cutout), cutout.smallest)
    for index, board in enumerate(design.boards):
        place = f"boards[{index}]"
        yield from _sides(board, f"{place}.outline.corners")
        rings = (board.outline.corners, *board.outline.openings)
        yield from _counted(limits.CORNERS_IN_ALL, sum(map(len, rings)), f"{place}.outline")
        for k, arrangement in enumerate(board.arrangements):
            path = f"{place}.arrangements[{k}].placements"
            following = _holes_following(design, board, arrangement)
            for n, many in following.items():
                yield from _counted(limits.PATTERN_HOLES, many, f"{path}[{n}]")
            many = _holes_in(arrangement, holes) + sum(following.values())
            yield from _counted(limits.HOLES_IN_ARRANGEMENT, many, path)
            yield from _places(board, arrangement, path)
            yield from _below(arrangement, path)
        yield from _layers(board, f"{place}.layers")


def _counted(limit: DesignLimit, got: int, place: str) -> Iterator[_Beyond]:
    if got > limit.most:
        yield _Beyond(limit, got - limit.most, place, limit.said(got))


def _sides(board: BoardEntry, place: str) -> Iterator[_Beyond]:
    limit = limits.BOARD_SIDE
    x0, y0, x1, y1 = outline_of(board.outline.corners).bounds
    sides = (x1 - x0, y1 - y0)
    over = max(max(sides) - limit.most, limit.least - min(sides))
    if over > 0:
        got = " × ".join(format_exact(side) for side in sides)
        said = f"A board is from {limit.least} to {limit.most:,} mm wide and deep, got {got} mm. {limit.remedy}"
        yield _Beyond(limit, over, place, said)


def _layers(board: BoardEntry, place: str) -> Iterator[_Beyond]:
    limit, least = limits.LAYER, limits.THINNEST_LAYER
    for k, layer in enumerate(board.layers):
        over = max(layer.thickness - limit.most, least - layer.thickness)
        if over > 0:
            said = f"A layer is {least} to {limit.most} mm thick, got {layer.thickness:.6g} mm. {limit.remedy}"
            yield _Beyond(limit, over, f"{place}[{k}].thickness", said)


def _below(arrangement: ArrangementEntry, place: str) -> Iterator[_Beyond]:
    for k, placement in enumerate(arrangement.placements):
        if placement.counterbore is not None:
            yield from _wide(f"{place}[{k}].counterbore", placement.counterbore.diameter)
        if placement.recess is not None:
            yield from _wide(f"{place}[{k}].recess", placement.recess.width, placement.recess.height)


def _wide(place: str, *sides: float) -> Iterator[_Beyond]:
    """A hole or cut with the sides of it [mm]."""
    limit, least = limits.CUT, limits.NARROWEST_CUT
    over = max(max(sides) - limit.most, least - min(sides))
    if over > 0:
        got = min(sides) if min(sides) < least else max(sides)
        said = f"A hole or cut is {least} to {limit.most:,} mm wide, got {got:.6g} mm. {limit.remedy}"
        yield _Beyond(limit, over, place, said)


def _places(board: BoardEntry, arrangement: ArrangementEntry, place: str) -> Iterator[_Beyond]:
    """Parts too far from the datum edges, which a file may have anywhere."""
    limit = limits.PLACE
    x0, y0, _, _ = outline_of(board.outline.corners).bounds
    for k, placement in enumerate(arrangement.placements):
        far, edge = max((abs(placement.x - x0), "left"), (abs(placement.y - y0), "front"))
        if far > limit.most:
            said = f"A part may be up to {limit.most:,} mm from the left and the front edge, got {format_exact(far)} mm"
            yield _Beyond(limit, far - limit.most, f"{place}[{k}]", f"{said} from the {edge} edge. {limit.remedy}")


def _holes_of_parts(design: Design) -> dict[str, int]:
    """Holes and screws each part or pattern asks for, by its id."""
    used = {placement.part for board in design.boards for each in board.arrangements for placement in each.placements}
    known = catalogue().parts
    of_catalogue = {part: _holes_of(known[part]) for part in used if part in known}
    own = {
        entry.id: len(entry.cutouts) + (len(entry.fixing.holes) if isinstance(entry.fixing, ScrewsEntry) else 0)
        for entry in design.hardware
    }
    return of_catalogue | own | _holes_of_patterns(design)


def _holes_of_patterns(design: Design) -> dict[str, int]:
    if not design.patterns:
        return {}
    from app.document.patterns import pattern_of  # slow to import, and few designs have any

    return {entry.id: len(pattern_of(entry).holes) for entry in design.patterns if entry.boundary.shape != "board"}


def _holes_following(design: Design, board: BoardEntry, arrangement: ArrangementEntry) -> dict[int, int]:
    """Holes of patterns in the outline of the board, by the index of their placement."""
    patterns = {entry.id: entry for entry in design.patterns if entry.boundary.shape == "board"}
    if not patterns:
        return {}
    from app.document.board_patterns import pattern_on

    return {
        index: len(pattern_on(patterns[at.part], board, at).holes)
        for index, at in enumerate(arrangement.placements)
        if at.part in patterns
    }


def _holes_of(part: Part) -> int:
    return len(part.cutouts) + (len(part.fixing.holes) if isinstance(part.fixing, ScrewFixing) else 0)


def _holes_in(arrangement: ArrangementEntry, holes: dict[str, int]) -> int:
    """Of parts that are not known none are counted: they are refused where parts are looked up."""
    return sum(holes.get(placement.part, 0) for placement in arrangement.placements)
