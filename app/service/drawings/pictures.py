"""Small pictures of what is known by a name: scenarios, and hardware of the catalogue or of a design."""

from __future__ import annotations

from functools import cache

from app.catalogue.load import catalogue
from app.document.resolve import design_parts
from app.document.scenarios import load_scenario
from app.document.schema import Design
from app.errors import NotFoundError
from app.service.drawings.drawings import part_svg, parts_svg, thumbnail_svg
from app.service.shelf.shelf import deck_of


def scenario_svg(name: str) -> str:
    """A small true drawing of a scenario's deck, as a file.

    Raises:
        NotFoundError: there is none of that name.
    """
    return thumbnail_svg(deck_of(load_scenario(name)))


@cache
def catalogue_parts_svg() -> str:
    """All hardware of the catalogue as seen from above, as one file: a symbol each, by the part's id."""
    return parts_svg(catalogue().parts.values())


def own_part_svg(design: Design, part_id: str) -> str:
    """What a design can use as seen from above, its own hardware and the catalogue's, as a file.

    Raises:
        NotFoundError: there is none of that id.
    """
    part = design_parts(design, catalogue()).get(part_id)
    if part is None:
        raise NotFoundError(f"There is no part “{part_id[:40]}” in this design.")
    return part_svg(part)
