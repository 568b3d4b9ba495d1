"""What the builder sets on the lists for the bench: rates, spares, columns of their own."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

from app.arrange.design.own_columns import add_column, remove_column, rename_column, set_cells
from app.arrange.design.work import LONGEST, RATES, set_rates, set_spares
from app.errors import EditError
from app.model.limits import OWN_CELLS
from app.numbers import typed
from app.service.edits.changes import DesignChange

RATE_FIELDS: Final = RATES
"""Fields of the form of rates, in their order."""

MOST_CELLS: Final = OWN_CELLS.most
"""Entries a column may have."""

_SECONDS: Final = {"s": 1.0, "sec": 1.0, "min": 60.0, "h": 3600.0, "": 60.0}
"""What a time is typed in [s]; a bare number is minutes."""


def rates_set(rates: Mapping[str, float | None]) -> DesignChange:
    """Set how long work takes [s]; None for as usual."""
    return lambda design: set_rates(design, rates)


def spares_set(spares: float | None) -> DesignChange:
    """Set the share that is bought in case [%]; None for the usual."""
    return lambda design: set_spares(design, spares)


def column_added(name: str) -> DesignChange:
    """Add a column to the parts list."""
    return lambda design: add_column(design, name)


def column_renamed(column: str, name: str) -> DesignChange:
    """Give a column another name."""
    return lambda design: rename_column(design, column, name)


def column_removed(column: str) -> DesignChange:
    """Delete a column with all that stands in it."""
    return lambda design: remove_column(design, column)


def cells_set(column: str, texts: Mapping[str, str]) -> DesignChange:
    """Write into a column, beside lines by their key."""
    return lambda design: set_cells(design, column, texts)


def seconds_typed(text: str, field: str) -> float | None:
    """A time as it is typed, as ``20 s`` or ``1.5 min`` [s]; None for nothing.

    Raises:
        EditError: it is no time.
    """
    plain = text.strip().lower().replace(",", ".")
    if not plain:
        return None
    figure = plain.rstrip("abcdefghijklmnopqrstuvwxyz. ").strip()
    each = _SECONDS.get(plain[len(figure) :].strip(" .").removesuffix("utes").removesuffix("ute"))
    value = typed(figure)
    if value is None or each is None or not 0 <= value * each <= LONGEST:
        raise EditError(
            f"“{text.strip()[:20]}” is no time from 0 to 600 minutes. Type it like 20 s or 1.5 min; 2 is two minutes.",
            field,
        )
    return value * each
