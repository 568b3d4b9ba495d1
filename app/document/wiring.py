"""Wiring of the design file as the model has it, with the usual values where it says nothing."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import TypeVar

from app.catalogue.load import Catalogue
from app.document.wiring_schema import WiringPlanEntry
from app.model.resolved import Placed
from app.model.wiring import FixedPin, WiringPlan

T = TypeVar("T")
_USUAL = WiringPlanEntry.model_construct()


def wiring_plan(entry: WiringPlanEntry | None, placements: Iterable[Placed], catalogue: Catalogue) -> WiringPlan:
    """What a builder chose for these placements.

    A supply, conductor or colour that the catalogue does not have is as usual, and told of in ``problems``.
    """
    asked, rule = entry or _USUAL, catalogue.rule
    problems: dict[str, str] = {}

    def chosen(field: str, table: Mapping[str, T], usual: str) -> tuple[str, T]:
        name = getattr(asked, field) or usual
        if name not in table:
            problems[field] = f"There is no “{name[:40]}”: “{usual}” is used. Choose another."
            name = usual
        return name, table[name]

    colours = catalogue.wire_colours
    signal = asked.signal_colour or ""
    if signal and signal not in colours:
        problems["signal_colour"] = f"There is no “{signal[:40]}”: colours follow one after the other. Choose another."
        signal = ""
    return WiringPlan(
        encoders=tuple(p.id for p in placements if p.part.encoder is not None and p.drill),
        supply=chosen("supply", catalogue.supplies, "usb-2")[1],
        conductor=chosen("conductor", catalogue.conductors, "awg-22")[1],
        grounds=asked.grounds,
        slack=rule("wire-slack") if asked.slack is None else asked.slack,
        service=rule("wire-service") if asked.service is None else asked.service,
        crimp=rule("wire-crimp"),
        step=asked.step,
        gap=rule("wire-gap"),
        ground_colour=chosen("ground_colour", colours, "black")[0],
        supply_colour=chosen("supply_colour", colours, "red")[0],
        signal_colour=signal,
        apart=frozenset(asked.apart),
        pins=tuple(FixedPin(p.placement, p.tab, p.encoder, p.pin) for p in asked.pins),
        problems=tuple(problems.items()),
    )
