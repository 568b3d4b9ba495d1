"""A pack put together: its files, a page that says where to begin, the proof and the checksums; whole or not at all."""

from __future__ import annotations

import hashlib
import io
import json
import shutil
import tempfile
import zipfile
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise
from pathlib import Path
from typing import Final

from app.document.dump import write_whole
from app.document.published import revision_name
from app.document.schema import Design
from app.document.slug import slug
from app.errors import DocumentError, HolewiseError
from app.service.pack.files import PackedFile, packed_files
from app.service.pack.request import PackRequest, variants_of

README: Final = "README.txt"
PROOF: Final = "proof.json"
CHECKSUMS: Final = "SHA256SUMS"

_DATE: Final = (1980, 1, 1, 0, 0, 0)  # of every file in the archive, so that the same pack has the same bytes

Progress = Callable[[int], None]
"""Told how many pages and files are made; raises where the work has to end."""


class PackStoppedError(HolewiseError):
    """A pack was stopped; nothing of it is left."""


@dataclass(frozen=True, slots=True)
class Pack:
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


def made_pack(design: Design, request: PackRequest, progress: Progress = lambda _: None) -> Pack:
    """Everything that is asked for of a design.

    Raises:
        HolewiseError: something cannot be made; nothing is written.
    """
    done = 0

    def step() -> None:
        nonlocal done
        done += 1
        progress(done)

    made = sorted(packed_files(design, request, step), key=lambda file: file.path)
    twice = [a.path for a, b in pairwise(made) if a.path == b.path]
    if twice:
        raise DocumentError(f"Two files would be called {twice[0]}. Give the boards or arrangements other names.")
    proof = PackedFile(PROOF, _proof(design, made))
    readme = PackedFile(README, _readme(design, request, made).encode())
    named = [readme, proof, *made]
    sums = "".join(f"{hashlib.sha256(file.data).hexdigest()}  {file.path}\n" for file in named)
    revision = revision_name(design)
    return Pack(slug(design.title, revision, "plan"), (*named, PackedFile(CHECKSUMS, sums.encode())))


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


def write_pack(pack: Pack, out: Path) -> None:
    """Write a pack as a folder, or as one file where the name ends with ``.zip``: whole or not at all.

    Raises:
        DocumentError: there is something there already, or it cannot be written.
    """
    if out.suffix.lower() == ".zip":
        write_whole(zipped(pack), out)
        return
    if out.exists() and (not out.is_dir() or any(out.iterdir())):
        raise DocumentError(f"{out} is there already. Nothing was written. Choose a new folder, or an empty one.")
    half = None
    try:
        out.parent.mkdir(parents=True, exist_ok=True)
        half = Path(tempfile.mkdtemp(prefix=f".{out.name}.", suffix=".part", dir=out.parent))
        for file in pack.files:
            place = half / file.path
            place.parent.mkdir(parents=True, exist_ok=True)
            place.write_bytes(file.data)
        half.chmod(0o755)
        if out.exists():
            out.rmdir()
        half.rename(out)
    except OSError as error:
        if half is not None:
            shutil.rmtree(half, ignore_errors=True)
        raise DocumentError(
            f"{out} cannot be written ({error.strerror or error}). Nothing of the pack is left."
        ) from None


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
        "tolerance_mm": 0.01,
        "files": rows,
    }
    return (json.dumps(found, indent=2, ensure_ascii=False) + "\n").encode()


def _readme(design: Design, request: PackRequest, made: Sequence[PackedFile]) -> str:
    """Where to begin, in plain text."""
    booklets = [file.path for file in made if file.path.startswith("booklets/")]
    lines = [design.title, "=" * len(design.title), ""]
    state = revision_name(design)
    lines += [f"{state[:1].upper()}{state[1:]}." if state else "Not published as a revision.", ""]
    if booklets:
        lines += ["Print one of these, at actual size. It has every sheet, in the order you need them:", ""]
        lines += [f"  {path}" for path in booklets]
    lines += ["", *_about(), "", "What is here", "------------", ""]
    folders = {
        "booklets": "everything in one file, for a way to build it, a paper and a unit",
        "sheets": "each kind of sheets by itself",
        "lists": "the lists for a spreadsheet (CSV) and for scripts (JSON)",
        "drawings": "true-size drawings for other programs and machines, in mm",
        "design": "the design itself; Holewise opens it",
    }
    there = {file.path.split("/")[0] for file in made}
    lines += [f"  {name + '/':12}{words}" for name, words in folders.items() if name in there]
    lines += [
        f"  {PROOF:12}what reading the files back has found",
        f"  {CHECKSUMS:12}to check that nothing was damaged",
    ]
    names = ", ".join(variant.name for variant in variants_of(design, request))
    lines += ["", f"Ways to build it: {names}.", ""]
    if design.notes.strip():
        lines += ["Notes", "-----", "", *design.notes.splitlines(), ""]
    return "\n".join(lines)


def _about() -> Iterable[str]:
    return (
        "Measure both bars of every sheet before you drill: 100 mm and 4 in, along and across.",
        "Sheets belong together only if their check codes are the same.",
        "Wear eye and ear protection and a dust mask, clamp the work and back it up, and keep gloves",
        "away from a spinning bit. Unplug before wiring; leave mains wiring to a licensed electrician",
        "under your local code. Follow the tool makers' instructions first.",
    )
