"""What a drilled board needs, as a page or a command says it: each hole in words, the picture, findings, minutes."""

from __future__ import annotations

import json
from collections.abc import Mapping

from msgspec import Struct

from app.catalogue.load import catalogue
from app.document.resolve import find_board, resolve
from app.document.schema import Design
from app.errors import EditError, NotFoundError
from app.fit.report.report import check
from app.fit.words.messages import message
from app.model.as_built import CutKey
from app.retrofit.picture import retrofit_scene
from app.retrofit.retrofit import NewStep, OldStep, Retrofit, Verdict, retrofit
from app.retrofit.table import KIND_WORDS, retrofit_table
from app.retrofit.words import CAUTIONS, minutes_words, new_words, old_words, option_words, verdict_words
from app.service.background.budget import apart
from app.service.checks.long_designs import has_many_parts
from app.service.screens.board.finding_seen import SEVERITY_WORDS
from app.service.screens.choices import Choice
from app.service.screens.plans.compare_seen import FindingRow
from app.service.screens.words import counted
from app.units import Unit
from app.writers import svg


class RetrofitAsked(Struct, frozen=True):
    """Which board is which.

    Args:
        older: the design by which the board was drilled.
        newer: the design that it shall be of.
        board: id of the board; None for the deck.
        was: id of the arrangement that was drilled; None for the one it shall have, or else the first.
        arrangement: id of the arrangement that it shall have; None for the first.
        wanted: ways that were chosen, by the ident of the old cut.
    """

    older: Design
    newer: Design
    board: str | None = None
    was: str | None = None
    arrangement: str | None = None
    wanted: tuple[tuple[str, str], ...] = ()


class HoleRow(Struct, frozen=True):
    """A hole of the old board, or one of the new.

    Args:
        ident: of an old one; empty of a new one.
        name: what it is called.
        kind: ``keep``, ``enlarge``, ``plug``, ``open`` or ``drill``.
        words: what is done.
        minutes: in words; empty for none.
        ways: what may be chosen instead, an empty value for least work; none where there is no choice.
        wanted: whether it was chosen.
    """

    ident: str
    name: str
    kind: str
    words: str
    minutes: str
    ways: tuple[Choice, ...] = ()
    wanted: bool = False


class RetrofitSeen(Struct, frozen=True):
    """What a drilled board needs.

    Args:
        verdict: ``nothing``, ``retrofit``, ``dearer`` or ``anew``.
        summed: the same in a sentence.
        board: what is done to the board itself.
        reasons: why it has to be made anew.
        todo: holes to do something about, in the order in which it is done.
        stay: those that stay as they are.
        told: stops of the design itself, and what comes of what was chosen.
        gained: what the rules find that they would not on a board made anew.
        cautions: what comes first.
        drawing: inline SVG.
        as_built: whether the older state is what was marked as drilled.
        wases: arrangements that the board may have been drilled to.
    """

    verdict: Verdict
    summed: str
    board: tuple[str, ...]
    reasons: tuple[str, ...]
    todo: tuple[HoleRow, ...]
    stay: tuple[HoleRow, ...]
    told: tuple[str, ...]
    gained: tuple[FindingRow, ...]
    cautions: tuple[str, ...]
    drawing: str
    as_built: bool
    wases: tuple[Choice, ...]


def retrofit_found(asked: RetrofitAsked, unit: Unit | None = None) -> Retrofit:
    """What a drilled board needs.

    Raises:
        EditError: the designs have no such board in common, or a way was chosen that there is not.
        NotFoundError: no such board or arrangement of the newer design.
        DocumentError: a board of one of them cannot be put together.
    """
    unit = unit or Unit(asked.newer.units)
    board = find_board(asked.newer, asked.board)
    newer = asked.newer.model_copy(update={"units": unit.value})
    new = resolve(newer, board.id, asked.arrangement, catalogue())
    if all(b.id != board.id for b in asked.older.boards):
        raise EditError(
            f"“{asked.older.title}” has no board like “{board.name}”, so there is nothing to start from. "
            "Choose an older state of this design, or a design that it was copied from.",
            "from",
        )
    was = asked.was or new.arrangement_id
    if asked.was is None and all(a.id != was for a in find_board(asked.older, board.id).arrangements):
        was = find_board(asked.older, board.id).arrangements[0].id
    try:
        old = resolve(asked.older, board.id, was, catalogue())
    except NotFoundError as error:
        raise EditError(f"{error} Choose how the board was drilled from the list.", "was") from error
    return retrofit(old, new, catalogue(), dict(asked.wanted), unit)


def retrofit_seen(asked: RetrofitAsked, units: str) -> RetrofitSeen:
    """The same in words, lengths in ``mm`` or ``inch``; raises as :func:`retrofit_found`."""
    return apart(has_many_parts(asked.older) or has_many_parts(asked.newer), _seen, asked, units)


def retrofit_lines(seen: RetrofitSeen) -> tuple[str, ...]:
    """The same as lines of text."""
    lines = [seen.summed, *(f"  {words}" for words in seen.reasons)]
    if seen.board or seen.todo:
        lines += ["", "To do", *(f"  {words}" for words in seen.board)]
        lines += [f"  {row.name}: {row.words}{f' ({row.minutes})' if row.minutes else ''}" for row in seen.todo]
        lines += ["", *(f"  {words}" for words in seen.cautions)]
    if seen.stay:
        lines += ["", f"{counted(len(seen.stay), 'hole')} as {'it is' if len(seen.stay) == 1 else 'they are'}"]
    lines += [f"  Caution: {words}" for words in seen.told]
    if seen.gained:
        lines += ["", "What the rules find besides", *(f"  {f.severity_words}: {f.sentence}" for f in seen.gained)]
    return tuple(lines)


