"""Hardware of makers' own that is hardly more than a hole."""

from __future__ import annotations

from app.catalogue.hardware import CircleBody, CircleCutout, GlueEntry, PartEntry, SlotBody, SlotCutout

_SLACK = 1.0  # mm; how much wider or narrower such a hole may be: nothing is held by it. Common practice, no source


def round_hole(ident: str, name: str, diameter: float) -> PartEntry:
    """A round hole that nothing stands in [mm]."""
    return PartEntry(
        id=ident,
        name=name,
        kind="bracket",
        source="As entered.",
        basis="measured",
        cutouts=(
            CircleCutout(
                shape="circle", diameter=diameter, smallest=max(diameter - _SLACK, 0.1), largest=diameter + _SLACK
            ),
        ),
        fixing=GlueEntry(type="glue"),
        body=CircleBody(shape="circle", diameter=diameter / 2, depth=0.0),
    )


def slot_hole(ident: str, name: str, length: float, width: float) -> PartEntry:
    """A slot with round ends that a cable runs through [mm]."""
    return PartEntry(
        id=ident,
        name=name,
        kind="bracket",
        source="As entered.",
        basis="measured",
        cutouts=(
            SlotCutout(
                shape="slot", length=length, width=width, smallest=max(width - _SLACK, 0.1), largest=width + _SLACK
            ),
        ),
        fixing=GlueEntry(type="glue"),
        body=SlotBody(shape="slot", length=length / 2, width=width / 2, depth=0.0),
    )
