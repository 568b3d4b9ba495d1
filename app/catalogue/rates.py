"""How long work takes at the drill where the builder has not said."""

from __future__ import annotations

from app.catalogue.load import Catalogue
from app.model.tooling import Rates


def usual_rates(catalogue: Catalogue) -> Rates:
    """Those of the catalogue [s]."""
    rule = catalogue.rule
    return Rates(rule("hole-seconds"), rule("counterbore-seconds"), rule("change-seconds"), rule("turning-seconds"))
