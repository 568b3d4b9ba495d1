"""Edits of legends: what is lettered beside the parts of a board. All lengths in mm, angles in degrees.

Every function raises NotFoundError for a board, arrangement or placement that is not there, and EditError, with the
form field it belongs beside, for what cannot be lettered.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Callable, Collection

from app.arrange.change import (
    Edit,
    located,
    name_of,
    number,
    shown,
    with_arrangement,
    with_board,
    with_placement,
    words,
)
from app.catalogue.load import Catalogue
from app.catalogue.signs import SIGNS
from app.catalogue.typeface import letters_lacking
from app.document.legend_schema import LegendEntry, LetteringEntry
from app.document.legends import lacking_words
from app.document.resolve import design_parts, find_arrangement, find_board
from app.document.schema import ArrangementEntry, Design, PlacementEntry
from app.errors import EditError
from app.model.legend import COLOURS, PLACES, LegendColour, LegendPlace
from app.model.limits import LEGEND, LOWEST_LEGEND, TALLEST_LEGEND


def set_legend(
    design: Design,
    board: str | None,
    arrangement: str | None,
    placement: str,
    *,
    text: str = "",
    sign: str = "",
    height: float | None = None,
    place: str = "back",
    at: tuple[float, float] = (0.0, 0.0),
    turn: float = 0.0,
    covered: bool = False,
) -> Edit:
    """Letter a placement with a text or a sign, in the place of what it had.

    Args:
        design: the design.
        board: id of the board.
        arrangement: id of the arrangement.
        placement: its id.
        text: what it says; not with a sign.
        sign: name of a sign.
        height: of its capitals; None for the board's.
        place: a side, ``ring`` or ``free``.
        at: middle of a free one from the part's origin.
        turn: of its baseline; of a ring how far its middle is from the back.
        covered: whether it may lie under a flange.

    Raises:
        EditError: neither or both are given, a letter is not in the typeface, or a number is out of range.
    """
    _, _, old = located(design, board, arrangement, placement)
    text = _lettered(text)
    if not text and not sign:
        raise EditError("A legend is a text or a sign. Type a text, choose a sign, or delete the legend.", "text")
    if text and sign:
        raise EditError("A legend is a text or a sign, got both. Empty the text, or choose “No sign”.", "sign")
    if sign and sign not in SIGNS:
        raise EditError(f"There is no sign “{sign[:40]}”. Choose one of the list.", "sign")
    if place not in PLACES:
        raise EditError(f"There is no place “{place[:40]}”. Choose one of the list.", "place")
    entry = LegendEntry(
        text=text,
        sign=sign,
        height=None if height is None else _height(height, "height"),
        place=next(p for p in PLACES if p == place),
        x=number(at[0], "The measure to the right", "x"),
        y=number(at[1], "The measure to the back", "y"),
        turn=number(turn, "The turn", "turn", -360, 360),
        covered=covered,
    )
    if entry == old.legend:
        return Edit(design, f"Left the legend of {name_of(old)} as it was", placement)
    said = f"“{text}”" if text else f"the sign “{SIGNS[sign].words}”"
    new = with_placement(design, board, arrangement, placement, legend=entry)
    return Edit(new, f"Lettered {name_of(old)} {said}", placement)


def delete_legend(design: Design, board: str | None, arrangement: str | None, placement: str) -> Edit:
    """Letter a placement no more."""
    _, _, old = located(design, board, arrangement, placement)
    new = with_placement(design, board, arrangement, placement, legend=None)
    return Edit(new, f"Deleted the legend of {name_of(old)}", placement)


def letter_legends(
    design: Design, board: str | None, arrangement: str | None, catalogue: Catalogue, *, place: str = "back"
) -> Edit:
    """Letter every part that shows on the top face and has no legend by its letter on the plan.

    Raises:
        EditError: there is none without a legend, or no letter of theirs is in the typeface.
    """
    if place not in PLACES:
        raise EditError(f"There is no place “{place[:40]}”. Choose one of the list.", "place")
    within = find_arrangement(find_board(design, board), arrangement)
    bare = {p.id for p in within.placements if p.legend is None and p.label.strip() and not letters_lacking(p.label)}
    bare -= _hidden(design, within, catalogue)
    if not bare:
        raise EditError("Every part with a letter has a legend already. Delete some, or set them one by one.", "place")
    wanted: LegendPlace = next(p for p in PLACES if p == place)

    def lettered(placed: PlacementEntry) -> PlacementEntry:
        if placed.id not in bare:
            return placed
        return placed.model_copy(update={"legend": LegendEntry(text=_lettered(placed.label), place=wanted)})

    new = _each(design, board, arrangement, lettered)
    return Edit(new, f"Lettered {len(bare)} {'part' if len(bare) == 1 else 'parts'} by name")


def _hidden(design: Design, within: ArrangementEntry, catalogue: Catalogue) -> set[str]:
    """Ids of placements of which nothing shows on the top face, as of an encoder board below it."""
    parts = design_parts(design, catalogue)
    found = ((p.id, parts.get(p.part)) for p in within.placements)
    return {ident for ident, part in found if part is not None and not part.cutouts and part.flange is None}


def delete_legends(design: Design, board: str | None, arrangement: str | None) -> Edit:
    """Take every legend of an arrangement away.

    Raises:
        EditError: there is none.
    """
    within = find_arrangement(find_board(design, board), arrangement)
    many = sum(placed.legend is not None for placed in within.placements)
    if not many:
        raise EditError("There is no legend to delete.", "place")
    new = _each(design, board, arrangement, lambda placed: placed.model_copy(update={"legend": None}))
    return Edit(new, f"Deleted {many} {'legend' if many == 1 else 'legends'}")


def set_lettering(
    design: Design,
    board: str | None,
    *,
    height: float | None = None,
    colour: str | None = None,
    distance: float | None = None,
) -> Edit:
    """Say what all legends of a board have in common; None leaves a value as it is.

    Raises:
        EditError: no such colour, or a number is out of range.
    """
    entry = find_board(design, board)
    old = entry.lettering or LetteringEntry()
    if colour is not None and colour not in COLOURS:
        raise EditError(f"There is no colour “{colour[:40]}”. Choose one of: {', '.join(COLOURS)}.", "colour")
    new: LegendColour = next((c for c in COLOURS if c == colour), old.colour)
    far = old.distance if distance is None else number(distance, "The reading distance", "distance", 100, 10_000)
    high = old.height if height is None else _height(height, "height")
    now = LetteringEntry(height=high, colour=new, distance=far)
    said = f"{shown(now.height, design.units)} high, {now.colour}, read from {shown(now.distance, design.units)}"
    changed = with_board(design, entry.model_copy(update={"lettering": now}))
    return Edit(changed, f"Set the legends of {entry.name} {said}")


def letter_again(
    design: Design,
    board: str | None,
    arrangement: str | None,
    placements: Collection[str],
    place: LegendPlace | None,
    height: float | None,
) -> Edit:
    """Put legends on another side, or make them another height; what has none stays without."""

    def changed(placed: PlacementEntry) -> PlacementEntry:
        if placed.id not in placements or placed.legend is None:
            return placed
        update: dict[str, object] = {} if place is None else {"place": place}
        if height is not None:
            update["height"] = _height(height, "height")
        return placed.model_copy(update={"legend": placed.legend.model_copy(update=update)})

    for one in placements:
        located(design, board, arrangement, one)
    new = _each(design, board, arrangement, changed)
    names = [name_of(located(design, board, arrangement, one)[2]) for one in placements]
    who = names[0] if len(names) == 1 else f"{len(names)} parts"
    what = f"to {shown(height, design.units)}" if height is not None else f"to the place “{place}”"
    only = next(iter(placements)) if len(names) == 1 else ""
    return Edit(new, f"Set the {'legend' if len(names) == 1 else 'legends'} of {who} {what}", only)


def _each(
    design: Design, board: str | None, arrangement: str | None, change: Callable[[PlacementEntry], PlacementEntry]
) -> Design:
    def all_of(entry: ArrangementEntry) -> ArrangementEntry:
        return entry.model_copy(update={"placements": tuple(map(change, entry.placements))})

    return with_arrangement(design, board, arrangement, all_of)


def _height(value: float, field: str) -> float:
    return number(value, "The height of letters", field, LOWEST_LEGEND, TALLEST_LEGEND)


def _lettered(text: str) -> str:
    """A text as it is lettered: composed letters, no blanks round it.

    Raises:
        EditError: it is too long, or the typeface lacks a letter of it.
    """
    plain = words(unicodedata.normalize("NFC", text), "A legend", "text", LEGEND.most)
    if lacking := letters_lacking(plain):
        raise EditError(lacking_words(lacking), "text")
    return plain
