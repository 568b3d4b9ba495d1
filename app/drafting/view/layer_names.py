"""What is drawn only where it is asked for, by face; light to import, as every address may name it."""

from __future__ import annotations

from typing import Final

ASKABLE: Final = {"top": ("bodies", "rooms", "hands"), "under": ("flanges", "rooms")}
"""Layers of each face that are drawn only when asked for; the others are always there."""
