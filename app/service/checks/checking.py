"""A design resolved and judged, remembered by revision so that a screen drawn twice is worked out once."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING, Final

from msgspec import Struct, field

from app.catalogue.load import catalogue
from app.document.load import recalled
from app.document.schema import Design
from app.errors import EditError
from app.service.background.memory import Memory
from app.service.own_bits import Bits, with_bits
from app.units import Unit
from app.values import replace

if TYPE_CHECKING:
    from app.fit.changes.joint import Joint
    from app.fit.finding import Finding
    from app.fit.report.groups import FindingGroup
    from app.fit.report.report import Report
    from app.model.accepted import Accepted
    from app.model.fix import Fix
    from app.model.resolved import ResolvedBoard


class Revised(Struct, frozen=True):
    """A document of the store with its revision, and the workshop's bits: what is worked out is remembered by all.

    A revision never changes, so its id would do; but a text that was damaged since must not pass for what it was.
    """

    revision: str
    text: str
    bits: Bits | None = None
    number: int = 0

    def __hash__(self) -> int:
        """Of the revision: the text is long."""
        return hash(self.revision)


class CheckResult(Struct, frozen=True, eq=False):
    """What the rules found on one board with one arrangement.

    Args:
        board: id of the board.
        arrangement: id of the arrangement.
        report: the findings.
        resolved: the board that was judged.
        document: what it is from; None if it is from nothing that is stored, as while a part is dragged.
        fixes: fixes worked out so far, by the name of the finding; None where there is none.
        joints: changes for all parts of a group worked out so far, by its name; None where there is none.
    """

    board: str
    arrangement: str
    report: Report
    resolved: ResolvedBoard
    document: Revised | None = None
    fixes: dict[str, Fix | None] = field(default_factory=dict)
    joints: dict[str, Joint | None] = field(default_factory=dict)

    def fix_for(self, name: str, finding: Finding) -> Fix | None:
        """The fix of a finding, worked out once: it tries each way on the whole board."""
        if name not in self.fixes:
            self.fixes[name] = self.report.fix_for(finding)
        return self.fixes[name]

    def fix_for_all(self, group: FindingGroup) -> Joint | None:
        """One change for all parts of a group, and for whom it does not do; worked out once."""
        if group.name not in self.joints:
            self.joints[group.name] = self.report.fix_for_all(group)
        return self.joints[group.name]

    def present(self, placements: Iterable[str]) -> tuple[str, ...]:
        """Those of the placements that are on the board, by id."""
        return tuple(name for name in placements if self.resolved.placed(name) is not None)

    def groups(self, *, tried: bool = True) -> tuple[FindingGroup, ...]:
        """What is open, grouped by cause, the most severe first, in the board's display units."""
        return self.report.groups(Unit(self.resolved.units), tried=tried)

    def words_of(self, fix: Fix) -> str:
        """What a fix will do, said before it is pressed, in the board's display units."""
        from app.fit.words.messages import fix_label

        return fix_label(fix, self.resolved, Unit(self.resolved.units), catalogue())


def check_design(design: Design, board: str | None = None, arrangement: str | None = None) -> tuple[CheckResult, ...]:
    """Judge every arrangement of every board, or only those named.

    Raises:
        NotFoundError: no such board, or no board has such an arrangement.
        DocumentError: an unknown material, part or paper.
    """
    return tuple(_judge(design, *ids) for ids in _chosen(design, board, arrangement))


def _chosen(design: Design, board: str | None, arrangement: str | None) -> Iterator[tuple[str, str]]:
    from app.document.resolve import find_arrangement, find_board

    boards = design.boards if board is None else (find_board(design, board),)
    if arrangement is not None and not any(a.id == arrangement for b in boards for a in b.arrangements):
        find_arrangement(boards[0], arrangement)  # says what there is
    for entry in boards:
        for each in entry.arrangements:
            if arrangement is None or each.id == arrangement:
                yield entry.id, each.id


def _judge(design: Design, board: str | None, arrangement: str | None) -> CheckResult:
    from app.document.resolve import resolve

    return judged(resolve(design, board, arrangement, catalogue()), design)


