"""What the shelf says of a design: the size of its deck, whom it is for, and whether it can be built."""

from __future__ import annotations

from typing import TYPE_CHECKING

from msgspec import Struct
from msgspec.json import decode, encode

from app.document.schema import Design
from app.service.checks.states import Key, State, States, called, keys_of, worst_of

if TYPE_CHECKING:
    from app.model.resolved import ResolvedBoard


class ArrangementVerdict(Struct, frozen=True):
    """One arrangement of a design, and how it stands.

    Args:
        board, arrangement: ids.
        name: what it is called, with its board if that is not the deck.
        stops, cautions, notes: how many of each are open.
    """

    board: str
    arrangement: str
    name: str
    stops: int
    cautions: int
    notes: int


class Verdict(Struct, frozen=True):
    """A design judged, with the worst of its arrangements.

    Args:
        units: that the design shows lengths in, ``mm`` or ``inch``.
        width, front_to_back, thickness: of the deck [mm].
        materials: of its layers, top to underside.
        arrangements: of the deck, then of its other boards.
        stops, cautions, notes: how many of each are open in the worst of them.
    """

    units: str
    width: float
    front_to_back: float
    thickness: float
    materials: tuple[str, ...]
    arrangements: tuple[ArrangementVerdict, ...]
    stops: int
    cautions: int
    notes: int

    @property
    def states(self) -> dict[Key, State]:
        """How each arrangement stands."""
        return {(a.board, a.arrangement): State(a.stops, a.cautions, a.notes) for a in self.arrangements}


def verdict_of(design: Design, deck: ResolvedBoard, states: States) -> Verdict:
    """The verdict on a design, from its deck laid out and every arrangement judged; at least one."""
    worst = worst_of(states.values())
    return Verdict(
        units=deck.units,
        width=deck.width,
        front_to_back=deck.depth_front_to_back,
        thickness=deck.thickness,
        materials=tuple(layer.material.name for layer in deck.layers),
        arrangements=tuple(
            ArrangementVerdict(*key, called(design, key), states[key].stops, states[key].cautions, states[key].notes)
            for key in keys_of(design)
            if key in states
        ),
        stops=worst.stops,
        cautions=worst.cautions,
        notes=worst.notes,
    )


def packed(verdict: Verdict) -> bytes:
    """A verdict to be kept."""
    return encode(verdict)


def unpacked(data: bytes) -> Verdict:
    """The verdict that was kept, exactly: a float is written so that it is read back as the same."""
    return decode(data, type=Verdict)
