"""Designs as files, and what there is to know before one exists."""

from __future__ import annotations

import json
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING

from msgspec import Struct

from app.catalogue.load import catalogue
from app.document.dump import save, write_whole
from app.document.keep import kept
from app.document.load import content_of, load, loads, trusted
from app.document.schema import Design
from app.errors import EditError
from app.service.own_bits import Bits, with_bits
from app.values import replace

if TYPE_CHECKING:
    from app.arrange.new_deck.new_deck_spec import NewDeck


def wrong_answers(spec: NewDeck) -> dict[str, str]:
    """A sentence for every answer that is not allowed by itself, by field: all at once, not one after the other."""
    from app.arrange.new_deck.new_deck_spec import NewDeck
    from app.arrange.new_deck.new_deck_validation import checked

    plain, wrong = NewDeck(), dict[str, str]()
    while True:
        try:
            checked(spec, catalogue())
        except EditError as error:
            if error.field in wrong or not hasattr(plain, error.field):
                return wrong
            wrong[error.field] = str(error)
            spec = replace(spec, **{error.field: getattr(plain, error.field)})
        else:
            return wrong


class ScenarioSeen(Struct, frozen=True):
    """A design that comes with the program: id and title, arrangements, parts of the first, first line of its notes."""

    id: str
    title: str
    arrangements: int
    parts: int
    notes: str


@cache
def scenarios() -> tuple[ScenarioSeen, ...]:
    """The designs that come with the program, by id; read once."""
    from app.document.scenarios import scenario_files

    found = ((path.stem, trusted(path.read_text(encoding="utf-8"))) for path in scenario_files())
    each = ((name, design, design.boards[0].arrangements) for name, design in found)
    return tuple(
        ScenarioSeen(name, design.title, len(populated), len(populated[0].placements), design.notes.partition("\n")[0])
        for name, design, populated in each
    )


def read_design(path: Path, bits: str | None = None) -> Design:
    """The design in a file, its places counted from the datum edges.

    ``bits`` are those it is made with: the name of a set, or the path of a design file that lists them; None for
    its own.

    Raises:
        DocumentError: it cannot be read, or holds more than a design may hold as it is sent or as it would be stored,
            with the place in it and what to do.
        EditError: no such set of bits.
    """
    from app.arrange.board.datum import from_datum

    content = content_of(path)
    design = loads(content)
    kept(design, read=content)
    return with_named_bits(from_datum(design), bits)


def with_named_bits(design: Design, bits: str | None) -> Design:
    """The design as it is made with a set of bits, by its name or the path of a file; with its own for None.

    Raises:
        DocumentError: the file cannot be read.
        EditError: no such set of bits.
    """
    return with_bits(design, None if bits is None else _bits_named(bits))


def _bits_named(name: str) -> Bits:
    from app.arrange.design.settings import bit_set, shop_bits

    if name in catalogue().bit_sets or not Path(name).exists():
        return bit_set(name, catalogue())
    return shop_bits(load(Path(name)), catalogue())


def write_design(design: Design, path: Path) -> None:
    """Write a design to a file, whole or not at all.

    Raises:
        DocumentError: the file cannot be written, or could not be read again.
    """
    kept(design)
    save(design, path)


def save_file(data: bytes, path: Path) -> None:
    """Write a file, whole or not at all.

    Raises:
        DocumentError: it cannot be written.
    """
    write_whole(data, path)


def schema_json() -> str:
    """The JSON Schema of a design file, as text."""
    return json.dumps(Design.model_json_schema(), indent=2, ensure_ascii=False)


def part_rows() -> str:
    """The hardware of the catalogue as a table: id, kind, name, basis and source of its numbers."""
    rows = [("id", "kind", "name", "numbers", "source")]
    rows += [(p.id, p.kind, p.name, p.source.basis, p.source.text) for p in catalogue().parts.values()]
    widths = [max(len(row[column]) for row in rows) for column in range(4)]
    return "\n".join(
        "  ".join([*(cell.ljust(width) for cell, width in zip(row, widths, strict=False)), row[4]]).rstrip()
        for row in rows
    )
