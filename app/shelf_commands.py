"""The commands about a whole shelf: move it, back it up, restore it."""

from __future__ import annotations

import argparse
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Protocol

from app.arguments import place_chosen, place_named

if TYPE_CHECKING:
    from app.service.shelf.backups import Tally

_DONE = 0


class Adding(Protocol):
    """Adds a command: its name, what runs it and returns the exit code, and what it is for."""

    def __call__(self, name: str, run: Callable[[argparse.Namespace], int], what: str) -> argparse.ArgumentParser:
        """The parser of its arguments."""
        ...


def add_place(parser: argparse.ArgumentParser) -> None:
    """Add what says where the designs are kept."""
    parser.add_argument("--data", type=Path, metavar="DIR", help="folder that keeps the designs")
    parser.add_argument("--database", metavar="URL", help="sqlite:///FILE or postgresql://USER@HOST/DATABASE instead")


def add_shelf_commands(add: Adding) -> None:
    """Add the commands about a whole shelf."""
    move = add("move", _move, "copy everything from one shelf to an empty one, and prove the copy")
    move.add_argument("source", type=place_named, metavar="FROM", help="a data folder, or the URL of a database")
    move.add_argument("target", type=place_named, metavar="TO", help="likewise")
    backup = add("backup", _backup, "write a backup of all designs into one file, while the app runs or not")
    backup.add_argument("file", type=Path, metavar="FILE", help="file to make")
    add_place(backup)
    restore = add("restore", _restore, "put the designs of a backup back")
    restore.add_argument("file", type=Path, metavar="FILE", help="a backup")
    restore.add_argument("--replace", action="store_true", help="in place of what is there; a copy is made first")
    add_place(restore)


def _move(arguments: argparse.Namespace) -> int:
    from app.service.shelf.backups import move_shelf

    for name, tally in move_shelf(arguments.source, arguments.target):
        print(_said(name, tally))
    return _DONE


def _backup(arguments: argparse.Namespace) -> int:
    from app.service.shelf.backups import back_up_shelf

    tally = back_up_shelf(place_chosen(arguments), arguments.file)
    print(_said(str(arguments.file), tally))
    return _DONE


def _restore(arguments: argparse.Namespace) -> int:
    from app.service.shelf.backups import restore_shelf

    name, restored = restore_shelf(arguments.file, place_chosen(arguments), over=arguments.replace)
    if restored.copy is not None:
        print(f"What was there before: {restored.copy}")
    print(_said(name, restored.tally))
    return _DONE


def _said(name: str, tally: Tally) -> str:
    """What is in a store, on two lines that can be compared with another's by eye."""
    counts = ((tally.designs, "design"), (tally.revisions, "revision"), (tally.profiles, "printer correction"))
    counted = ", ".join(f"{count} {noun}{'' if count == 1 else 's'}" for count, noun in counts)
    return f"{name}: {counted}\n  SHA-256 {tally.digest}"
