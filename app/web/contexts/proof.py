"""What reading a file back has found, to stand beside its download."""

from __future__ import annotations

from dataclasses import dataclass

from app.service.proving import ProvedFile
from app.web.contexts.here import Here

_NAMES = {"template": "The template", "svg": "The SVG drawing", "dxf": "The DXF drawing"}


@dataclass(frozen=True, slots=True)
class ProofPage:
    """A proof.

    Args:
        name: what was read back.
        good: whether it shows what the design asks for.
        words: the result.
        detail: what was compared, and by what it was read; empty of a refusal.
        back_url: the paper page.
    """

    name: str
    good: bool
    words: str
    detail: str
    back_url: str


def proved(made: ProvedFile, of: str, here: Here) -> ProofPage:
    """The proof of a file that may be handed out."""
    return ProofPage(_NAMES[of], True, made.proof.words, made.proof.detail, here.url("/paper"))


def refused(why: str, of: str, here: Here) -> ProofPage:
    """Why a file is not handed out."""
    return ProofPage(_NAMES.get(of, "The file"), False, why, "", here.url("/paper"))
