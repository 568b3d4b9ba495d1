"""Words as a name that every system, address and program takes."""

from __future__ import annotations

import re
import unicodedata


def slug(*words: str, longest: int = 80, empty: str = "design") -> str:
    """Small Latin letters, figures and single hyphens; ``empty`` if nothing of the words is left.

    Args:
        words: joined by hyphens; accents are taken off, what has no plain letter is left out.
        longest: how many characters it has at most.
        empty: what it is then.
    """
    text = unicodedata.normalize("NFKD", "-".join(word for word in words if word))
    plain = re.sub(r"[^a-z0-9]+", "-", text.encode("ascii", "ignore").decode().lower()).strip("-")
    return plain[:longest].strip("-") or empty
