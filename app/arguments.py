"""Arguments that several commands take, and how they are read: lengths, boards, papers and ports."""

from __future__ import annotations

import argparse
import os
import re
from pathlib import Path
from typing import TYPE_CHECKING

from app.errors import LengthError, PaperError, StoreError
from app.numbers import typed, whole
from app.units import Unit, parse_length

if TYPE_CHECKING:
    from app.service import Printing


DATABASE_VARIABLE = "HOLEWISE_DATABASE"
"""Names the URL of a database where no flag does; others who use the machine cannot read it, as they can a flag."""

PAPERS = "a4|letter|legal|a3|tabloid|WIDTHxHEIGHT|'roll WIDTH'"
"""How a paper is named, in a line of help."""


def add_design(parser: argparse.ArgumentParser) -> None:
    """Add which design it is about."""
    parser.add_argument("file", type=Path, metavar="FILE", help="the design, a .json file")
    parser.add_argument("--board", metavar="ID", help="one board only")
    parser.add_argument("--arrangement", metavar="ID", help="one arrangement only")
    parser.add_argument("--bits", metavar="SET|FILE", help="your bits: metric, inch, or a design file that lists them")


def add_face(parser: argparse.ArgumentParser) -> None:
    """Add which side is drawn."""
    parser.add_argument("--face", choices=["top", "under"], default="top", help="side drawn (top)")


def add_printing(parser: argparse.ArgumentParser) -> None:
    """Add how sheets are printed."""
    parser.add_argument("--margin", metavar="LENGTH", help="edge of the paper the printer leaves blank")
    parser.add_argument("--overlap", metavar="LENGTH", help="least overlap of two sheets")
    parser.add_argument("--correction", metavar="X,Y", help="the printer's, like 1.0000,0.9960, from its check sheet")
    parser.add_argument("--only", metavar="DIAMETER", help="only what the bit of this size drills")


def add_proof(parser: argparse.ArgumentParser) -> None:
    """Add what is said of a file that is written."""
    parser.add_argument("--proof", action="store_true", help="report what reading the file back found")
    parser.add_argument("--strict", action="store_true", help="write nothing if the board has stops, and end with 1")


def add_out(parser: argparse.ArgumentParser, metavar: str) -> None:
    """Add where a file is written."""
    parser.add_argument("--out", required=True, type=Path, metavar=metavar, help="file to write")


def port_of(text: str) -> int:
    """A port to listen on.

    Raises:
        argparse.ArgumentTypeError: it is none.
    """
    port = whole(text, 1, 65535)
    if port is None:
        raise argparse.ArgumentTypeError(f"{text!r} is not a port: a whole number from 1 to 65535 is needed")
    return port


def place_named(text: str) -> Path | str:
    """A data folder, or the URL of a database."""
    return text if "://" in text else Path(text)


def place_chosen(arguments: argparse.Namespace) -> Path | str | None:
    """Where the designs are kept, by ``--data`` or ``--database``, else by HOLEWISE_DATABASE; None if nothing says it.

    Raises:
        StoreError: two places are named.
    """
    folder: Path | None = arguments.data
    url: str | None = arguments.database
    if folder is not None and url is not None:
        raise StoreError("Both --data and --database say where the designs are kept. Leave one out.")
    return folder or url or os.environ.get(DATABASE_VARIABLE) or None


def sides_of(text: str) -> tuple[str, str]:
    """Width and depth of a board, each to be read as a length.

    Raises:
        LengthError: there are not two of them.
    """
    sides = re.split("[x×]", text.lower())
    if len(sides) != 2:
        raise LengthError(f"Board {text[:40]!r} is not WIDTHxDEPTH. Write it like 600x220 or 24inx9in.")
    return sides[0], sides[1]


def in_inches(text: str) -> bool:
    """Whether a length says itself that it is in inches: then it does not depend on the default."""
    return "mm" not in text and parse_length(text, Unit.MM) == parse_length(text, Unit.INCH)


def length_of(text: str | None, what: str) -> float | None:
    """A length [mm], millimetres unless it says otherwise; None if it is not given.

    Raises:
        LengthError: it cannot be read.
    """
    return None if text is None else parse_length(text, Unit.MM, what=what)


def printing_of(arguments: argparse.Namespace) -> Printing:
    """How a template is to be printed, by ``--paper``, ``--margin``, ``--overlap`` and ``--correction``.

    Raises:
        LengthError: a length that cannot be read.
        PaperError: no such paper, or no such correction.
    """
    from app.service.drawings.printing import printing_for

    margin, overlap = (length_of(getattr(arguments, name), name.title()) for name in ("margin", "overlap"))
    factors = _factors(arguments.correction) if arguments.correction is not None else None
    return printing_for(arguments.paper, margin, overlap, factors)


def _factors(text: str) -> tuple[float, float]:
    parts = [typed(part) for part in text.split(",")]
    if len(parts) != 2 or parts[0] is None or parts[1] is None:
        raise PaperError(
            f"Correction {text[:40]!r} is not X,Y: two factors, along the short and the long side of the paper. "
            "Write it like 1.0000,0.9960."
        )
    return parts[0], parts[1]
