"""The stations of an arrangement as they can be typed, and what the arrangements of a board have in common."""

from __future__ import annotations

from msgspec import Struct

from app.arrange.station.add_station import MOST_PLAYERS, players_of
from app.arrange.station.arcs import FEWEST
from app.document.resolve import find_arrangement, find_board
from app.document.schema import ArrangementEntry, BoardEntry, Design
from app.document.where import Where
from app.service.drawings.drawings import board_svg
from app.service.edits.stations import LENGTHS, StationView, common_holes, own_holes, shapes_for, station_views
from app.service.screens.choices import Choice, alike
from app.service.screens.words import as_typed, capital, counted, listed
from app.service.sight import Sight
from app.units import Unit

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


class StationLength(Struct, frozen=True):
    """A length of the station: field name, words, what it shows, and what to know about it."""

    name: str
    words: str
    value: str
    hint: str


class StationForm(Struct, frozen=True):
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
    lengths: tuple[StationLength, ...]
    buttons: str
    rows: str
    tilt: str
    mirrored: bool
    shapes: tuple[Choice, ...]
    sticks: tuple[Choice, ...]
    button_parts: tuple[Choice, ...]
    stick_parts: tuple[Choice, ...]


class Alongside(Struct, frozen=True):
    """An arrangement beside the others: its id and name, the holes it has in common, and those it has not, in words."""

    arrangement: str
    name: str
    common: str
    alone: str


class StationsSeen(Struct, frozen=True):
    """The stations of the arrangement in view, one of them in hand.

    Args:
        stations: id and name of each.
        held: id of the one in hand; empty if there is none.
        drawing: the board with its parts selected, inline SVG.
        form: its parameters; None if there is none.
        adding: what is said of the player to add; empty if there can be no more.
        beside: every arrangement of the board, if there are several.
        having: of each of them, whether the station in hand is in it as it is here; likewise.
    """

    stations: tuple[tuple[str, str], ...]
    held: str
    drawing: str
    form: StationForm | None
    adding: str
    beside: tuple[Alongside, ...]
    having: tuple[bool, ...]


def stations_seen(sight: Sight, station: str) -> StationsSeen:
    """The stations with the one of that id in hand; the first if it is empty or gone."""
    design, board = sight.design, find_board(sight.design, sight.checked.board)
    entry = find_arrangement(board, sight.checked.arrangement)
    views = station_views(design, Where(board.id, entry.id))
    held = next((v for v in views if v.entry.id == station), views[0] if views else None)
    chosen = [p.id for p in entry.placements if held is not None and p.station == held.entry.id]
    several = len(board.arrangements) > 1
    return StationsSeen(
        stations=tuple((v.entry.id, v.entry.name or v.entry.id) for v in views),
        held=held.entry.id if held else "",
        drawing=board_svg(sight.checked, "top", chosen),
        form=_form(held, design, sight.unit) if held else None,
        adding=_adding(entry),
        beside=_alongside(board) if several else (),
        having=tuple(held is not None and held.entry in a.stations for a in board.arrangements) if several else (),
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
    buttons = entry.rows * entry.columns if entry.buttons is None else entry.buttons
    return StationForm(
        id=entry.id,
        name=entry.name or entry.id,
        letters=", ".join(view.letters),
        by_hand=_by_hand(view),
        lengths=tuple(
            StationLength(name, capital(words), as_typed(values[name], unit), hints.get(name, ""))
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
        button_parts=_parts(design, "button", entry.button_part),
        stick_parts=_parts(design, "stick", entry.stick_part),
    )


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


def _alongside(board: BoardEntry) -> tuple[Alongside, ...]:
    common, own = common_holes(board), own_holes(board)
    shared = sorted({p.label for a in board.arrangements for p in a.placements if p.id in common[a.id] and p.label})
    said = f"{counted(len(shared), 'hole')} in common: {', '.join(shared)}" if shared else "No holes in common"
    found = []
    for a in board.arrangements:
        alone = [p.label or "–" for p in a.placements if p.id in own[a.id]]
        words = f"Only here: {', '.join(alone)}" if alone else "No holes of its own"
        found.append(Alongside(a.id, a.name or a.id, said, words))
    return tuple(found)


def _parts(design: Design, kind: str, chosen: str) -> tuple[Choice, ...]:
    return tuple(Choice(part.id, part.name, part.id == chosen) for part in alike(design, kind))