def retrofit_json(asked: RetrofitAsked) -> str:
    """The same as one JSON object, lengths in mm, sentences in the newer design's units; raises likewise."""
    unit = Unit(asked.newer.units)
    found = retrofit_found(asked, unit)
    seen = _said(found, asked, unit)
    names = [column.name for column in retrofit_table(found, unit).columns if column.name != "tick"]
    rows = [dict(zip(names, row, strict=False)) for row in retrofit_table(found, unit).rows]
    old = [
        {"id": s.cut.ident, "kind": s.taken.kind, "new": s.new.ident if s.new else None, "guide": s.guide,
         "plug": s.taken.wide or None}
        for s in found.old_steps
    ]  # fmt: skip
    new = [{"id": s.cut.ident, "kept": s.kept.ident if s.kept else None, "guide": s.guide} for s in found.new_steps]
    return json.dumps(
        {
            "verdict": found.verdict, "summed": seen.summed, "reasons": list(found.reasons), "told": list(found.told),
            "minutes": found.minutes, "minutes_of_a_new_board": found.anew, "steps": rows, "old": old, "new": new,
            "findings": [{"severity": f.severity, "rule": f.rule, "sentence": s.sentence}
                         for f, s in zip(found.gained, seen.gained, strict=True)],
        },
        indent=2, allow_nan=False, ensure_ascii=False,
    )  # fmt: skip


def _seen(asked: RetrofitAsked, units: str) -> RetrofitSeen:
    unit = Unit(units)
    return _said(retrofit_found(asked, unit), asked, unit)


def _own_stops(found: Retrofit) -> tuple[str, ...]:
    """That the design has stops of its own, which a new board would have too."""
    stops = len(check(found.new, catalogue()).stops)
    if not stops:
        return ()
    return (
        f"{found.new.name} cannot be built as drawn: its fit report has {counted(stops, 'stop')}. Mend that first.",
    )


def _said(found: Retrofit, asked: RetrofitAsked, unit: Unit) -> RetrofitSeen:
    order = {"plug": 0, "enlarge": 1, "open": 3}
    guided = {s.new.key: s for s in found.old_steps if s.guide and s.new is not None}
    extra = {s.cut.key: s.minutes for s in found.new_steps}
    moving = sorted((s for s in found.old_steps if _is_todo(s)), key=lambda s: order[s.taken.kind])
    old = [_old_row(s, found, unit, extra) for s in moving]
    new = [_new_row(s, unit) for s in found.new_steps if s.kept is None and s.cut.key not in guided]
    still = tuple(_old_row(s, found, unit, extra) for s in found.old_steps if not _is_todo(s))
    board = find_board(asked.older, found.new.id)
    return RetrofitSeen(
        verdict=found.verdict,
        summed=verdict_words(found),
        board=tuple(w.words for w in found.board),
        reasons=found.reasons,
        todo=(*old, *new),
        stay=still,
        told=(*_own_stops(found), *found.told),
        gained=tuple(
            FindingRow(f.severity, SEVERITY_WORDS[f.severity], "", message(f, found.final, unit)) for f in found.gained
        ),
        cautions=CAUTIONS,
        drawing=svg.embed(retrofit_scene(found), ident="retrofit", role="drawing map"),
        as_built=bool(found.old.as_built),
        wases=tuple(Choice(a.id, a.name or a.id, a.id == found.old.arrangement_id) for a in board.arrangements),
    )


def _is_todo(step: OldStep) -> bool:
    """Whether anything is done about an old cut, or it has to be known that nothing is."""
    return step.taken.kind == "plug" or step.guide or (step.taken.kind == "open" and step.wanted)


def _old_row(step: OldStep, found: Retrofit, unit: Unit, extra: Mapping[CutKey, float]) -> HoleRow:
    minutes = step.taken.minutes + (extra.get(step.new.key, 0.0) if step.guide and step.new is not None else 0.0)
    ways: dict[str, str] = {}
    for option in step.options:
        ways.setdefault(option.kind, option_words(option, found))
    choices: tuple[Choice, ...] = ()
    if len(ways) > 1:
        now = step.taken.kind if step.wanted else ""
        first = Choice("", "Least work", not now)
        choices = (first, *(Choice(kind, words, kind == now) for kind, words in ways.items()))
    kind = "goes" if step.taken.kind == "enlarge" and not step.guide else step.taken.kind
    said = minutes_words(minutes) if minutes else ""
    return HoleRow(
        step.cut.ident, f"Old {step.cut.name}", kind, old_words(step, found, unit), said, choices, step.wanted
    )


def _new_row(step: NewStep, unit: Unit) -> HoleRow:
    return HoleRow("", f"New {step.cut.name}", "drill", new_words(step, unit), minutes_words(step.minutes))


__all__ = [
    "KIND_WORDS",
    "RetrofitAsked",
    "RetrofitSeen",
    "retrofit_found",
    "retrofit_json",
    "retrofit_lines",
    "retrofit_seen",
]
