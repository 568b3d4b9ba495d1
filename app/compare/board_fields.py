"""Fields of a board as a builder says them, of the older and of the newer design."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from typing import Final

from app.document.schema import BoardEntry, EdgeEntry
from app.drafting.words import board_size, thickness
from app.fit.words.lengths import say
from app.model.resolved import ResolvedBoard
from app.units import Unit

Two = tuple[ResolvedBoard, ResolvedBoard]
Said = Callable[[BoardEntry, BoardEntry, Two, Unit], tuple[str, str]]
"""What a field was and what it is, in words; both the same where these do not tell them apart."""


def _sizes(_: BoardEntry, __: BoardEntry, both: Two, ___: Unit) -> tuple[str, str]:
    before, after = map(board_size, both)
    return before, after


def _layers(_: BoardEntry, __: BoardEntry, both: Two, unit: Unit) -> tuple[str, str]:
    before, after = (
        " on ".join(f"{thickness(layer.thickness, unit)} {layer.material.name}" for layer in board.layers)
        for board in both
    )
    return before, after


def _depths(old: BoardEntry, new: BoardEntry, _: Two, unit: Unit) -> tuple[str, str]:
    before, after = (
        f"{say(d.front, unit)} free below at the front, {say(d.back, unit)} at the back"
        if (d := board.depth_below)
        else "no limit below"
        for board in (old, new)
    )
    return before, after


def _paint(old: BoardEntry, new: BoardEntry, _: Two, unit: Unit) -> tuple[str, str]:
    before, after = (f"painted {say(board.paint, unit)} thick" if board.paint else "bare" for board in (old, new))
    return before, after


def _edges(old: BoardEntry, new: BoardEntry, _: Two, unit: Unit) -> tuple[str, str]:
    """What is at the edges that differ."""
    names = [
        name for name in ("front", "right", "back", "left") if getattr(old.edges, name) != getattr(new.edges, name)
    ]
    before, after = (
        "; ".join(f"{_edge(getattr(board.edges, name), unit)} at the {name} edge" for name in names)
        for board in (old, new)
    )
    return before, after


def _edge(edge: EdgeEntry, unit: Unit) -> str:
    def parts() -> Iterator[str]:
        if edge.rail:
            yield f"a rail of {say(edge.rail, unit)}"
        if edge.slot_depth:
            yield f"a slot {say(edge.slot_depth, unit)} deep"

    return " and ".join(parts()) or "neither rail nor slot"


FIELD_WORDS: Final[Mapping[str, Said]] = {
    "outline": _sizes,
    "layers": _layers,
    "depth_below": _depths,
    "paint": _paint,
    "edges": _edges,
}
"""By the name of the field."""

HAD: Final = frozenset({"depth_below", "edges"})
"""What a board has; the others are what it is."""

RESIZED: Final = frozenset({"outline", "layers"})
"""What makes a board larger or smaller."""
