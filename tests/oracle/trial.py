"""One random board tried: its findings beside what is expected, and the sum of many."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass, field

from msgspec import Struct

from app.catalogue.load import catalogue
from app.fit.report.report import check
from tests.oracle.compare import Said, Verdict, compare, ledges, said_by, unspoken
from tests.oracle.documents import Raw, document, loaded
from tests.oracle.expect import expected_of
from tests.oracle.items import Item
from tests.oracle.solids import meetings


class Trial(Struct, frozen=True):
    """What came of one board.

    Args:
        seed: its number.
        pairs: pairs of things looked at.
        compared: figures compared.
        findings: findings compared.
        misses, false, off: how many of each kind, by rule and things.
        worst: largest difference of a figure [mm].
        words: what is wrong, a line each.
    """

    seed: int
    pairs: int
    compared: int
    findings: int
    misses: Counter[str]
    false: Counter[str]
    off: Counter[str]
    worst: float
    words: tuple[str, ...]

    @property
    def agrees(self) -> bool:
        """Whether nothing is wrong."""
        return not self.words


@dataclass(slots=True)
class Total:
    """The sum of many boards."""

    boards: int = 0
    pairs: int = 0
    compared: int = 0
    findings: int = 0
    misses: Counter[str] = field(default_factory=Counter)
    false: Counter[str] = field(default_factory=Counter)
    off: Counter[str] = field(default_factory=Counter)
    worst: float = 0.0
    failed: list[Trial] = field(default_factory=list)

    def add(self, trial: Trial) -> None:
        """Count one more board."""
        self.boards += 1
        self.pairs += trial.pairs
        self.compared += trial.compared
        self.findings += trial.findings
        self.misses += trial.misses
        self.false += trial.false
        self.off += trial.off
        self.worst = max(self.worst, trial.worst)
        if not trial.agrees:
            self.failed.append(trial)


def tried(seed: int) -> Trial:
    """The random board of a number, judged by the rules and by the oracle."""
    return judged(document(seed), seed)


def judged(raw: Raw, seed: int = -1) -> Trial:
    """A document judged by the rules and by the oracle."""
    expected = expected_of(loaded(raw))
    findings = check(expected.board, catalogue()).findings
    verdict = compare(findings, expected.looked.items)
    said = said_by(findings) + ledges(findings)
    verdict.unsaid += unspoken(said, meetings(expected.site, expected.stuff, worst=True), "caution")
    verdict.unsaid += unspoken(said, meetings(expected.site, expected.stuff, worst=False), "stop")
    misses = Counter(_named(item.rule, item.kinds, item.must) for item, _ in verdict.misses)
    misses.update(f"solids meet: {' and '.join(sorted(m.what))}: {level}" for m, level in verdict.unsaid)
    return Trial(
        seed,
        expected.looked.pairs,
        verdict.compared,
        verdict.findings,
        misses,
        Counter(_named(said.rule, said.kinds, said.level) for said, _ in verdict.false),
        Counter(_named(said.rule, said.kinds, said.level) for said, _ in verdict.off),
        verdict.worst,
        tuple(_words(verdict)),
    )


def _named(rule: str, kinds: Iterable[str], level: str) -> str:
    return f"{rule}: {' and '.join(sorted(kinds)) or 'all'}: {level}"


def _words(verdict: Verdict) -> Iterable[str]:
    for item, others in verdict.misses:
        yield f"missed: {_item(item)}; said: {'; '.join(map(_said, others)) or 'nothing'}"
    for meeting, level in verdict.unsaid:
        yield f"missed: {' and '.join(meeting.what)} of {', '.join(sorted(meeting.subjects))} meet, {level}"
    for said, items in verdict.false:
        yield f"false: {_said(said)}; expected: {'; '.join(map(_item, items)) or 'nothing'}"
    for said, items in verdict.off:
        yield f"figure: {_said(said)}; expected: {'; '.join(map(_item, items))}"


def _item(item: Item) -> str:
    figure = f"{item.high:.3f}" if item.high - item.low < 1e-9 else f"{item.low:.3f} to {item.high:.3f}"
    where = f" at {', '.join(sorted(item.places))}" if item.places else ""
    limits = f"stop < {item.stop:g}, caution < {item.caution:g}"
    return f"{_named(item.rule, item.kinds, item.must)} {_ids(item.subjects)}{where} {figure} mm ({limits})"


def _said(said: Said) -> str:
    figure = "no figure" if said.figure is None else f"{said.figure:.3f} mm"
    where = f" at {said.place}" if said.place else ""
    return f"{_named(said.rule, said.kinds, said.level)} {_ids(said.subjects)}{where} {figure}"


def _ids(subjects: Iterable[str]) -> str:
    return ", ".join(sorted(subjects)) or "the board"
