"""A database that is away, full, or not to be written: refused plainly, and at work again without a restart."""

from __future__ import annotations

import os
import resource
import shutil
import subprocess
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

from tests.endure.asking import Asker
from tests.endure.figures import Figures
from tests.endure.ledger import Ledger
from tests.endure.nursery import Nursery
from tests.endure.places import Places
from tests.endure.program import NotStartedError, Program, forked

SCENARIO = "pine-shelf-compact"

_DISK = 24
"""Size of a small disk [MB]."""

_LEFT = 96 * 1024  # of it, for edits [bytes]: a few dozen of them


def server_stopped(places: Places, nursery: Nursery, figures: Figures) -> None:
    """Stop the server of a database while edits go on, gently and at once, and start it again."""
    server = places.server
    assert server is not None
    with _at_work(places.new(), nursery, figures, "the server was away") as (asker, ledger, design, _):
        for mode in ("fast", "immediate"):
            server.stop(mode)
            _refused(asker, ledger, design, figures, f"server stopped ({mode})")
            server.start()
            _works_again(asker, ledger, design, figures, f"the server was started again ({mode})")
            ledger.check(asker, f"the server was away ({mode})")


def file_moved(places: Places, nursery: Nursery, figures: Figures) -> None:
    """Move a database file away while the program runs, alone and with its folder, and back."""
    for whole in (True, False):
        where = places.folder / f"moved-{whole}"
        aside = places.folder / f"aside-{whole}"
        with _at_work(where, nursery, figures, f"moved away and back (folder: {whole})") as (asker, ledger, design, _):
            _move(where, aside, whole=whole)
            for number in range(4):
                # An edit may be kept, for the file is still open; what is said to be kept has to be there later.
                ledger.edit(asker, design, f"away{number}")
                asker.get("/")
            _move(aside, where, whole=whole)
            _works_again(asker, ledger, design, figures, f"the file came back (folder: {whole})")


def disk_full(places: Places, nursery: Nursery, figures: Figures) -> None:
    """Fill the disk of a database, make room, then forbid writing, and allow it again."""
    if os.geteuid() != 0:
        figures.count("not tried without root: disk full")
        return
    on_server = places.server is not None
    mount = places.folder / "disk"
    with _disk(mount) as remount, _tables_on(mount, places) as where:
        with _at_work(where, nursery, figures, "the disk was full") as (asker, ledger, design, _):
            ballast = _ballast(mount)
            status = _fill(asker, ledger, design, figures)
            figures.hold(status == 503, f"disk full: an edit was answered {status}")
            _refused_plainly(asker, design, figures, "disk full", "room")
            ballast.unlink()
            _works_again(asker, ledger, design, figures, "room was made")
            ledger.check(asker, "disk full and back")
        if not on_server:
            remount("ro")
            _not_started(where, nursery, figures)
            remount("rw")
            _look_anew(forked(nursery, where, figures), ledger, figures, "the folder was read-only")


def quota_reached(places: Places, nursery: Nursery, figures: Figures) -> None:
    """Forbid a running program to write to its file, as a quota does, and allow it again."""
    where = places.folder / "quota"
    with _at_work(where, nursery, figures, "a quota was reached") as (asker, ledger, design, program):
        pid = program.pid
        kept = resource.prlimit(pid, resource.RLIMIT_FSIZE)
        resource.prlimit(pid, resource.RLIMIT_FSIZE, (0, kept[1]))
        _refused_plainly(asker, design, figures, "a quota reached", "Nothing was changed")
        for page in ("/", f"/designs/{design}"):
            status = asker.get(page).status
            figures.hold(status in {200, 503}, f"a quota reached: {page} was answered {status}")
        resource.prlimit(pid, resource.RLIMIT_FSIZE, kept)
        _works_again(asker, ledger, design, figures, "the quota was lifted")


def _not_started(where: Path | str, nursery: Nursery, figures: Figures) -> None:
    """A program on a folder nobody may write to says so instead of starting."""
    began = nursery.log.stat().st_size
    try:
        forked(nursery, where, figures).kill()
    except NotStartedError:
        said = nursery.log.read_text("utf-8", "replace")[began:]
        figures.hold("cannot be written" in said, f"a read-only folder: start said {said[-600:]!r}")
    else:
        figures.hold(held=False, words="a program started on a read-only folder")


