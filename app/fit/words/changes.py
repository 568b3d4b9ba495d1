"""A change as one says it to somebody with a drill in hand, and what it would newly make wrong."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Final

from app.catalogue.load import Catalogue
from app.fit.changes.advice import Advice
from app.fit.changes.manual_changes import Change, CutWider, DeepenBox, LeaveOut, PackOut, ScrewsOf, ThickenBoard
from app.fit.detail import BitDetail
from app.fit.finding import Finding
from app.fit.limits.cut_depths import rounded_up
from app.fit.words.lengths import names, plural, side_words, sold, steps, typed
from app.fit.words.remakes import remade
from app.model.fix import BuyBit, CounterboreAt, LegendTo, MoveBy, RecessAt, Remake, Rewire, SeveralFixes, SwapPart
from app.model.legend import LegendPlace
from app.model.resolved import Placed, ResolvedBoard
from app.model.tooling import kind_words
from app.units import Unit

LEGEND_PLACES: Final[Mapping[LegendPlace, str]] = {
    "back": "behind",
    "front": "in front of",
    "left": "at the left of",
    "right": "at the right of",
    "ring": "in a ring round",
    "free": "at two measures from",
}
"""Where a legend stands, before what it is of."""

_KEPT_DEPTH = "as deep as now"


def options(finding: Finding, advice: Advice, unit: Unit, *general: str) -> str:
    """“Move A 2 mm to the left, or use smaller parts.”: what was tried, then what promises nothing."""
    said = [clause(way.said(unit), finding, advice, unit) for way in advice.ways]
    return sentence([*said, *general])


def options_besides(finding: Finding, advice: Advice, unit: Unit, *general: tuple[str, str]) -> str:
    """As :func:`options`; each general clause with the measure of a maker that makes it idle once that was tried."""
    said = {name for way in advice.ways if isinstance(way.in_mm, Remake) for name, _ in way.in_mm.measures}
    return options(finding, advice, unit, *(words for measure, words in general if measure not in said))


def sentence(choices: Sequence[str]) -> str:
    """Clauses as one sentence, each an alternative to the others."""
    said = ", or ".join(choices)
    return f"{said[:1].upper()}{said[1:]}."


def warning(finding: Finding, advice: Advice, unit: Unit) -> str:
    """“If you counterbore A 28 mm wide, B is too near. ”; empty where nothing was refused."""
    if advice.refused is None:
        return ""
    refused = advice.refused
    return f"If you {clause(refused.change, finding, advice, unit)}, {refused.harm}. "


def holds_without(finding: Finding) -> str:
    """“: the part holds without it”, behind what is left out."""
    one = len(finding.subjects) == 1
    return f": the {'part holds without it' if one else 'parts hold without them'}"


def needs_room(advice: Advice) -> bool:
    """Whether what was refused would be too near something, so that making room first helps."""
    return advice.refused is not None and advice.refused.crowds


def room_first(advice: Advice) -> str:
    """“Make room for it first, or u”, “U”: what begins “use …” where what was refused would be too near something."""
    return "Make room for it first, or u" if needs_room(advice) else "U"


def clause(change: Change, finding: Finding, advice: Advice, unit: Unit) -> str:
    """What to do, in words that begin with a verb; every figure in them was tried."""
    board = advice.board
    if isinstance(change, MoveBy):
        return f"move {names(board, [change.placement])} {side_words(change.dx, change.dy, unit)}"
    if isinstance(change, SeveralFixes):
        return " and ".join(clause(step, finding, advice, unit) for step in change.fixes)
    if isinstance(change, Remake):
        return remade(change, board, unit)
    if isinstance(change, ThickenBoard):
        return f"make the {'deck' if board.role == 'deck' else 'board'} {typed(change.thickness, unit)} thick"
    if isinstance(change, BuyBit):
        return _bit(change, finding, board, unit)
    if isinstance(change, Rewire):
        return rewired_words(change, board, advice.catalogue)
    who = names(board, change.placements)
    if isinstance(change, CounterboreAt):
        return _bore(change, board, unit)
    if isinstance(change, RecessAt):
        return _recess(change, board, unit)
    if isinstance(change, SwapPart):
        return _other_part(change, advice)
    if isinstance(change, LegendTo):
        return legend_words(change, who, unit)
    if isinstance(change, LeaveOut):
        cut = change.cut if len(change.placements) == 1 else plural(change.cut)
        return f"leave out the {cut} of {who}"
    return _amendment(change, who, unit)


def rewired_words(change: Rewire, board: ResolvedBoard, catalogue: Catalogue | None) -> str:
    """“feed the encoders from a USB 3 port, 900 mA”, “let Holewise choose the pins of A”."""
    if change.supply:
        supply = catalogue.supplies.get(change.supply) if catalogue else None
        return f"feed every encoder board from a {supply.name if supply else change.supply}"
    return f"let Holewise choose the pins of {names(board, change.placements)}"


def _other_part(change: SwapPart, advice: Advice) -> str:
    """Which part to use instead; a cut below that was for another fixing is not made for it."""
    part = advice.catalogue.parts.get(change.part)
    placed = _placed(advice.board, change.placements)
    cut = any((p.counterbore or p.recess) and (part is None or p.part.fixing != part.fixing) for p in placed)
    bare = ", with nothing cut below" if cut else ""
    return f"use “{part.name if part else change.part}” for {names(advice.board, change.placements)}{bare}"


def legend_words(change: LegendTo, who: str, unit: Unit) -> str:
    """“put the legend of A behind it”."""
    one = len(change.placements) == 1
    legend = f"the {'legend' if one else 'legends'} of {who}"
    if change.place is not None:
        return f"put {legend} {LEGEND_PLACES[change.place]} {'it' if one else 'them'}"
    return f"make {legend} {typed(change.height or 0.0, unit)} high"


def _amendment(change: DeepenBox | ScrewsOf | PackOut | CutWider, who: str, unit: Unit) -> str:
    if isinstance(change, DeepenBox):
        return f"make the box {typed(change.by, unit)} deeper under {who}"
    if isinstance(change, ScrewsOf):
        return f"use {typed(change.length, unit)} screws for {who}"
    if isinstance(change, PackOut):
        return f"pack {who} out by {typed(change.by, unit)} below the board"
    opening = "opening" if len(change.placements) == 1 else "openings"
    return f"cut the {opening} of {who} {typed(change.by, unit)} wider"


def _bit(change: BuyBit, finding: Finding, board: ResolvedBoard, unit: Unit) -> str:
    kind = f"{kind_words(change.kind)} bit" if change.kind != "hole-saw" else "hole saw"
    size = sold(change.diameter, unit)
    detail, reach = finding.detail, ""
    if isinstance(detail, BitDetail) and detail.short:  # no less will do, whatever is sold
        reach = f" that reaches {typed(rounded_up(detail.depth, steps(unit)[0]), unit)}"
    who = "" if detail.bore or detail.recess else f" for {names(board, finding.subjects)}"
    if change.kind == "router":
        return f"buy a {kind} of {size} or narrower{reach}{who}"
    return f"buy a {size} {kind}{reach}{who}"


def bore_size(change: CounterboreAt, board: ResolvedBoard, unit: Unit) -> str:
    """The size of a counterbore, as far as it is not there already: “35 mm wide, 9.5 mm deep”."""
    wide = f"{sold(change.diameter, unit)} wide"
    return wide if _bored_as_deep(change, board) else f"{wide}, {typed(change.depth, unit)} deep"


def recess_size(change: RecessAt, board: ResolvedBoard, unit: Unit) -> str:
    """The same of a recess: “70 mm × 70 mm, 4 mm deep”, “4 mm deep” or “70 mm × 70 mm, as deep as now”."""
    deep = f"{typed(change.depth, unit)} deep"
    if _as_wide(change, board):
        return deep
    sides = f"{typed(change.width, unit)} × {typed(change.height, unit)}"
    return f"{sides}, {_KEPT_DEPTH if _as_deep(change, board) else deep}"


def _bore(change: CounterboreAt, board: ResolvedBoard, unit: Unit) -> str:
    who, size = names(board, change.placements), bore_size(change, board, unit)
    if _bored_as_deep(change, board):
        return f"make the {'counterbore' if len(change.placements) == 1 else 'counterbores'} of {who} {size}"
    return f"counterbore {who} {size} from the underside"


def _bored_as_deep(change: CounterboreAt, board: ResolvedBoard) -> bool:
    made = [p.counterbore for p in _placed(board, change.placements)]
    return bool(made) and all(bore is not None and bore.depth == change.depth for bore in made)


def _recess(change: RecessAt, board: ResolvedBoard, unit: Unit) -> str:
    who, deep = names(board, change.placements), f"{typed(change.depth, unit)} deep"
    if _as_wide(change, board):
        return f"make the {'recess' if len(change.placements) == 1 else 'recesses'} of {who} only {deep}"
    width, height, corner = (typed(size, unit) for size in (change.width, change.height, change.corner))
    size = f"{width} × {height}, inside corners {corner}"
    return f"recess {who} from below, {size}, {_KEPT_DEPTH if _as_deep(change, board) else deep}"


def _as_wide(change: RecessAt, board: ResolvedBoard) -> bool:
    sides = (change.width, change.height, change.corner)
    made = [p.recess for p in _placed(board, change.placements)]
    return bool(made) and all(r is not None and (r.width, r.height, r.corner) == sides for r in made)


def _as_deep(change: RecessAt, board: ResolvedBoard) -> bool:
    made = [p.recess for p in _placed(board, change.placements)]
    return bool(made) and all(r is not None and r.depth == change.depth for r in made)


def _placed(board: ResolvedBoard, ids: Sequence[str]) -> list[Placed]:
    return [placed for one in ids if (placed := board.placed(one)) is not None]
