"""What a design can be compared with: its own steps, other designs of the shelf, a file."""

from __future__ import annotations

from typing import Final

from msgspec import Struct

from app.document.load import loads
from app.document.schema import Design
from app.errors import EditError
from app.service.own_bits import with_bits
from app.service.screens.plans.timeline import PastMoment, timeline_of
from app.service.workshop import Workshop

NOW: Final = "now"
"""The design as it is now."""

_STEP, _DESIGN = "step:", "design:"
_MOST_STEPS = 60
_MOST_DESIGNS = 100


class Comparable(Struct, frozen=True):
    """What a design can be compared with.

    Args:
        value: as an address has it.
        words: what it is called.
        moment: the step, where it is one; None for another design.
    """

    value: str
    words: str
    moment: PastMoment | None = None


def comparables(workshop: Workshop, design_id: str, *chosen: str) -> tuple[Comparable, ...]:
    """What a design can be compared with: as it is now, its latest steps and those ``chosen``, the shelf's others.

    Raises:
        NotFoundError: there is nothing of such a design.
    """
    moments = [m for m in reversed(timeline_of(workshop, design_id).moments) if m.place != "now"]
    kept = [m for k, m in enumerate(moments) if k < _MOST_STEPS or m.letter or _STEP + m.id in chosen]
    steps = (Comparable(_STEP + m.id, _step_words(m), m) for m in kept)
    others = workshop.others(design_id)[:_MOST_DESIGNS]
    designs = (Comparable(_DESIGN + ident, f"Design: {title}") for ident, title in others)
    return (Comparable(NOW, "As it is now"), *steps, *designs)


def _step_words(moment: PastMoment) -> str:
    if moment.letter:
        return f"Revision {moment.letter}, step {moment.number}"
    return f"Step {moment.number}: {moment.summary}"


def usual_before(workshop: Workshop, design_id: str) -> str:
    """What the design is usually compared with: its newest revision before now, as an address has it.

    Without a revision it is the step before; the design as it is now if there is none.

    Raises:
        NotFoundError: there is nothing of such a design.
    """
    before = [m for m in timeline_of(workshop, design_id).moments if m.place == "before"]
    published = [m for m in before if m.letter] or before
    return _STEP + published[-1].id if published else NOW


def comparable_words(workshop: Workshop, design_id: str, value: str) -> str:
    """What a state is called on a sheet, which is read when the timeline has long gone on.

    A revision by its letter, another step by its number and words, another design by its title. Raises as
    :func:`comparables`.
    """
    if value.startswith(_DESIGN):
        return f"“{workshop.design(value.removeprefix(_DESIGN))[1].title}”"
    moments = timeline_of(workshop, design_id).moments
    found = next((m for m in moments if (m.place == "now" if value == NOW else _STEP + m.id == value)), None)
    if found is None:
        return "another state"
    return f"revision {found.letter}" if found.letter else f"step {found.number} ({found.summary})"


def comparable_design(workshop: Workshop, design_id: str, value: str) -> Design:
    """The design that an address names.

    Raises:
        NotFoundError: there is none of it.
        DamagedError: what is stored of it cannot be read.
        EditError: the address is none of this page.
    """
    if value == NOW:
        return workshop.design(design_id)[1]
    if value.startswith(_STEP):
        return workshop.moment(design_id, value.removeprefix(_STEP))
    if value.startswith(_DESIGN):
        return workshop.design(value.removeprefix(_DESIGN))[1]
    raise EditError("Choose what to compare from the lists: a step, or another design.", "before")


def design_in_file(workshop: Workshop, data: bytes) -> Design:
    """A design from a file, which is only looked at, with the workshop's bits.

    Raises:
        DocumentError: it cannot be read, or holds too much.
    """
    if not data:
        raise EditError("No file was chosen, or it is empty. Choose a design file.", "file")
    return with_bits(loads(data), workshop.bench.bits())
