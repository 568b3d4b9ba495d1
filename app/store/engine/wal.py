"""What SQLite wrote ahead and has not yet put into the database file: read to see whether it is damaged.

SQLite takes from a damaged one what comes before the damage, and says nothing of the rest. Format: SQLite's “Database
File Format”, section 4: a head of 32 bytes, then frames of 24 bytes and a page each, with a checksum over everything
up to there. Frames of an earlier round, known by their salts, may lie behind; they count no more.
"""

from __future__ import annotations

import glob
import logging
import shutil
import struct
import time
from datetime import UTC, datetime
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, BinaryIO

from msgspec import Struct

from app.store.engine.files import put_whole

if TYPE_CHECKING:
    import numpy as np
    import numpy.typing as npt

    _Words = npt.NDArray[np.uint32]

_LOG = logging.getLogger("holewise.store")
_HEAD = struct.Struct(">8I")  # magic, version, page size, number, two salts, two checksums
_FRAME = struct.Struct(">6I")  # page, pages after a commit or 0, two salts, two checksums
_MAGIC, _VERSION = 0x377F0682, 3007000  # with 1 added to the magic number, checksums are over big-endian words
_PAGES = frozenset(1 << k for k in range(9, 17))  # sizes of a page
_BLOCK = 256  # frames that are read at once
_AGAIN_S = 0.2  # another program may be writing it: what looks damaged is looked at twice


class Damage(Struct, frozen=True):
    """Where a file is damaged.

    Args:
        kept: changes before it, which SQLite reads.
        head: whether it is the head, so that none can be read.
    """

    kept: int
    head: bool = False


def keep_damaged(database: Path) -> Path | None:
    """Copy the write-ahead log of a database, if it is damaged, beside it, and say so; to be done before it is opened.

    Returns:
        the name of the copy; None if there is nothing wrong with it, or no log.

    Raises:
        StoreError: the copy cannot be written.
    """
    log = database.with_name(f"{database.name}-wal")
    try:
        found = damage(log)
        if found is not None:
            time.sleep(_AGAIN_S)
            found = damage(log) and found
        if found is None:
            return None
        written = datetime.fromtimestamp(log.stat().st_mtime, UTC)
    except OSError:
        return None  # it went meanwhile, with whoever used it; or SQLite will say why it cannot be read
    copy = _copied(log, f"{log.name}.damaged-{written:%Y%m%d-%H%M%S}")
    lost = f"It was read up to there ({found.kept} changes); what came after is missing."
    if found.head:
        lost = "None of it can be read: what was changed last is missing."
    _LOG.warning("%s, where SQLite keeps what was changed last, is damaged. %s A copy is kept: %s.", log, lost, copy)
    return copy


def damage(log: Path) -> Damage | None:
    """Where a write-ahead log is damaged; None if it is whole, or ends before a change was whole, or is not there.

    A change that was on its way to the disk when the power failed may look like damage: it may have been all there.

    Raises:
        OSError: it cannot be read.
    """
    try:
        with log.open("rb") as file:
            head = file.read(_HEAD.size)
            return _in_frames(file, head) if len(head) == _HEAD.size else None
    except FileNotFoundError:
        return None


def _in_frames(file: BinaryIO, head: bytes) -> Damage | None:
    import numpy as np

    magic, version, page, _, *salts_and_sums = _HEAD.unpack(head)
    if magic & ~1 != _MAGIC or version != _VERSION or page not in _PAGES:
        return Damage(0, head=True)
    order = ">u4" if magic & 1 else "<u4"
    salts, sums = salts_and_sums[:2], np.array(salts_and_sums[2:], np.uint32)
    state = _summed(np.zeros(2, np.uint32), np.frombuffer(head[:24], order).astype(np.uint32)[None])[0]
    if (state != sums).any():
        return Damage(0, head=True)
    kept = 0
    while block := file.read(_BLOCK * (_FRAME.size + page)):
        frames = np.frombuffer(block[: len(block) // (_FRAME.size + page) * (_FRAME.size + page)], np.uint8)
        frames = frames.reshape(-1, _FRAME.size + page)
        fields = np.ascontiguousarray(frames[:, : _FRAME.size]).view(">u4")
        summed = np.concatenate((frames[:, :8], frames[:, _FRAME.size :]), axis=1)
        states = _summed(state, np.ascontiguousarray(summed).view(order).astype(np.uint32))
        mine = (fields[:, 2:4] == salts).all(axis=1)
        good = mine & (states == fields[:, 4:6]).all(axis=1)
        many = len(good) if good.all() else int(good.argmin())
        kept += int((fields[:many, 1] > 0).sum())
        if many < len(good):
            later = bool((mine & (fields[:, 1] > 0))[many:].any()) or _goes_on(file, page, salts)
            return Damage(kept) if later else None
        state = states[-1] if len(states) else state
    return None


def _goes_on(file: BinaryIO, page: int, salts: list[int]) -> bool:
    """Whether a change of this round ends in one of the frames that follow."""
    while head := file.read(_FRAME.size):
        if len(head) < _FRAME.size:
            return False
        _, pages, *own, _, _ = _FRAME.unpack(head)
        if pages and own == salts:
            return True
        file.seek(page, 1)
    return False


def _summed(state: _Words, rows: _Words) -> _Words:
    """The checksum after each row of words, from the one before the first: s₀ += x₀ + s₁, s₁ += x₁ + s₀ by pairs.

    All is modulo 2³², and linear: a row adds its words, each by the number of ways to the end, to what came before.
    """
    import numpy as np

    weights = np.empty((rows.shape[1], 2), np.uint32)
    step = np.array(((1, 1), (1, 2)), np.uint32)
    after = np.eye(2, dtype=np.uint32)
    for k in range(rows.shape[1] - 2, -1, -2):
        weights[k], weights[k + 1] = after[:, 0] + after[:, 1], after[:, 1]
        after = after @ step
    own = rows @ weights
    found = np.empty_like(own)
    for k, added in enumerate(own):
        state = after @ state + added
        found[k] = state
    return found


def _copied(log: Path, name: str) -> Path:
    """The copy; one with the same bytes that is there already is taken for it."""
    size = log.stat().st_size
    for kept in sorted(log.parent.glob(f"{glob.escape(log.name)}.damaged-*")):
        if kept.stat().st_size == size and kept.read_bytes() == log.read_bytes():
            return kept
    number = 1
    while True:
        copy = log.with_name(name + (f"-{number}" if number > 1 else ""))
        if not copy.exists() and put_whole(copy, partial(_copy, log)):
            return copy
        number += 1


def _copy(log: Path, part: Path) -> None:
    shutil.copyfile(log, part)
