"""Commands of makers: what can be made of a few measures, and making it."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import Final

from app.arguments import add_out
from app.errors import EditError
from app.numbers import typed
from app.outcome import DONE, wrote
from app.units import Unit, parse_length

_OPTIONS: Final = {"x": "--at", "y": "--at", "angle": "--angle"}
"""What fields of a page are called here; measures bear their own names."""


def add_makers(makers: argparse.ArgumentParser) -> None:
    """Add the arguments of ``makers``."""
    makers.add_argument("--json", action="store_true", help="for other programs: every measure, as one JSON list")


def add_add(add: argparse.ArgumentParser) -> None:
    """Add the arguments of ``add``."""
    add.add_argument("file", type=Path, metavar="FILE", help="the design, a .json file")
    add.add_argument("maker", metavar="MAKER", help="what to make: see holewise makers")
    add.add_argument("--board", metavar="ID", help="put it on this board; by default it makes a board")
    add.add_argument("--arrangement", metavar="ID", help="which arrangement of that board")
    add.add_argument("--at", metavar="X,Y", help="its middle from the left and the front edge; the board's middle")
    add.add_argument("--angle", metavar="DEGREES", help="how it is turned, anticlockwise (0)")
    add.add_argument(
        "--set", action="append", default=[], metavar="NAME=VALUE", help="a measure; lengths like 88, 88mm or 3 1/2in"
    )
    add_out(add, "FILE")


def makers(arguments: argparse.Namespace) -> int:
    """List the makers."""
    from app import service

    print(service.makers_json() if arguments.json else service.maker_rows())
    return DONE


def add(arguments: argparse.Namespace) -> int:
    """Make something, and write the design.

    Raises:
        EditError: a measure or a place that cannot be read or is not allowed.
    """
    from app import service

    design = service.read_design(arguments.file)
    measures = service.measures_typed(arguments.maker, _settings(arguments.set), Unit.MM)
    if arguments.board is None:
        if arguments.at is not None or arguments.angle is not None or arguments.arrangement is not None:
            raise EditError("A place is for a board that is there. Name it with --board, or leave the place out.", "at")
        change = service.board_made(arguments.maker, measures)
    else:
        where = service.Where(arguments.board, arguments.arrangement)
        at = None if arguments.at is None else _place(arguments.at)
        change = service.made_on_board(where, arguments.maker, measures, at, _angle(arguments.angle))
    try:
        done = change(design)
    except EditError as error:
        raise _named(error) from None
    service.write_design(done.design, arguments.out)
    print(done.summary)
    for figure in service.figures_for(design, arguments.maker, measures):
        print(f"  {service.figure_words(figure, Unit(design.units))}")
    return wrote(arguments.out)


def _named(error: EditError) -> EditError:
    """The same with the measure before each sentence, as it is set."""
    said = [f"{_OPTIONS.get(field, field)}: {words}" if field else words for field, words in error.problems.items()]
    return EditError(" ".join(said), error.field, error.problems)


def _settings(texts: list[str]) -> dict[str, str]:
    """Measures by name, as they were typed.

    Raises:
        EditError: one has no name, or no value.
    """
    found = {}
    for text in texts:
        name, equals, value = text.partition("=")
        if not (name.strip() and equals and value.strip()):
            raise EditError(f"“{text[:40]}” is not NAME=VALUE. Write it like --set cone=88.", "set")
        found[name.strip()] = value
    return found


def _place(text: str) -> tuple[float, float]:
    sides = text.split(",")
    if len(sides) != 2:
        raise EditError(f"Place “{text[:40]}” is not X,Y. Write it like --at 300,120.", "at")
    x, y = (parse_length(side, Unit.MM, what="Place") for side in sides)
    return x, y


def _angle(text: str | None) -> float:
    number = 0.0 if text is None else typed(text)
    if number is None:
        raise EditError(f"Angle “{str(text)[:40]}” is not a number of degrees. Write it like --angle 90.", "angle")
    return number
