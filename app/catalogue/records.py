"""Rows of hardware into frozen parts; the catalogue and a document's own hardware use the same rows.

A row is a table of plain values, all lengths in millimetres, angles in degrees, anticlockwise::

    id, name, kind, mount ("top" or "under"), source, basis ("measured", "data sheet" or "typical")
    cutouts   [{shape, smallest, largest}, …]     the main one first
    flange    {shape, rise}                       optional; rise: how far it stands above the board
    fixing    {type = "nut", thread_length, nut_height, nut_width, washer, spare_thread}
              {type = "snap", grip_min, grip_max}
              {type = "screws", holes = [[x, y], …], screw_diameter, side, plate = {shape}, plate_thickness,
               screw_length}                                                screw_length optional
    body      {shape, depth}
    lever     {length, height_min, height_max, knob}                        optional
    wiring    {signal_tabs, ground_tabs, tab_width, light_current}          optional

    shape     shape = "circle",    x, y, diameter
              shape = "rectangle", x, y, width, height, corner, angle
              shape = "slot",      x, y, length, width, angle
"""

from __future__ import annotations

from typing import cast, get_args

from app.catalogue.rows import LARGEST, Row, at, point
from app.errors import CatalogueError
from app.geometry.shapes import Shape, circle, rectangle, slot
from app.model.part import (
    Body,
    Cutout,
    Face,
    Fixing,
    Flange,
    Kind,
    Lever,
    NutFixing,
    Part,
    ScrewFixing,
    SnapFixing,
    Wiring,
)
from app.model.source import Basis, Source

_FACES = ("top", "under")


def part_from_row(row: object, place: str) -> Part:
    """The part a row describes.

    Args:
        row: a table as in the module's text.
        place: where the row stands, such as ``hardware[2]``; error messages begin with it.

    Raises:
        CatalogueError: a field is missing, unknown, no number, or breaks what a part can be.
    """
    r = Row(row, place)
    part = Part(
        id=r.id(),
        name=r.text("name", 120),
        kind=cast("Kind", r.choice("kind", get_args(Kind))),
        mount=cast("Face", r.choice("mount", _FACES)),
        cutouts=tuple(_cutout(entry, where) for entry, where in r.items("cutouts")),
        flange=_flange(r.optional("flange")),
        fixing=_fixing(r.table("fixing")),
        body=_body(r.table("body")),
        lever=_lever(r.optional("lever")),
        wiring=_wiring(r.optional("wiring")),
        source=source_from(r),
    )
    r.done()
    return part


def source_from(row: Row) -> Source:
    """Where a row's numbers come from: its fields ``source`` and ``basis``."""
    text = row.text("source", 400)
    return Source(text, cast("Basis", row.choice("basis", get_args(Basis))))


def _shape(r: Row) -> Shape:
    """The shape among a row's fields."""
    form = r.choice("shape", ("circle", "rectangle", "slot"))
    x, y = r.number("x", default=0.0), r.number("y", default=0.0)
    with at(r.place):
        if form == "circle":
            return circle(_size(r, "diameter"), x, y)
        angle = r.number("angle", -360.0, 360.0, default=0.0)
        if form == "slot":
            return slot(_size(r, "length"), _size(r, "width"), x, y, angle)
        corner = r.number("corner", 0.0, default=0.0)
        return rectangle(_size(r, "width"), _size(r, "height"), x, y, angle, corner)


def _size(r: Row, name: str) -> float:
    return r.number(name, 0.0, LARGEST, above=True)


def _cutout(row: object, place: str) -> Cutout:
    r = Row(row, place)
    shape = _shape(r)
    with at(place):
        cutout = Cutout(shape, _size(r, "smallest"), _size(r, "largest"))
    r.done()
    return cutout


def _flange(r: Row | None) -> Flange | None:
    if r is None:
        return None
    flange = Flange(_shape(r), r.number("rise", 0.0, default=0.0))
    r.done()
    return flange


def _body(r: Row) -> Body:
    body = Body(_shape(r), r.number("depth", 0.0))
    r.done()
    return body


def _fixing(r: Row) -> Fixing:
    form = r.choice("type", ("nut", "snap", "screws"))
    fixing: Fixing
    if form == "nut":
        fixing = _nut(r)
    elif form == "snap":
        low = r.number("grip_min", 0.0)
        fixing = SnapFixing(low, r.number("grip_max", low, above=True))
    else:
        fixing = _screws(r)
    r.done()
    return fixing


def _nut(r: Row) -> NutFixing:
    nut = NutFixing(
        thread_length=_size(r, "thread_length"),
        nut_height=_size(r, "nut_height"),
        nut_width=_size(r, "nut_width"),
        washer=r.number("washer", 0.0),
        spare_thread=r.number("spare_thread", 0.0),
    )
    if nut.grip <= 0:
        raise CatalogueError(
            f"{r.place}.thread_length: a thread longer than nut, washer and spare thread together "
            f"({nut.thread_length - nut.grip:g} mm) is needed, got {nut.thread_length:g} mm. "
            "Measure the thread under the flange."
        )
    return nut


def _screws(r: Row) -> ScrewFixing:
    return ScrewFixing(
        holes=tuple(point(entry, where) for entry, where in r.items("holes")),
        screw_diameter=_size(r, "screw_diameter"),
        side=cast("Face", r.choice("side", _FACES)),
        plate=_plate(r.optional("plate")),
        plate_thickness=r.number("plate_thickness", 0.0, default=0.0),
        screw_length=r.number("screw_length", 0.0, default=0.0) or None,
    )


def _plate(r: Row | None) -> Shape | None:
    if r is None:
        return None
    shape = _shape(r)
    r.done()
    return shape


def _lever(r: Row | None) -> Lever | None:
    if r is None:
        return None
    low = r.number("height_min", 0.0)
    lever = Lever(
        length=_size(r, "length"),
        height_min=low,
        height_max=r.number("height_max", low),
        knob=r.number("knob", 0.0),
    )
    r.done()
    return lever


def _wiring(r: Row | None) -> Wiring | None:
    if r is None:
        return None
    wiring = Wiring(
        signal_tabs=r.count("signal_tabs", 64, 0),
        ground_tabs=r.count("ground_tabs", 64, 0),
        tab_width=r.number("tab_width", 0.0, 50.0, default=0.0),
        light_current=r.number("light_current", 0.0, 10_000.0, default=0.0),
    )
    r.done()
    return wiring
