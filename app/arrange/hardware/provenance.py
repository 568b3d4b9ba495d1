"""How far to trust each measure of a part: which were taken by hand, and where the others come from.

A part has one basis and one line of words. A part of which something was measured is *measured*, and its words
begin with what was: ``By hand: thread length, nut width; others typical: …``, or, where that is shorter,
``By hand all but: washer; others data sheet: …``.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from typing import Final, cast

from msgspec import Struct

from app.arrange.hardware.measures import PartMeasure
from app.catalogue.hardware import PartEntry
from app.model.source import Basis, Source

LONGEST: Final = 200
"""Most characters of the words, as the schema says."""

_NOTED = re.compile(r"By hand( all but)?: (?P<names>[^;]*); others (?P<basis>data sheet|typical): (?P<words>.*)")
_ALL = "Measured by hand."


class Provenance(Struct, frozen=True):
    """Where the numbers of a part come from.

    Args:
        hands: names of the measures taken by hand.
        basis: how far to trust the others.
        words: where the others come from.
    """

    hands: frozenset[str]
    basis: Basis
    words: str

    def of(self, name: str) -> Basis:
        """How far to trust one measure."""
        return "measured" if name in self.hands else self.basis


def provenance_of(part: PartEntry, measures: Iterable[PartMeasure]) -> Provenance:
    """What basis and words of a part say about its measures."""
    return provenance_in(Source(part.source, part.basis), (m.name for m in measures))


def provenance_in(source: Source, measures: Iterable[str]) -> Provenance:
    """What the words of a part say about measures of those names."""
    names = frozenset(measures)
    if source.basis != "measured":
        return Provenance(frozenset(), source.basis, source.text)
    noted = _NOTED.fullmatch(source.text)
    if noted is None:
        return Provenance(names, "measured", source.text)
    said = set(noted["names"].split(", "))
    listed = frozenset(name for name in names if _short(name) in said)
    hands = names - listed if noted[1] else listed
    return Provenance(hands, cast("Basis", noted["basis"]), noted["words"])


def trust_words(source: Source) -> str:
    """How far to trust the sizes of a part, in a line: “By hand: thread length; others typical”."""
    noted = _NOTED.fullmatch(source.text) if source.basis == "measured" else None
    if noted is None:
        return _TRUST[source.basis]
    return f"By hand{noted[1] or ''}: {noted['names']}; others {noted['basis']}"


_TRUST: Final = {
    "measured": "Measured by hand",
    "data sheet": "Sizes from a data sheet",
    "typical": "Typical sizes: measure yours before you drill",
}


def with_provenance(part: PartEntry, measures: Iterable[PartMeasure], found: Provenance) -> PartEntry:
    """The part with basis and words that say the same."""
    names = [m.name for m in measures]
    basis, words = found.basis, found.words
    if found.hands and basis != "measured":
        rest = [name for name in names if name not in found.hands]
        if rest:
            hands = [name for name in names if name in found.hands]
            begin, listed = ("By hand all but", rest) if len(rest) < len(hands) else ("By hand", hands)
            words = f"{begin}: {', '.join(map(_short, listed))}; others {basis}: {words}"
        else:
            words = _ALL
        basis = "measured"
    # Which were measured matters more than the words about the others, so the end is cut off.
    words = words if len(words) <= LONGEST else words[: LONGEST - 1] + "…"
    return part.model_copy(update={"basis": basis, "source": words})


def _short(name: str) -> str:
    return name.replace("_", " ")
