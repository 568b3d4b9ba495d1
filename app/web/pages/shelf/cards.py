"""The cards of the shelf: a design, a design that cannot be shown, a scenario, and what was put away."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime
from typing import Final

from msgspec import Struct

from app.service.checks.states import State
from app.service.screens.places import said_of
from app.service.screens.tally import Tally
from app.service.screens.words import counted, exact, stacked
from app.service.shelf.documents import ScenarioSeen
from app.service.shelf.search import ShelfQuery
from app.service.shelf.shelf import Ailment, ShelfItem
from app.service.shelf.verdict import ArrangementVerdict, Verdict
from app.units import Unit
from app.web.assets import code
from app.web.pages.shelf.search import shelf_url
from app.web.shared.view_state import Option, ViewState
from app.web.shared.words import ago

AILMENTS: Mapping[Ailment, str] = {
    "gone": "The step it shows is missing. Its timeline lists those that are left.",
    "nothing": "Only this entry is left: none of its steps is stored any more.",
    "newer": "It was written by a newer Holewise. Install that version to open it; it is left unchanged here.",
    "unread": "Its stored data cannot be read.",
    "undrawn": "Its deck cannot be laid out.",
    "fault": "It cannot be shown, and Holewise does not know why. See the window Holewise was started from.",
    "adrift": "Its entry on the shelf was lost. Go to any step in its timeline to make a new one.",
    "tangled": "Its earlier steps do not follow on from one another: one is missing, or they run in a circle.",
    "title": "Its title on the shelf cannot be read. The next change to it puts that right.",
    "date": "The date it was made or changed cannot be read. Nothing else is wrong with it.",
}
_SHOWN: frozenset[Ailment] = frozenset({"", "tangled", "title", "date"})
"""With these a design can be opened as ever."""


_MOST_NAMED: Final = 3


class PlayersLine(Struct, frozen=True):
    """One arrangement of a design on the shelf: its name, and how it stands if there are others."""

    name: str
    state: str
    says: str


class DesignCard(Struct, frozen=True):
    """One design on the shelf.

    Args:
        id: of the design.
        title: of the design.
        url: its board page, or its timeline if there is no board to be seen.
        picture: a true drawing of its deck; empty if it cannot be shown.
        size: of its deck, and how many boards it has besides, in words.
        players: its arrangements, each with how it stands; the worst of them, if they are many.
        more: what is said of the others; empty if there are none.
        tally: the worst of its arrangements; None if it cannot be shown.
        changed: when it was changed last, in words.
        moment: the same, exactly; empty if that is not known.
        problem: what is wrong with what is stored of it; empty if nothing is.
        detail: the same, exactly.
        timeline: where earlier moments of it are gone back to, if something is wrong and there are any.
        file: where what is stored of it is saved as a file, likewise.
        labels: each with the address of those that have it.
        listed: whether it has an entry that can be put away.
        whole: whether it can be read, and so copied.
    """

    id: str
    title: str
    url: str
    picture: str
    size: str
    players: tuple[PlayersLine, ...]
    more: str
    tally: Tally | None
    changed: str
    moment: str
    problem: str
    detail: str
    timeline: str
    file: str
    labels: tuple[Option, ...]
    listed: bool
    whole: bool


class ScenarioCard(Struct, frozen=True):
    """A design that comes with the program."""

    name: str
    title: str
    picture: str
    size: str
    notes: str


class PutAway(Struct, frozen=True):
    """A design taken off the shelf."""

    id: str
    title: str
    changed: str


def card_of(item: ShelfItem, now: datetime) -> DesignCard:
    """The card of a design."""
    row, verdict = item.row, item.verdict
    base, left = f"/designs/{row.id}", item.ailment not in ("", "nothing")
    timeline = f"{base}/timeline" if left else ""
    return DesignCard(
        id=row.id,
        title=title_of(row.title),
        url=ViewState(row.id).url() if item.ailment in _SHOWN else timeline,
        picture=f"{base}/thumbnail.svg?revision={row.head}&state={code()}" if verdict is not None else "",
        size=_size(verdict) if verdict is not None else "",
        players=_players(verdict) if verdict is not None else (),
        more=_more(verdict) if verdict is not None else "",
        tally=Tally(verdict.stops, verdict.cautions, verdict.notes) if verdict is not None else None,
        changed=ago(row.modified, now),
        moment=row.modified.isoformat(timespec="seconds") if row.modified is not None else "",
        problem=AILMENTS[item.ailment] if item.ailment else "",
        detail=item.detail if item.ailment != "newer" else "",
        timeline=timeline,
        file=f"{base}/stored.json" if left else "",
        labels=tuple(Option(label, shelf_url(ShelfQuery(label=label))) for label in item.labels),
        listed="row" not in row.damaged,
        whole=verdict is not None,
    )


def _players(verdict: Verdict) -> tuple[PlayersLine, ...]:
    every = verdict.arrangements
    shown = every if len(every) <= _MOST_NAMED else _worst_first(verdict)[:_MOST_NAMED]
    alone = len(every) == 1
    return tuple(PlayersLine(one.name, *(("", "") if alone else said_of([_state(one)]))) for one in shown)


def _more(verdict: Verdict) -> str:
    rest = _worst_first(verdict)[_MOST_NAMED:]
    if not rest:
        return ""
    worst, says = said_of([_state(one) for one in rest])
    how = {"fits": "all fit" if len(rest) > 1 else "fits"}.get(worst, f"up to {says}")
    return f"and {counted(len(rest), 'more', 'more')}: {how}"


def _worst_first(verdict: Verdict) -> list[ArrangementVerdict]:
    return sorted(verdict.arrangements, key=lambda one: (-one.stops, -one.cautions))


def _state(one: ArrangementVerdict) -> State:
    return State(one.stops, one.cautions, one.notes)


def scenario_card(scenario: ScenarioSeen) -> ScenarioCard:
    """The card of a design that comes with the program."""
    return ScenarioCard(
        name=scenario.id,
        title=scenario.title,
        picture=f"/scenarios/{scenario.id}.svg?state={code()}",
        size=f"{counted(scenario.arrangements, 'arrangement')}, {scenario.parts} parts",
        notes=scenario.notes,
    )


def title_of(title: str) -> str:
    """A design's title, or what to call one without."""
    return title.strip() or "Untitled"


def _size(verdict: Verdict) -> str:
    unit = Unit(verdict.units)
    sides = " × ".join(exact(side, unit) for side in (verdict.width, verdict.front_to_back, verdict.thickness))
    others = len({one.board for one in verdict.arrangements}) - 1
    more = f"; {counted(others, 'more board', 'more boards')}" if others > 0 else ""
    return f"{sides.replace(' mm ×', ' ×')} {stacked(verdict.materials)}{more}"
