"""The deck bears a leaning hand, with the holes that are in it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np

from app.catalogue.load import Catalogue
from app.fit.changes.advice import Advice, Maker
from app.fit.changes.manual_changes import COARSE, ThickenBoard
from app.fit.detail import Detail
from app.fit.features.features import Floats
from app.fit.features.layout import Layout
from app.fit.finding import FindingOf
from app.fit.limits.cut_depths import rounded_up
from app.fit.rule import Rule
from app.fit.strength.deck import DeckStrength, Voids, deck_strength, thickness_needed
from app.fit.words.changes import options, warning
from app.fit.words.finding import lacking
from app.fit.words.lengths import off, say, steps
from app.fit.words.strength import ESTIMATE, factor_words, stress_words
from app.geometry.outline import Outline
from app.model.resolved import ResolvedBoard
from app.units import Unit

_ROLE = "deck"
_METALS = ("aluminium", "steel")  # judged on their yield: they dent, they do not break
_WHOLE = 0.995  # of the board; more is said as 100 %
_FAR = 10  # thicknesses; further a deflection by linear theory has no meaning at all


class DeckDetail(Detail, frozen=True, kw_only=True):
    """How much a deck bears, by an estimate.

    Args:
        load: of a leaning hand [N].
        safety: how many times that is wanted.
        net: share of the section that the weakest row of holes leaves.
        long, short: spans from support to support [mm].
        needed: thickness that would do [mm]; None where none does.
        bent: how the deck bends; None where nothing is left along a line across it.
    """

    load: float
    safety: float
    net: float
    long: float
    short: float
    needed: float | None
    bent: DeckStrength | None

    @property
    def factor(self) -> float:
        """How many times the load it bears."""
        return self.bent.factor if self.bent else 0.0


def find(layout: Layout) -> list[FindingOf[DeckDetail]]:
    """At most one finding, about the board itself; none where its materials' strength is not known."""
    board = layout.board
    if board.role != _ROLE or any(not layer.material.strengths for layer in board.layers):
        return []
    spans = _spans(layout)
    if min(spans) <= 0:
        return []
    net, where = _weakest_row(layout, spans)
    load, radius = layout.default("deck-load").value, layout.default("deck-load-radius").value
    sides, rounded = (max(spans), min(spans)), bool(board.round_edges)
    linear = layout.default("plate-linear").value
    strength = deck_strength(board.layers, *sides, net, load, radius, linear, rounded=rounded)
    metal = strength is not None and strength.layer.material.family in _METALS
    safety = layout.default("deck-safety-metal" if metal else "deck-safety")
    if strength is not None and strength.factor >= safety.value:
        return []
    needed = thickness_needed(board.layers, *sides, net, load, radius, safety.value, rounded)
    detail = DeckDetail(
        cause="lean",
        load=load,
        safety=safety.value,
        net=net,
        long=sides[0],
        short=sides[1],
        needed=needed,
        bent=strength,
    )
    # Where no thickness helps, there is none to ask for.
    return [FindingOf(RULE.name, "caution", (), where, board.thickness, needed, safety.source.text, detail)]


def _spans(layout: Layout) -> tuple[float, float]:
    """From support to support, along x and along y [mm]: rails narrow it, an edge without one rests on the box."""
    board = layout.board
    across = board.width - board.rail_at("left") - board.rail_at("right")
    along = board.depth_front_to_back - board.rail_at("front") - board.rail_at("back")
    return across, along


def _weakest_row(layout: Layout, spans: tuple[float, float]) -> tuple[float, tuple[float, float]]:
    """Share of the section that stays along the worst line of holes, at least 0, and the middle of that line."""
    x0, y0, x1, y1 = layout.board.outline.bounds
    gaps = _gaps(layout)
    (down, x), (over, y) = gaps.worst_across(), gaps.worst_along()
    nets = max(0.0, 1 - down / spans[1]), max(0.0, 1 - over / spans[0])
    if nets[0] <= nets[1]:
        return nets[0], (x, (y0 + y1) / 2)
    return nets[1], ((x0 + x1) / 2, y)


def _gaps(layout: Layout) -> Voids:
    """Every hole, what counterbores and recesses take of the thickness about it, and openings."""
    holes, cuts, openings = layout.holes, layout.cuts, layout.board.openings
    shapes = holes.shapes
    if shapes.all_circles and not len(cuts) and not openings:
        (x, y), one = shapes.centres.T, np.ones(len(holes))
        return Voids(x, y, shapes.radii, shapes.radii, one, one)
    cut = _cut_away(layout)
    rows = [_extents(shapes.points, shapes.radii), _extents(cuts.shapes.points, cuts.shapes.radii)]
    rows.append(np.array([_box(opening) for opening in openings], np.float64).reshape(-1, 4))
    x, y, across, along = np.concatenate(rows).T
    circular = np.concatenate((shapes.circular, cuts.shapes.circular, np.zeros(len(openings), np.bool_)))
    beside = np.ones(len(holes))  # what a hole takes beside the counterbore about it, which is counted as a whole
    about = np.zeros(len(layout.placed))
    np.maximum.at(about, cuts.owner, cut)
    owners, mains = np.unique(holes.owner, return_index=True)
    beside[mains] -= about[owners]
    missing = np.concatenate((beside, cut, np.ones(len(openings))))
    return Voids(x, y, across, along, circular.astype(np.float64), missing)


