"""Edits of wiring: what feeds it, wires, grounds, pins, and encoder boards of the builder's own."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

from msgspec import Struct

from app.arrange.change import Edit, known_part, number, with_arrangement, words
from app.arrange.placement.edit import add, set_angle
from app.catalogue.hardware import EncoderEntry, GlueEntry, PartEntry, RectangleBody
from app.catalogue.load import Catalogue
from app.document.resolve import design_parts, find_arrangement, find_board
from app.document.schema import Design
from app.document.wiring_schema import FixedPinEntry, WiringPlanEntry
from app.errors import EditError
from app.model.fix import Rewire
from app.model.limits import OWN_PARTS, WORDS
from app.model.part import Connection
from app.values import replace

MOST_SERVICE: Final = 2000.0
STEPS: Final = (0.5, 500.0)
"""What cut lengths may be rounded up to [mm]."""
_MOST_PINS: Final = 200
_GROUNDS: Final = {"ring": "a ring", "tree": "a tree"}


def wiring_of(design: Design, board: str | None, arrangement: str | None) -> WiringPlanEntry:
    """What was chosen for an arrangement; all as usual where nothing was."""
    return find_arrangement(find_board(design, board), arrangement).wiring or WiringPlanEntry()


def set_wiring(
    design: Design, board: str | None, arrangement: str | None, changes: Mapping[str, object], catalogue: Catalogue
) -> Edit:
    """Choose what feeds encoders, what wires are made of, how grounds are joined, and what is added to each wire.

    Args:
        design: the design.
        board: its id.
        arrangement: its id.
        changes: by field of :class:`app.document.wiring_schema.WiringPlanEntry`, ``apart`` and ``pins`` excepted; None
            for the usual value.
        catalogue: supplies, conductors and colours.

    Raises:
        EditError: beside the field, where there is no such thing, or a number is out of range.
    """
    kept = {name: _checked(name, value, catalogue) for name, value in changes.items()}
    return Edit(_with(design, board, arrangement, **kept), "Changed the wiring")


def _checked(name: str, value: object, catalogue: Catalogue) -> object:
    if value is None:
        return None
    if name == "slack" and isinstance(value, int | float):
        return number(value, "The slack, in %,", name, 0, 100)
    if name == "service" and isinstance(value, int | float):
        return number(value, "The service length in mm", name, 0, MOST_SERVICE)
    if name == "step" and isinstance(value, int | float):
        return number(value, "What cut lengths are rounded up to, in mm,", name, *STEPS)
    colours = {colour: row.name for colour, row in catalogue.wire_colours.items()}
    allowed: Mapping[str, Mapping[str, object]] = {
        "supply": catalogue.supplies, "conductor": catalogue.conductors, "grounds": _GROUNDS,
        "ground_colour": colours, "supply_colour": colours, "signal_colour": colours,
    }  # fmt: skip
    if name not in allowed or value not in allowed[name]:
        known = ", ".join(allowed.get(name, ()))
        raise EditError(f"There is no “{str(value)[:40]}”. Choose one of: {known}.", name)
    return value


def fix_pin(
    design: Design, board: str | None, arrangement: str | None, placement: str, tab: int, encoder: str, pin: int
) -> Edit:
    """Put a signal tab on a pin; the one who had it before goes where Holewise chooses.

    Raises:
        EditError: a number is out of range.
    """
    for value, what, field, most in ((tab, "A tab", "tab", 64), (pin, "A pin", "pin", _MOST_PINS)):
        if not 1 <= value <= most:
            raise EditError(f"{what} is numbered from 1 to {most}, got {value}. Enter its number.", field)
    new = FixedPinEntry(placement=placement, tab=tab, encoder=encoder, pin=pin)
    old = wiring_of(design, board, arrangement).pins
    rest = tuple(p for p in old if (p.placement, p.tab) != (placement, tab) and (p.encoder, p.pin) != (encoder, pin))
    return Edit(_with(design, board, arrangement, pins=(*rest, new)), f"Put a wire on pin {pin}")


def free_pins(design: Design, board: str | None, arrangement: str | None, placements: tuple[str, ...]) -> Edit:
    """Let go of the pins chosen for some placements; for all of them if none is named."""
    old = wiring_of(design, board, arrangement).pins
    rest = tuple(p for p in old if placements and p.placement not in placements)
    return Edit(_with(design, board, arrangement, pins=rest), "Let Holewise choose pins")


def set_apart(design: Design, board: str | None, arrangement: str | None, placement: str, *, apart: bool) -> Edit:
    """Leave a part out of the wiring, or wire it after all."""
    old = wiring_of(design, board, arrangement).apart
    new = tuple(p for p in old if p != placement) + ((placement,) if apart else ())
    said = "Left a part out of the wiring" if apart else "Wired a part again"
    return Edit(_with(design, board, arrangement, apart=new), said)


def rewire(design: Design, board: str | None, arrangement: str | None, fix: Rewire, catalogue: Catalogue) -> Edit:
    """Another supply, or pins of placements let go.

    Raises:
        EditError: there is no such supply.
    """
    if fix.supply:
        return set_wiring(design, board, arrangement, {"supply": fix.supply}, catalogue)
    return free_pins(design, board, arrangement, fix.placements)


class OwnEncoder(Struct, frozen=True):
    """An encoder board as the builder measured it.

    Args:
        name: what to call it.
        inputs, turnings, grounds, supplies: pins for switches, pairs for turning controls, ground and 5 V pins.
        width, height, depth: of the board with its terminals and spacers [mm].
        connection: how wires end at it.
        current: what it draws itself [mA].
    """

    name: str
    inputs: int
    turnings: int
    grounds: int
    supplies: int
    width: float
    height: float
    depth: float
    connection: Connection
    current: float


def measure_encoder(design: Design, own: OwnEncoder, catalogue: Catalogue) -> tuple[Design, str]:
    """The design with an encoder board among its own parts, and the id of that.

    Raises:
        EditError: beside the field, where a number is out of range, or the design has no room for another part.
    """
    if len(design.hardware) >= OWN_PARTS.most:
        raise EditError(OWN_PARTS.said(len(design.hardware) + 1), "name")
    if own.inputs + own.turnings < 1:
        raise EditError("An encoder board has at least 1 input, got 0. Count its pins.", "inputs")
    sizes = {
        name: number(getattr(own, name), f"The {what} in mm", name, 0.5, most)
        for name, what, most in (("width", "width", 1000), ("height", "height", 1000), ("depth", "depth", 200))
    }
    taken, serial = design_parts(design, catalogue), 1
    while f"encoder-own-{serial}" in taken:
        serial += 1
    entry = PartEntry(
        id=f"encoder-own-{serial}",
        name=words(own.name, "The name", "name", min(120, WORDS.most), 1),
        kind="encoder",
        mount="under",
        source="As entered.",
        basis="measured",
        cutouts=(),
        fixing=GlueEntry(type="glue"),
        body=RectangleBody(shape="rectangle", width=sizes["width"], height=sizes["height"], depth=sizes["depth"]),
        encoder=EncoderEntry(
            inputs=own.inputs, turnings=own.turnings, grounds=max(1, own.grounds), supplies=own.supplies,
            connection=own.connection, current=number(own.current, "Its current in mA", "current", 0, 10_000),
        ),
    )  # fmt: skip
    return design.model_copy(update={"hardware": (*design.hardware, entry)}), entry.id


def add_encoder(
    design: Design,
    board: str | None,
    arrangement: str | None,
    part: str,
    at: tuple[float, float, float],
    catalogue: Catalogue,
) -> Edit:
    """Add an encoder board below at ``(x, y)``, turned by an angle [mm, degrees].

    Raises:
        EditError: the part is no encoder board, the arrangement is full, or a number is not allowed.
    """
    if known_part(design, part, catalogue).encoder is None:
        raise EditError("That is no encoder board. Choose one from the list.", "part")
    x, y, angle = at
    edit = add(design, board, arrangement, part, x, y, catalogue)
    if not angle:
        return edit
    turned = set_angle(edit.design, board, arrangement, edit.placement, angle)
    return replace(edit, design=turned.design)


def _with(design: Design, board: str | None, arrangement: str | None, **changes: object) -> Design:
    wired = wiring_of(design, board, arrangement).model_copy(update=changes)
    kept = None if wired == WiringPlanEntry() else wired
    return with_arrangement(design, board, arrangement, lambda a: a.model_copy(update={"wiring": kept}))
