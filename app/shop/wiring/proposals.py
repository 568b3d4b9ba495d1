"""Which encoder boards would do, where the builder has chosen none."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from msgspec import Struct

from app.fit.judging.pins import tabs_of
from app.fit.judging.wired_face import WiredFace
from app.model.part import Part


class WiringProposal(Struct, frozen=True):
    """Encoder boards that together read everything.

    Args:
        boards: each kind of board, and how many of it.
        spare: pins for switches that stay free.
    """

    boards: tuple[tuple[Part, int], ...]
    spare: int

    @property
    def count(self) -> int:
        """How many boards these are."""
        return sum(many for _, many in self.boards)


def proposals(face: WiredFace, parts: Mapping[str, Part]) -> tuple[WiringProposal, ...]:
    """What would do, fewest boards first and then fewest spare pins; nothing where nothing is to be read."""
    switches, axes = tabs_of(face.parts, "switch"), -(-tabs_of(face.parts, "turning") // 2)
    if not switches and not axes:
        return ()
    encoders = [part for part in parts.values() if part.encoder is not None]
    found = {proposal.boards: proposal for proposal in _found(encoders, switches, axes)}
    return tuple(sorted(found.values(), key=lambda p: (p.count, p.spare, p.boards[0][0].id)))


def _found(encoders: Iterable[Part], switches: int, axes: int) -> Iterable[WiringProposal]:
    """One kind of board alone; or one for switches, and as many of another as its axes are not enough."""
    rows = [(part, part.encoder.inputs, part.encoder.turnings) for part in encoders if part.encoder is not None]
    for part, inputs, turnings in rows:
        if (switches and not inputs) or (not switches and not turnings):
            continue
        many = max(-(-switches // inputs) if switches else 0, -(-axes // turnings) if axes and turnings else 0, 1)
        if not axes or turnings:
            yield WiringProposal(((part, many),), many * inputs - switches)
        if switches and axes:
            first = -(-switches // inputs)
            left = axes - first * turnings
            for other, more, pairs in rows:
                if left > 0 and pairs and not more:
                    yield WiringProposal(((part, first), (other, -(-left // pairs))), first * inputs - switches)
