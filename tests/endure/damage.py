"""A database file that was damaged: said plainly, never a fault, and all is there once a copy is put back."""

from __future__ import annotations

import random
import shutil
from collections.abc import Callable, Mapping
from pathlib import Path

from tests.endure.asking import Asker, Gone
from tests.endure.figures import Figures
from tests.endure.ledger import Ledger
from tests.endure.nursery import Nursery
from tests.endure.places import Places
from tests.endure.program import NotStartedError, forked

SCENARIO = "pine-shelf-compact"


def damaged_files(places: Places, nursery: Nursery, figures: Figures, chance: random.Random) -> None:
    """Damage the file of a folder in each way, start a program on it, then put the file back and start anew."""
    where = places.folder / "damaged"
    ledger = Ledger(figures)
    program = forked(nursery, where, figures)
    asker = program.asker(figures)
    design = ledger.open(asker, SCENARIO)
    for number in range(20):
        ledger.edit(asker, design, f"whole{number}")
    asker.close()
    program.kill()
    good = places.folder / "good"
    shutil.copytree(where, good)
    for name, harm in _HARMS.items():
        harm(where, chance)
        _look(where, nursery, figures, f"file {name}", design)
        shutil.rmtree(where)
        shutil.copytree(good, where)
        figures.count("files damaged")
    program = forked(nursery, where, figures)
    asker = program.asker(figures)
    ledger.check(asker, "the file put back after damage")
    asker.close()
    program.kill()


def _look(where: Path, nursery: Nursery, figures: Figures, what: str, design: str) -> None:
    """Start on what is damaged: it does not start and says why, or it answers as well as it can."""
    began = nursery.log.stat().st_size
    try:
        program = forked(nursery, where, figures)
    except NotStartedError:
        said = nursery.log.read_text("utf-8", "replace")[began:]
        figures.count("starts refused with a reason")
        figures.hold("Traceback" not in said and len(said.strip()) > 40, f"{what}: start said {said[-600:]!r}")
        figures.hold("a fault of ours" not in said, f"{what}: start said {said[-600:]!r}")
        return
    asker = program.asker(figures)
    _ask_all(asker, design)
    asker.close()
    program.kill()


def _ask_all(asker: Asker, design: str) -> None:
    try:
        for page in ("/", f"/designs/{design}", f"/designs/{design}/timeline"):
            asker.get(page)
        asker.post(f"/designs/{design}/edit/title", {"title": "on what is damaged"})
        asker.post("/designs/scenario", {"name": SCENARIO})
    except Gone as error:
        raise AssertionError(f"a damaged file ended the program: {error!r}") from error


def _cut(where: Path, chance: random.Random) -> None:
    _whole(where)
    data = _file(where).read_bytes()
    _file(where).write_bytes(data[: chance.randrange(1, len(data))])


def _flip(where: Path, chance: random.Random) -> None:
    _whole(where)
    data = bytearray(_file(where).read_bytes())
    for _ in range(40):
        data[chance.randrange(100, len(data))] ^= 1 << chance.randrange(8)
    _file(where).write_bytes(data)


def _flip_log(where: Path, chance: random.Random) -> None:
    log = _file(where).with_name("holewise.db-wal")
    if log.exists() and log.stat().st_size > 0:
        data = bytearray(log.read_bytes())
        for _ in range(20):
            data[chance.randrange(len(data))] ^= 0xFF
        log.write_bytes(data)


def _empty(where: Path, _: random.Random) -> None:
    _file(where).write_bytes(b"")


def _empty_alone(where: Path, _: random.Random) -> None:
    _whole(where)
    _file(where).write_bytes(b"")


def _folder(where: Path, _: random.Random) -> None:
    _whole(where)
    _file(where).unlink()
    _file(where).mkdir()


def _other_text(where: Path, _: random.Random) -> None:
    _whole(where)
    _file(where).write_text("This is a shopping list, not a database.\n" * 200, "utf-8")


def _whole(where: Path) -> None:
    """Have everything in the one file, so that what is done to it counts."""
    import sqlite3
    from contextlib import closing

    with closing(sqlite3.connect(_file(where))) as raw:
        raw.execute("PRAGMA journal_mode=DELETE").fetchone()


def _file(where: Path) -> Path:
    return where / "holewise.db"


_HARMS: Mapping[str, Callable[[Path, random.Random], None]] = {
    "of 0 bytes, its log still there": _empty,
    "of 0 bytes": _empty_alone,
    "cut off": _cut,
    "cut off elsewhere": _cut,
    "with bits flipped": _flip,
    "with other bits flipped": _flip,
    "with its log spoilt": _flip_log,
    "that is a folder": _folder,
    "of other text": _other_text,
}
