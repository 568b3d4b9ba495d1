"""The catalogue that comes with the program: the tables beside this module, each read once."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from functools import lru_cache
from pathlib import Path
from typing import Final, TypeVar

from msgspec import Struct, field

from app.catalogue.records import part_from_row
from app.catalogue.stock import (
    BitSets,
    Default,
    allowance_from_row,
    default_from_row,
    material_from_row,
    paper_from_row,
    speed_from_row,
)
from app.catalogue.tables import CatalogueTable
from app.catalogue.wiring import colour_from_row, conductor_from_row, supply_from_row
from app.errors import CatalogueError, LengthError, PaperError
from app.model.limits import BOARD_SIDE
from app.model.material import Material
from app.model.part import Part
from app.model.source import Source
from app.model.tooling import Allowance, Bit, Paper, Speed
from app.model.wiring import Conductor, Supply, WireColour
from app.units import Unit, format_exact, parse_length

_DATA: Final = Path(__file__).parent / "data"
_SIDES: Final = re.compile(r"(?P<width>[^x×]+)[x×](?P<height>[^x×]+)")
T = TypeVar("T")


class Catalogue(Struct, frozen=True):
    """Everything the program knows about the world outside, each row with its source.

    Args:
        materials: by id.
        parts: by id.
        bit_sets: ``metric`` and ``inch``: every bit of the set, preferred kinds first.
        papers: by id.
        allowances: ``hand``, ``press`` and ``cnc``.
        rules: defaults of the fit rules and drawings, by name.
        speeds: how fast bits turn, by id, those of one sort narrowest first.
        conductors: what wires are made of by id, thinnest first.
        supplies: what feeds encoders and lights, by id.
        wire_colours: by id.
    """

    materials: Mapping[str, Material]
    parts: Mapping[str, Part]
    bit_sets: Mapping[str, tuple[Bit, ...]]
    papers: Mapping[str, Paper]
    allowances: Mapping[str, Allowance]
    rules: Mapping[str, Default]
    speeds: Mapping[str, Speed] = field(default_factory=dict)
    conductors: Mapping[str, Conductor] = field(default_factory=dict)
    supplies: Mapping[str, Supply] = field(default_factory=dict)
    wire_colours: Mapping[str, WireColour] = field(default_factory=dict)

    def rule(self, name: str) -> float:
        """Value of the rule default ``name`` [its own unit].

        Raises:
            CatalogueError: there is none of that name.
        """
        try:
            return self.rules[name].value
        except KeyError:
            known = ", ".join(sorted(self.rules))
            raise CatalogueError(f"There is no rule default “{name}”; there are {known}.") from None


@lru_cache(maxsize=1)
def catalogue() -> Catalogue:
    """The catalogue, the same object ever after; its tables are read when they are first asked for.

    A table that cannot be read, or a row that cannot be used, is a :class:`CatalogueError` then, with file and place.
    """
    return Catalogue(
        materials=_table("materials.toml", "material", material_from_row),
        parts=CatalogueTable(sorted(_DATA.glob("parts-*.toml")), "part", part_from_row),
        bit_sets=BitSets(_DATA / "bits.toml"),
        papers=_table("papers.toml", "paper", paper_from_row),
        allowances=_table("allowances.toml", "allowance", allowance_from_row),
        rules=_table("rules.toml", "default", default_from_row, _board_sides()),
        speeds=_table("speeds.toml", "speed", speed_from_row),
        conductors=_table("conductors.toml", "conductor", conductor_from_row),
        supplies=_table("supplies.toml", "supply", supply_from_row),
        wire_colours=_table("wire-colours.toml", "colour", colour_from_row),
    )


def _table(
    file: str, name: str, read: Callable[[object, str], T], more: Mapping[str, T] | None = None
) -> Mapping[str, T]:
    return CatalogueTable((_DATA / file,), name, read, more)


def _board_sides() -> dict[str, Default]:
    """The limits of a board as rules too, for what judges an outline by the catalogue it is given."""
    source = Source(BOARD_SIDE.why, "typical")
    least, most = float(BOARD_SIDE.least), float(BOARD_SIDE.most)
    return {"outline-smallest": Default(least, "mm", source), "outline-largest": Default(most, "mm", source)}


def paper_by_text(text: str) -> Paper:
    """The paper named by ``text``: ``a4``, … its sides, as ``594x841`` or ``8.5in x 11in``, or ``roll 610``.

    Sides without a unit are in mm; the paper is turned upright, whichever side is named first. A roll is named by
    its width and cut off as long as needed.

    Raises:
        PaperError: no such name, no such size, or a size no page can have.
    """
    papers, rules = catalogue().papers, catalogue().rule
    wanted = text.strip().lower()
    if wanted in papers:
        return papers[wanted]
    known = f"Use {', '.join(papers)}, the sides in mm, like 594x841, or a roll by its width, like roll 610."
    if wanted.startswith("roll") and len(text) <= 100:
        return _roll(text, wanted.removeprefix("roll"), known)
    sides = _SIDES.fullmatch(wanted) if len(text) <= 100 else None
    if sides is None:
        raise PaperError(f"There is no paper “{_short(text)}”. {known}")
    try:
        width, height = sorted(parse_length(sides[side], Unit.MM, what="Paper side") for side in ("width", "height"))
    except LengthError as error:
        raise PaperError(f"There is no paper “{_short(text)}”: {error} {known}") from error
    least, most = rules("paper-least"), rules("paper-most")
    if not least <= width <= height <= most:
        raise PaperError(
            f"A paper of {width:g} × {height:g} mm cannot be used; its sides are from {least:g} to {most:g} mm. {known}"
        )
    name = f"{format_exact(width)} × {format_exact(height)} mm"
    return Paper(
        f"{format_exact(width)}x{format_exact(height)}", name, width, height, Source("As entered.", "measured")
    )


def _roll(text: str, width: str, known: str) -> Paper:
    least, most = catalogue().rule("paper-least"), catalogue().rule("paper-most")
    try:
        wide = parse_length(width, Unit.MM, what="Roll width")
    except LengthError as error:
        raise PaperError(f"There is no paper “{_short(text)}”: {error} {known}") from error
    if not least <= wide <= most:
        raise PaperError(f"A roll {wide:g} mm wide cannot be used; from {least:g} to {most:g} mm are. {known}")
    name = f"roll {format_exact(wide)} mm wide"
    return Paper(f"roll {format_exact(wide)}", name, wide, most, Source("As entered.", "measured"), roll=True)


def _short(text: str) -> str:
    clean = "".join(c if c.isprintable() else "�" for c in text)
    return clean if len(clean) <= 40 else f"{clean[:40]}…"
