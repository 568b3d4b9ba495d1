"""Rows of everything but hardware: materials, papers, bits, allowances and the defaults of the rules."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import cast, get_args

from msgspec import Struct
from propcache.api import cached_property

from app.catalogue.records import source_from
from app.catalogue.rows import Row, at
from app.catalogue.tables import rows_of
from app.errors import CatalogueError
from app.model.material import Material, MaterialLimit, MaterialLimits, Strength
from app.model.source import Source
from app.model.tooling import Allowance, Bit, BitKind, Paper, Speed
from app.units import Unit, parse_length

_FAMILIES = ("mdf", "plywood", "acrylic", "aluminium", "steel")
_LIMITS = ("edge_stop", "edge_caution", "edge_caution_backed", "web_stop", "web_caution")
_UNITS = ("mm", "N", "mA", "V", "degrees", "s", "min", "%", "1")


class Default(Struct, frozen=True):
    """A number a rule or a drawing falls back on.

    Args:
        value: in ``unit``.
        unit: ``mm``, ``N``, ``mA``, ``V``, ``degrees``, ``min`` or ``1`` for a plain number.
        source: where it comes from.
    """

    value: float
    unit: str
    source: Source


class BitRow(Struct, frozen=True):
    """Bits of one kind in one set: what is sold, and where the sizes come from."""

    set_name: str
    bits: tuple[Bit, ...]
    source: Source


def material_from_row(row: object, place: str) -> Material:
    """The material a row describes: ``id, name, family, density, thicknesses, source, basis``, a table ``limits``.

    A list ``strengths``, thinnest first, may be left out: ``up_to, bending, shear, modulus, poisson, source, basis``.

    Raises:
        CatalogueError: a field is missing, unknown or out of range.
    """
    r = Row(row, place)
    material = Material(
        id=r.id(),
        name=r.text("name", 120),
        family=r.choice("family", _FAMILIES),
        density=r.number("density", 0.0, 20_000.0, above=True),
        thicknesses=tuple(_length(entry, where) for entry, where in r.items("thicknesses")),
        limits=_limits(r.table("limits")),
        source=source_from(r),
        strengths=_strengths(r),
    )
    r.done()
    return material


def paper_from_row(row: object, place: str) -> Paper:
    """The paper a row describes: ``id, name, width, height, source, basis``; upright, so width is at most height.

    Raises:
        CatalogueError: a field is missing, unknown or out of range.
    """
    r = Row(row, place)
    width = r.number("width", 0.0, above=True)
    paper = Paper(r.id(), r.text("name", 120), width, r.number("height", width), source_from(r))
    r.done()
    return paper


def allowance_from_row(row: object, place: str) -> Allowance:
    """The allowance a row describes: ``id, name, position, edge, source, basis`` [mm].

    Raises:
        CatalogueError: a field is missing, unknown or out of range.
    """
    r = Row(row, place)
    allowance = Allowance(
        r.id(),
        r.text("name", 120),
        r.number("position", 0.0, 10.0),
        r.number("edge", 0.0, 10.0),
        source_from(r),
    )
    r.done()
    return allowance


def speed_from_row(row: object, place: str) -> Speed:
    """The speed a row describes: ``id, kinds, families, up_to, least, most, rim, source, basis``.

    Either ``most`` [turns a minute] or ``rim`` [m/min].

    Raises:
        CatalogueError: a field is missing, unknown or out of range.
    """
    r = Row(row, place)
    speed = Speed(
        id=r.id(),
        kinds=tuple(_word(entry, where, get_args(BitKind)) for entry, where in r.items("kinds")),
        families=tuple(_word(entry, where, _FAMILIES) for entry, where in r.items("families")),
        up_to=r.number("up_to", 0.0, 200.0, above=True),
        least=r.number("least", 0.0, 30_000.0, default=0.0),
        most=r.number("most", 0.0, 30_000.0, default=0.0),
        rim=r.number("rim", 0.0, 1000.0, default=0.0),
        source=source_from(r),
    )
    r.done()
    if (speed.most > 0) == (speed.rim > 0) or speed.least > (speed.most or speed.least):
        raise CatalogueError(f"{place}: either most or rim is needed, and least below most. Correct it.")
    return speed


def _word(value: object, place: str, allowed: tuple[str, ...]) -> str:
    if not isinstance(value, str) or value not in allowed:
        raise CatalogueError(f"{place}: one of {', '.join(allowed)} is needed, got {value!r}. Correct it.")
    return value


def bits_from_row(row: object, place: str) -> BitRow:
    """The bits a row describes: ``set, kind, inch, diameters, reach, source, basis``.

    A diameter is a number of millimetres, or a text such as ``"1 1/8 in"``, which is exact.

    Raises:
        CatalogueError: a field is missing, unknown or out of range.
    """
    r = Row(row, place)
    kind = cast("BitKind", r.choice("kind", get_args(BitKind)))
    inch, reach = r.flag("inch", default=False), r.number("reach", 0.0, above=True)
    bits = []
    for entry, where in r.items("diameters"):
        with at(where):
            bits.append(Bit(kind, _length(entry, where), reach, inch))
    result = BitRow(r.id("set"), tuple(bits), source_from(r))
    r.done()
    return result


class BitSets(Mapping[str, tuple[Bit, ...]]):
    """The bits of each set, preferred kinds first, read when they are first asked for.

    Args:
        file: the table of them.

    Raises:
        CatalogueError: it cannot be read, or holds a row that cannot be used, when it is asked for.
    """

    def __init__(self, file: Path) -> None:
        self._file = file

    @cached_property
    def rows(self) -> tuple[BitRow, ...]:
        """The rows of the table, with their sources."""
        return tuple(bits_from_row(*row) for row in rows_of(self._file, "bits"))

    @cached_property
    def _sets(self) -> dict[str, tuple[Bit, ...]]:
        found: dict[str, tuple[Bit, ...]] = {}
        for row in self.rows:
            found[row.set_name] = found.get(row.set_name, ()) + row.bits
        return found

    def __getitem__(self, name: str) -> tuple[Bit, ...]:
        return self._sets[name]

    def __iter__(self) -> Iterator[str]:
        return iter(self._sets)

    def __len__(self) -> int:
        return len(self._sets)


def default_from_row(row: object, place: str) -> Default:
    """The value of a rule default a row describes: ``id, value, unit, source, basis``.

    Raises:
        CatalogueError: a field is missing, unknown or out of range.
    """
    r = Row(row, place)
    default = Default(r.number("value", 0.0, 100_000.0), r.choice("unit", _UNITS), source_from(r))
    r.id()
    r.done()
    return default


def _strengths(r: Row) -> tuple[Strength, ...]:
    found: list[Strength] = []
    for entry, where in r.items("strengths", 0):
        row = Row(entry, where)
        least = found[-1].up_to if found else 0.0
        strength = Strength(
            up_to=row.number("up_to", least, 1000.0, above=True),
            bending=row.number("bending", 0.0, 5000.0, above=True),
            shear=row.number("shear", 0.0, 5000.0, above=True),
            modulus=row.number("modulus", 0.0, 1_000_000.0, above=True),
            poisson=row.number("poisson", 0.0, 0.5),
            source=source_from(row),
        )
        row.done()
        found.append(strength)
    return tuple(found)


def _limits(r: Row) -> MaterialLimits:
    edge_stop, edge_caution, edge_backed, web_stop, web_caution = (_limit(r.table(name)) for name in _LIMITS)
    limits = MaterialLimits(
        edge_stop,
        edge_caution,
        edge_backed,
        web_stop,
        web_caution,
        r.number("ledge_floor", 0.0),
        source_from(r),
    )
    r.done()
    return limits


def _limit(r: Row) -> MaterialLimit:
    limit = MaterialLimit(
        *(r.number(name, 0.0, 100.0, default=0.0) for name in ("fixed", "per_thickness", "per_diameter"))
    )
    r.done()
    return limit


def _length(value: object, place: str) -> float:
    if isinstance(value, str):
        with at(place):
            length = parse_length(value, Unit.MM)
    elif isinstance(value, int | float) and not isinstance(value, bool):
        length = float(value)
    else:
        raise CatalogueError(f"{place}: a length is needed, got {value!r}. Write millimetres, or a text with its unit.")
    if not 0 < length <= 5000:
        raise CatalogueError(f"{place}: a length above 0, up to 5000 mm is needed, got {length:g}. Correct it.")
    return length
