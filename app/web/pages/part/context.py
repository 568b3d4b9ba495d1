"""The page of one part: its drawing, and a field for every measure of it."""

from __future__ import annotations

from collections.abc import Mapping

from markupsafe import Markup
from msgspec import Struct, field

from app.service import Basis
from app.service.edits.hardware import MeasureGroup, PartInHand, measure_groups, part_in_hand, part_picture
from app.service.screens.choices import Choice, bases
from app.service.screens.words import counted
from app.service.sight import Sight
from app.units import Unit
from app.web.shared.switches import switches_of
from app.web.shared.view_state import Option, ViewState


class PartPage(Struct, frozen=True):
    """The page of the part at a placement.

    Args:
        view: the view, with the placement selected.
        action: address of the page, to which its forms are sent.
        back_url: the board page.
        title: of the design.
        label: letter of the placement; its part's name if it has none.
        name: of the part, as the field shows it.
        own: whether the design carries the part itself.
        where: what a correction does, in words.
        groups: fields by what they measure.
        basis: how far to trust the measures that were not taken by hand.
        was_basis: the same, as it is.
        source: where those come from.
        scope: where the correction is used.
        unused: own parts that are placed nowhere, by id.
        drawing: the part, inline SVG.
        units: switch.
        unit: unit of fields, ``mm`` or ``inch``.
        problems: sentence by field that could not be taken.
        typed: what stood in the fields then.
    """

    view: ViewState
    action: str
    back_url: str
    title: str
    label: str
    name: str
    own: bool
    where: str
    groups: tuple[MeasureGroup, ...]
    basis: tuple[Choice, ...]
    was_basis: Basis
    source: str
    scope: tuple[Choice, ...]
    unused: tuple[Choice, ...]
    drawing: Markup
    units: tuple[Option, ...]
    unit: str
    problems: Mapping[str, str] = field(default_factory=dict)
    typed: Mapping[str, str] = field(default_factory=dict)


def part_page(
    sight: Sight,
    view: ViewState,
    placement: str,
    *,
    problems: Mapping[str, str] | None = None,
    typed: Mapping[str, str] | None = None,
) -> PartPage:
    """The page of the part at a placement.

    Raises:
        NotFoundError: no such placement.
    """
    held = part_in_hand(sight, view.where, placement)
    board, view = sight.checked.resolved, view.at(select=(placement,)).showing(sight.revision)
    unit, problems, typed = Unit(board.units), problems or {}, typed or {}
    path = f"/part/{placement}"
    wrong = next((m.name for m in held.measures if m.name in problems), "")
    return PartPage(
        view=view,
        action=f"/designs/{view.design}{path}",
        back_url=view.url(),
        title=sight.title,
        label=held.placed.label or held.entry.name,
        name=shown_name(held),
        own=held.own,
        where=_where(held),
        groups=measure_groups(held, unit, typed),
        basis=_bases(held, typed),
        was_basis=held.provenance.basis,
        source=held.provenance.words,
        scope=_scope(held, typed),
        unused=tuple(Choice(p.id, p.name) for p in held.unused),
        drawing=Markup(part_picture(held, board.thickness, unit, wrong)),  # noqa: S704 - our own writer's SVG
        units=switches_of(sight, view, path)["units"],
        unit=unit.value,
        problems=problems,
        typed=typed,
    )


def shown_name(held: PartInHand) -> str:
    """The name in the field: a copy is not called as what it was copied from."""
    return held.entry.name if held.own else f"{held.entry.name[:106]}, as measured"


def _where(held: PartInHand) -> str:
    holes = counted(held.holes, "hole")
    if held.own:
        return f"This design’s own part, in {holes}. Changes here are saved with the design."
    return f"A built-in part, in {holes} of this design. Changes are saved in a copy that goes with the design."


def _bases(held: PartInHand, typed: Mapping[str, str]) -> tuple[Choice, ...]:
    words: Mapping[Basis, str] = {
        "measured": "all measured",
        "data sheet": "from a data sheet",
        "typical": "typical sizes",
    }
    chosen = typed.get("basis", held.provenance.basis)
    return tuple(Choice(basis, words[basis], basis == chosen) for basis in bases())


def _scope(held: PartInHand, typed: Mapping[str, str]) -> tuple[Choice, ...]:
    if held.holes < 2:
        return ()
    only_here = typed.get("scope") == "here"
    name = held.placed.label or "this one"
    return (
        Choice("all", f"In all {held.holes} holes with this part", not only_here),
        Choice("here", f"Only at {name}", only_here),
    )