def _cut_away(layout: Layout) -> Floats:
    """Share of the section modulus that counterbores and recesses take: of a thickness h of t they leave (h/t)²."""
    if not len(layout.cuts):
        return np.zeros(0)
    left = np.maximum(0.0, 1 - layout.cut_depths / layout.board.thickness)
    taken: Floats = 1 - left**2
    return taken


def _extents(points: Floats, radii: Floats) -> Floats:
    """Middle and half widths of shapes, shape (n, 4) [mm]."""
    low, high = points.min(axis=1), points.max(axis=1)
    return np.concatenate(((low + high) / 2, (high - low) / 2 + radii[:, None]), axis=1)


def _box(opening: Outline) -> tuple[float, float, float, float]:
    x0, y0, x1, y1 = opening.bounds
    return (x0 + x1) / 2, (y0 + y1) / 2, (x1 - x0) / 2, (y1 - y0) / 2


def _message(f: FindingOf[DeckDetail], _board: ResolvedBoard, unit: Unit) -> str:
    detail, load = f.detail, f"{f.detail.load:g} N"
    spans = " × ".join(say(side, unit) for side in (detail.long, detail.short))
    row = f"its weakest row of holes leaves {detail.net:.0%} of the board"
    if detail.net >= _WHOLE:
        row = "no row of holes weakens it"
    thick, bent = say(f.measured or 0.0, unit), detail.bent
    if bent is None:
        return f"Holes and openings right across the deck leave nothing to bear a leaning hand of {load}. {ESTIMATE}"
    bears = f"The deck, {thick} over {spans}, bears {factor_words(bent.factor)} a leaning hand of {load}"
    stress = f"{bent.layer.material.name}: {stress_words(bent.stress, bent.bending)}"
    asked = f"{factor_words(detail.safety)} is wanted"
    return f"{bears}: {row} ({stress}); {asked}.{_sag(bent, f.measured or 0.0, unit)} {ESTIMATE}"


def _sag(bent: DeckStrength, thickness: float, unit: Unit) -> str:
    if bent.linear:
        return f" It sags by {off(bent.deflection, unit)}."
    if bent.deflection > _FAR * thickness:
        return " It sags far beyond what plate theory covers: the figure is rough, and too low rather than too high."
    return f" It sags by about {say(bent.deflection, unit)}, beyond what plate theory covers: the figure is rough."


def _phrase(findings: Sequence[FindingOf[DeckDetail]], _board: ResolvedBoard, unit: Unit) -> str:
    detail = findings[0].detail
    if detail.needed is not None:
        return f"deck {lacking(findings, unit)} too thin to lean on"
    return "nothing left to lean on" if detail.bent is None else "deck too weak to lean on at any thickness"


def _remedy(f: FindingOf[DeckDetail], advice: Advice, unit: Unit) -> str:
    if f.detail.needed is None:
        return "Put fewer holes in one row, make openings shorter, or make the deck of something stronger."
    rail = "A rail under its middle helps too. The estimate cannot see one, so accept the caution if you add it."
    thicker = () if advice.ways else ("make the deck of something stronger",)
    said = options(f, advice, unit, *thicker, "back it with a second layer")
    return f"{warning(f, advice, unit)}{said} {rail}"


def _tries(f: FindingOf[DeckDetail], _board: ResolvedBoard, _catalogue: Catalogue) -> Iterator[Maker]:
    if (needed := f.detail.needed) is not None:
        yield lambda unit, _: [ThickenBoard(rounded_up(needed, step)) for step in (COARSE[unit] / 2, *steps(unit))]


def _factor(finding: FindingOf[DeckDetail]) -> float:
    return finding.detail.factor


RULE = Rule(
    name="deck-strength",
    meaning="The deck, with its holes, bears a leaning hand; an estimate for choosing a thickness. No other board is "
    "judged for that.",
    severities=("caution",),
    source="Plates of Roark, 7th ed., table 11.4, and of Timoshenko, 2nd ed., section 19; load and factor are defaults "
    "of the catalogue.",
    detail=DeckDetail,
    find=find,
    message=_message,
    phrase=_phrase,
    remedy=_remedy,
    thickened=True,
    whole=True,
    tries=_tries,
    harm="the deck is too weak",
    factor=_factor,
)
