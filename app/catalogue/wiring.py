"""Rows of what wires are made of, what feeds them and the colours they come in."""

from __future__ import annotations

import re
from typing import Final

from app.catalogue.records import source_from
from app.catalogue.rows import Row
from app.model.wiring import Conductor, Supply, WireColour

_INK: Final = re.compile(r"#[0-9a-f]{6}")


def conductor_from_row(row: object, place: str) -> Conductor:
    """The conductor a row describes: ``id, name, area, resistance, source, basis`` [mm², Ω/km].

    Raises:
        CatalogueError: a field is missing, unknown or out of range.
    """
    r = Row(row, place)
    area, resistance = r.number("area", 0.0, 50.0, above=True), r.number("resistance", 0.0, 1000.0, above=True)
    conductor = Conductor(r.id(), r.text("name", 60), area, resistance, source_from(r))
    r.done()
    return conductor


def supply_from_row(row: object, place: str) -> Supply:
    """The supply a row describes: ``id, name, current, volts, least, source, basis`` [mA, V]; extra-low voltage only.

    Raises:
        CatalogueError: a field is missing, unknown or out of range.
    """
    r = Row(row, place)
    volts = r.number("volts", 0.0, 5.5, above=True)
    current, least = r.number("current", 0.0, 100_000.0, above=True), r.number("least", 0.0, volts)
    supply = Supply(r.id(), r.text("name", 60), current, volts, least, source_from(r))
    r.done()
    return supply


def colour_from_row(row: object, place: str) -> WireColour:
    """The colour a row describes: ``id, code, name, ink, source, basis``.

    Raises:
        CatalogueError: a field is missing or unknown, or ``ink`` is not written ``#rrggbb``.
    """
    r = Row(row, place)
    ink = r.text("ink", 7)
    if not _INK.fullmatch(ink):
        raise r.error("ink", "a colour like #2b2b2b", ink)
    colour = WireColour(r.id(), r.text("code", 2), r.text("name", 20), ink, source_from(r))
    r.done()
    return colour
