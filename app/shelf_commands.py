"""The commands about a whole shelf: save and open it as one file; move it, back it up, restore it."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path
from typing import TYPE_CHECKING, Final

from app.arguments import place_chosen, place_named
from app.outcome import DONE, FAILED, wrote

if TYPE_CHECKING:
    from app.service.shelf.backups import Tally

_BECAME: Final = {
    "new": "New",
    "same": "Here already",
    "other": "Changed here since, so both stay",
    "refused": "Could not be opened",
}


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


def add_save(save: argparse.ArgumentParser) -> None:
    """Add the arguments of saving a shelf."""
    save.add_argument("file", type=Path, metavar="FILE.zip", help="file to write")
    add_place(save)


def add_open(opening: argparse.ArgumentParser) -> None:
    """Add the arguments of opening a saved shelf."""
    opening.add_argument("file", type=Path, metavar="FILE.zip", help="a saved shelf")
    add_place(opening)


def save_shelf(arguments: argparse.Namespace) -> int:
    """Write every design of a shelf into one file; returns the exit code."""
    from app import service

    workshop = service.open_workshop(place_chosen(arguments))
    try:
        saved = workshop.saved()
    finally:
        workshop.close()
    service.save_file(saved.data, arguments.file)
    print(f"{saved.designs} design{'' if saved.designs == 1 else 's'}")
    for title in saved.left_out:
        print(f"Left out, for what is stored of it cannot be read: {title}", file=sys.stderr)
    return max(wrote(arguments.file), FAILED if saved.left_out else DONE)


def open_shelf(arguments: argparse.Namespace) -> int:
    """Put the designs of a saved shelf on a shelf; returns the exit code.

    Raises:
        DocumentError: it is no saved shelf, is damaged, or holds too much.
    """
    from app import service

    data = arguments.file.read_bytes()
    workshop = service.open_workshop(place_chosen(arguments))
    try:
        found = workshop.open_shelf(data)
    finally:
        workshop.close()
    for each in found:
        print(f"{_BECAME[each.how]}: {each.title}{f'. {each.said}' if each.said else ''}")
    return FAILED if any(each.how == "refused" for each in found) else DONE


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
