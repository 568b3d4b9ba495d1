"""Every rule, in the order a report lists findings as grave as each other."""

from __future__ import annotations

from typing import Any

from app.fit.rule import Rule
from app.fit.rules import (
    air_flow,
    bit_depth,
    bit_match,
    cone_area,
    cone_cover,
    deck_strength,
    depth_below,
    display_fit,
    door_clearance,
    door_swing,
    edge_distance,
    edge_slot,
    finger_guard,
    flange_overhang,
    flange_overlap,
    hinge_screw,
    inputs,
    ledge,
    legend_clear,
    legend_overlap,
    legend_room,
    legend_size,
    lever_height,
    lever_sweep,
    light_current,
    mount_screw,
    opening_distance,
    outside_board,
    part_measures,
    plate_bending,
    plug_room,
    rail_clash,
    recess,
    screw_distance,
    screw_hold,
    snap_grip,
    thread_reach,
    under_clash,
    under_overhang,
    web,
    wire_way,
)

RULES: tuple[Rule[Any], ...] = (
    part_measures.RULE,
    opening_distance.RULE,
    outside_board.RULE,
    edge_distance.RULE,
    edge_slot.RULE,
    web.RULE,
    flange_overlap.RULE,
    flange_overhang.RULE,
    under_overhang.RULE,
    under_clash.RULE,
    screw_distance.RULE,
    rail_clash.RULE,
    depth_below.RULE,
    thread_reach.RULE,
    snap_grip.RULE,
    ledge.RULE,
    lever_height.RULE,
    lever_sweep.RULE,
    recess.RULE,
    screw_hold.RULE,
    bit_match.RULE,
    bit_depth.RULE,
    deck_strength.RULE,
    finger_guard.RULE,
    cone_cover.RULE,
    cone_area.RULE,
    air_flow.RULE,
    door_clearance.RULE,
    door_swing.RULE,
    hinge_screw.RULE,
    display_fit.RULE,
    mount_screw.RULE,
    plate_bending.RULE,
    plug_room.RULE,
    legend_clear.RULE,
    legend_room.RULE,
    legend_overlap.RULE,
    legend_size.RULE,
    inputs.RULE,
    light_current.RULE,
    wire_way.RULE,
)


_BY_NAME = {rule.name: rule for rule in RULES}


def rule_named(name: str) -> Rule[Any]:
    """The rule of that name.

    Raises:
        KeyError: there is none; a name in the program's own tables is wrong.
    """
    rule = _BY_NAME.get(name)
    if rule is None:
        raise KeyError(f"There is no rule {name!r}; there are {', '.join(_BY_NAME)}.")
    return rule
