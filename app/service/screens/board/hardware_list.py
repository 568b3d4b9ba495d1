"""The hardware that can be added."""

from __future__ import annotations

from collections import Counter
from functools import lru_cache

from msgspec import Struct

from app.catalogue.load import catalogue
from app.document.resolve import design_parts
from app.document.schema import Design
from app.model.part import Part
from app.service.drawings.drawings import part_picture_width
from app.values import replace

_GROUPS = (
    ("Buttons", ("button",)),
    ("Sticks and rotaries", ("stick", "rotary", "trackball")),
    ("Switches and locks", ("toggle", "rocker", "lock")),
    ("Sockets, fans, brackets", ("socket", "fan", "speaker", "bracket")),
    ("Encoder boards", ("encoder",)),
)


class HardwareChoice(Struct, frozen=True):
    """One item of hardware to add.

    Args:
        part: its id.
        name: what it is, and a button's size.
        unseen: a word of the name that is read out and not shown, for want of room.
        detail: the rest of its name.
        width: how wide its picture is at true size [mm].
    """

    part: str
    name: str
    unseen: str
    detail: str
    width: float


class TileGroup(Struct, frozen=True):
    """Hardware of one sort; ``own`` if the design carries it itself."""

    title: str
    tiles: tuple[HardwareChoice, ...]
    own: bool = False


def palette_of(design: Design) -> tuple[TileGroup, ...]:
    """Hardware to add: the design's own first, then the catalogue's by sort."""
    own = tuple(p for id_, p in design_parts(design, catalogue()).items() if id_ not in catalogue().parts)
    first = (TileGroup("This design’s own", _told_apart(design, tuple(map(_tile, own))), own=True),) if own else ()
    return first + _catalogue_palette()


def _told_apart(design: Design, tiles: tuple[HardwareChoice, ...]) -> tuple[HardwareChoice, ...]:
    """Of those that read alike, as of two grilles, each says where one is: its letter, and the board."""
    alike = Counter((tile.name, tile.detail) for tile in tiles)
    places = {
        placed.part: f"{placed.label} on “{board.name or board.id}”".strip()
        for board in reversed(design.boards)
        for arrangement in reversed(board.arrangements)
        for placed in reversed(arrangement.placements)
    }
    return tuple(
        replace(tile, detail=", ".join(said for said in (tile.detail, places[tile.part]) if said))
        if alike[tile.name, tile.detail] > 1 and tile.part in places
        else tile
        for tile in tiles
    )


@lru_cache(maxsize=1)
def _catalogue_palette() -> tuple[TileGroup, ...]:
    parts = catalogue().parts.values()
    return tuple(TileGroup(title, tuple(_tile(p) for p in parts if p.kind in kinds)) for title, kinds in _GROUPS)


def _tile(part: Part) -> HardwareChoice:
    name, _, detail = part.name.partition(", ")
    size = detail.partition(", ")[0]
    # What it is and its size tell one from another, and a button is called by its hole; how it is held stands below.
    title, unseen, more = name, "", detail
    if name == "Button" and size.endswith(" hole"):
        title, unseen = f"{name}, {size.removesuffix(' hole')}", " hole,"
        more = detail[len(size) :].removeprefix(", ")
    return HardwareChoice(part.id, title, unseen, more, round(part_picture_width(part), 2))
