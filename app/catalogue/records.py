"""Rows of hardware, read by :class:`app.catalogue.hardware.PartEntry`, into frozen parts; refused with their place."""

from __future__ import annotations

from typing import Any, TypeVar, cast, get_args

from pydantic import ValidationError

from app.catalogue import hardware as rows
from app.catalogue.rows import Row, at, shown
from app.errors import CatalogueError
from app.geometry.shapes import Shape, circle, rectangle, slot
from app.model.limits import HOLES
from app.model.part import (
    Body,
    Cutout,
    Encoder,
    Fixing,
    Flange,
    Lever,
    NutFixing,
    Part,
    ScrewFixing,
    SnapFixing,
    Wiring,
)
from app.model.source import Basis, Source

T = TypeVar("T")

_TAGS = frozenset(("circle", "rectangle", "slot", "nut", "snap", "screws"))
"""Sorts of shapes and fixings, which stand in the places of what is wrong though they are no fields."""


def part_from_row(row: object, place: str) -> Part:
    """The part a row describes.

    Args:
        row: a table with the fields of :class:`app.catalogue.hardware.PartEntry`.
        place: where the row stands, such as ``hardware[2]``; error messages begin with it.

    Raises:
        CatalogueError: a field is missing, unknown, no number, or breaks what a part can be.
    """
    try:
        entry = rows.PartEntry.model_validate(row)
    except ValidationError as error:
        raise _refusal(dict(error.errors(include_url=False)[0]), place) from None
    return part_of(entry, place)


def part_of(entry: rows.PartEntry, place: str) -> Part:
    """The part of a row that was read.

    Raises:
        CatalogueError: its measures contradict each other.
    """
    return Part(
        id=entry.id,
        name=entry.name,
        kind=entry.kind,
        mount=entry.mount,
        cutouts=tuple(
            _cutout(cutout, f"{place}.cutouts[{i}]") for i, cutout in enumerate(_cutouts(entry, f"{place}.cutouts"))
        ),
        flange=Flange(_shape(entry.flange, f"{place}.flange"), entry.flange.rise) if entry.flange else None,
        fixing=_fixing(entry.fixing, f"{place}.fixing"),
        body=Body(_shape(entry.body, f"{place}.body"), entry.body.depth),
        lever=_lever(entry.lever, f"{place}.lever") if entry.lever else None,
        wiring=_wiring(entry.wiring) if entry.wiring else None,
        source=Source(entry.source, entry.basis),
        encoder=_encoder(entry.encoder) if entry.encoder else None,
    )


def source_from(row: Row) -> Source:
    """Where a row's numbers come from: its fields ``source`` and ``basis``."""
    text = row.text("source", 400)
    return Source(text, cast("Basis", row.choice("basis", get_args(Basis))))


def _refusal(error: dict[str, Any], place: str) -> CatalogueError:
    steps: list[int | str] = [step for step in error["loc"] if step not in _TAGS]
    got, said, sort = error["input"], error["msg"], error["type"]
    if sort.startswith("union_tag"):  # the field that says the sort is wrong, or is not there
        field = error["ctx"]["discriminator"].strip("'")
        steps.append(field)
        if sort == "union_tag_invalid":
            got, said = got[field], f"one of {error['ctx']['expected_tags']} is needed"
    if sort == "extra_forbidden":
        *steps, name = steps
        said = f"the field {shown(name)} is not known. Correct its name or take it out."
    elif sort in ("missing", "union_tag_not_found"):
        said = "it is needed, but the field is missing. Add it."
    else:
        said = f"{said}, got {shown(got)}. Correct it."
    where = "".join(f"[{step}]" if isinstance(step, int) else f".{step}" for step in steps)
    return CatalogueError(f"{place}{where}: {said}")


def _shape(entry: rows.ShapeEntry, place: str) -> Shape:
    with at(place):
        if isinstance(entry, rows.CircleEntry):
            return circle(entry.diameter, entry.x, entry.y)
        if isinstance(entry, rows.SlotEntry):
            return slot(entry.length, entry.width, entry.x, entry.y, entry.angle)
        return rectangle(entry.width, entry.height, entry.x, entry.y, entry.angle, entry.corner)


def _cutout(entry: rows.CutoutEntry, place: str) -> Cutout:
    shape = _shape(entry, place)
    with at(place):
        return Cutout(shape, entry.smallest, entry.largest)


def _cutouts(entry: rows.PartEntry, place: str) -> tuple[rows.CutoutEntry, ...]:
    """Nut and clips reach through a cut-out; screws and glue hold without one."""
    through = isinstance(entry.fixing, rows.NutEntry | rows.SnapEntry)
    return _some(entry.cutouts, place) if through or entry.cutouts else ()


def _fixing(entry: rows.FixingEntry, place: str) -> Fixing | None:
    if isinstance(entry, rows.GlueEntry):
        return None
    if isinstance(entry, rows.NutEntry):
        return _nut(entry, place)
    if isinstance(entry, rows.SnapEntry):
        if entry.grip_max <= entry.grip_min:
            raise _too_small(f"{place}.grip_max", f"above {entry.grip_min:g}", entry.grip_max)
        return SnapFixing(entry.grip_min, entry.grip_max)
    return ScrewFixing(
        holes=_some(entry.holes, f"{place}.holes"),
        screw_diameter=entry.screw_diameter,
        side=entry.side,
        plate=_shape(entry.plate, f"{place}.plate") if entry.plate else None,
        plate_thickness=entry.plate_thickness,
        screw_length=entry.screw_length,
    )


def _nut(entry: rows.NutEntry, place: str) -> NutFixing:
    nut = NutFixing(entry.thread_length, entry.nut_height, entry.nut_width, entry.washer, entry.spare_thread)
    if nut.grip <= 0:
        raise CatalogueError(
            f"{place}.thread_length: a thread longer than nut, washer and spare thread together "
            f"({nut.thread_length - nut.grip:g} mm) is needed, got {nut.thread_length:g} mm. "
            "Measure the thread under the flange."
        )
    return nut


def _lever(entry: rows.LeverEntry, place: str) -> Lever:
    if entry.height_max < entry.height_min:
        raise _too_small(f"{place}.height_max", f"from {entry.height_min:g}", entry.height_max)
    return Lever(entry.length, entry.height_min, entry.height_max, entry.knob)


def _wiring(entry: rows.WiringEntry) -> Wiring:
    return Wiring(
        entry.signal_tabs, entry.ground_tabs, entry.tab_width, entry.light_current,
        entry.signal, entry.supply_tabs, entry.supply_current, entry.light_volts,
    )  # fmt: skip


def _encoder(entry: rows.EncoderEntry) -> Encoder:
    return Encoder(entry.inputs, entry.turnings, entry.grounds, entry.supplies, entry.connection, entry.current)


def _some(entries: tuple[T, ...], place: str) -> tuple[T, ...]:
    if not 1 <= len(entries) <= HOLES.most:
        raise CatalogueError(f"{place}: a list of 1 to {HOLES.most} entries is needed, got {len(entries)}. Correct it.")
    return entries


def _too_small(place: str, needed: str, got: float) -> CatalogueError:
    return CatalogueError(f"{place}: a number {needed} is needed, got {got:g}. Correct it.")
