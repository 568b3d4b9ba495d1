"""The shelf: designs as cards, and the form for a new deck."""

from __future__ import annotations

import json
from collections.abc import Mapping
from datetime import datetime
from typing import Literal

from msgspec import Struct

from app.numbers import whole
from app.service.screens.choices import MOST_BUTTONS, Choice, field_names, materials, ways_of_drilling
from app.service.shelf.documents import ScenarioSeen
from app.service.shelf.search import ShelfQuery
from app.service.shelf.shelf import Shelf
from app.web.pages.shelf.cards import DesignCard, PutAway, ScenarioCard, card_of, scenario_card, title_of
from app.web.pages.shelf.search import Looked, looked_for
from app.web.shared.words import ago

FIELD_WORDS = {
    "row": "One row",
    "straight": "Straight rows",
    "stepped": "Stepped columns",
    "arc": "Arc",
}
STICK_WORDS = {"left": "Left of the buttons", "centre": "Dead centre", "right": "Right of the buttons", "none": "None"}


class NewForm(Struct, frozen=True):
    """The new-deck form.

    Args:
        values: what stands in the fields.
        problems: sentence by field.
        players, shapes, sticks, materials, units, drilling: what can be chosen.
        most_buttons: of one player.
        fields: by number of buttons and shape, what the field is called; shapes that would be another one are left out.
    """

    values: Mapping[str, str]
    problems: Mapping[str, str]
    players: tuple[Choice, ...]
    shapes: tuple[Choice, ...]
    sticks: tuple[Choice, ...]
    materials: tuple[Choice, ...]
    units: tuple[Choice, ...]
    drilling: tuple[Choice, ...]
    most_buttons: int
    fields: str


class Renaming(Struct, frozen=True):
    """A design whose new title, or labels, could not be taken: its id, what was typed, why not, and which it was."""

    id: str
    typed: str
    problem: str
    of: Literal["title", "labels"] = "title"


class ShelfPage(Struct, frozen=True):
    """The shelf.

    Args:
        looked: what is looked for, in which order, and how much of it there is.
        cards: designs on this page, in that order.
        scenarios: designs that come with the program.
        put_away: designs taken off the shelf.
        form: the new-deck form.
        file_problem: why an opened file could not be taken; empty if none was.
        renaming: the design whose new title or labels could not be taken; None if none was.
    """

    looked: Looked
    cards: tuple[DesignCard, ...]
    scenarios: tuple[ScenarioCard, ...]
    put_away: tuple[PutAway, ...]
    form: NewForm
    file_problem: str = ""
    renaming: Renaming | None = None


DEFAULTS: Mapping[str, str] = {
    "title": "",
    "players": "2",
    "buttons": "6",
    "shape": "stepped",
    "arc": "",
    "stick": "left",
    "width": "760 mm",
    "depth": "240 mm",
    "thickness": "18 mm",
    "material": "mdf",
    "units": "mm",
    "drilling": "hand",
}


def shelf_page(
    shelf: Shelf,
    wanted: ShelfQuery,
    scenarios: tuple[ScenarioSeen, ...],
    now: datetime,
    *,
    values: Mapping[str, str] | None = None,
    problems: Mapping[str, str] | None = None,
    file_problem: str = "",
    renaming: Renaming | None = None,
) -> ShelfPage:
    """The page for what is on the shelf."""
    return ShelfPage(
        looked=looked_for(shelf, wanted),
        cards=tuple(card_of(item, now) for item in shelf.items),
        scenarios=tuple(scenario_card(scenario) for scenario in scenarios),
        put_away=tuple(PutAway(row.id, title_of(row.title), ago(row.modified, now)) for row in shelf.away),
        form=_form({**DEFAULTS, **(values or {})}, problems or {}),
        file_problem=file_problem,
        renaming=renaming,
    )


def _form(values: Mapping[str, str], problems: Mapping[str, str]) -> NewForm:
    def chosen(name: str, pairs: list[tuple[str, str]]) -> tuple[Choice, ...]:
        return tuple(Choice(value, words, value == values[name]) for value, words in pairs)

    def shape_words(shape: str) -> str:
        buttons = values["buttons"]
        count = whole(buttons, 1, MOST_BUTTONS)
        known = field_names(count) if count is not None else {}
        return f"{FIELD_WORDS[shape]} ({known[shape]})" if shape in known else FIELD_WORDS[shape]

    return NewForm(
        values=values,
        problems=problems,
        players=chosen("players", [("1", "One player"), ("2", "Two players"), ("0", "Empty board")]),
        shapes=chosen("shape", [(shape, shape_words(shape)) for shape in FIELD_WORDS]),
        sticks=chosen("stick", list(STICK_WORDS.items())),
        materials=materials(values["material"]),
        units=chosen("units", [("mm", "mm"), ("inch", "inch")]),
        drilling=ways_of_drilling(values["drilling"]),
        most_buttons=MOST_BUTTONS,
        fields=json.dumps({count: field_names(count) for count in range(1, MOST_BUTTONS + 1)}),
    )
