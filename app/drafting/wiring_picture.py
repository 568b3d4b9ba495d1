"""The underside with its wires: bundles as thick as they are full, and each wire by itself to be lit up."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from typing import Final

from app.catalogue.load import catalogue
from app.drafting.facing import Facing, facing
from app.drafting.forms import shape_item
from app.drafting.hardware.fittings import terminal_rows
from app.drafting.hardware.part_letters import LETTER, letter
from app.drafting.view.underside import underside
from app.drafting.words import exact, unit_of
from app.model.resolved import Placed, ResolvedBoard
from app.scene.palette import BODY, LIGHT
from app.scene.primitives import Group, Item, LineTo, Path, Point, Style, Text
from app.shop.wiring.bundles import Stretch, stretches
from app.shop.wiring.harness import Harness
from app.shop.wiring.wire import Terminal, Wire
from app.values import replace

_CASE: Final = "#23272b"
_BUNDLE: Final = "#4a5357"
_RING = Style(stroke=LIGHT["teal-deep"], width=2.2, role="wire-end")
_NAMES: Final = {"signal": "signal", "ground": "ground", "supply": "5 V"}


def wiring_picture(harness: Harness, scale: float, lit: frozenset[int] | None = frozenset()) -> tuple[Item, ...]:
    """The underside, mirrored as it lies on the bench, with everything that runs along it below the bodies.

    Args:
        harness: the wiring.
        scale: size of letters and thin details against their size on a board 640 mm wide.
        lit: numbers of wires to light up; None for bundles alone, as on paper.
    """
    board, view = harness.board, facing(harness.board, "under")
    below, parts = underside(board, scale=scale, spanner_room=0.0)
    inks = {colour.id: colour.ink for colour in catalogue().wire_colours.values()}
    colours = {wire.number: inks[wire.colour] for wire in harness.wires}
    pieces = [_stretch(piece, view, colours, scale) for piece in reversed(stretches(harness))]
    drawn = tuple(item for piece in pieces for item in piece)
    items: list[Item] = [below, _bare(parts, board), Group(drawn, name="bundles", role="bundles")]
    if lit is not None:
        wires = tuple(_wire(wire, harness, view, inks, scale, lit) for wire in harness.wires)
        items.append(Group(wires, name="wires"))
    hanging = [placed for placed in board.drilled if placed.part.has_body]
    bodies = tuple(item for placed in hanging for item in _body(placed, view, scale))
    return (*items, Group(bodies, name="bodies"))


def _bare(parts: Group, board: ResolvedBoard) -> Group:
    """Parts without the letters that stand on their bodies, which are drawn again over the wires."""
    hanging = {placed.id for placed in board.drilled if placed.part.has_body}

    def bare(item: Item) -> Item:
        if not isinstance(item, Group) or item.data.get("placement") not in hanging:
            return item
        return replace(item, items=tuple(each for each in item.items if not isinstance(each, Text)))

    return replace(parts, items=tuple(bare(item) for item in parts.items))


def _body(placed: Placed, view: Facing, scale: float) -> tuple[Item, ...]:
    """What wires go round, over them: they lie over plates and nuts, and end at a body."""
    body = view.shape(placed.body)
    rows = terminal_rows(body) if placed.part.encoder else ()
    return (
        shape_item(body, BODY),
        *rows,
        *letter(body.centre, placed.label, LETTER * scale, 1.7 * min(body.size) / 2),
    )


def wire_words(wire: Wire, harness: Harness) -> str:
    """A wire in a sentence: ``Wire 5, blue, B signal to E input 3: cut to 310 mm``."""
    unit, name = unit_of(harness.board), names_of(harness)
    colour = catalogue().wire_colours[wire.colour].name
    cut = "no way" if wire.cut is None else f"cut to {exact(wire.cut, unit)}"
    return f"Wire {wire.number}, {colour}, {name(wire.one)} to {name(wire.other)}: {cut}"


def names_of(harness: Harness) -> Callable[[Terminal], str]:
    """Gives a terminal in words: the letter of its part and its own name."""
    called = {p.id: p.label or p.part.name for p in harness.board.placements}
    return lambda terminal: f"{called[terminal.placement]} {terminal.name}"


def _stretch(piece: Stretch, view: Facing, colours: dict[int, str], scale: float) -> list[Item]:
    many = len(piece.wires)
    wide = (0.55 + 0.55 * math.sqrt(many)) * scale
    ink = colours[piece.wires[0]] if many == 1 else _BUNDLE
    ends = (view.point(piece.a), view.point(piece.b))
    return [
        _line(ends, Style(stroke=_CASE, width=wide + 0.5 * scale, role="bundle-case")),
        _line(ends, Style(stroke=ink, width=wide, role="bundle" if many > 1 else "bundle-of-one")),
    ]


def _wire(wire: Wire, harness: Harness, view: Facing, inks: dict[str, str], scale: float, lit: frozenset[int]) -> Group:
    places = [view.point(at) for at in harness.route(wire)]
    items: list[Item] = []
    if len(places) > 1:
        items += [
            _line(places, Style(stroke="#ffffff", width=3.4 * scale, role="wire-glow")),
            _line(places, Style(stroke=_CASE, width=2.6 * scale, role="wire-case")),
            _line(places, Style(stroke=inks[wire.colour], width=1.8 * scale, role="wire-core")),
        ]
    for ident in dict.fromkeys((wire.one.placement, wire.other.placement)):
        placed = harness.board.placed(ident)
        if placed is not None:
            items.append(shape_item(view.shape(placed.body).grown(1.2 * scale), _RING))
    role = f"wire net-{wire.net}{' lit' if wire.number in lit else ''}"
    return Group(
        tuple(items),
        name=f"wire-{wire.number}",
        data={"wire": str(wire.number)},
        title=wire_words(wire, harness),
        role=role,
    )


def _line(places: Sequence[Point], style: Style) -> Path:
    return Path(places[0], tuple(LineTo(p) for p in places[1:]), style)
