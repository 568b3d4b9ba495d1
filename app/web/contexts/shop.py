"""The shop page: what the builder works with, and the bit for each hole."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import get_args

from app.catalogue.load import catalogue
from app.model.resolved import ResolvedBoard
from app.model.shop import Bit, BitKind, kind_words
from app.service.bits import BitUse, bit_uses
from app.service.shop_changes import thickness_field
from app.service.sight import Sight
from app.units import Unit
from app.web.contexts.here import Choice, Here, Option
from app.web.contexts.shop_card import drilling_choices, paper_choices
from app.web.contexts.switches import switches_of
from app.web.contexts.uses import BitRow, bit_row
from app.web.contexts.words import as_typed, bit_size, bit_words, counted


@dataclass(frozen=True, slots=True)
class OwnBit:
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


@dataclass(frozen=True, slots=True)
class BitShelf:
    """The shop's bits of one kind; ``reach`` in words where they all have the same, else empty."""

    kind: str
    reach: str
    bits: tuple[OwnBit, ...]


@dataclass(frozen=True, slots=True)
class LayerField:
    """The measured thickness of one layer: field name, its words, and what it shows."""

    name: str
    words: str
    value: str


@dataclass(frozen=True, slots=True)
class ShopPage:
    """The shop page.

    Args:
        here: the view.
        title: of the design.
        arrangements, units: switches.
        undo, redo: names of the steps; empty if there is none.
        rows: each size of hole and counterbore with its bit.
        shelves: the shop's bits by kind.
        owned: how many bits, in words.
        whose: whose list it is, in words.
        own: whether it is the builder's own.
        sets: starter sets to take.
        kinds: kinds of bit to add.
        layers: thickness fields, top to underside.
        paint: what the paint field shows.
        drilling, papers: to choose from.
        unit: unit of fields, ``mm`` or ``inch``.
        problems: sentence by field that could not be taken.
        typed: what stood in the fields then.
        back_url: the board page.
    """

    here: Here
    title: str
    arrangements: tuple[Option, ...]
    units: tuple[Option, ...]
    undo: str
    redo: str
    rows: tuple[BitRow, ...]
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
    unit: str
    back_url: str
    problems: Mapping[str, str] = field(default_factory=dict)
    typed: Mapping[str, str] = field(default_factory=dict)


def shop_page(
    sight: Sight,
    here: Here,
    *,
    carried: int = 0,
    problems: Mapping[str, str] | None = None,
    typed: Mapping[str, str] | None = None,
) -> ShopPage:
    """The page for a view of a design."""
    board, here = sight.checked.resolved, here.showing(sight.head.revision.id)
    unit = Unit(board.units)
    uses = bit_uses(sight.checked)
    switches = switches_of(sight.design, here, board, "/shop", sight.states)
    kind = (typed or {}).get("kind", "forstner")
    return ShopPage(
        here=here,
        title=sight.design.title,
        arrangements=switches["arrangements"],
        units=switches["units"],
        undo=sight.head.undo or "",
        redo=sight.head.redo or "",
        rows=tuple(sorted((bit_row(use, unit) for use in uses), key=lambda row: row.state != "bad")),
        shelves=_shelves(board.shop.bits, uses, unit),
        owned=counted(len(board.shop.bits), "bit"),
        whose=_whose(sight.design.shop.owned, carried),
        own=sight.design.shop.owned,
        sets=tuple(Choice(name, f"Common {name} set: {len(bits)} bits") for name, bits in catalogue().bit_sets.items()),
        kinds=tuple(Choice(k, _capital(kind_words(k)), k == kind) for k in get_args(BitKind)),
        layers=_layers(board),
        paint=as_typed(board.paint, unit),
        drilling=drilling_choices(sight.design),
        papers=paper_choices(sight.design, board),
        unit=board.units,
        back_url=here.url(),
        problems=problems or {},
        typed=typed or {},
    )


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
                _capital(kind_words(kind)),
                one,
                tuple(
                    OwnBit(bit_value(b), bit_size(b), bit_words(b), "" if one else as_typed(b.reach, unit), b in used)
                    for b in own
                ),
            )
        )
    return tuple(shelves)


def _capital(words: str) -> str:
    return words[:1].upper() + words[1:]
