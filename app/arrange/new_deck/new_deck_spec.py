"""The answers from which a new deck is made."""

from __future__ import annotations

from typing import Literal

from msgspec import Struct

from app.arrange.station.laying import AdminAt, StickSide
from app.arrange.station.stations import ShapeName


class NewDeck(Struct, frozen=True):
    """What a new deck is to be; all lengths in mm.

    Args:
        title: empty for one made from the shape.
        players: 1 or 2, or 0 for an empty board.
        buttons: of each player, 1 to 20.
        positions: places for buttons of each player, at least ``buttons``; those beyond are kept undrilled.
            0 for as many as buttons.
        width, depth, thickness: of the board.
        material: id in the catalogue.
        cover, cover_material: thickness and material of a layer on top; 0 for none.
        shape: ``row``, ``straight``, ``stepped`` or ``arc``.
        arc: how far the middle columns of an arc lie behind the outer ones; 0 for an arc about the wrist.
        tilt: of the button field [degrees, counter-clockwise].
        units: shown, and the kind of bits in the shop.
        stick: ``left``, ``right``, ``centre`` (dead centre for one player) or ``none``.
        mirrored: whether the second player's station is the mirror image of the first's.
        admin: how many admin buttons; None for two where there is room.
        admin_at: where along the back edge.
        finger_gap: least gap between two flanges; 0 for the catalogue's.
        button, stick_part, admin_part: ids of parts; empty for those that suit the board.
        drilling: ``hand``, ``press`` or ``cnc``.
        paper: empty for A4 or Letter by the units.
    """

    title: str = ""
    players: int = 1
    buttons: int = 6
    positions: int = 0
    width: float = 600.0
    depth: float = 250.0
    thickness: float = 18.0
    material: str = "mdf"
    cover: float = 0.0
    cover_material: str = "acrylic"
    shape: ShapeName = "stepped"
    arc: float = 0.0
    tilt: float = 0.0
    units: Literal["mm", "inch"] = "mm"
    stick: StickSide = "left"
    mirrored: bool = False
    admin: int | None = None
    admin_at: AdminAt = "back-centre"
    finger_gap: float = 0.0
    button: str = ""
    stick_part: str = ""
    admin_part: str = ""
    drilling: Literal["hand", "press", "cnc"] = "hand"
    paper: str = ""
