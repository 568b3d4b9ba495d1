"""The shelf: designs as cards, and the form for a new deck."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime

from app.arrange.stations import MOST_BUTTONS, named_fields
from app.catalogue.load import catalogue
from app.document.scenarios import Scenario
from app.drafting.words import exact
from app.numbers import whole
from app.service.workshop import ShelfItem
from app.store import DesignRow
from app.units import Unit
from app.web.contexts.here import Choice, Here
from app.web.contexts.report import Tally, tally_of
from app.web.contexts.words import ago, counted, listed, material_words

FIELD_WORDS = {
    "row": "One row",
    "straight": "Straight rows",
    "stepped": "Stepped columns",
    "arc": "Arc",
}
STICK_WORDS = {"left": "Left of the buttons", "centre": "Dead centre", "right": "Right of the buttons", "none": "None"}


@dataclass(frozen=True, slots=True)
class Card:
    """One design on the shelf.

    Args:
        id: of the design.
        title: of the design.
        url: its board page.
        picture: a true drawing of its deck; empty if it cannot be shown.
        size: of its deck, in words.
        players: its arrangements, in words.
        tally: the worst of its arrangements; None if it cannot be shown.
        changed: when it was changed last, in words.
        moment: the same, exactly.
        problem: why it cannot be shown; empty if it can.
    """

    id: str
    title: str
    url: str
    picture: str
    size: str
    players: str
    tally: Tally | None
    changed: str
    moment: str
    problem: str


@dataclass(frozen=True, slots=True)
class ScenarioCard:
    """A design that comes with the program."""

    name: str
    title: str
    picture: str
    size: str
    notes: str


@dataclass(frozen=True, slots=True)
class PutAway:
    """A design taken off the shelf."""

    id: str
    title: str
    changed: str


@dataclass(frozen=True, slots=True)
class NewForm:
    """The new-deck form.

    Args:
        values: what stands in the fields.
        problems: sentence by field.
        players, shapes, sticks, materials, units, drilling: what can be chosen.
        most_buttons: of one player.
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


@dataclass(frozen=True, slots=True)
class ShelfPage:
    """The shelf.

    Args:
        cards: designs, last changed first.
        scenarios: designs that come with the program.
        put_away: designs taken off the shelf.
        form: the new-deck form.
        file_problem: why an opened file could not be taken; empty if none was.
    """

    cards: tuple[Card, ...]
    scenarios: tuple[ScenarioCard, ...]
    put_away: tuple[PutAway, ...]
    form: NewForm
    file_problem: str = ""


DEFAULTS: Mapping[str, str] = {
    "title": "",
    "players": "2",
    "buttons": "6",
    "shape": "stepped",
    "stick": "left",
    "width": "760 mm",
    "depth": "240 mm",
    "thickness": "18 mm",
    "material": "mdf",
    "units": "mm",
    "drilling": "hand",
}


def shelf_page(
    items: tuple[ShelfItem, ...],
    scenarios: tuple[Scenario, ...],
    away: tuple[DesignRow, ...],
    now: datetime,
    *,
    values: Mapping[str, str] | None = None,
    problems: Mapping[str, str] | None = None,
    file_problem: str = "",
) -> ShelfPage:
    """The page for what is on the shelf."""
    return ShelfPage(
        cards=tuple(_card(item, now) for item in items),
        scenarios=tuple(_scenario(scenario) for scenario in scenarios),
        put_away=tuple(PutAway(row.id, row.title, ago(row.modified, now)) for row in away),
        form=_form({**DEFAULTS, **(values or {})}, problems or {}),
        file_problem=file_problem,
    )


def _card(item: ShelfItem, now: datetime) -> Card:
    row = item.row
    size, players, tally = "", "", None
    if item.design is not None:
        board = item.results[0].resolved
        unit = Unit(board.units)
        size = f"{exact(board.width, unit)} × {exact(board.depth_front_to_back, unit)} × {exact(board.thickness, unit)}"
        size = size.replace(" mm ×", " ×") + f" {material_words(board.layers)}"
        players = listed([r.resolved.arrangement_name for r in item.results][:3])
        tally = max((tally_of(r) for r in item.results), key=lambda t: (t.stops, t.cautions, t.notes))
    return Card(
        id=row.id,
        title=row.title,
        url=Here(row.id).url(),
        picture=f"/designs/{row.id}/thumbnail.svg?revision={item.revision}" if item.design else "",
        size=size,
        players=players,
        tally=tally,
        changed=ago(row.modified, now),
        moment=row.modified.isoformat(timespec="seconds"),
        problem=item.problem,
    )


def _scenario(scenario: Scenario) -> ScenarioCard:
    design = scenario.design
    arrangements = design.boards[0].arrangements
    return ScenarioCard(
        name=scenario.id,
        title=scenario.title,
        picture=f"/scenarios/{scenario.id}.svg",
        size=f"{counted(len(arrangements), 'arrangement')}, {len(arrangements[0].placements)} parts",
        notes=design.notes.partition("\n")[0],
    )


def _form(values: Mapping[str, str], problems: Mapping[str, str]) -> NewForm:
    def chosen(name: str, pairs: list[tuple[str, str]]) -> tuple[Choice, ...]:
        return tuple(Choice(value, words, value == values[name]) for value, words in pairs)

    def shape_words(shape: str) -> str:
        buttons = values["buttons"]
        count = whole(buttons, 1, MOST_BUTTONS)
        known = dict(named_fields(count)) if count is not None else {}
        return f"{FIELD_WORDS[shape]} ({known[shape]})" if shape in known else FIELD_WORDS[shape]

    return NewForm(
        values=values,
        problems=problems,
        players=chosen("players", [("1", "One player"), ("2", "Two players"), ("0", "Empty board")]),
        shapes=chosen("shape", [(shape, shape_words(shape)) for shape in FIELD_WORDS]),
        sticks=chosen("stick", list(STICK_WORDS.items())),
        materials=chosen("material", [(m.id, m.name) for m in catalogue().materials.values()]),
        units=chosen("units", [("mm", "mm"), ("inch", "inch")]),
        drilling=chosen("drilling", [(a.id, a.name) for a in catalogue().allowances.values()]),
        most_buttons=MOST_BUTTONS,
    )
