"""A design that makers add to."""

from __future__ import annotations

from app.document.schema import (
    ArrangementEntry,
    BoardEntry,
    CornerEntry,
    DepthBelowEntry,
    Design,
    LayerEntry,
    OutlineEntry,
)


def plain(width: float = 600, depth: float = 300) -> Design:
    """A deck of 9 mm plywood with nothing on it, 150 mm free below."""
    corners = tuple(CornerEntry(x=x, y=y) for x, y in ((0, 0), (width, 0), (width, depth), (0, depth)))
    board = BoardEntry(
        id="deck",
        name="Deck",
        outline=OutlineEntry(corners=corners),
        layers=(LayerEntry(material="plywood", thickness=9),),
        depth_below=DepthBelowEntry(front=150, back=150),
        arrangements=(ArrangementEntry(id="one"),),
    )
    return Design(title="Cabinet", boards=(board,))
