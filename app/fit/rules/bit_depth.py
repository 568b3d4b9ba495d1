"""The bit for each hole, counterbore and recess reaches as deep as it has to."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from app.catalogue.load import Catalogue
from app.fit.changes.advice import Advice, Maker
from app.fit.changes.bits_bought import bits_as_read
from app.fit.changes.exchanges import bits
from app.fit.detail import BitDetail
from app.fit.features.layout import Layout
from app.fit.finding import FindingOf, Severity
from app.fit.judging.counterbore_check import subjects_and_place
from app.fit.limits.cut_depths import SLIGHT, TINY
from app.fit.rule import Rule
from app.fit.words.changes import options
from app.fit.words.finding import both, lacking
from app.fit.words.lengths import are, names, say, whose
from app.model.bit_selection import drilled_depth
from app.model.fix import BuyBit
from app.model.resolved import Counterbore, Placed, ResolvedBoard
from app.model.tooling import Bit, kind_words
from app.units import Unit

_SOURCE = "How deep the bits of the shop reach."


class ReachDetail(BitDetail, frozen=True, kw_only=True):
    """A bit that is too short.

    Args:
        made_with: its diameter [mm].
    """

    made_with: float
    short: bool = True


def find(layout: Layout) -> list[FindingOf[ReachDetail]]:
    """A stop where a bit is too short, a note where it does it from both sides; shared by placements of one part."""
    found: list[FindingOf[ReachDetail]] = []
    for (_, bore, recess), owners in layout.seats.items():
        found += _holes(layout, layout.placed[owners[0]], owners)
        if bore:
            found += _cut(layout, "counterbore", _flat(layout, bore), bore.depth, bore.diameter, owners)
        if recess:
            router = layout.board.tooling.router_for(recess.corner, recess.depth)
            found += _cut(layout, "recess", router, recess.depth, 2 * recess.corner, owners)
    return found


def _holes(layout: Layout, placed: Placed, owners: Sequence[int]) -> Iterator[FindingOf[ReachDetail]]:
    """Findings of each different hole of a part, by its bit."""
    found_before: set[tuple[float, float, str]] = set()
    paint = layout.board.paint
    for hole in placed.holes:
        bit, cutout = hole.bit, hole.cutout
        depth = drilled_depth(cutout, layout.board.thickness, placed.counterbore, placed.recess)
        if bit is None or bit.reach >= depth - SLIGHT or (bit.diameter, depth, bit.kind) in found_before:
            continue
        found_before.add((bit.diameter, depth, bit.kind))
        detail = ReachDetail(
            cause=f"hole {bit.diameter:g}",
            nominal=cutout.width + 2 * paint,
            smallest=cutout.smallest + 2 * paint,
            largest=cutout.largest + 2 * paint,
            depth=depth,
            made_with=bit.diameter,
            kind=bit.kind,
        )
        yield _finding(layout, "note" if bit.both_sides >= depth - SLIGHT else "stop", bit, owners, detail)


def _flat(layout: Layout, bore: Counterbore) -> Bit | None:
    flat = [b for b in layout.board.tooling.bits if b.kind == "forstner" and abs(b.diameter - bore.diameter) <= TINY]
    return max(flat, key=lambda b: b.reach, default=None)


def _cut(
    layout: Layout, cause: str, bit: Bit | None, depth: float, width: float, owners: Sequence[int]
) -> Iterator[FindingOf[ReachDetail]]:
    """What is cut to a depth cannot be cut from the other side."""
    if bit is not None and bit.reach < depth - SLIGHT:
        detail = ReachDetail(cause=cause, nominal=width, depth=depth, made_with=bit.diameter, kind=bit.kind)
        yield _finding(layout, "stop", bit, owners, detail)


def _finding(
    layout: Layout, severity: Severity, bit: Bit, owners: Sequence[int], detail: ReachDetail
) -> FindingOf[ReachDetail]:
    return FindingOf(RULE.name, severity, *subjects_and_place(layout, owners), bit.reach, detail.depth, _SOURCE, detail)


def _message(f: FindingOf[ReachDetail], board: ResolvedBoard, unit: Unit) -> str:
    bit = f"The {say(f.detail.made_with, unit)} {kind_words(f.detail.kind)} bit"
    cut = whose(f.detail.cut, board, f.subjects).replace("The ", "the ", 1)
    reach, depth = both(f, unit)
    return f"{bit} reaches {reach}, and {cut} {are(f.subjects)} {depth} deep."


def _phrase(findings: Sequence[FindingOf[ReachDetail]], _board: ResolvedBoard, unit: Unit) -> str:
    if findings[0].severity == "note":
        return "drilled from both sides on the pilot"
    return f"bit {lacking(findings, unit)} too short"


def _remedy(f: FindingOf[ReachDetail], advice: Advice, unit: Unit) -> str:
    who = names(advice.board, f.subjects)
    if f.severity == "note":
        return f"Drill {who} from both sides on the pilot: half from each face, backed with scrap."
    if advice.ways:
        return options(f, advice, unit)
    if not advice.tried:
        return f"Buy a bit for {who} that reaches deeper."
    if f.detail.cut == "hole":
        return f"No bit of that size reaches that deep, even from both sides. Use a thinner board for {who}."
    if f.detail.cut == "recess":
        return f"No router bit reaches that deep. Make the recess shallower, or use another part for {who}."
    return (
        f"No {kind_words(f.detail.kind)} bit reaches that deep, and only those leave a flat bottom. Use a part with a "
        f"longer thread and a shallower counterbore, or a thinner board, for {who}."
    )


def _tries(f: FindingOf[ReachDetail], _board: ResolvedBoard, catalogue: Catalogue) -> Iterator[Maker]:
    yield bits_as_read(f, catalogue)


def _fixes(f: FindingOf[ReachDetail], _board: ResolvedBoard, catalogue: Catalogue, unit: Unit) -> Iterator[BuyBit]:
    return bits(catalogue, f.detail, unit) if f.severity != "note" else iter(())


RULE = Rule(
    name="bit-depth",
    meaning="The bit for each hole, counterbore and recess reaches deep enough.",
    severities=("stop", "note"),
    source=_SOURCE,
    detail=ReachDetail,
    find=find,
    message=_message,
    phrase=_phrase,
    remedy=_remedy,
    tries=_tries,
    fixes=_fixes,
    harm="none of your bits reaches deep enough",
)
