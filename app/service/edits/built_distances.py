"""Where a hole is by its distances to two others that are drilled: which holes are meant, and what cannot be."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import TYPE_CHECKING, Final, Literal

from msgspec import Struct

from app.geometry.shapes import Point
from app.geometry.two_distances import Crossing, NoCrossing, crossing
from app.model.limits import LEAST_SURE
from app.model.resolved import ResolvedBoard
from app.service.screens.words import length
from app.shop.board_steps import BoardCut
from app.units import Unit

if TYPE_CHECKING:
    from app.service.edits.built_typing import TypedCut

Ways = Literal["centres", "near rims", "far rims"]
WAYS: Final[tuple[Ways, ...]] = ("centres", "near rims", "far rims")
"""What a distance between two holes is measured from and to: a caliper goes over the board between two holes, or from
the far side of the one to the far side of the other."""

TAPE: Final = 0.5
"""How much a measured distance may be off [mm], as a steel rule is read. Common practice, no source."""


class TwoDistances(Struct, frozen=True):
    """Distances to two other holes.

    Args:
        names: of the two holes, as typed.
        distances: to each of them [mm].
    """

    names: tuple[str, str]
    distances: tuple[float, float]


class _Known(Struct, frozen=True):
    """A drilled hole: its name, where it is, its radius, None of an opening that is not round, and how sure [mm]."""

    name: str
    centre: Point
    radius: float | None
    within: float


class KnownHoles:
    """The holes of a board by the names they are called by, and where the drilled ones are."""

    def __init__(self, board: ResolvedBoard, cuts: Sequence[BoardCut]) -> None:
        self.board = board
        self._by_name: dict[str, list[BoardCut]] = {}
        for cut in cuts:
            if cut.key.sort == "hole":
                self._by_name.setdefault(cut.name.casefold(), []).append(cut)

    def find(self, typed: str, but: BoardCut) -> _Known | str:
        """The drilled hole of that name, or a sentence that says why there is none to measure to."""
        name = typed.strip()
        cuts = self._by_name.get(name.casefold(), [])
        if not name:
            return "Type the letter of a hole that is drilled."
        if not cuts:
            return f"There is no hole “{name[:40]}” on this board. Type its letter as the list has it."
        if len(cuts) > 1:
            return f"{len(cuts)} holes are called “{name[:40]}”. Measure to one whose name no other has."
        if cuts[0].key == but.key:
            return "Measure to two other holes, not to itself."
        mark = self.board.as_built.of(cuts[0].key, cuts[0].work)
        if mark is None or mark.spoilt:
            return f"{cuts[0].name} is not kept as drilled yet. Keep its tick or its centre first, then measure to it."
        radius = mark.diameter / 2 if mark.work == "through" else None
        return _Known(cuts[0].name, mark.centre, radius, mark.within or 0.0)


def worked_out(
    holes: KnownHoles, cut: BoardCut, row: TypedCut, ways: Ways, unit: Unit
) -> tuple[Point, float] | dict[str, str]:
    """Where the cut is and how far it may be from there [mm]; or a sentence by field, where that cannot be told."""
    if row.between is None:
        raise ValueError("no distances were typed")
    fields = (f"a.{cut.code}", f"b.{cut.code}")
    found = [holes.find(name, cut) for name in row.between.names]
    problems = {field: one for field, one in zip(fields, found, strict=True) if isinstance(one, str)}
    if problems:
        return problems
    one, other = (hole for hole in found if isinstance(hole, _Known))
    if one.name == other.name:
        return {fields[1]: f"Both distances are to {one.name}. Measure to two different holes."}
    radius = (row.measured or cut.width) / 2 if cut.work in ("through", "counterbore", "screw pilot") else None
    distances = []
    for field, hole, typed in zip(fields, (one, other), row.between.distances, strict=True):
        if ways != "centres" and (hole.radius is None or radius is None):
            return {field: f"From rim to rim both holes must be round. Measure {cut.name} from centre to centre."}
        sign = {"centres": 0.0, "near rims": 1.0, "far rims": -1.0}[ways]
        far = typed + sign * ((hole.radius or 0.0) + (radius or 0.0))
        if not far > 0:
            return {field.replace(".", "d.", 1): f"Two holes are some way apart; {length(typed, unit)} leaves none."}
        distances.append(far)
    error = TAPE + max(one.within, other.within)  # what is not known of a hole is not known of its distance either
    crossed = crossing(one.centre, other.centre, (distances[0], distances[1]), cut.at, error)
    return _judged(crossed, (one, other), cut, unit, fields[0])


def _judged(
    found: Crossing | NoCrossing, holes: tuple[_Known, _Known], cut: BoardCut, unit: Unit, field: str
) -> tuple[Point, float] | dict[str, str]:
    one, other = holes
    pair = f"{one.name} and {other.name}"
    apart = length(math.dist(one.centre, other.centre), unit)
    if isinstance(found, NoCrossing):
        if found.why == "same":
            return {field: f"{pair} have the same centre. Measure to two that lie apart."}
        if found.why == "short":
            how = f"together they are {length(found.by, unit)} shorter than that"
        else:
            how = f"the longer one is {length(found.by, unit)} too long for that, or the shorter one too short"
        return {field: f"These distances do not meet: {pair} are {apart} apart, and {how}. Measure both again."}
    if found.within > LEAST_SURE:
        return {
            field: f"{pair} and {cut.name} are nearly in a line, so {length(TAPE, unit)} more or less in a distance "
            f"moves {cut.name} by more than {length(LEAST_SURE, unit)}. Measure to a hole well to the side of them."
        }
    to_found, to_other = math.dist(found.point, cut.at), math.dist(found.other, cut.at)
    if to_other - to_found <= 2 * found.within:
        return {
            field: f"{cut.name} may be on either side of the line from {one.name} to {other.name}, and both are as "
            "near to where it should be. Measure to a hole well to the side of that line."
        }
    return found.point, found.within
