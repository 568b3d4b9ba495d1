"""Whole invented cabinets, a deck with every companion board: scenarios that :mod:`tests.make_scenarios` writes."""

from __future__ import annotations

from app.arrange.board.name import rename_board
from app.arrange.design.settings import set_notes
from app.arrange.maker.make import make_board
from app.arrange.new_deck.new_deck import new_deck
from app.arrange.new_deck.new_deck_spec import NewDeck
from app.catalogue.load import catalogue
from app.document.schema import Design
from app.model.maker.measure import Value
from app.units import INCH

_Board = tuple[str, str, dict[str, Value]]
_Cabinet = tuple[NewDeck, str, tuple[_Board, ...]]

DRIVER: dict[str, Value] = {
    "outer": 102.0, "cone": 76.0, "depth": 40.0, "magnet": 60.0, "bolt-circle": 94.0, "hole": 8.0, "pitch": 15.5,
    "width": 140.0, "height": 140.0,
}  # fmt: skip
DRIVER_INCHES: dict[str, Value] = {
    "outer": 4 * INCH, "cone": 3 * INCH, "depth": 1.5 * INCH, "magnet": 2.5 * INCH, "fixing": "glue",
    "hole": 5 / 16 * INCH, "pitch": 5 / 8 * INCH, "width": 5.5 * INCH, "height": 5.5 * INCH,
}  # fmt: skip

METRIC: _Cabinet = (
    NewDeck(
        title="Foundry Yard cabinet", players=1, buttons=6, width=520, depth=220, thickness=18, material="mdf",
        shape="stepped",
    ),
    "A whole cabinet in millimetres: the deck of 18 mm MDF, 520 mm wide, and its companions of plywood.",
    (
        ("grille", "Grille, left", DRIVER),
        ("grille", "Grille, right", DRIVER),
        ("fan", "Fan board", {"frame": "80", "width": 160.0, "height": 140.0}),
        ("display", "Display plate", {}),
        ("sockets", "Socket panel", {}),
        ("door", "Access door", {"vents": True, "vent-hole": 8.0, "vent-pitch": 16.0, "vent-width": 190.0,
                                 "vent-height": 130.0, "paint": 0.1, "opening-height": 240.0}),
        ("header", "Header", {}),
    ),
)  # fmt: skip
"""In millimetres."""

INCHES: _Cabinet = (
    NewDeck(
        title="Orchard Row cabinet", players=1, buttons=4, width=20 * INCH, depth=9 * INCH, thickness=INCH / 2,
        material="plywood", shape="straight", units="inch",
    ),
    "A whole cabinet in inches: the deck of 1/2 in plywood, measured 12.7 mm, inch bits, and its companions.",
    (
        ("grille", "Grille, left", DRIVER_INCHES),
        ("grille", "Grille, right", DRIVER_INCHES),
        ("fan", "Fan board", {"frame": "60", "width": 5 * INCH, "height": 5 * INCH}),
        ("display", "Display plate", {"plate": INCH / 2, "screw-length": 20.0, "width": 18.5 * INCH,
                                      "height": 11.5 * INCH, "room": 19 * INCH, "span": 18 * INCH,
                                      "cable-length": 2 * INCH, "cable-width": INCH}),
        ("sockets", "Socket panel", {"count": 2, "spacing": 2.5 * INCH, "width": 7 * INCH, "height": 4 * INCH}),
        ("door", "Access door", {"opening-width": 12 * INCH, "opening-height": 9 * INCH, "vents": True,
                                 "vent-hole": 5 / 16 * INCH, "vent-pitch": 5 / 8 * INCH, "vent-width": 7 * INCH,
                                 "vent-height": 4 * INCH, "finger-hole": INCH, "held": "catch"}),
        ("header", "Header", {"opening-width": 16 * INCH, "opening-height": 3 * INCH, "lap": INCH / 2,
                              "width": 19 * INCH, "height": 6.5 * INCH, "vent-hole": INCH / 4, "vent-pitch": INCH}),
    ),
)  # fmt: skip
"""In inches."""


def cabinets(said: str) -> dict[str, Design]:
    """Both cabinets by the name of their file; ``said`` begins their notes."""
    return {name: _cabinet(*parts, said) for name, parts in {"foundry-yard": METRIC, "orchard-row": INCHES}.items()}


def _cabinet(spec: NewDeck, notes: str, boards: tuple[_Board, ...], said: str) -> Design:
    design = set_notes(new_deck(spec, catalogue()), f"{said} {notes}").design
    return _with(design, boards)


def with_boards(design: Design, cabinet: _Cabinet) -> Design:
    """A design with the companion boards of a cabinet."""
    return _with(design, cabinet[2])


def _with(design: Design, boards: tuple[_Board, ...]) -> Design:
    for maker, name, measures in boards:
        made = make_board(design, maker, measures, catalogue())
        design = rename_board(made.design, made.board, name).design
    return design
