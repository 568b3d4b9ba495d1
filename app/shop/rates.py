"""How long work takes at the drill and what is bought in case: as the builder says, or as usual."""

from __future__ import annotations

from app.catalogue.load import catalogue
from app.catalogue.rates import usual_rates
from app.model.tooling import Rates, Tooling


def rates_of(tooling: Tooling) -> Rates:
    """The builder's rates, or the catalogue's [s]."""
    return tooling.rates or usual_rates(catalogue())


def spares_of(tooling: Tooling) -> float:
    """The share the builder buys in case, or the catalogue's [%]."""
    return catalogue().rule("spares") if tooling.spares is None else tooling.spares
