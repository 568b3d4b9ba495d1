"""Hardware of makers' own that is no more than a hole."""

from __future__ import annotations

from app.catalogue.hardware import CircleBody, CircleCutout, GlueEntry, PartEntry

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
