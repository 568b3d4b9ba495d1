"""The catalogue that comes with the program, read once from the tables beside this module."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from types import MappingProxyType
from typing import Final, Protocol, TypeVar

from app.catalogue.records import part_from_row
from app.catalogue.stock import (
    BitRow,
    Default,
    allowance_from_row,
    bits_from_row,
    default_from_row,
    material_from_row,
    paper_from_row,
)
from app.errors import CatalogueError, LengthError, PaperError
from app.model.limits import BOARD_SIDE
from app.model.material import Material
from app.model.part import Part
from app.model.source import Source
from app.model.tooling import Allowance, Bit, Paper
from app.units import Unit, format_exact, parse_length

_DATA: Final = Path(__file__).parent / "data"
_SIDES: Final = re.compile(r"(?P<width>[^x×]+)[x×](?P<height>[^x×]+)")
T = TypeVar("T")


class _Named(Protocol):
    @property
    def id(self) -> str: ...


N = TypeVar("N", bound=_Named)


@dataclass(frozen=True, slots=True)
class Catalogue:
    """Everything the program knows about the world outside, each row with its source.

    Args:
        materials: by id.
        parts: by id.
        bit_sets: ``metric`` and ``inch``: every bit of the set, preferred kinds first.
        papers: by id.
        allowances: ``hand``, ``press`` and ``cnc``.
        rules: defaults of the fit rules and drawings, by name.
        bit_rows: the bit sets again, with their sources.
    """

    materials: Mapping[str, Material]
    parts: Mapping[str, Part]
    bit_sets: Mapping[str, tuple[Bit, ...]]
    papers: Mapping[str, Paper]
    allowances: Mapping[str, Allowance]
    rules: Mapping[str, Default]
    bit_rows: tuple[BitRow, ...]

    def rule(self, name: str) -> float:
        """Value of the rule default ``name`` [its own unit].

        Raises:
            CatalogueError: there is none of that name.
        """
        if name not in self.rules:
            raise CatalogueError(f"There is no rule default “{name}”; there are {', '.join(sorted(self.rules))}.")
        return self.rules[name].value


@lru_cache(maxsize=1)
def catalogue() -> Catalogue:
    """The catalogue, read on first use and the same object ever after.

    Raises:
        CatalogueError: a table cannot be read or holds a row that cannot be used, with its file and place.
    """
    bit_rows = tuple(_rows("bits.toml", "bits", bits_from_row))
    sets: dict[str, tuple[Bit, ...]] = {}
    for row in bit_rows:
        sets[row.set_name] = sets.get(row.set_name, ()) + row.bits
    part_files = sorted(path.name for path in _DATA.glob("parts-*.toml"))
    parts = [part for name in part_files for part in _rows(name, "part", part_from_row)]
    return Catalogue(
        materials=_by_id(_rows("materials.toml", "material", material_from_row)),
        parts=_by_id(parts),
        bit_sets=MappingProxyType(sets),
        papers=_by_id(_rows("papers.toml", "paper", paper_from_row)),
        allowances=_by_id(_rows("allowances.toml", "allowance", allowance_from_row)),
        rules=_unique((*_rows("rules.toml", "default", default_from_row), *_board_sides())),
        bit_rows=bit_rows,
    )


def _board_sides() -> tuple[tuple[str, Default], ...]:
    """The limits of a board as rules too, for what judges an outline by the catalogue it is given."""
    source = Source(BOARD_SIDE.why, "typical")
    least, most = float(BOARD_SIDE.least), float(BOARD_SIDE.most)
    return ("outline-smallest", Default(least, "mm", source)), ("outline-largest", Default(most, "mm", source))


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


def _rows(file: str, table: str, read: Callable[[object, str], T]) -> list[T]:
    try:
        content = tomllib.loads((_DATA / file).read_text(encoding="utf-8"))
    except (OSError, ValueError) as error:
        raise CatalogueError(f"{file}: the table cannot be read ({error}). Install Holewise again.") from error
    rows = content.get(table)
    if not isinstance(rows, list) or len(content) != 1:
        raise CatalogueError(f"{file}: only a list of [[{table}]] is allowed, got {', '.join(content) or 'nothing'}.")
    return [read(row, f"{file} {table}[{i}]") for i, row in enumerate(rows)]


def _by_id(items: Iterable[N]) -> Mapping[str, N]:
    return _unique((item.id, item) for item in items)


def _unique(pairs: Iterable[tuple[str, T]]) -> Mapping[str, T]:
    found: dict[str, T] = {}
    for name, item in pairs:
        if name in found:
            raise CatalogueError(f"The catalogue has “{name}” twice. Rename one of the rows.")
        found[name] = item
    return MappingProxyType(found)
