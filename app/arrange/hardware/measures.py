"""The measures of an item of hardware, each with its name, where it stands in a row, and how to take it.

A name is the same in a form, in a drawing and in a message. All lengths in mm. What is not measured with
callipers (places, turnings, corners, terminals) is no measure, and stays as it is.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from typing import Any, Final

from msgspec import Struct

from app.catalogue.hardware import PartEntry
from app.units import Unit, format_exact

Path = tuple[str | int, ...]

_TEXTS: Final[Mapping[str, tuple[str, str, str]]] = {
    "hole": ("Hole", "Hole", "Diameter of the hole you drill for it."),
    "hole_width": ("Hole", "Opening, left to right", "Width of the opening you cut for it."),
    "hole_height": ("Hole", "Opening, front to back", "Depth of the opening you cut for it, seen from above."),
    "hole_smallest": ("Hole", "Smallest that works", "Widest point to go through the hole: body, thread or clips."),
    "hole_largest": ("Hole", "Largest that works", "Widest hole the rim still covers and the fixing still holds."),
    "screw_hole": ("Screws", "Screw hole", "Diameter of the hole you drill for each screw."),
    "screw_hole_smallest": ("Screws", "Smallest screw hole", "Thickest point of the screw to go through the hole."),
    "screw_hole_largest": ("Screws", "Largest screw hole", "Widest hole the screw’s head still covers."),
    "screw_diameter": ("Screws", "Screw", "Across the thread of the screw."),
    "screw_length": ("Screws", "Screw length", "Below the screw’s head; 0 if you do not know it yet."),
    "screw_across": ("Screws", "Screws, left to right", "From the left rim of one screw hole to that of the last."),
    "screw_along": ("Screws", "Screws, front to back", "From the front rim of one screw hole to that of the last."),
    "flange": ("On top", "Rim", "Across the widest point of the rim that sits on the board."),
    "flange_width": ("On top", "Rim, left to right", "Across the rim that sits on the board."),
    "flange_height": ("On top", "Rim, front to back", "Along the rim that sits on the board."),
    "flange_rise": ("On top", "Rim height", "From the board’s face to the top of the rim."),
    "thread_length": ("Nut and thread", "Thread", "From the underside of the rim to the end of the thread."),
    "nut_height": ("Nut and thread", "Nut height", "Thickness of the nut by itself, along the thread."),
    "nut_width": ("Nut and thread", "Nut across corners", "Across the nut’s corners, not across its flats."),
    "washer": ("Nut and thread", "Washer", "Thickness of the washer under the nut; 0 if there is none."),
    "spare_thread": ("Nut and thread", "Spare thread", "Thread you want to see past the nut when it is tight."),
    "grip_min": ("Clips", "Thinnest board", "From the underside of the rim to the clips where they first catch."),
    "grip_max": ("Clips", "Thickest board", "From the underside of the rim to the clips where they still catch."),
    "plate": ("Plate", "Plate", "Across the mounting plate."),
    "plate_width": ("Plate", "Plate, left to right", "Across the mounting plate."),
    "plate_height": ("Plate", "Plate, front to back", "Along the mounting plate."),
    "plate_thickness": ("Plate", "Plate thickness", "Thickness of the mounting plate."),
    "body": ("Below", "Body", "Across the widest point of what goes below, with its switch."),
    "body_width": ("Below", "Body, left to right", "Across the widest point of what hangs below, with its switches."),
    "body_height": ("Below", "Body, front to back", "Along the longest point of what hangs below, with its switches."),
    "body_depth": ("Below", "Depth", "From the underside of the rim to the ends of the terminals."),
    "lever_length": ("Lever", "Lever", "From the plate’s face that touches the board to the top of the knob."),
    "knob": ("Lever", "Knob", "Across the knob at its widest."),
    "height_min": ("Lever", "Lowest height wanted", "Top of the knob above the board: the lowest you like."),
    "height_max": ("Lever", "Greatest height wanted", "Top of the knob above the board: the highest you like."),
}  # fmt: skip
_DEPTH_UNDER: Final = "From the underside of the board to the ends of the terminals."

MAY_BE_ZERO: Final = frozenset(
    {"flange_rise", "washer", "spare_thread", "plate_thickness", "height_min", "height_max", "grip_min", "screw_length"}
)
"""Measures of something that may be missing."""

ORDER: Final = tuple(_TEXTS)
"""Every name there is, in the order of the form."""


def measure_words(name: str) -> str:
    """What a measure of that name is called."""
    return _TEXTS[name][1]


class PartMeasure(Struct, frozen=True):
    """One measure of a part.

    Args:
        name: the same in form, drawing and message.
        group: heading it stands under.
        words: what it is.
        how: where to put the callipers, one sentence.
        value: [mm].
        paths: where it stands in the part’s row; empty for a distance between screws, which moves them all.
    """

    name: str
    group: str
    words: str
    how: str
    value: float
    paths: tuple[Path, ...]


def measures_of(part: PartEntry) -> tuple[PartMeasure, ...]:
    """The measures of a part, in the order of the form."""
    row = part.model_dump(mode="python", exclude_none=True)
    found = dict(_places(row))
    for name, axis in (("screw_across", 0), ("screw_along", 1)):
        spread = _spread(row, axis)
        if spread > 0:
            found[name] = ()
    made = []
    for name in ORDER:
        if name not in found:
            continue
        group, words, how = _TEXTS[name]
        if name == "body_depth" and part.mount == "under":
            how = _DEPTH_UNDER
        paths = found[name]
        axis = 0 if name == "screw_across" else 1
        made.append(PartMeasure(name, group, words, how, _at(row, paths[0]) if paths else _spread(row, axis), paths))
    return tuple(made)


def with_measures(part: PartEntry, values: Mapping[str, float]) -> PartEntry:
    """The part with some measures changed [mm]; a corner too round for its sides is made as round as they allow.

    The values are those a row can hold: finite, not negative, not 0 but for :data:`MAY_BE_ZERO`.
    """
    row = part.model_dump(mode="python", exclude_none=True)
    for measure in measures_of(part):
        if measure.name not in values:
            continue
        if not measure.paths:
            _spread_to(row, 0 if measure.name == "screw_across" else 1, values[measure.name])
        for path in measure.paths:
            holder = _holder(row, path)
            holder[path[-1]] = values[measure.name]
            if measure.name == "screw_length" and not holder["screw_length"]:
                del holder["screw_length"]
            if "corner" in holder:
                holder["corner"] = min(holder["corner"], holder["width"] / 2, holder["height"] / 2)
    return PartEntry.model_validate(row)


def caliper(mm: float, unit: Unit) -> str:
    """A length as callipers show it: to 0.01 mm without needless zeros, or to 0.001 in."""
    if unit is Unit.INCH:
        return f'{mm / 25.4 + 0.0:.3f}"'
    return f"{format_exact(round(mm, 2) + 0.0)} mm"


def screw_cutouts(row: Mapping[str, Any]) -> tuple[int, ...]:
    """Which cut-outs of a row are the holes of its screws: round, and where a screw is."""
    holes = row["fixing"].get("holes", ())
    return tuple(
        i
        for i, c in enumerate(row["cutouts"])
        if c["shape"] == "circle" and any(math.dist((c["x"], c["y"]), h) < 1e-6 for h in holes)
    )


def _places(row: Mapping[str, Any]) -> Iterator[tuple[str, tuple[Path, ...]]]:
    bored = screw_cutouts(row)
    if row["cutouts"] and 0 not in bored:
        yield from _sides("hole", row["cutouts"][0], ("cutouts", 0))
        yield "hole_smallest", (("cutouts", 0, "smallest"),)
        yield "hole_largest", (("cutouts", 0, "largest"),)
    if bored:
        for name, key in (("", "diameter"), ("_smallest", "smallest"), ("_largest", "largest")):
            yield f"screw_hole{name}", tuple(("cutouts", i, key) for i in bored)
    if "flange" in row:
        yield from _sides("flange", row["flange"], ("flange",))
        yield "flange_rise", (("flange", "rise"),)
    fixing = row["fixing"]
    for name in ("thread_length", "nut_height", "nut_width", "washer", "spare_thread", "grip_min", "grip_max"):
        if name in fixing:
            yield name, (("fixing", name),)
    if fixing["type"] == "screws":
        for name in ("screw_diameter", "screw_length"):
            yield name, (("fixing", name),)
        if "plate" in fixing:
            yield from _sides("plate", fixing["plate"], ("fixing", "plate"))
            yield "plate_thickness", (("fixing", "plate_thickness"),)
    yield from _sides("body", row["body"], ("body",))
    yield "body_depth", (("body", "depth"),)
    if "lever" in row:
        yield "lever_length", (("lever", "length"),)
        for name in ("knob", "height_min", "height_max"):
            yield name, (("lever", name),)


def _sides(name: str, shape: Mapping[str, Any], path: Path) -> Iterator[tuple[str, tuple[Path, ...]]]:
    if shape["shape"] == "circle":
        yield name, ((*path, "diameter"),)
        return
    wide, high = ("length", "width") if shape["shape"] == "slot" else ("width", "height")
    if round(shape["angle"] / 90.0) % 2:
        wide, high = high, wide
    yield f"{name}_width", ((*path, wide),)
    yield f"{name}_height", ((*path, high),)


def _holder(row: Any, path: Path) -> Any:
    for step in path[:-1]:
        row = row[step]
    return row


def _at(row: Any, path: Path) -> float:
    return float(_holder(row, path).get(path[-1], 0.0))


def _spread(row: Mapping[str, Any], axis: int) -> float:
    places = [float(hole[axis]) for hole in row["fixing"].get("holes", ())]
    return round(max(places) - min(places), 9) if places else 0.0


def _spread_to(row: dict[str, Any], axis: int, spread: float) -> None:
    """Move the screws, and the holes cut for them, so far apart about their common centre."""
    bored = screw_cutouts(row)
    places = [hole[axis] for hole in row["fixing"]["holes"]]
    middle, times = (max(places) + min(places)) / 2, spread / (max(places) - min(places))

    def moved(value: float) -> float:
        where: float = middle + (value - middle) * times
        return round(where, 9)

    holes = [list(hole) for hole in row["fixing"]["holes"]]
    for hole in holes:
        hole[axis] = moved(hole[axis])
    row["fixing"]["holes"] = tuple(tuple(hole) for hole in holes)
    key = "xy"[axis]
    for i in bored:
        row["cutouts"][i][key] = moved(row["cutouts"][i][key])
