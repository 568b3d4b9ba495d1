"""What the workshop has, in words: the bit for each hole, the bits by kind, and what can be chosen."""

from __future__ import annotations

from msgspec import Struct

from app.model.resolved import ResolvedBoard
from app.model.tooling import Bit, kind_words
from app.service.checks.bits import BitUse, bit_uses
from app.service.edits.shop_changes import thickness_field
from app.service.screens.bit_rows import BitUseRow, bit_row
from app.service.screens.choices import Choice, bit_kinds, bit_sets, papers, ways_of_drilling
from app.service.screens.words import as_typed, bit_size, bit_words, capital, counted
from app.service.sight import Sight
from app.service.workshop import Workshop
from app.units import Unit


class OwnBit(Struct, frozen=True):
    """A bit of the shop.

    Args:
        value: what a form sends to name it.
        size: as it is sold.
        name: size and kind, for a screen reader.
        reach: how deep it goes, in words.
        used: whether a hole of the board in view is made with it.
    """

    value: str
    size: str
    name: str
    reach: str
    used: bool


class BitShelf(Struct, frozen=True):
    """The shop's bits of one kind; ``reach`` in words where they all have the same, else empty."""

    kind: str
    reach: str
    bits: tuple[OwnBit, ...]


class LayerField(Struct, frozen=True):
    """The measured thickness of one layer: field name, its words, and what it shows."""

    name: str
    words: str
    value: str


class ShopSeen(Struct, frozen=True):
    """What the workshop has.

    Args:
        rows: each size of hole and counterbore with its bit; those without a good one first.
        shelves: the shop's bits by kind.
        owned: how many bits, in words.
        whose: whose list it is, in words.
        own: whether it is the builder's own.
        sets: starter sets to take.
        kinds: kinds of bit to add.
        layers: thickness fields, top to underside.
        paint: thickness of the paint, as it stands in a field.
        drilling, papers: to choose from.
    """

    rows: tuple[BitUseRow, ...]
    shelves: tuple[BitShelf, ...]
    owned: str
    whose: str
    own: bool
    sets: tuple[Choice, ...]
    kinds: tuple[Choice, ...]
    layers: tuple[LayerField, ...]
    paint: str
    drilling: tuple[Choice, ...]
    papers: tuple[Choice, ...]


def shop_seen(sight: Sight, carried: int, kind: str) -> ShopSeen:
    """What the workshop has for the board in view.

    Args:
        sight: the design.
        carried: how many bits its file lists itself.
        kind: the kind of bit that is chosen to be added.
    """
    board, shop, unit = sight.checked.resolved, sight.design.shop, sight.unit
    uses = bit_uses(sight.checked)
    return ShopSeen(
        rows=tuple(sorted((bit_row(use, unit) for use in uses), key=lambda row: row.state != "bad")),
        shelves=_shelves(board.tooling.bits, uses, unit),
        owned=counted(len(board.tooling.bits), "bit"),
        whose=_whose(shop.owned, carried),
        own=shop.owned,
        sets=tuple(Choice(name, f"Common {name} set: {count} bits") for name, count in bit_sets().items()),
        kinds=bit_kinds(kind),
        layers=_layers(board),
        paint=as_typed(board.paint, unit),
        drilling=ways_of_drilling(shop.drilling),
        papers=papers(shop.paper, board.tooling.paper.name),
    )


def carried_bits(workshop: Workshop, design_id: str) -> int:
    """How many bits the file of a design lists itself."""
    return len(workshop.written(design_id).shop.bits)


def _whose(owned: bool, carried: int) -> str:
    if owned:
        rest = f" This design's file lists {counted(carried, 'bit')}; yours are used instead." if carried else ""
        return f"Your own list, used for every design.{rest}"
    if carried:
        return "The list in this design's file. You have no list of your own yet; your first change here starts one."
    return "The common metric set. You have no list of your own yet; your first change here starts one."


def bit_value(bit: Bit) -> str:
    """What a form sends to name a bit: its kind, diameter and reach [mm]."""
    return f"{bit.kind} {bit.diameter!r} {bit.reach!r}"


def _layers(board: ResolvedBoard) -> tuple[LayerField, ...]:
    several, unit = len(board.layers) > 1, Unit(board.units)
    names = [f"Layer {i + 1}, {layer.material.name}" if several else "Thickness, measured"
             for i, layer in enumerate(board.layers)]  # fmt: skip
    return tuple(
        LayerField(thickness_field(i), names[i], as_typed(layer.thickness, unit))
        for i, layer in enumerate(board.layers)
    )


def _shelves(bits: tuple[Bit, ...], uses: tuple[BitUse, ...], unit: Unit) -> tuple[BitShelf, ...]:
    used = {use.bit for use in uses if use.bit}
    shelves = []
    for kind in dict.fromkeys(bit.kind for bit in bits):
        own = sorted((b for b in bits if b.kind == kind), key=lambda b: b.diameter)
        reaches = {b.reach for b in own}
        one = f"reach {as_typed(own[0].reach, unit)}" if len(reaches) == 1 else ""
        shelves.append(
            BitShelf(
                capital(kind_words(kind)),
                one,
                tuple(
                    OwnBit(bit_value(b), bit_size(b), bit_words(b), "" if one else as_typed(b.reach, unit), b in used)
                    for b in own
                ),
            )
        )
    return tuple(shelves)
