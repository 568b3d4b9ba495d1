"""Small pictures of what is known by a name: scenarios, and hardware of the catalogue or of a design."""

from __future__ import annotations

from app.catalogue.load import catalogue
from app.document.resolve import design_parts
from app.document.scenarios import load_scenario
from app.document.schema import Design
from app.errors import NotFoundError
from app.service.drawings.drawings import part_svg, thumbnail_svg
from app.service.shelf.shelf import deck_of


def scenario_svg(name: str) -> str:
    """A small true drawing of a scenario's deck, as a file.

    Raises:
        NotFoundError: there is none of that name.
    """
    return thumbnail_svg(deck_of(load_scenario(name)))


def catalogue_part_svg(part_id: str) -> str:
    """An item of hardware of the catalogue as seen from above, as a file.

    Raises:
        NotFoundError: there is none of that id.
    """
    part = catalogue().parts.get(part_id)
    if part is None:
        raise NotFoundError(f"There is no part “{part_id[:40]}” in the catalogue.")
    return part_svg(part)


def own_part_svg(design: Design, part_id: str) -> str:
    """The same of what a design can use: its own hardware, and the catalogue's.

    Raises:
        NotFoundError: there is none of that id.
    """
    part = design_parts(design, catalogue()).get(part_id)
    if part is None:
        raise NotFoundError(f"There is no part “{part_id[:40]}” in this design.")
    return part_svg(part)
