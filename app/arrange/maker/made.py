"""What a maker makes of its measures, about its own middle, before it is anywhere."""

from __future__ import annotations

from collections.abc import Callable
from typing import Literal

from msgspec import Struct

from app.catalogue.hardware import PartEntry
from app.catalogue.load import Catalogue
from app.document.pattern_schema import PatternEntry
from app.document.schema import KeepClearEntry, LayerEntry
from app.geometry.outline import Corner
from app.model.maker.measure import Asked, Measure

Ring = tuple[Corner, ...]
FigureKind = Literal["length", "count", "share", "area", "minutes", "current", "power"]


class Piece(Struct, frozen=True):
    """One placement that a maker makes.

    Args:
        key: what it is called among the pieces of its maker: it keeps id and letter by that.
        part: id of an item of the catalogue; or an item of its own, or a pattern, under an id given when it is placed.
        x, y: from the middle of the maker [mm].
        angle: about its own origin [degrees].
    """

    key: str
    part: str | PartEntry | PatternEntry
    x: float = 0.0
    y: float = 0.0
    angle: float = 0.0


class Figure(Struct, frozen=True):
    """What follows from the measures, for a page to say.

    Args:
        name: short, as ``open-area``.
        label: in a builder's words.
        value: a length [mm], a count, a share [%], an area [mm²], minutes, mA or mW.
        kind: which of these.
    """

    name: str
    label: str
    value: float
    kind: FigureKind


class Made(Struct, frozen=True):
    """What a maker makes, about its own middle [mm].

    Args:
        outline: corners of the board, where it makes one.
        layers: what that board is of, to begin with.
        free_depth: below the board.
        pieces: placements by key, with own hardware and patterns.
        openings: cut into the board.
        keep_clear: areas of the board to keep clear.
        figures: that follow from the measures alone.
    """

    outline: Ring
    layers: tuple[LayerEntry, ...]
    free_depth: float
    pieces: tuple[Piece, ...]
    openings: tuple[Ring, ...] = ()
    keep_clear: tuple[KeepClearEntry, ...] = ()
    figures: tuple[Figure, ...] = ()

    @property
    def hardware(self) -> dict[str, PartEntry]:
        """Its own hardware, by key."""
        return {piece.key: piece.part for piece in self.pieces if isinstance(piece.part, PartEntry)}

    @property
    def patterns(self) -> dict[str, PatternEntry]:
        """Its patterns, by key."""
        return {piece.key: piece.part for piece in self.pieces if isinstance(piece.part, PatternEntry)}


class Maker(Struct, frozen=True):
    """A maker.

    Args:
        name: as the design file and the command line call it.
        title: what it makes, in a few words.
        sentence: what it is for.
        measures: what it asks, in the order of a form.
        make: from checked measures to what it makes; pure. It raises EditError for measures that contradict each other.
        look_for: what to look for before buying what it is made for, a sentence each.
    """

    name: str
    title: str
    sentence: str
    measures: tuple[Measure, ...]
    make: Callable[[Asked, Catalogue], Made]
    look_for: tuple[str, ...] = ()
