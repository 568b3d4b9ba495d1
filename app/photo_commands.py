"""The command that measures a drilled board in a photograph."""

from __future__ import annotations

import argparse
from pathlib import Path

from app.arguments import length_of, sides_of
from app.outcome import DONE, STOPS


def add_measure(measure: argparse.ArgumentParser) -> None:
    """Add the arguments of ``measure``."""
    measure.add_argument("file", type=Path, metavar="FILE", help="the design, a .json file")
    measure.add_argument("photo", type=Path, metavar="PHOTO", help="the photograph, with the photo cards of the board")
    measure.add_argument("--board", metavar="ID", help="the board (the deck)")
    measure.add_argument("--arrangement", metavar="ID", help="the arrangement (the first)")
    measure.add_argument("--size", metavar="WIDTHxDEPTH", help="of the real board, as measured (the design's)")
    measure.add_argument("--json", action="store_true", help="for other programs: every hole, as one JSON object")


def measure(arguments: argparse.Namespace) -> int:
    """Print where the holes in a photograph are; the design is left as it is.

    The exit code is 1 if a hole that was looked for could not be measured.

    Raises:
        HolewiseError: the design cannot be read, or nothing can be measured by the photograph.
    """
    from app import service

    design = service.read_design(arguments.file)
    size = None
    if arguments.size is not None:
        width, depth = (length_of(side, "A side of the board") for side in sides_of(arguments.size))
        size = (width or 0.0, depth or 0.0)
    found = service.measured_file(arguments.photo, design, arguments.board, arguments.arrangement, size)
    if arguments.json:
        print(service.photo_json(*found))
    else:
        print("\n".join(service.photo_lines(service.photo_seen(*found))))
    return STOPS if any(hole.doubt for hole in found[2].holes) else DONE
