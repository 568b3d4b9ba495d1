"""The commands about a whole shelf: move it, back it up, restore it."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import TYPE_CHECKING

from app.arguments import place_chosen, place_named
from app.outcome import DONE

if TYPE_CHECKING:
    from app.service.shelf.backups import Tally


def add_place(parser: argparse.ArgumentParser) -> None:
    """Add what says where the designs are kept."""
    parser.add_argument("--data", type=Path, metavar="DIR", help="folder that keeps the designs")
    parser.add_argument("--database", metavar="URL", help="sqlite:///FILE or postgresql://USER@HOST/DATABASE instead")


def add_move(move: argparse.ArgumentParser) -> None:
    """Add the arguments of a move."""
    move.add_argument("source", type=place_named, metavar="FROM", help="a data folder, or the URL of a database")
    move.add_argument("target", type=place_named, metavar="TO", help="likewise")


def add_backup(backup: argparse.ArgumentParser) -> None:
    """Add the arguments of a backup."""
    backup.add_argument("file", type=Path, metavar="FILE", help="file to make")
    add_place(backup)


def add_restore(restore: argparse.ArgumentParser) -> None:
    """Add the arguments of putting a backup back."""
    restore.add_argument("file", type=Path, metavar="FILE", help="a backup")
    restore.add_argument("--replace", action="store_true", help="in place of what is there; a copy is made first")
    add_place(restore)


def move(arguments: argparse.Namespace) -> int:
    """Copy a shelf to an empty one; returns the exit code."""
    from app.service.shelf.backups import move_shelf

    for name, tally in move_shelf(arguments.source, arguments.target):
        print(_said(name, tally))
    return DONE


def back_up(arguments: argparse.Namespace) -> int:
    """Write a backup of a shelf; returns the exit code."""
    from app.service.shelf.backups import back_up_shelf

    tally = back_up_shelf(place_chosen(arguments), arguments.file)
    print(_said(str(arguments.file), tally))
    return DONE


def restore(arguments: argparse.Namespace) -> int:
    """Put the designs of a backup back; returns the exit code."""
    from app.service.shelf.backups import restore_shelf

    name, restored = restore_shelf(arguments.file, place_chosen(arguments), over=arguments.replace)
    if restored.copy is not None:
        print(f"What was there before: {restored.copy}")
    print(_said(name, restored.tally))
    return DONE


def _said(name: str, tally: Tally) -> str:
    """What is in a store, on two lines that can be compared with another's by eye."""
    counts = ((tally.designs, "design"), (tally.revisions, "revision"), (tally.profiles, "printer correction"))
    counted = ", ".join(f"{count} {noun}{'' if count == 1 else 's'}" for count, noun in counts)
    return f"{name}: {counted}\n  SHA-256 {tally.digest}"
