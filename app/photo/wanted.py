"""A hole to be looked for."""

from __future__ import annotations

from msgspec import Struct


class SoughtHole(Struct, frozen=True):
    """A round hole to be looked for.

    Args:
        code: its name.
        x, y: where it should be on the face, from its front left end, as the face lies before the builder [mm].
        diameter: how wide it should be [mm].
    """

    code: str
    x: float
    y: float
    diameter: float
