"""Stations of a board as they can be changed: parameters typed, and the edit they make."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Mapping
from typing import Any, Final, Literal, cast

from msgspec import Struct

from app.arrange.change import Edit, number, shown
from app.arrange.station.arcs import FEWEST, FIELD, arc_depth, arc_steps, deepest_said
from app.arrange.station.change_station import lay_out_station, remove_station
from app.arrange.station.station_slots import find_station, standings
from app.arrange.station.stations import ButtonField, steps_of
from app.catalogue.load import catalogue
from app.document.resolve import find_arrangement, find_board
from app.document.schema import BoardEntry, Design, StationEntry
from app.document.where import Where
from app.drafting.view.shared_view import shared_view
from app.errors import EditError
from app.service.edits.changes import DesignChange, grid_of
from app.service.sight import Sight
from app.units import Unit
from app.writers import svg

LENGTHS: Final[Mapping[str, str]] = {
    "pitch": "column to column",
    "row_spacing": "row to row",
    "step": "step of the columns",
    "arc": "depth of the arc",
    "hand_gap": "stick to buttons",
    "centre": "centre from the left edge",
    "front": "front row from the front edge",
}
"""Parameters that are lengths, in words."""

_LIMITS: Final[Mapping[str, tuple[float, float]]] = {
    "pitch": (5, 500),
    "row_spacing": (5, 500),
    "step": (-300, 300),
    "arc": (0, 300),
    "hand_gap": (0, 1000),
    "centre": (0, 5000),
    "front": (0, 5000),
}
SHAPES: Final = ("straight", "stepped", "arc")
"""Shapes of a field with several columns."""

STICKS: Final = ("left", "right", "centre", "none")


class StationView(Struct, frozen=True):
    """A station of an arrangement, and what became of its parts.

    Args:
        entry: its parameters.
        step: how far a stepped field's later columns lie behind the first [mm].
        arc: how far the middle columns of an arc lie behind the outer ones [mm]; 0 where it has no such depth.
        deepest: the deepest arc its columns can lie on, in words.
        letters: of its parts, in order.
        by_hand: letters of those that stand elsewhere than the station puts them, or are locked.
        missing: how many of its places have no part any more.
    """

    entry: StationEntry
    step: float
    arc: float
    deepest: str
    letters: tuple[str, ...]
    by_hand: tuple[str, ...]
    missing: int


def station_views(design: Design, where: Where) -> tuple[StationView, ...]:
    """The stations of an arrangement."""
    arrangement = find_arrangement(find_board(design, where.board), where.arrangement)
    found = []
    for entry in arrangement.stations:
        stood = standings(entry, arrangement)
        found.append(
            StationView(
                entry,
                _step_of(entry),
                arc_depth(entry.steps) if entry.shape == "arc" and entry.columns >= FEWEST else 0.0,
                deepest_said(entry.columns, entry.pitch, design.units),
                tuple(s.placement.label or "–" for s in stood if s.placement),
                tuple(s.placement.label or "–" for s in stood if s.placement and s.by_hand),
                sum(s.placement is None for s in stood),
            )
        )
    return tuple(found)


def common_holes(board: BoardEntry) -> dict[str, frozenset[str]]:
    """By arrangement, the ids of the placements that every arrangement of the board has, as the same hole."""
    holes = _holes(board)
    common = set.intersection(*(set(rows) for rows in holes.values()))
    return {name: frozenset(rows[key] for key in common) for name, rows in holes.items()}


def shared_svg(sight: Sight) -> str:
    """An arrangement small, with its letters and a ring round what it shares with others, as a file."""
    common = common_holes(find_board(sight.design, sight.checked.board))[sight.checked.arrangement]
    return svg.write(shared_view(sight.checked.resolved, common))


def own_holes(board: BoardEntry) -> dict[str, frozenset[str]]:
    """By arrangement, the ids of the placements that no other arrangement of the board has as the same hole."""
    holes = _holes(board)
    times = Counter(key for rows in holes.values() for key in rows)
    return {name: frozenset(rows[key] for key in rows if times[key] == 1) for name, rows in holes.items()}


def _holes(board: BoardEntry) -> dict[str, dict[tuple[object, ...], str]]:
    """By arrangement, the id of each placement by what makes it one hole."""
    return {a.id: {(p.label, p.part, p.x, p.y, p.angle): p.id for p in a.placements} for a in board.arrangements}


def shapes_for(columns: int) -> tuple[str, ...]:
    """The shapes a field of so many columns can have: one column alone has nothing to be stepped against."""
    return SHAPES if columns > 1 else SHAPES[:1]


def station_laid_out(where: Where, station: str, asked: Mapping[str, Any], *, everywhere: bool = True) -> DesignChange:
    """Lay a station out with the parameters asked for; those not named stay as they are.

    Args:
        where: the board and arrangement.
        station: id of the station.
        asked: lengths [mm] of :data:`LENGTHS`; ``shape``, ``stick``, ``mirrored``, ``tilt`` [degrees], ``buttons``,
            ``rows``, ``button_part``, ``stick_part``.
        everywhere: whether the same station of the other arrangements follows.
    """

    def change(design: Design) -> Edit:
        old = find_station(find_arrangement(find_board(design, where.board), where.arrangement), station)
        new = _parameters(old, asked, design.units)
        said = ", ".join(_said(name, asked[name], design.units) for name in asked) or "laid out as it was"
        return lay_out_station(
            design, where.board, where.arrangement, station, new, catalogue(), said=said, everywhere=everywhere
        )

    return change


def station_reset(where: Where, station: str) -> DesignChange:
    """Put every part of a station back where it belongs, those that were moved by hand as well."""
    return lambda design: lay_out_station(
        design,
        where.board,
        where.arrangement,
        station,
        {},
        catalogue(),
        said="parts reset to station positions",
        reset=True,
    )


def station_removed(where: Where, station: str, *, everywhere: bool = False) -> DesignChange:
    """Take a station and its parts out of an arrangement, or out of every one that has it."""
    return lambda design: remove_station(design, where.board, where.arrangement, station, everywhere=everywhere)


def _parameters(old: StationEntry, asked: Mapping[str, Any], units: Literal["mm", "inch"]) -> dict[str, Any]:
    """Fields of the entry to change, checked."""
    new: dict[str, Any] = {k: v for k, v in asked.items() if k in ("mirrored", "button_part", "stick_part")}
    for name in LENGTHS.keys() & asked.keys():
        low, high = _LIMITS[name]
        value = number(asked[name], f"The {LENGTHS[name]} in mm", name, low, high, above=low == 0 and name != "step")
        if name not in ("step", FIELD):
            new[name] = value
    if "tilt" in asked:
        new["tilt"] = number(asked["tilt"], "The tilt", "tilt", -90, 90)
    for name, allowed in (("shape", SHAPES), ("stick", STICKS)):
        if name in asked:
            if asked[name] not in allowed:
                raise EditError(f"There is no {name} “{str(asked[name])[:40]}”. Choose {', '.join(allowed)}.", name)
            new[name] = asked[name]
    if asked.keys() & {"buttons", "rows"}:
        new |= _field(old, asked)
    shape = cast("Literal['straight', 'stepped', 'arc']", new.get("shape", old.shape))
    columns, pitch = new.get("columns", old.columns), new.get("pitch", old.pitch)
    if "shape" in asked and shape not in shapes_for(columns):
        raise EditError(
            f"One column can be {' or '.join(shapes_for(columns))}, not {shape}. Add buttons first.", "shape"
        )
    rows = new.get("rows", old.rows)
    moved = (columns, pitch) != (old.columns, old.pitch)
    if shape == "arc" and (moved or asked.keys() & {"shape", "step", FIELD}):
        new["steps"] = _arc_steps(old, asked, ButtonField(shape, rows, columns), pitch, units)
    elif asked.keys() & {"shape", "step"}:
        step = float(asked.get("step", _step_of(old)))
        new["steps"] = steps_of(ButtonField(shape, rows, columns), pitch, step, _wrist(), grid_of(Unit(units)) / 2)
    elif shape == "stepped" and columns > len(old.steps):
        new["steps"] = (*old.steps, *[_step_of(old)] * (columns - len(old.steps)))
    return new


def _field(old: StationEntry, asked: Mapping[str, Any]) -> dict[str, int]:
    """Rows, columns and buttons for a number of buttons in a number of rows."""
    rows = int(number(asked.get("rows", old.rows), "The number of rows", "rows", 1, 10))
    had = old.rows * old.columns if old.buttons is None else old.buttons
    buttons = int(number(asked.get("buttons", had), "The number of buttons", "buttons", 0, 40))
    columns = math.ceil(buttons / rows)
    if columns > 20:
        raise EditError(f"{buttons} buttons in {rows} rows make {columns} columns; up to 20 fit. Add rows.", "rows")
    return {"rows": rows, "columns": columns, "buttons": buttons}


def _arc_steps(
    old: StationEntry, asked: Mapping[str, Any], field: ButtonField, pitch: float, units: Literal["mm", "inch"]
) -> tuple[float, ...]:
    """Steps of an arc: as deep as asked; as deep as it was, if somebody chose that; else about the wrist."""
    grid = grid_of(Unit(units)) / 2
    if FIELD in asked:
        return arc_steps(field.columns, pitch, float(asked[FIELD]), grid, units)
    usual = steps_of(ButtonField("arc", old.rows, old.columns), old.pitch, 0.0, _wrist(), grid)
    chosen = arc_depth(old.steps)
    if old.shape == "arc" and old.steps != usual and chosen and field.columns >= FEWEST:
        return arc_steps(field.columns, pitch, chosen, grid, units)
    return steps_of(field, pitch, 0.0, _wrist(), grid)


def _wrist() -> float:
    return catalogue().rule("station-arc-radius")


def _step_of(entry: StationEntry) -> float:
    """The step of a stepped field; the usual one where it has none."""
    stepped = entry.shape == "stepped" and len(entry.steps) > 1
    return entry.steps[1] if stepped else catalogue().rule("station-step")


def _said(name: str, value: Any, units: str) -> str:
    if name in LENGTHS:
        return f"{LENGTHS[name]} {shown(float(value), units)}"
    if name == "tilt":
        return f"tilt {float(value):g}°"
    if name == "mirrored":
        return "mirrored" if value else "not mirrored"
    if name in ("button_part", "stick_part"):
        return f"another {name.partition('_')[0]}"
    if name == "stick":
        return {"none": "no stick", "centre": "stick in the middle"}.get(str(value), f"stick on the {value}")
    return f"{value} {name}" if name in ("buttons", "rows") else str(value)
