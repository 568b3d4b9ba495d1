"""A new design: made, judged, and handed out only if the rules have nothing against it."""

from __future__ import annotations

from pathlib import PurePath
from typing import TYPE_CHECKING, Final, Literal, cast

from app.arrange.new_deck.new_deck import new_deck
from app.arrange.new_deck.new_deck_spec import NewDeck
from app.catalogue.load import catalogue
from app.document.keep import kept
from app.document.schema import Design
from app.drafting.words import thickness
from app.errors import EditError
from app.fit.finding import Finding
from app.fit.registry import rule_named
from app.fit.rules.deck_strength import DeckDetail
from app.fit.words.messages import message
from app.fit.words.strength import factor_words
from app.model.limits import WORDS
from app.service.checks.checking import CheckResult, check_design
from app.units import INCH, Unit
from app.values import replace

if TYPE_CHECKING:
    from app.service.edits.outlines import Read

_SAME: Final = 1e-9


def new_design(spec: NewDeck) -> Design:
    """A new design of one deck, with no stop and no caution in any arrangement.

    Raises:
        EditError: a value is not allowed, the board cannot carry what is asked, or a leaning hand would break
            it; with the form field it belongs beside.
    """
    design = new_deck(spec, catalogue())
    worst = _worst(design)
    if worst is not None:
        raise EditError(_refusal(spec, *worst), "thickness")
    return design


def board_for(found: Read) -> Design:
    """A new empty board as large as an outline that was read, in the first unit in which that can be a board.

    It is called as the file. Where no board can be so large as it is, it has the size a new board begins with.
    """
    from app.service.edits.outlines import sizes

    units = "inch" if found.file.mm is not None and abs(found.file.mm - INCH) < _SAME else "mm"
    spec = NewDeck(title=_title(found.name), players=0, units=cast("Literal['mm', 'inch']", units))
    for width, front_to_back in sizes(found).values():
        try:
            return new_design(replace(spec, width=width, depth=front_to_back))
        except EditError:
            continue
    return new_design(spec)


def board_file(found: Read) -> bytes:
    """The same as a design file."""
    return kept(board_for(found)).encode("utf-8")


def _title(name: str) -> str:
    stem = "".join(c for c in PurePath(name).stem if c.isprintable()).strip()
    return stem[: WORDS.most] or "Board from a drawing"


def _worst(design: Design) -> tuple[Finding, CheckResult] | None:
    """The gravest stop or caution; None if there is none.

    One about the strength of the deck comes first: it knows the thickness that will do.
    """
    for result in check_design(design):
        grave = (*result.report.stops, *result.report.cautions)
        if grave:
            return min(grave, key=lambda f: not isinstance(f.detail, DeckDetail)), result
    return None


def _refusal(spec: NewDeck, finding: Finding, result: CheckResult) -> str:
    unit, detail = Unit(spec.units), finding.detail
    name = catalogue().materials[spec.material].name
    material = name if name.isupper() else name.lower()
    if not rule_named(finding.rule).thickened:
        return f"{message(finding, result.resolved, unit)} Choose another thickness, or a larger board."
    said = message(finding, result.resolved, unit)
    if isinstance(detail, DeckDetail):
        bears = f"bears only {factor_words(detail.factor)} a leaning hand of {detail.load:g} N"
        wanted = f"{factor_words(detail.safety)} is wanted (an estimate)"
        said = f"A deck of {thickness(spec.thickness, unit)} {material} {bears}; {wanted}."
    least = _least_thickness(spec)
    if least is None:
        return f"{said} No {material} sold is thick enough for these parts. Choose another material, or other parts."
    return f"{said} Enter at least {thickness(least, unit)}, or choose another material."


def _least_thickness(spec: NewDeck) -> float | None:
    """The thinnest sheet sold of the material, thicker than asked for, that a new deck can be made of [mm]."""
    for thicker in sorted(catalogue().materials[spec.material].thicknesses):
        if thicker > spec.thickness and _sound(replace(spec, thickness=thicker)):
            return thicker
    return None


def _sound(spec: NewDeck) -> bool:
    try:
        return _worst(new_deck(spec, catalogue())) is None
    except EditError:
        return False
