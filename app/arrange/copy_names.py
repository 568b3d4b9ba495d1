"""What a copy is called: after what it is a copy of, and like nothing else."""

from __future__ import annotations

import re
from collections.abc import Iterable
from itertools import count

from app.model.limits import WORDS

_ALREADY = re.compile(r"\s+copy(\s+\d+)?$")


def copy_name(name: str, taken: Iterable[str]) -> str:
    """``name copy``, or the first of ``name copy 2``, ``name copy 3`` … that is not taken, whatever its capitals.

    A copy of a copy is numbered on instead of being called a copy twice. A name too long for that loses its end.
    """
    known = {text.strip().casefold() for text in taken}
    stem = _ALREADY.sub("", name.strip()) or "Untitled"
    ends = (" copy" if number == 1 else f" copy {number}" for number in count(1))
    names = (stem[: WORDS.most - len(end)].rstrip() + end for end in ends)
    return next(text for text in names if text.casefold() not in known)


def numbered_name(name: str, taken: Iterable[str]) -> str:
    """``name``, or the first of ``name 2``, ``name 3`` … that is not taken, whatever its capitals."""
    known = {text.casefold() for text in taken}
    ends = ("" if number == 1 else f" {number}" for number in count(1))
    names = (name[: WORDS.most - len(end)].rstrip() + end if end else name for end in ends)
    return next(text for text in names if text.casefold() not in known)
