"""Screws end inside the board, and hold in what is left of it."""

from __future__ import annotations

import math
from dataclasses import replace

from app.fit.bored import spot
from app.fit.depth import SLIGHT, TINY
from app.fit.finding import Finding, Severity
from app.fit.layout import Layout
from app.fit.recess import recess_detail, step_of
from app.fit.rule import Rule
from app.fit.screws import drive_of, is_screwed, is_wood
from app.model.part import ScrewFixing
from app.model.resolved import Recess


def find(layout: Layout) -> list[Finding]:
    """A stop where screws come through the other face or hold in nothing, a caution where they nearly do.

    Screws whose length is not known are bought as long as the board allows.
    """
    found: list[Finding] = []
    board, parts = layout.board, layout.parts[0]
    floor, diameters = layout.default("screw-pilot-floor"), layout.default("screw-hold")
    for (index, _, recess), owners in layout.seats.items():
        part, fixing = parts[index], parts[index].fixing
        if not isinstance(fixing, ScrewFixing) or not is_screwed(part):
            continue
        drive = drive_of(part, fixing, board.thickness, recess)
        if drive.left is not None and drive.left < floor.value - SLIGHT:
            through = drive.left < -SLIGHT
            severity: Severity = "stop" if through else "caution"
            subjects, where = spot(layout, owners)
            detail: dict[str, float | str] = {"cause": "through"}
            detail |= {"length": fixing.screw_length or 0.0, "wood": drive.wood}
            detail |= _shallower(layout, fixing, recess, floor.value - drive.left)
            numbers = (drive.left, 0.0 if through else floor.value)
            source = floor.source.text
            found.append(Finding(RULE.name, severity, subjects, where, *numbers, source, detail=detail))
        layer = board.layers[-1 if fixing.side == "under" else 0]
        held, least = drive.held(floor.value), diameters.value * fixing.screw_diameter
        if is_wood(layer.material.family) and held < least - SLIGHT:
            nothing = held <= SLIGHT
            subjects, where = spot(layout, owners)
            detail = {"cause": "hold", "wood": drive.wood, "diameter": fixing.screw_diameter}
            detail |= _shallower(layout, fixing, recess, least - held)
            found.append(
                Finding(
                    RULE.name,
                    "stop" if nothing else "caution",
                    subjects,
                    where,
                    held,
                    least,
                    diameters.source.text,
                    detail=detail,
                )
            )
    return found


def _shallower(layout: Layout, fixing: ScrewFixing, recess: Recess | None, lacking: float) -> dict[str, float | str]:
    """The recess by so much shallower, down to a step of a depth stop; nothing where no recess is left, or is to blame.

    Where there is none, other screws are bought: the board has nothing to change but its thickness.
    """
    if recess is None or fixing.side != "under":
        return {}
    step = step_of(layout)
    depth = math.floor((recess.depth - lacking) / step + TINY) * step
    return recess_detail(replace(recess, depth=depth)) if depth > TINY else {}


RULE = Rule(
    "screw-hold",
    "Screws end inside the board, short of its other face, and hold in what is left of it.",
    ("stop", "caution"),
    "Common practice, no source: the wood beyond a screw and the length that holds are defaults of the catalogue.",
    find,
)
