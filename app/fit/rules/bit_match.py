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
from app.fit.finding import FindingOf
from app.fit.judging.bit_matches import SHOP, bit_matches
from app.fit.judging.hardware_sizes import HOLE_SIZES
from app.fit.judging.match_detail import MatchDetail
from app.fit.limits.cut_depths import TINY, rounded_up
from app.fit.rule import Rule
from app.fit.words.changes import options, sentence, warning
from app.fit.words.finding import both, lacking
from app.fit.words.lengths import are, names, off, say, whose
from app.fit.words.nearest_bit import nearest_words, span, width_writer
from app.model.fix import BuyBit
from app.model.resolved import ResolvedBoard
from app.model.tooling import kind_words
from app.units import Unit, format_named


def find(layout: Layout) -> list[FindingOf[MatchDetail]]:
    """A stop for holes no bit makes, a caution for what is cut from below, a note where a bit differs."""
    return bit_matches(layout, RULE.name)


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
    source=SHOP,
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
