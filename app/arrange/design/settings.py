"""Edits of what belongs to the whole design: title, notes, units, paper, drilling method, bits, thickness."""

from __future__ import annotations

from collections.abc import Collection
from typing import cast, get_args

from app.arrange.change import Edit, number, shown, with_board, words
from app.catalogue.load import Catalogue, paper_by_text
from app.document.resolve import find_board
from app.document.schema import BitEntry, Design, ShopEntry
from app.errors import EditError, PaperError
from app.model.limits import BITS, LAYER, THINNEST_LAYER, WORDS
from app.model.tooling import BitKind, kind_words
from app.units import INCH, format_exact

_UNITS = {"mm": "millimetres", "inch": "inches"}
_FINEST = 64  # parts of an inch that bits are sold by
_SAME = 1e-6  # mm: two bits nearer than this are one size


def set_title(design: Design, title: str) -> Edit:
    """Give the design another title.

    Raises:
        EditError: it is empty, too long or not one line.
    """
    title = words(title, "The title", "title", WORDS.most, 1)
    return Edit(design.model_copy(update={"title": title}), f'Renamed the design to "{title}"')


def set_notes(design: Design, notes: str) -> Edit:
    """Replace the notes.

    Raises:
        EditError: they are longer than 20 000 characters, or cannot be saved as text.
    """
    text = notes.replace("\r\n", "\n").replace("\r", "\n")
    if len(text) > 20_000:
        raise EditError(f"Notes have up to 20,000 characters, got {len(text):,}. Shorten them.", "notes")
    if any(0xD800 <= ord(c) <= 0xDFFF for c in text):
        raise EditError("The notes contain half a character, which cannot be saved. Type them again.", "notes")
    return Edit(design.model_copy(update={"notes": text}), "Changed the notes")


def set_units(design: Design, units: str) -> Edit:
    """Show lengths in ``mm`` or ``inch``; no length in the document changes.

    Raises:
        EditError: another word.
    """
    if units not in _UNITS:
        raise EditError(f'Units are mm or inch, got "{units[:40]}". Choose one of them.', "units")
    return Edit(design.model_copy(update={"units": units}), f"Show lengths in {_UNITS[units]}")


def set_paper(design: Design, paper: str) -> Edit:
    """Print on another paper: a name such as ``a4``, or ``WIDTHxHEIGHT`` in mm.

    Raises:
        EditError: there is no such paper.
    """
    try:
        found = paper_by_text(paper)
    except PaperError as error:
        raise EditError(str(error), "paper") from None
    return _shop(design, f"Set the paper to {found.name}", paper=paper.strip().lower())


def set_drilling(design: Design, drilling: str, catalogue: Catalogue) -> Edit:
    """Drill by hand, on a press or on a machine, which decides how far holes may be off.

    Raises:
        EditError: there is no such method.
    """
    allowance = catalogue.allowances.get(drilling)
    if allowance is None:
        known = ", ".join(catalogue.allowances)
        raise EditError(f'There is no drilling method "{drilling[:40]}". Choose one of: {known}.', "drilling")
    return _shop(design, f"Set the drilling to {allowance.name}", drilling=drilling)


def take_bits(design: Design, name: str, catalogue: Catalogue) -> Edit:
    """Own the bits of a starter set instead of the shop's.

    Raises:
        EditError: there is no such set.
    """
    return _shop(design, f"Changed to the {name} set of bits", bits=bit_set(name, catalogue))


def add_bit(design: Design, kind: str, diameter: float, catalogue: Catalogue, reach: float | None = None) -> Edit:
    """Put a bit among the shop's, of ``diameter`` and ``reach`` [mm].

    Without a reach it reaches as deep as the deepest of its kind there, or in the starter set.

    Raises:
        EditError: there is no such kind, a length is out of range, or the list is full.
    """
    if kind not in get_args(BitKind):
        known = ", ".join(get_args(BitKind))
        raise EditError(f'There is no kind of bit "{kind[:40]}". Choose one of: {known}.', "kind")
    diameter = number(diameter, "A bit's diameter", "diameter", 0, 200, above=True)
    if reach is not None:
        reach = number(reach, "A bit's reach", "reach", 0, 1000, above=True)
    bits = shop_bits(design, catalogue)
    if len(bits) >= BITS.most:
        raise EditError(f"You can list up to {BITS.most} bits, and the list is full. Delete some first.", "diameter")
    sort = cast("BitKind", kind)
    if any(b.kind == sort and abs(b.diameter - diameter) < _SAME and b.reach >= (reach or 0.0) for b in bits):
        return _shop(
            design,
            f"Left the bits as they were: {shown(diameter, design.units)} {kind_words(kind)} is there",
            bits=bits,
        )
    if reach is None:
        reach = max((b.reach for b in bits if b.kind == sort), default=None)
    new = BitEntry(kind=sort, diameter=diameter, inch=_is_inch_size(diameter))
    new = new.model_copy(update={"reach": reach}) if reach else new
    summary = f"Added a {shown(diameter, 'inch' if new.inch else 'mm')} {kind_words(kind)} bit"
    return _shop(design, summary, bits=(*bits, new))


