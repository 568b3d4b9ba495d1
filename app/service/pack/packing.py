"""A pack put together: its files, a page that says where to begin, the proof and the checksums."""

from __future__ import annotations

import hashlib
import io
import json
import zipfile
from collections.abc import Callable, Iterable, Sequence
from itertools import pairwise
from typing import Final

from msgspec import Struct

from app.document.published import revision_name
from app.document.schema import Design
from app.document.slug import slug
from app.errors import DocumentError
from app.proof.result import TOLERANCE
from app.service.pack.boards import PackBoards
from app.service.pack.figures import figures
from app.service.pack.files import PackedFile
from app.service.pack.request import PackRequest, Since
from app.service.pack.shared_work import every_file

README: Final = "README.txt"
PROOF: Final = "proof.json"
CHECKSUMS: Final = "SHA256SUMS"

_DATE: Final = (1980, 1, 1, 0, 0, 0)  # of every file in the archive, so that the same pack has the same bytes

_SHARED: Final = 60  # pages and files from which on a second process saves more time than it takes to begin

Progress = Callable[[int, int], None]
"""Told how many pages and files are made, and of about how many; raises where the work has to end."""


class Pack(Struct, frozen=True):
    """A pack that is made.

    Args:
        name: what to call it, without an ending.
        files: by path, in their order.
    """

    name: str
    files: tuple[PackedFile, ...]

    @property
    def pages(self) -> int:
        """Pages of all files."""
        return sum(file.pages for file in self.files)


def made_pack(
    design: Design,
    request: PackRequest,
    progress: Progress = lambda _, __: None,
    *,
    processes: int = 1,
    since: Since | None = None,
) -> Pack:
    """Everything that is asked for of a design; the same design gives the same bytes.

    Args:
        design: the design.
        request: what the pack is asked to hold.
        progress: told how far it is, in this thread.
        processes: how many may work at it, 1 or 2.
        since: the older state that it tells the changes since; None to tell nothing of it.

    Raises:
        HolewiseError: something cannot be made; nothing is written.
    """
    boards = PackBoards(design, request, since)
    expected, done = max(figures(boards).steps, 1), 0

    def step(more: int = 1) -> None:
        nonlocal done
        done += more
        progress(min(done, expected), expected)

    progress(0, expected)
    processes = processes if expected > _SHARED else 1
    made = sorted(every_file(boards, step, processes=processes), key=lambda file: file.path)
    twice = [a.path for a, b in pairwise(made) if a.path == b.path]
    if twice:
        raise DocumentError(f"Two files would be called {twice[0]}. Give the boards or arrangements other names.")
    progress(expected, expected)
    proof = PackedFile(PROOF, _proof(design, made))
    readme = PackedFile(README, _readme(boards, made).encode())
    named = [readme, proof, *made]
    sums = "".join(f"{hashlib.sha256(file.data).hexdigest()}  {file.path}\n" for file in named)
    return Pack(slug(design.title, boards.revision, "plan"), (*named, PackedFile(CHECKSUMS, sums.encode())))


def zipped(pack: Pack) -> bytes:
    """A pack as one file; PDF is packed already, and only stored."""
    buffer = io.BytesIO()
    with zipfile.ZipFile(buffer, "w") as archive:
        for file in pack.files:
            entry = zipfile.ZipInfo(f"{pack.name}/{file.path}", _DATE)
            entry.external_attr = 0o644 << 16
            entry.compress_type = zipfile.ZIP_STORED if file.path.endswith(".pdf") else zipfile.ZIP_DEFLATED
            archive.writestr(entry, file.data)
    return buffer.getvalue()


def _proof(design: Design, made: Sequence[PackedFile]) -> bytes:
    """What reading each file back has found."""
    rows = [
        {
            "file": file.path, "what": what, "pages": proof.pages, "cuts": proof.holes,
            "largest_difference_mm": round(proof.largest, 6), "read_by": proof.reader,
        }
        for file in made
        for what, proof in file.proofs
    ]  # fmt: skip
    found = {
        "design": design.title,
        "state": revision_name(design) or "no revision",
        "tolerance_mm": TOLERANCE,
        "files": rows,
    }
    return (json.dumps(found, indent=2, ensure_ascii=False) + "\n").encode()


_FOLDERS: Final = {
    "booklets": "everything in one file, for a way to build it, a paper and a unit",
    "sheets": "each kind of sheets by itself",
    "lists": "the lists for a spreadsheet (CSV) and for scripts (JSON)",
    "drawings": "true-size drawings for other programs and machines, in mm",
    "design": "the design itself; Holewise opens it",
}


def _readme(boards: PackBoards, made: Sequence[PackedFile]) -> str:
    """Where to begin, in plain text."""
    design, state = boards.design, boards.revision
    lines = [design.title, "=" * len(design.title), ""]
    lines += [f"{state[:1].upper()}{state[1:]}." if state else "Not published as a revision.", ""]
    lines += _stops(boards)
    booklets = [file.path for file in made if file.path.startswith("booklets/")]
    if booklets:
        lines += ["Print one of these, at actual size. It has every sheet, in the order you need them:", ""]
        lines += [f"  {path}" for path in booklets]
        lines.append("")
    lines += [*_about(), "", "What is here", "------------", ""]
    there = {file.path.split("/")[0] for file in made}
    lines += [f"  {name + '/':12}{words}" for name, words in _FOLDERS.items() if name in there]
    lines += [
        f"  {PROOF:12}what reading the files back has found",
        f"  {CHECKSUMS:12}to check that nothing was damaged",
    ]
    names = ", ".join(variant.name for variant in boards.variants)
    lines += ["", f"Ways to build it: {names}.", ""]
    if design.notes.strip():
        lines += ["Notes", "-----", "", *design.notes.splitlines(), ""]
    return "\n".join(lines)


def _stops(boards: PackBoards) -> list[str]:
    """The boards that cannot be built as drawn, if there are any."""
    built = {(b.id, a.id): (b.name, a.name) for variant in boards.variants for b, a in variant.boards}
    seen = [(names, boards.seen(boards.design.units, *ids)) for ids, names in built.items()]
    stopped = [f"{board}, {arrangement}" for (board, arrangement), each in seen if each.report.stops]
    if not stopped:
        return []
    return ["DO NOT BUILD these as they are drawn; every sheet of them says why:", *(f"  {s}" for s in stopped), ""]


def _about() -> Iterable[str]:
    return (
        "Measure both bars of every sheet before you drill: 100 mm and 4 in, along and across.",
        "Sheets belong together only if their check codes are the same.",
        "Wear eye and ear protection and a dust mask, clamp the work and back it up, and keep gloves",
        "away from a spinning bit. Unplug before wiring; leave mains wiring to a licensed electrician",
        "under your local code. Follow the tool makers' instructions first.",
    )