def judged(resolved: ResolvedBoard, design: Design | None = None) -> CheckResult:
    """A resolved board with what the rules found on it.

    Args:
        resolved: the board.
        design: what it is from, so that other measures of its makers can be tried; None to try none.
    """
    from app.fit.report.report import check

    remade = None
    if design is not None and resolved.makers:
        from app.service.checks.remaking import DesignRemaking

        remade = DesignRemaking(design, resolved.id, resolved.arrangement_id, resolved.units)
    report = check(resolved, catalogue(), remade)
    return CheckResult(resolved.id, resolved.arrangement_id, report, resolved)


# Measured with tracemalloc on documents of 10 to 3 000 parts: a design takes 16 to 18 bytes for each character of its
# text, besides the text; a board that was judged and drawn 140 to 260.
_OF_DESIGN: Final = 20
_OF_BOARD: Final = 260

_DESIGNS: Memory[Design] = Memory(64_000_000)
_RESULTS: Memory[CheckResult] = Memory(128_000_000)


def parsed(document: Revised) -> Design:
    """The design of a revision, its places counted from the datum edges, with the workshop's bits."""
    room = _OF_DESIGN * len(document.text)

    def make() -> Design:
        from app.arrange.board.datum import from_datum

        return with_bits(from_datum(recalled(document.text)), document.bits)

    return _DESIGNS.once(document, make, lambda _: room)


def checked(document: Revised, board: str | None, arrangement: str | None, units: str) -> CheckResult:
    """A revision resolved, judged and shown in ``units``; nothing in it depends on the units but words."""
    from app.document.published import revision_name
    from app.document.resolve import find_arrangement, find_board, resolve

    design = parsed(document)
    # The deck is the same whether it was named or not.
    entry = find_board(design, board)
    named = find_arrangement(entry, arrangement).id

    def make() -> CheckResult:
        resolved = resolve(design, entry.id, named, catalogue(), revision_name(design, str(document.number or "")))
        seen = judged(resolved if resolved.units == units else replace(resolved, units=units), design)
        return replace(seen, document=document)

    room = _OF_BOARD * len(document.text)
    return _RESULTS.once((document, entry.id, named, units), make, lambda _: room)


def named_findings(report: Report) -> tuple[tuple[str, Finding], ...]:
    """Each finding with a name that stays the same while the board does: rule, parts, which of several."""
    seen: dict[tuple[str, tuple[str, ...]], int] = {}
    named = []
    for finding in report.findings:
        about = (finding.rule, finding.subjects)
        seen[about] = seen.get(about, -1) + 1
        named.append((f"{finding.rule}:{','.join(finding.subjects)}:{seen[about]}", finding))
    return tuple(named)


_GONE = "That has already been cleared: the board has changed since. The report shows it as it is now."


def finding_named(report: Report, name: str) -> Finding:
    """The finding with that name.

    Raises:
        EditError: it is gone.
    """
    finding = dict(named_findings(report)).get(name)
    if finding is None:
        raise EditError(_GONE)
    return finding


def fix_named(report: Report, name: str) -> Fix:
    """The fix of the finding with that name.

    Raises:
        EditError: the finding is gone, or a machine cannot mend it.
    """
    fix = report.fix_for(finding_named(report, name))
    if fix is None:
        raise EditError("There is no automatic fix for that. Move the part or choose another by hand.")
    return fix


def group_named(report: Report, name: str) -> FindingGroup:
    """The group of open findings with that name.

    Raises:
        EditError: it is gone.
    """
    for group in report.groups(Unit(report.board.units), tried=False):
        if group.name == name:
            return group
    raise EditError(_GONE)


def fix_of_group(report: Report, name: str) -> Fix:
    """The one fix for all findings of the group with that name, for as many of its parts as it does.

    Raises:
        EditError: the group is gone, or a machine cannot mend any of it.
    """
    found = report.fix_for_all(group_named(report, name))
    if found is None:
        raise EditError("There is no automatic fix for that. Move the parts or choose others by hand.")
    return found.fix


def acceptance_named(report: Report, name: str) -> Accepted:
    """The acceptance with that name (:func:`app.fit.report.acceptance.acceptance_name`).

    Raises:
        EditError: it was withdrawn.
    """
    from app.fit.report.acceptance import acceptance_name

    for accepted in report.board.accepted:
        if acceptance_name(accepted) == name:
            return accepted
    raise EditError("That is no longer accepted. The report shows the board as it is now.")