def remove_bit(design: Design, kind: str, diameter: float, catalogue: Catalogue, reach: float | None = None) -> Edit:
    """Take a bit of that kind and diameter [mm] out of the shop; of several, only that of ``reach`` [mm] if given.

    Raises:
        EditError: the shop has no such bit, or it is the last one.
    """
    bits = shop_bits(design, catalogue)
    rest = tuple(
        b for b in bits if not (b.kind == kind and abs(b.diameter - diameter) < _SAME and reach in (None, b.reach))
    )
    if len(rest) == len(bits):
        raise EditError("That bit is no longer in your list. Look at the list again.", "bit")
    if not rest:
        raise EditError("That is your last bit, and nothing can be drilled without one. Add another first.", "bit")
    gone = next(b for b in bits if b not in rest)
    size = shown(gone.diameter, "inch" if gone.inch else "mm")
    return _shop(design, f"Deleted the {size} {kind_words(kind)} bit", bits=rest)


def keep_bits(design: Design, wanted: Collection[tuple[str, float, float]], catalogue: Catalogue) -> Edit:
    """Keep only those bits, each by kind, diameter and reach [mm].

    Raises:
        EditError: none of them is in the shop.
    """
    bits = tuple(b for b in shop_bits(design, catalogue) if (b.kind, b.diameter, b.reach) in wanted)
    if not bits:
        raise EditError("None of those bits is in your list. Tick the ones to keep.", "bit")
    return _shop(design, f"Kept only {len(bits)} bit{'' if len(bits) == 1 else 's'}", bits=bits)


def clear_bits(design: Design) -> Edit:
    """Own no bit at all."""
    return Edit(design.model_copy(update={"shop": design.shop.with_own(())}), "Deleted every bit")


def shop_bits(design: Design, catalogue: Catalogue) -> tuple[BitEntry, ...]:
    """The bits of the shop; the metric starter set where nobody lists any."""
    return design.shop.bits if design.shop.bits or design.shop.owned else bit_set("metric", catalogue)


def set_paint(design: Design, board: str | None, paint: float) -> Edit:
    """Say how thick the paint or film on every surface is [mm]; 0 for none.

    Raises:
        EditError: it is out of range.
    """
    old = find_board(design, board)
    thick = number(paint, "The paint's thickness in mm", "paint", 0, 2)
    new = with_board(design, old.model_copy(update={"paint": thick}))
    said = f"Allowed {format_exact(thick)} mm for paint on {old.name}" if thick else f"Set {old.name} as unpainted"
    return Edit(new, said)


def set_thickness(design: Design, board: str | None, thickness: float, layer: int = 0) -> Edit:
    """Say how thick a layer of the board really is [mm]; the layers count from 0 at the top face.

    Raises:
        EditError: there is no such layer, or the thickness is out of range.
    """
    old = find_board(design, board)
    if not 0 <= layer < len(old.layers):
        raise EditError(f"{old.name} has {len(old.layers)} layers, got layer {layer + 1}. Choose one of them.", "layer")
    thick = number(thickness, "The thickness", "thickness", THINNEST_LAYER, LAYER.most)
    rows = tuple(row.model_copy(update={"thickness": thick}) if i == layer else row for i, row in enumerate(old.layers))
    new = with_board(design, old.model_copy(update={"layers": rows}))
    which = f"layer {layer + 1} of {old.name}" if len(rows) > 1 else old.name
    return Edit(new, f"Made {which} {shown(thick, design.units)} thick")


def bit_set(name: str, catalogue: Catalogue) -> tuple[BitEntry, ...]:
    """A starter set of the catalogue as entries of a document.

    Raises:
        EditError: there is no such set.
    """
    if name not in catalogue.bit_sets:
        known = ", ".join(catalogue.bit_sets)
        raise EditError(f'There is no set of bits "{name[:40]}". Choose one of: {known}.', "bits")
    return tuple(
        BitEntry(kind=b.kind, diameter=b.diameter, reach=b.reach, inch=b.inch) for b in catalogue.bit_sets[name]
    )


def _is_inch_size(diameter: float) -> bool:
    parts = diameter / INCH * _FINEST
    return abs(parts - round(parts)) * INCH / _FINEST < _SAME


def _shop(design: Design, summary: str, **changes: str | tuple[BitEntry, ...]) -> Edit:
    tooling: ShopEntry = design.shop.model_copy(update=changes)
    return Edit(design.model_copy(update={"shop": tooling}), summary)
