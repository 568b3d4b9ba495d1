"""The command about a family of designs: things of one file brought to others."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path
from typing import TYPE_CHECKING

from app.errors import EditError, HolewiseError
from app.outcome import DONE, FAILED, STOPS, wrote

if TYPE_CHECKING:
    from app.service import BringSource, BringWays, Wanted


def add_bring(bring: argparse.ArgumentParser) -> None:
    """Add the arguments of ``bring``."""
    bring.add_argument("file", type=Path, metavar="FILE", help="the design that has them")
    bring.add_argument("--to", type=Path, nargs="+", required=True, metavar="FILE", help="designs that are to get them")
    bring.add_argument("--boards", default="", metavar="A,B", help="boards, with all that is on them")
    bring.add_argument(
        "--arrangement", action="append", default=[], metavar="[BOARD/]ID", help="of the deck, or a board"
    )
    bring.add_argument(
        "--cut-outs", action="append", default=[], metavar="[BOARD/]ID", help="what a maker put on a board"
    )
    bring.add_argument(
        "--replace", action="store_true", help="in place of what has the same id there, though new to it"
    )
    bring.add_argument("--centred", action="store_true", help="keep the distance from the board's middle, not its edge")
    bring.add_argument("--bits", metavar="SET|FILE", help="your bits: metric, inch, or a design file that lists them")
    bring.add_argument("--try", action="store_true", dest="only_try", help="say what would happen, and write nothing")


def bring(arguments: argparse.Namespace) -> int:
    """Bring things of a file to others, each whole or not at all.

    The exit code is 1 if one would have new stops, 2 if one cannot be read, written or changed so; the others are done.

    Raises:
        HolewiseError: the source cannot be read, or has none of what is asked for.
    """
    from app import service

    source = service.BringSource(service.read_design(arguments.file, arguments.bits))
    ways = service.BringWays(replace=arguments.replace, centred=arguments.centred)
    wanted = service.checked_wanted(source.design, _wanted(source, arguments))
    codes = [DONE]
    for path in dict.fromkeys(arguments.to):
        try:
            codes.append(_bring_to(path, source, wanted, ways, arguments))
        except HolewiseError as error:
            print(f"holewise: {path}: {error}", file=sys.stderr)
            codes.append(FAILED)
    return max(codes)


def _bring_to(
    path: Path, source: BringSource, wanted: tuple[Wanted, ...], ways: BringWays, arguments: argparse.Namespace
) -> int:
    from app import service

    if path.exists() and path.samefile(arguments.file):
        raise EditError("It is the design that these things are of. Name another with --to.", "to")
    written = service.read_design(path)
    before = path.read_bytes()
    trial = service.tried(service.with_named_bits(written, arguments.bits), source, wanted, ways)
    print("\n".join(service.trial_lines(str(path), trial)))
    if trial.verdict == "refused":
        return FAILED
    if trial.verdict == "stops":
        return STOPS
    if trial.design is None or trial.verdict == "same" or arguments.only_try:
        return DONE
    if path.read_bytes() != before:
        raise EditError("The file was changed by another program just now, so nothing was written. Try again.", "to")
    service.write_design(service.without_bits(trial.design, written), path)
    return wrote(path)


def _wanted(source: BringSource, arguments: argparse.Namespace) -> tuple[Wanted, ...]:
    """What is asked for; a thing without its board is looked for on the deck, cut-outs on every board.

    Raises:
        HolewiseError: it is not there.
    """
    from app import service

    boards = [service.wanted_of(f"board:{name.strip()}") for name in arguments.boards.split(",") if name.strip()]
    deck = next((b.id for b in source.design.boards if b.role == "deck"), source.design.boards[0].id)
    arrangements = [
        service.wanted_of(f"arrangement:{name if '/' in name else f'{deck}/{name}'}") for name in arguments.arrangement
    ]
    return (*boards, *arrangements, *(_cut_outs(source, name) for name in arguments.cut_outs))


def _cut_outs(source: BringSource, name: str) -> Wanted:
    from app import service

    board, _, maker = name.rpartition("/")
    offers = [offer.wanted for offer in service.offers_of(source.design) if offer.wanted.sort == "cut-outs"]
    found = [each for each in offers if each.maker == maker and board in ("", each.board)]
    if not found:
        known = ", ".join(f"{each.board}/{each.maker}" for each in offers) or "none"
        raise EditError(f"There are no cut-outs “{name[:80]}” in the design; there are: {known}.", "cut-outs")
    if len(found) > 1:
        raise EditError(f"Several boards have cut-outs “{maker[:80]}”. Name the board too: {found[0].board}/{maker}.")
    return found[0]
