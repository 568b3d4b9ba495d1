"""Columns of the builder's own on the parts list."""

from __future__ import annotations

from collections.abc import Mapping

from msgspec import Struct


class OwnColumn(Struct, frozen=True):
    """A column.

    Args:
        id: by which it is known.
        name: at its head.
        cells: what stands in it, by the key of a line.
    """

    id: str
    name: str
    cells: Mapping[str, str]
