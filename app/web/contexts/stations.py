"""The stations page: what each player's hands use, its parameters, and the arrangements side by side."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from markupsafe import Markup

from app.arrange.add_station import MOST_PLAYERS, players_of
from app.arrange.arcs import FEWEST
from app.catalogue.load import catalogue
from app.document.resolve import design_parts, find_arrangement, find_board
from app.document.schema import ArrangementEntry, Design
from app.service.drawings import board_svg
from app.service.sight import Sight
from app.service.stations import LENGTHS, StationView, common_holes, own_holes, shapes_for, station_views
from app.units import Unit
from app.web.contexts.here import Choice, Here, Option
from app.web.contexts.report import Tally, shares_holes, tally_of
from app.web.contexts.switches import switches_of
from app.web.contexts.words import as_typed, counted, listed

SHAPE_WORDS = {"straight": "straight", "stepped": "stepped", "arc": "arc"}
SIDE_WORDS = {
    "left": "left of the buttons",
    "right": "right of the buttons",
    "centre": "dead centre",
    "none": "none",
}
_HINTS = {
    "hand_gap": "Centre to centre, to the nearest column",
    "step": "How far the later columns sit behind the first",
    "arc": "How far the middle columns sit behind the outer ones",
}
_MIDDLES = {
    "left": "Midway between stick and furthest column",
    "right": "Midway between stick and furthest column",
    "centre": "Centre of the stick; the columns sit beside it",
    "none": "Midway between the outer columns",
}
"""What the middle of a station is, by where its stick stands."""


@dataclass(frozen=True, slots=True)
class LengthField:
    """A length of the station: field name, words, what it shows, and what to know about it."""

    name: str
    words: str
    value: str
    hint: str


@dataclass(frozen=True, slots=True)
class StationForm:
    """The parameters of the station in hand.

    Args:
        id, name: of the station.
        letters: of its parts, in words.
        by_hand: what is said of parts that stand elsewhere; empty if none does.
        lengths: fields.
        buttons, rows, tilt: as shown.
        mirrored: whether it is the mirror image.
        shapes, sticks, button_parts, stick_parts: to choose from.
    """

    id: str
    name: str
    letters: str
    by_hand: str
    lengths: tuple[LengthField, ...]
    buttons: str
    rows: str
    tilt: str
    mirrored: bool
    shapes: tuple[Choice, ...]
    sticks: tuple[Choice, ...]
    button_parts: tuple[Choice, ...]
    stick_parts: tuple[Choice, ...]


@dataclass(frozen=True, slots=True)
class Beside:
    """An arrangement beside the others.

    Args:
        name: what it is called.
        url: its stations.
        picture: of it.
        common, alone: the holes it has in common, and those it has not, in words.
        current: whether it is the one on screen.
        state, says: how it stands, as of an :class:`Option`.
    """

    name: str
    url: str
    picture: str
    common: str
    alone: str
    current: bool
    state: str
    says: str


@dataclass(frozen=True, slots=True)
class StationsPage:
    """The stations page.

    Args:
        here: the view; its selected parts are those of the station in hand.
        title: of the design.
        arrangements, units, stations: switches.
        undo, redo: names of the steps; empty if there is none.
        drawing: the board with the station's parts selected.
        form: of the station in hand; None if the arrangement has none.
        adding: what is said of the player to add; empty if there can be no more.
        beside: every arrangement of the board, if there are several.
        having: those other arrangements in which the station in hand follows a change.
        tally: stops and cautions.
        unit: of the fields.
        back_url: the board page.
        problems: sentence by field that could not be taken.
        typed: what stood in the fields then.
    """

    here: Here
    title: str
    arrangements: tuple[Option, ...]
    units: tuple[Option, ...]
    stations: tuple[Option, ...]
    undo: str
    redo: str
    drawing: Markup
    form: StationForm | None
    adding: str
    beside: tuple[Beside, ...]
    having: tuple[Option, ...]
    tally: Tally
    unit: str
    back_url: str
    problems: Mapping[str, str] = field(default_factory=dict)
    typed: Mapping[str, str] = field(default_factory=dict)


def stations_page(
    sight: Sight,
    here: Here,
    station: str,
    *,
    problems: Mapping[str, str] | None = None,
    typed: Mapping[str, str] | None = None,
) -> StationsPage:
    """The page with one station in hand; the first if ``station`` is empty or gone."""
    board, design = sight.checked.resolved, sight.design
    unit = Unit(board.units)
    views = station_views(design, here.where)
    held = next((v for v in views if v.entry.id == station), views[0] if views else None)
    entry = find_arrangement(find_board(design, here.where.board), here.where.arrangement)
    chosen = [p.id for p in entry.placements if held is not None and p.station == held.entry.id]
    here = here.at(select=(), face="top", section=False).showing(sight.head.revision.id)
    in_hand = held.entry.id if held else ""
    switches = switches_of(design, here, board, "/stations", sight.states, station=in_hand)
    return StationsPage(
        here=here,
        title=design.title,
        arrangements=switches["arrangements"],
        units=switches["units"],
        stations=tuple(
            Option(v.entry.name or v.entry.id, here.url("/stations", station=v.entry.id), v is held) for v in views
        ),
        undo=sight.head.undo or "",
        redo=sight.head.redo or "",
        drawing=Markup(board_svg(sight.checked, "top", chosen)),  # noqa: S704 - our own writer's SVG
        form=_form(held, design, unit) if held else None,
        adding=_adding(entry),
        beside=_beside(design, here, sight.head.revision.id, switches["arrangements"]) if shares_holes(sight) else (),
        having=_having(design, here, held, switches["arrangements"]) if held else (),
        tally=tally_of(sight.checked),
        unit=unit.value,
        back_url=here.url(),
        problems=problems or {},
        typed=typed or {},
    )


def _form(view: StationView, design: Design, unit: Unit) -> StationForm:
    entry = view.entry
    own = {"step": view.step, "arc": view.arc}
    values = {name: own[name] if name in own else getattr(entry, name) for name in LENGTHS}
    hints = {**_HINTS, "centre": _MIDDLES[entry.stick], "arc": f"{_HINTS['arc']}; up to {view.deepest} here"}
    unused = {
        "step": entry.shape != "stepped",
        "arc": entry.shape != "arc" or entry.columns < FEWEST,
        "hand_gap": entry.stick == "none",
    }
    parts = design_parts(design, catalogue()).values()
    buttons = entry.rows * entry.columns if entry.buttons is None else entry.buttons
    return StationForm(
        id=entry.id,
        name=entry.name or entry.id,
        letters=", ".join(view.letters),
        by_hand=_by_hand(view),
        lengths=tuple(
            LengthField(name, words[:1].upper() + words[1:], as_typed(values[name], unit), hints.get(name, ""))
            for name, words in LENGTHS.items()
            if not unused.get(name, False)
        ),
        buttons=str(buttons),
        rows=str(entry.rows),
        tilt=f"{entry.tilt:g}°".replace("-", "−"),
        mirrored=entry.mirrored,
        shapes=tuple(
            Choice(k, words, k == entry.shape)
            for k, words in SHAPE_WORDS.items()
            if k in shapes_for(entry.columns) or k == entry.shape
        ),
        sticks=tuple(Choice(k, words, k == entry.stick) for k, words in SIDE_WORDS.items()),
        button_parts=tuple(Choice(p.id, p.name, p.id == entry.button_part) for p in parts if p.kind == "button"),
        stick_parts=tuple(Choice(p.id, p.name, p.id == entry.stick_part) for p in parts if p.kind == "stick"),
    )


def _having(design: Design, here: Here, held: StationView, stand: tuple[Option, ...]) -> tuple[Option, ...]:
    board = find_board(design, here.where.board)
    pairs = zip(board.arrangements, stand, strict=True) if stand else ()
    return tuple(option for a, option in pairs if held.entry in a.stations and not option.current)


def _adding(arrangement: ArrangementEntry) -> str:
    players = players_of(arrangement)
    if not players:
        return "Laid out as for a new deck of this size."
    if len(players) >= MOST_PLAYERS:
        return ""
    last = players[-1].name or players[-1].id
    return f"Laid out like {last}, across the centre line if there is room, with its own letters."


def _by_hand(view: StationView) -> str:
    said = []
    if view.by_hand:
        letters = listed(list(view.by_hand))
        one = len(view.by_hand) == 1
        where = "was moved or locked by hand, and stays put." if one else ""
        said.append(f"{letters} {where or 'were moved or locked by hand, and stay put.'}")
    if view.missing:
        said.append(f"{counted(view.missing, 'place')} of the station {'is' if view.missing == 1 else 'are'} empty.")
    return " ".join(said)


def _beside(design: Design, here: Here, revision: str, stand: tuple[Option, ...]) -> tuple[Beside, ...]:
    board = find_board(design, here.where.board)
    present = find_arrangement(board, here.where.arrangement)
    common, own = common_holes(board), own_holes(board)
    shared = sorted({p.label for a in board.arrangements for p in a.placements if p.id in common[a.id] and p.label})
    said = f"{counted(len(shared), 'hole')} in common: {', '.join(shared)}" if shared else "No holes in common"
    found = []
    for a, option in zip(board.arrangements, stand, strict=True):
        alone = [p.label or "–" for p in a.placements if p.id in own[a.id]]
        view = here.at(arrangement=a.id)
        found.append(
            Beside(
                name=a.name or a.id,
                url=view.url("/stations"),
                picture=view.url("/arrangement.svg", revision=revision),
                common=said,
                alone=f"Only here: {', '.join(alone)}" if alone else "No holes of its own",
                current=a.id == present.id,
                state=option.state,
                says=option.says,
            )
        )
    return tuple(found)
