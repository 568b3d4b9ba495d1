"""Commands of a plan maker: what is different between two design files."""

from __future__ import annotations

import argparse
from pathlib import Path

from app.outcome import DONE, STOPS


def add_compare(compare: argparse.ArgumentParser) -> None:
    """Add the arguments of ``compare``."""
    compare.add_argument("before", type=Path, metavar="A", help="the older design file")
    compare.add_argument("after", type=Path, metavar="B", help="the newer one")
    compare.add_argument("--json", action="store_true", help="for other programs: every change, as one JSON object")


def compare(arguments: argparse.Namespace) -> int:
    """Print what is different; the exit code is 0 if nothing is, else 1.

    Raises:
        HolewiseError: a design cannot be read, or they share nothing.
    """
    from app import service

    before, after = service.read_design(arguments.before), service.read_design(arguments.after)
    if arguments.json:
        print(service.compare_json(before, after))
    else:
        print("\n".join(service.compare_lines(before, after)))
    return DONE if before == after else STOPS
