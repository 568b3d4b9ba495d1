"""What reading a file back has found, to stand beside its download."""

from __future__ import annotations

from msgspec import Struct

from app.service.drawings.formats import DRAWINGS
from app.service.drawings.made_file import ProvedFile
from app.service.drawings.sheet_files import SHEET_FILES

OTHER = "other"
"""Place on the paper page of the template of the other face."""

PROVABLE = {
    **{name: f"The {kind.words}" for name, kind in SHEET_FILES.items() if not kind.unproved},
    **{each.name: f"The {each.words} drawing" for each in DRAWINGS},
}
"""What is read back, in words: kinds of sheets, and drawings by their formats."""


class ProofPage(Struct, frozen=True):
    """A proof.

    Args:
        name: what was read back.
        good: whether it shows what the design asks for; not whether that can be built.
        words: the result.
        detail: what was compared, and by what it was read; empty of a refusal.
        back_url: the paper page.
        spoilt: id of the download that goes from the page, because it is not handed out; empty if none.
        stops: how many findings say that the board cannot be built as drawn.
    """

    name: str
    good: bool
    words: str
    detail: str
    back_url: str
    spoilt: str = ""
    stops: int = 0


def proved_page(made: ProvedFile, of: str, back_url: str) -> ProofPage:
    """The proof of a file that may be handed out."""
    return ProofPage(PROVABLE[of], True, made.proof.words, made.proof.detail, back_url, stops=made.stops)


def refused(why: str, of: str, back_url: str, slot: str = "") -> ProofPage:
    """Why a file is not handed out; ``slot`` is the place on the page that asked, beside its download."""
    key = slot.removeprefix("proof-")
    spoilt = f"download-{key}" if key in (*PROVABLE, OTHER) else ""
    return ProofPage(PROVABLE.get(of, "The file"), False, why, "", back_url, spoilt)
