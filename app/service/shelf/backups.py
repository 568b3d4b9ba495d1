"""A whole shelf moved to another place, backed up, and restored."""

from __future__ import annotations

from pathlib import Path

from app.store import Clock, copying, utc_now
from app.store.backups import Restored, back_up, move, restore
from app.store.engine.place import place_of

Tally = copying.StoreContents
"""What is in a store: how many of what, and a digest of it all."""


def move_shelf(source: Path | str, target: Path | str) -> tuple[tuple[str, Tally], tuple[str, Tally]]:
    """Copy everything on a shelf to a place with nothing in it; gives the name of each and what is in it.

    Args:
        source: the shelf: a data folder, or the URL of a database.
        target: the other place, likewise.

    Raises:
        StoreError: one of them cannot be used, there is no shelf at ``source``, or something at ``target``.
    """
    old, new = place_of(source), place_of(target)
    before, after = move(old, new)
    return (old.name, before), (new.name, after)


def back_up_shelf(where: Path | str | None, file: Path) -> Tally:
    """Write a backup of a shelf into a new file; gives what is in it.

    Args:
        where: a data folder or the URL of a database; None for the user's data folder.
        file: the file to make.

    Raises:
        StoreError: the shelf or the file cannot be used.
    """
    return back_up(place_of(where), file)


def restore_shelf(file: Path, where: Path | str | None, *, over: bool, clock: Clock = utc_now) -> tuple[str, Restored]:
    """Put what is in a backup on a shelf; gives the shelf's name and what is on it now.

    Args:
        file: the backup.
        where: a data folder or the URL of a database; None for the user's data folder.
        over: whether to do so in place of what is there; a copy of that is made first.
        clock: gives the time now.

    Raises:
        StoreError: the backup or the shelf cannot be used, or there is something on it and ``over`` is not set.
    """
    place = place_of(where)
    return place.name, restore(file, place, clock(), over=over)
