"""How long work takes the builder, and what is bought in case: of the workshop, carried by the design."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Final

from app.arrange.change import Edit, number
from app.document.list_schema import RatesEntry
from app.document.schema import Design
from app.errors import EditError

LONGEST: Final = 36_000.0
"""The longest that one thing may take [s]."""

RATES: Final = ("hole", "counterbore", "change", "turning")
"""What has a rate, in the order of the work."""


def set_rates(design: Design, rates: Mapping[str, float | None]) -> Edit:
    """Set how long work takes [s]: a hole, a counterbore, a change of bit, a turning; None for as usual.

    Raises:
        EditError: a time that cannot be.
    """
    for name, seconds in rates.items():
        if seconds is not None and not (math.isfinite(seconds) and 0 <= seconds <= LONGEST):
            raise EditError("A time is from 0 to 600 minutes. Enter one in that range.", name)
    entry = RatesEntry(**{name: rates.get(name) for name in RATES})
    kept = None if entry == RatesEntry() else entry
    shop = design.shop.model_copy(update={"rates": kept})
    return Edit(design.model_copy(update={"shop": shop}), "Set how long work takes")


def set_spares(design: Design, spares: float | None) -> Edit:
    """Set the share of screws, nuts, washers and buttons that is bought in case [%]; None for the usual.

    Raises:
        EditError: it is not from 0 to 100.
    """
    if spares is not None:
        spares = number(spares, "The share of spares in %", "spares", 0.0, 100.0)
    shop = design.shop.model_copy(update={"spares": spares})
    said = "the usual share" if spares is None else f"{spares:g} %"
    return Edit(design.model_copy(update={"shop": shop}), f"Set the spares to {said}")