@contextmanager
def _at_work(
    where: Path | str, nursery: Nursery, figures: Figures, after: str
) -> Iterator[tuple[Asker, Ledger, str, Program]]:
    """A program with a design; at the end it is killed, and another one sees that nothing is lost."""
    ledger = Ledger(figures)
    program = forked(nursery, where, figures)
    asker = program.asker(figures)
    try:
        design = ledger.open(asker, SCENARIO)
        ledger.edit(asker, design, "before")
        yield asker, ledger, design, program
    finally:
        asker.close()
        program.kill()
    _look_anew(forked(nursery, where, figures), ledger, figures, after)


def _look_anew(program: Program, ledger: Ledger, figures: Figures, after: str) -> None:
    asker = program.asker(figures)
    ledger.check(asker, after)
    asker.close()
    program.kill()


def _refused(asker: Asker, ledger: Ledger, design: str, figures: Figures, what: str) -> None:
    for number in range(3):
        status = ledger.edit(asker, design, f"no{number}")
        figures.hold(status == 503, f"{what}: an edit was answered {status}")
    for page in ("/", f"/designs/{design}", f"/designs/{design}/timeline"):
        status = asker.get(page).status
        figures.hold(status == 503, f"{what}: {page} was answered {status}")


def _refused_plainly(asker: Asker, design: str, figures: Figures, what: str, word: str) -> None:
    answer = asker.post(f"/designs/{design}/edit/title", {"title": "X" * 190})
    figures.hold(answer.status == 503, f"{what}: an edit was answered {answer.status}")
    figures.hold(word in answer.text, f"{what}: nothing about “{word}” is said: {answer.text[-1500:]!r}")


def _works_again(asker: Asker, ledger: Ledger, design: str, figures: Figures, when: str) -> None:
    """The same program takes edits again, at once or soon."""
    limit = time.monotonic() + 20
    number = 0
    while time.monotonic() < limit:
        number += 1
        if ledger.edit(asker, design, f"again{number}") == 303:
            return
        time.sleep(0.2)
    figures.hold(held=False, words=f"{when}: no edit was taken for 20 s without a restart")


def _fill(asker: Asker, ledger: Ledger, design: str, figures: Figures) -> int:
    for number in range(2000):
        status = ledger.edit(asker, design, f"fill{number:x}")
        if status != 303:
            return status
    figures.hold(held=False, words="the disk never was full")
    return 0


def _ballast(mount: Path) -> Path:
    """A file that leaves little room on a disk."""
    file = mount / "ballast"
    free = os.statvfs(mount)
    with file.open("wb") as output:
        os.posix_fallocate(output.fileno(), 0, free.f_bavail * free.f_frsize - _LEFT)
    return file


def _move(source: Path, target: Path, *, whole: bool) -> None:
    if whole:
        source.rename(target)
        return
    target.mkdir(exist_ok=True)
    for file in list(source.iterdir()):
        file.replace(target / file.name)


@contextmanager
def _disk(mount: Path) -> Iterator[Callable[[str], None]]:
    """A small disk in memory; gives what mounts it anew with other options."""
    mount.mkdir()

    def remount(options: str) -> None:
        subprocess.run(["mount", "-o", f"remount,{options}", str(mount)], check=True, timeout=30)

    subprocess.run(["mount", "-t", "tmpfs", "-o", f"size={_DISK}m", "tmpfs", str(mount)], check=True, timeout=30)
    try:
        yield remount
    finally:
        subprocess.run(["umount", "-l", str(mount)], check=False, timeout=30)


@contextmanager
def _tables_on(mount: Path, places: Places) -> Iterator[Path | str]:
    """A place on the small disk: a folder of it, or tables of the server that lie there."""
    server = places.server
    if server is None:
        yield mount / "designs"
        return
    import psycopg

    if server.user is not None:
        shutil.chown(mount, server.user)
        places.folder.chmod(0o755)  # the server has to come through
    url = str(places.new())
    with psycopg.connect(server.url("postgres"), autocommit=True) as connection:
        connection.execute(f"CREATE TABLESPACE small LOCATION '{mount}'".encode())
        try:
            yield f"{url}%20-cdefault_tablespace%3Dsmall"
        finally:
            places.drop(url)
            connection.execute("DROP TABLESPACE small")
