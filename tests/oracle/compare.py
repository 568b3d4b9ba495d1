"""Findings of the rules beside what is expected: what is missed, what is stopped for nothing, and by how much."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field

from msgspec import Struct

from app.fit.finding import Finding
from app.fit.rules.opening_distance import OpeningDetail
from app.fit.rules.rail_clash import AreaDetail
from tests.oracle.items import LEVELS, TIE, Item, Level
from tests.oracle.solids import Meeting

HEAP = "heap"  # cause of a finding about many placements on one

# Findings about every placement of a part at once: each is compared by itself.
SHARED = ("part-measures", "thread-reach", "snap-grip", "lever-height", "screw-hold")
COMPARED = (
    "outside-board",
    "edge-distance",
    "edge-slot",
    "web",
    "flange-overlap",
    "flange-overhang",
    "under-overhang",
    "under-clash",
    "screw-distance",
    "lever-sweep",
    "rail-clash",
    "depth-below",
    "opening-distance",
    *SHARED,
)
# Of counterbores, and of a rail with too little straight to be glued along: no solids say it.
LEFT_OUT = {"thread-reach": ("ledge", "width"), "snap-grip": ("ledge", "width"), "rail-clash": ("loose",)}


class Said(Struct, frozen=True):
    """A finding as it is compared: of one placement, one pair, or the board."""

    rule: str
    subjects: frozenset[str]
    level: Level
    figure: float | None
    lack: float
    kinds: frozenset[str]
    place: str
    cause: str


@dataclass(slots=True)
class Verdict:
    """How findings and expectations agree.

    Args:
        misses: what had to be said and was not, or not gravely enough.
        unsaid: solids that meet, or have no board behind them, of which no finding speaks.
        false: what was said and is not so.
        off: findings whose figure is not the solids', with the figure expected that is nearest.
        worst: largest difference of figures that agree on all else [mm].
        compared: figures compared.
        findings: findings compared.
    """

    misses: list[tuple[Item, list[Said]]] = field(default_factory=list)
    unsaid: list[tuple[Meeting, str]] = field(default_factory=list)
    false: list[tuple[Said, list[Item]]] = field(default_factory=list)
    off: list[tuple[Said, list[Item]]] = field(default_factory=list)
    worst: float = 0.0
    compared: int = 0
    findings: int = 0

    @property
    def agrees(self) -> bool:
        """Whether nothing is wrong."""
        return not (self.misses or self.unsaid or self.false or self.off)


def said_by(findings: Iterable[Finding]) -> list[Said]:
    """The findings that are compared, one for each placement where they are shared."""
    found = []
    for f in findings:
        if f.detail.cause == HEAP:
            found.append(Said(HEAP, frozenset(f.subjects[1:]), "stop", None, 0.0, frozenset(), f.subjects[0], HEAP))
            continue
        cause = f.detail.cause
        if f.rule not in COMPARED or cause in LEFT_OUT.get(f.rule, ()) or f.severity == "note":
            continue
        kinds = frozenset(f.detail.things)
        place = f.detail.edge
        if isinstance(f.detail, AreaDetail | OpeningDetail):
            place = f"area {f.detail.index}"
        figure, needed = f.measured, f.required
        if f.rule == "lever-height" and cause == "high" and figure is not None and needed is not None:
            figure, needed = -figure, -needed
        lack = needed - figure if figure is not None and needed is not None else 0.0
        about = [frozenset((s,)) for s in f.subjects] if f.rule in SHARED else [frozenset(f.subjects)]
        found += [Said(f.rule, subjects, f.severity, figure, lack, kinds, place, cause) for subjects in about]
    return found


def ledges(findings: Iterable[Finding]) -> list[Said]:
    """What is said of cuts from below that leave too little board above them, or none."""
    return [
        Said("ledge", frozenset((subject,)), f.severity, None, 0.0, frozenset(), "", "ledge")
        for f in findings
        if f.rule == "ledge" or f.detail.cause == "ledge"
        if f.severity != "note"
        for subject in f.subjects
    ]


def compare(findings: Iterable[Finding], items: list[Item]) -> Verdict:
    """Findings beside expectations."""
    told, verdict = said_by(findings), Verdict()
    said, stood = [s for s in told if s.rule != HEAP], _stood(told)
    spoken: dict[tuple[str, frozenset[str]], list[Said]] = {}
    wanted: dict[tuple[str, frozenset[str]], list[Item]] = {}
    for s in said:
        spoken.setdefault((s.rule, s.subjects), []).append(s)
    for item in items:
        wanted.setdefault((item.rule, item.subjects), []).append(item)
    for heap in (s for s in told if s.rule == HEAP):
        _true_heap(heap, wanted, verdict)
    for item in items:
        if len(item.subjects) == 2 and item.subjects & stood:
            continue
        others = spoken.get((item.rule, item.subjects), [])
        if item.must != "none" and not any(_covers(s, item) for s in others):
            verdict.misses.append((item, others))
    for s in said:
        verdict.findings += 1
        _judge(s, wanted.get((s.rule, s.subjects), []), verdict)
    return verdict


def unspoken(said: list[Said], meetings: Iterable[Meeting], level: Level) -> list[tuple[Meeting, str]]:
    """The meetings of which no finding about the same placements speaks, at least as gravely as ``level``."""
    heard: set[tuple[frozenset[str], str]] = set()
    for s in said:
        # The body of a part held by a nut may come apart: a caution, however it meets the board.
        if LEVELS.index(s.level) >= LEVELS.index(level) or s.rule == "part-measures":
            heard |= {(s.subjects, about) for about in _about(s.rule, len(s.subjects))}
    stood = _stood(said)
    unheard = (
        m
        for m in dict.fromkeys(meetings)
        if (m.subjects, _topic(m)) not in heard and not (len(m.subjects) == 2 and m.subjects & stood)
    )
    return [(m, level) for m in unheard if level == "caution" or not m.mild]


def _stood(said: Iterable[Said]) -> frozenset[str]:
    """Placements that a heap holds on another: what else they touch is told once they are apart."""
    return frozenset().union(*(s.subjects for s in said if s.rule == HEAP))


def _true_heap(heap: Said, wanted: dict[tuple[str, frozenset[str]], list[Item]], verdict: Verdict) -> None:
    """Each of a heap has a hole that runs into the hole it is said to be on, or the heap is not so."""
    verdict.findings += 1
    for subject in heap.subjects:
        items = wanted.get(("web", frozenset((subject, heap.place))), [])
        if not any(item.may == "stop" and item.low < TIE for item in items):
            verdict.false.append((heap, items))


def _about(rule: str, subjects: int) -> tuple[str, ...]:
    if subjects == 2:
        return ("pair",)
    if rule in ("flange-overhang", "under-overhang", "edge-distance", "outside-board"):
        return ("edge",)
    return {"rail-clash": ("rail", "area"), "part-measures": ("board",), "ledge": ("top",)}.get(rule, ())


def _topic(meeting: Meeting) -> str:
    return "pair" if len(meeting.subjects) == 2 else meeting.what[1]


def _covers(said: Said, item: Item) -> bool:
    """Whether a finding says an item, or something at least as bad of the same subjects."""
    if not _same_place(said, item) or (item.cause and said.cause and item.cause != said.cause):
        return False
    if LEVELS.index(said.level) != LEVELS.index(item.must):
        return LEVELS.index(said.level) > LEVELS.index(item.must)
    return not item.figured or said.figure is None or said.lack >= item.lack(item.must) - TIE


def _judge(said: Said, items: list[Item], verdict: Verdict) -> None:
    fitting = [i for i in items if _same_place(said, i) and (not i.cause or not said.cause or i.cause == said.cause)]
    allowed = [i for i in fitting if LEVELS.index(i.may) >= LEVELS.index(said.level)]
    if not allowed:
        verdict.false.append((said, fitting or items))
        return
    if said.figure is None or any(not i.figured for i in allowed):
        return
    verdict.compared += 1
    named = [i for i in allowed if not said.kinds or not i.kinds or said.kinds <= i.kinds]
    far = min((_off(said.figure, i) for i in named), default=1e9)
    if far > TIE:
        verdict.off.append((said, allowed))
    else:
        verdict.worst = max(verdict.worst, far)


def _off(figure: float, item: Item) -> float:
    return max(item.low - figure, figure - item.high, 0.0)


def _same_place(said: Said, item: Item) -> bool:
    """Places are compared where a rule speaks of each edge or area by itself."""
    if item.rule not in ("edge-slot", "rail-clash") or not said.place:
        return True
    return said.place in item.places
