"""There is a bit in the shop for every round hole and counterbore."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence

from app.catalogue.load import Catalogue
from app.fit.changes.advice import Advice, Maker
from app.fit.changes.bits_bought import bits_as_read
from app.fit.changes.exchanges import bits
from app.fit.changes.manual_changes import CutWider
from app.fit.changes.proposed_cuts import other_bores
from app.fit.features.layout import Layout
from app.fit.finding import FindingOf, Severity
from app.fit.judging.counterbore_check import subjects_and_place
from app.fit.judging.hardware_sizes import HOLE_SIZES
from app.fit.judging.match_detail import MatchDetail
from app.fit.limits.cut_depths import SLIGHT, TINY, rounded_up
from app.fit.rule import Rule
from app.fit.words.changes import options, sentence, warning
from app.fit.words.finding import both, lacking
from app.fit.words.lengths import are, names, off, say, whose
from app.fit.words.nearest_bit import nearest_words, span, width_writer
from app.model.bit_selection import nearest_drill, routed
from app.model.coupon import CouponTrial, by_key
from app.model.fix import BuyBit
from app.model.part import Cutout
from app.model.resolved import ResolvedBoard
from app.model.tooling import Bit, kind_words
from app.units import Unit, format_named

_SHOP = "The part's own range of holes, and the bits of the shop."
_TRIED = "What was found in scrap, with the bit that makes the holes."
_ROUTED = "A recess is cut with a router bit, whose radius its inside corners have at least."
_FLAT = "A counterbore is as wide as the flat-bottomed bit that makes it."


def find(layout: Layout) -> list[FindingOf[MatchDetail]]:
    """A stop for holes no bit makes, a caution for what is cut from below, a note where a bit differs."""
    return [*_holes(layout), *_tried(layout), *_openings(layout), *_counterbores(layout), *_recesses(layout)]


def _holes(layout: Layout) -> list[FindingOf[MatchDetail]]:
    """One finding for all holes of a part that ask for the same bit: a pattern has thousands of them."""
    shop, film = layout.board.tooling, 2 * layout.board.paint
    groups: dict[tuple[object, ...], tuple[Cutout, Bit | None, list[int]]] = {}
    for (part, _, _), owners in layout.seats.items():
        alike = {(*_wanted(hole.cutout), hole.bit): hole for hole in layout.placed[owners[0]].holes if hole.is_circle}
        for wanted, hole in alike.items():
            bit = hole.bit if hole.bit and _fits(hole.cutout, hole.bit.makes - film) else None
            if bit and abs(bit.makes - hole.cutout.width) <= SLIGHT + TINY:
                continue
            key = (part, *wanted[:-1], bit.diameter if bit else 0.0)
            groups.setdefault(key, (hole.cutout, bit, []))[2].extend(owners)
    found = []
    for cutout, bit, owners in groups.values():
        if bit is None and routed(shop, cutout.width):
            continue
        subjects, where = subjects_and_place(layout, owners)
        nearest = bit or nearest_drill(shop, cutout.width + film)
        detail = MatchDetail(
            cause="hole",
            nominal=cutout.width,
            smallest=cutout.smallest,
            largest=cutout.largest,
            paint=film,
            bit=nearest.makes if nearest else None,
            sold=nearest.diameter if nearest and nearest.measured is not None else None,
            kind=nearest.kind if nearest else "",
        )
        severity: Severity = "note" if bit else "stop"
        measured = nearest.makes - film if nearest else None
        found.append(FindingOf(RULE.name, severity, subjects, where, measured, cutout.width, _SHOP, detail))
    return found


def _wanted(cutout: Cutout) -> tuple[float, float, float]:
    """What tells one cut-out from another besides its place [mm]."""
    return (cutout.width, cutout.smallest, cutout.largest)


def _tried(layout: Layout) -> list[FindingOf[MatchDetail]]:
    """Parts that went in tight or loose in scrap, in a hole of the bit that theirs are made with."""
    trials = by_key(trial for trial in layout.board.trials if trial.sort == "hole")
    groups: dict[tuple[object, ...], tuple[CouponTrial, Cutout, Bit, list[int]]] = {}
    for owners in layout.seats.values() if trials else ():
        placed = layout.placed[owners[0]]
        for hole in placed.holes:
            if not hole.is_circle or hole.bit is None:
                continue
            trial = trials.get(("hole", placed.part.id, hole.bit.kind, round(hole.bit.diameter, 6)))
            if trial is not None and trial.fit in ("tight", "loose"):
                groups.setdefault(trial.key, (trial, hole.cutout, hole.bit, []))[3].extend(owners)
    found = []
    for trial, cutout, bit, owners in groups.values():
        subjects, where = subjects_and_place(layout, sorted(set(owners)))
        detail = MatchDetail(
            cause=trial.fit, nominal=cutout.width, smallest=cutout.smallest, largest=cutout.largest,
            bit=bit.makes, sold=bit.diameter, kind=bit.kind, tried=trial.day,
        )  # fmt: skip
        found.append(FindingOf(RULE.name, "caution", subjects, where, None, cutout.width, _TRIED, detail))
    return found


def _fits(cutout: Cutout, width: float) -> bool:
    return cutout.smallest - SLIGHT <= width <= cutout.largest + SLIGHT


def _openings(layout: Layout) -> list[FindingOf[MatchDetail]]:
    """What a saw or router cuts as drawn, and paint makes too narrow."""
    film, found = 2 * layout.board.paint, []
    for (index, _), owners in layout.groups.items() if film else ():
        for cutout in {_wanted(each): each for each in layout.parts[0][index].cutouts if not each.is_circle}.values():
            wide = cutout.width - film
            if wide >= cutout.smallest - SLIGHT:
                continue
            subjects, where = subjects_and_place(layout, owners)
            least, most = cutout.smallest, cutout.largest
            detail = MatchDetail(cause="painted", nominal=cutout.width, smallest=least, largest=most, paint=film)
            found.append(FindingOf(RULE.name, "caution", subjects, where, wide, cutout.smallest, _SHOP, detail))
    return found


def _recesses(layout: Layout) -> list[FindingOf[MatchDetail]]:
    """Recesses in a shop without any router bit."""
    if any(b.kind == "router" for b in layout.board.tooling.bits):
        return []
    corners: dict[float, list[int]] = {}
    for (_, _, recess), owners in layout.seats.items():
        if recess and recess.corner > 0:
            corners.setdefault(recess.corner, []).extend(owners)
    found = []
    for corner, owners in corners.items():
        subjects, where = subjects_and_place(layout, owners)
        detail = MatchDetail(cause="recess", nominal=2 * corner, smallest=0.0)
        found.append(FindingOf(RULE.name, "caution", subjects, where, None, 2 * corner, _ROUTED, detail))
    return found


def _counterbores(layout: Layout) -> list[FindingOf[MatchDetail]]:
    shop = layout.board.tooling
    widths: dict[float, list[int]] = {}
    for (_, bore), owners in layout.groups.items():
        if bore:
            widths.setdefault(bore.diameter, []).extend(owners)
    found = []
    for width, owners in widths.items():
        flat = [b for b in shop.bits if b.kind == "forstner"]
        if routed(shop, width) or any(abs(b.diameter - width) <= SLIGHT + TINY for b in flat):
            continue
        subjects, where = subjects_and_place(layout, owners)
        nearest = min(flat, key=lambda b: (abs(b.diameter - width), b.diameter), default=None)
        made = nearest.diameter if nearest else None
        detail = MatchDetail(cause="counterbore", nominal=width, bit=made, kind=nearest.kind if nearest else "")
        found.append(FindingOf(RULE.name, "caution", subjects, where, made, width, _FLAT, detail))
    return found


def _message(f: FindingOf[MatchDetail], board: ResolvedBoard, unit: Unit) -> str:
    """That no bit of the shop is as wide as a hole, a counterbore or the corners of a recess; or which one is used."""
    detail, write = f.detail, width_writer(f.detail, f.detail.bit, unit)
    nominal = format_named(detail.nominal, unit)
    if detail.cause == "counterbore":
        cut, bit = _cuts(f, board, "counterbore"), f"flat-bottomed bit of {nominal}"
        return f"You have no {bit} for {cut}{nearest_words(detail, detail.bit, unit, write)}."
    if detail.cause == "recess":
        corners = f"whose inside corners need one {nominal} wide"
        return f"You have no router bit for {_cuts(f, board, 'recess')}, {corners}."
    if detail.cause == "painted":
        left, least = both(f, unit)
        return f"The {nominal} opening of {names(board, f.subjects)} is {left} when painted; the part needs {least}."
    if detail.cause in ("tight", "loose"):
        when = f" on {detail.tried}" if detail.tried else ""
        bit = f"{format_named(detail.sold or 0.0, unit)} {kind_words(detail.kind)} bit"
        return f"The part of {names(board, f.subjects)} went in {detail.cause} in scrap{when}, in a hole of the {bit}."
    painted = f"; paint takes {say(detail.paint, unit)} of it" if detail.paint else ""
    fitting = f"{span(detail, write)} will do{painted}"
    if f.severity == "note":
        made = detail.bit or 0.0
        more = made - detail.nominal
        wide = f"{off(more, unit)} {'over' if more > 0 else 'under'}"
        start = whose(f"{nominal} hole", board, f.subjects)
        return f"{start} {are(f.subjects)} drilled with the {_made_words(detail, write, unit)}, {wide}; {fitting}."
    hole = _cuts(f, board, f"{nominal} hole")
    nearest = nearest_words(detail, detail.bit, unit, write)
    if detail.sold is not None:
        sold = f"{format_named(detail.sold, unit)} {kind_words(detail.kind)} bit"
        plain = f"{write(detail.bit or 0.0)} {kind_words(detail.kind)} bit"
        nearest = nearest.replace(plain, f"{sold} (its trial hole came out {write(detail.bit or 0.0)} wide)")
    return f"You have no bit for {hole}, where {fitting}{nearest}."


def _made_words(detail: MatchDetail, write: Callable[[float], str], unit: Unit) -> str:
    """``26 mm bit``; of one whose hole was measured also how wide that came out."""
    if detail.sold is None:
        return f"{write(detail.bit or 0.0)} bit"
    return f"{format_named(detail.sold, unit)} bit, whose trial hole came out {write(detail.bit or 0.0)} wide"


def _cuts(f: FindingOf[MatchDetail], board: ResolvedBoard, what: str) -> str:
    return whose(what, board, f.subjects).replace("The ", "the ", 1)


def _phrase(findings: Sequence[FindingOf[MatchDetail]], _board: ResolvedBoard, unit: Unit) -> str:
    wide = sorted({f.detail.nominal for f in findings})
    said = " and ".join(format_named(size, unit) for size in wide) if len(wide) <= 2 else f"{len(wide)} sizes"
    cause = findings[0].detail.cause
    if findings[0].severity == "note":
        return f"drilled with the nearest bit to {said}"
    if cause in ("tight", "loose"):
        return f"{cause} in its trial hole"
    if cause == "painted":
        return f"opening {lacking(findings, unit)} too narrow when painted"
    if cause == "recess":
        return "no router bit for the recess"
    return f"no {'flat-bottomed bit' if cause == 'counterbore' else 'bit'} of {said} in your list"


def _remedy(f: FindingOf[MatchDetail], advice: Advice, unit: Unit) -> str:
    who, cause = names(advice.board, f.subjects), f.detail.cause
    if f.severity == "note":
        parts = "the part" if len(f.subjects) == 1 else "the parts"
        return f"It fits. Try the bit on scrap with {parts} of {who} first."
    if cause == "tight":
        return "Widen the holes a little with abrasive paper round a dowel, and try again in scrap first; type that in."
    if cause == "loose":
        return "Try whether its nut, clips or screws hold it in scrap, else drill with a narrower bit; type that in."
    other = f"use a part for {who} that fits a hole your bits make"
    if cause == "hole" and advice.tried and not advice.ways:
        return f"{warning(f, advice, unit)}{sentence([other])}"
    untried = {
        "painted": ("cut the opening wider",),
        "recess": ("rout rounder corners with a bit you have",),
        "counterbore": ("make the counterbore as wide as a flat-bottomed bit you have",),
    }.get(cause, ("buy a bit that makes it", other))
    bare = ("leave its edges unpainted",) if cause == "painted" else ()
    return options(f, advice, unit, *(() if advice.ways else untried), *bare)


def _tries(f: FindingOf[MatchDetail], board: ResolvedBoard, catalogue: Catalogue) -> Iterator[Maker]:
    """Bits to buy, their sizes as they are said; or what the shop's bits would make instead."""
    detail, by = f.detail, -(f.margin or 0.0)
    if detail.cause == "painted":
        most = (detail.largest or 0.0) - detail.nominal + detail.paint
        yield lambda _, step: [CutWider(f.subjects, rounded_up(by, step))] if by <= most + TINY else []
        return
    if detail.cause in ("tight", "loose"):
        return
    if detail.cause == "counterbore":
        yield other_bores(f, board)
    yield bits_as_read(f, catalogue)


def _fixes(f: FindingOf[MatchDetail], _board: ResolvedBoard, catalogue: Catalogue, unit: Unit) -> Iterator[BuyBit]:
    none = f.severity == "note" or f.detail.cause in ("tight", "loose")
    return iter(()) if none else bits(catalogue, f.detail, unit)


def _lengths(f: FindingOf[MatchDetail]) -> tuple[float, float] | None:
    low, high = f.detail.smallest, f.detail.largest
    if f.measured is None or f.required is None:
        return None
    if low is None or high is None:
        return f.measured, f.required
    if low <= f.measured <= high:
        return None  # any width between will do
    return f.measured, low if f.measured < low else high


def _measures(finding: FindingOf[MatchDetail]) -> tuple[str, ...]:
    return HOLE_SIZES if finding.detail.cause in ("hole", "painted") else ()


RULE = Rule(
    name="bit-match",
    meaning="You have a bit for every round hole and counterbore.",
    severities=("stop", "caution", "note"),
    source=_SHOP,
    detail=MatchDetail,
    find=find,
    message=_message,
    phrase=_phrase,
    remedy=_remedy,
    tries=_tries,
    fixes=_fixes,
    harm="you have no bit for it",
    lengths=_lengths,
    measures=_measures,
)
