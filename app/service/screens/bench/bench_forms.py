"""What the builder sets on the pages of lists: rates on the drilling run, spares and own columns on the parts list."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

from msgspec import Struct

from app.model.limits import COLUMNS
from app.paper.kinds.lists import items_on
from app.paper.lists.drilling import time_words
from app.paper.sheet_kind import SheetJob
from app.service.drawings.sheet_jobs import own_columns
from app.service.sight import Sight
from app.shop.parts_list import Item
from app.shop.rates import rates_of, spares_of
from app.units import format_exact

_RATES: Final = {
    "hole": "A hole or pilot",
    "counterbore": "A counterbore, recess or opening",
    "change": "A change of bit",
    "turning": "A turning of the board",
}
MOST_IN_FORM: Final = 80
"""Entries of one form: each is sent twice, as it is and as it was shown, and a form has two hundred fields."""


class RateField(Struct, frozen=True):
    """A field of the form of rates: its name, its words, what it shows, and what holds where it is empty."""

    name: str
    words: str
    value: str
    usual: str


class CellField(Struct, frozen=True):
    """A field of a column: the key of its line, the line in words, and what stands in it."""

    line: str
    words: str
    value: str


class ColumnSeen(Struct, frozen=True):
    """A column of the builder's own.

    Args:
        id: by which forms name it.
        name: at its head.
        filled: how many entries it has, here and on lists that do not show here.
        forms: its fields, so many a form as may be sent at once; those of lines that are not on this list come last.
    """

    id: str
    name: str
    filled: int
    forms: tuple[tuple[CellField, ...], ...]

    @property
    def fields(self) -> frozenset[str]:
        """Names of all its fields."""
        return frozenset(f"cell-{cell.line}" for form in self.forms for cell in form)


class PartsForms(Struct, frozen=True):
    """What is set on the page of the parts list: the share of spares, the columns, and whether one more may be."""

    spares: str
    usual_spares: str
    columns: tuple[ColumnSeen, ...]
    more: bool


def rate_fields(sight: Sight) -> tuple[RateField, ...]:
    """The fields of the form of rates."""
    own, usual = sight.design.shop.rates, rates_of(sight.checked.resolved.tooling)
    said = own.model_dump() if own is not None else {}
    return tuple(
        RateField(name, words, _time(said.get(name)), time_words(getattr(usual, name)))
        for name, words in _RATES.items()
    )


def parts_forms(sight: Sight, job: SheetJob) -> PartsForms:
    """What is set on the page of the parts list, for the lines it has now."""
    own, items = sight.design.shop.spares, items_on(job)
    columns = own_columns(sight.design)
    return PartsForms(
        spares="" if own is None else f"{format_exact(round(own, 2))} %",
        usual_spares=f"{format_exact(round(spares_of(job.board.tooling), 2))} %",
        columns=tuple(
            ColumnSeen(c.id, c.name, len(c.cells), _forms(c.cells, items)) for c in columns
        ),
        more=len(columns) < COLUMNS.most,
    )  # fmt: skip


def _forms(cells: Mapping[str, str], items: tuple[Item, ...]) -> tuple[tuple[CellField, ...], ...]:
    found = dict(cells)
    fields = [CellField(item.key, _line(item), found.pop(item.key, "")) for item in items]
    fields += [CellField(line, f"{line}, not on this list now", text) for line, text in found.items()]
    return tuple(tuple(fields[k : k + MOST_IN_FORM]) for k in range(0, len(fields), MOST_IN_FORM))


def _line(item: Item) -> str:
    long = f", {format_exact(round(item.size, 2))} mm" if item.size is not None and item.sort != "moulding" else ""
    return f"{item.name}{long}"


def _time(seconds: float | None) -> str:
    return "" if seconds is None else time_words(seconds)
