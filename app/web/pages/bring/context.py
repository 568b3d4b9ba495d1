"""The page on which things of a design are brought to others: what, to which, and what trying it has found."""

from __future__ import annotations

from urllib.parse import urlencode

from markupsafe import Markup
from msgspec import Struct

from app.service.family.family import Targets, TriedDesign
from app.service.family.offered import Offer
from app.service.screens.choices import Choice
from app.service.screens.plans.compare_seen import FindingRow
from app.service.screens.words import counted
from app.service.sight import Sight
from app.web.assets import code
from app.web.pages.bring.asked import BringAsked
from app.web.pages.shelf.cards import title_of
from app.web.shared.view_state import Option, ViewState

VERDICTS = {
    "passes": ("clear", "Passes"),
    "same": ("", "Has it already"),
    "stops": ("stop", "Does not pass"),
    "refused": ("stop", "Cannot take it"),
}


class Box(Struct, frozen=True):
    """Something to tick: what is sent, its name, more about it, its picture, whether it is ticked."""

    value: str
    words: str
    more: str
    picture: str
    ticked: bool


class TriedCard(Struct, frozen=True):
    """A design that it was tried on.

    Args:
        id, title, url, revision: of the design.
        state: ``clear``, ``caution`` or ``stop``; empty where nothing would change.
        verdict: the same in words.
        said: why it cannot take it; empty if it can.
        notes: what becomes of ids, letters and what was there.
        changes: what is different.
        gained, lost: findings.
        drawings: of what is brought, as it would be.
        may: whether it can be ticked.
        ticked: whether it is.
        warning: why it is not ticked though it passes; empty if it is.
    """

    id: str
    title: str
    url: str
    revision: str
    state: str
    verdict: str
    said: str
    notes: tuple[str, ...]
    changes: tuple[str, ...]
    gained: tuple[FindingRow, ...]
    lost: tuple[FindingRow, ...]
    drawings: tuple[Markup, ...]
    may: bool
    ticked: bool
    warning: str


class BringPage(Struct, frozen=True):
    """The page.

    Args:
        view: the view.
        title: of the design.
        asked: what the address says.
        offers: what can be brought, by heading.
        targets: designs to bring it to.
        labels: to show only some of those.
        more: how many more there are; empty if there are none.
        total: how many other designs there are.
        cards: what trying it has found.
        sent: what the form of those sends on: what is brought.
        may: whether any of them can be ticked.
        done: designs that it was brought to.
        told: sentences about those that it was not brought to.
        problems: what is wrong with what is asked for, by field.
        back_url, boards_url, revisions_url: other pages.
    """

    view: ViewState
    title: str
    asked: BringAsked
    offers: tuple[tuple[str, tuple[Box, ...]], ...]
    targets: tuple[Box, ...]
    labels: tuple[Choice, ...]
    more: str
    total: int
    cards: tuple[TriedCard, ...]
    sent: str
    may: bool
    done: tuple[Option, ...]
    told: tuple[str, ...]
    problems: dict[str, str]
    back_url: str
    boards_url: str
    revisions_url: str


_HEADINGS = (("board", "Boards"), ("arrangement", "Arrangements"), ("cut-outs", "Cut-outs"))


def bring_page(
    sight: Sight,
    view: ViewState,
    asked: BringAsked,
    offers: tuple[Offer, ...],
    targets: Targets,
    tried: tuple[TriedDesign, ...],
    titles: dict[str, str],
    problems: dict[str, str],
) -> BringPage:
    """The page.

    Args:
        sight: the design.
        view: the view.
        asked: what the address says.
        offers: what can be brought.
        targets: designs to bring it to.
        tried: what trying it has found.
        titles: of every design, by id.
        problems: what is wrong with what is asked for, by field.
    """
    view = view.at(select=(), face="top", section=False).showing(sight.revision)
    cards = tuple(_card(each) for each in tried)
    return BringPage(
        view=view,
        title=sight.title,
        asked=asked,
        offers=tuple((words, boxes) for sort, words in _HEADINGS if (boxes := _boxes(offers, sort, asked))),
        targets=tuple(
            Box(each.id, title_of(each.title), ", ".join(each.labels), _picture(each.id, each.revision), each.chosen)
            for each in targets.each
        ),
        labels=_labels(targets, asked.label),
        more=f"{counted(targets.more, 'more design', 'more designs')}: search to see them." if targets.more else "",
        total=targets.total,
        cards=cards,
        sent=",".join(asked.what),
        may=any(card.may for card in cards),
        done=tuple(Option(title_of(titles.get(i, "")), f"/designs/{i}") for i in asked.done if i in titles),
        told=_told(asked, titles),
        problems=problems,
        back_url=view.url(),
        boards_url=view.url("/boards"),
        revisions_url=view.url("/revisions"),
    )


def bring_url(view: ViewState, asked: BringAsked) -> str:
    """Address of the page."""
    return f"/designs/{view.design}/bring?{urlencode([*view.fields, *asked.pairs()])}"


def _boxes(offers: tuple[Offer, ...], sort: str, asked: BringAsked) -> tuple[Box, ...]:
    return tuple(
        Box(offer.wanted.text, offer.name, offer.words, "", offer.wanted.text in asked.what)
        for offer in offers
        if offer.wanted.sort == sort
    )


def _picture(design: str, revision: str) -> str:
    return f"/designs/{design}/thumbnail.svg?revision={revision}&state={code()}"


def _labels(targets: Targets, chosen: str) -> tuple[Choice, ...]:
    if not targets.labels:
        return ()
    rows = (Choice(label, f"{label} ({many})", label.casefold() == chosen.casefold()) for label, many in targets.labels)
    return (Choice("", "All labels", not chosen), *rows)


def _card(tried: TriedDesign) -> TriedCard:
    trial = tried.trial
    state, verdict = VERDICTS[trial.verdict]
    if trial.verdict == "passes" and trial.gained:
        verdict = f"Passes, with {counted(len(trial.gained), 'new finding')}"
        state = "caution" if any(f.severity == "caution" for f in trial.gained) else state
    warning = ""
    if trial.verdict == "passes" and trial.changed:
        warning = "What was brought before has been changed there since. Tick it to replace that; undo brings it back."
    return TriedCard(
        id=tried.id,
        title=title_of(tried.title),
        url=f"/designs/{tried.id}" if tried.revision else "",
        revision=tried.revision,
        state=state,
        verdict=verdict,
        said=trial.said,
        notes=trial.notes,
        changes=trial.changes,
        gained=trial.gained,
        lost=trial.lost,
        drawings=tuple(map(Markup, trial.drawings)),
        may=trial.verdict == "passes",
        ticked=trial.verdict == "passes" and not trial.changed,
        warning=warning,
    )


def _told(asked: BringAsked, titles: dict[str, str]) -> tuple[str, ...]:
    said = ((asked.moved, "was changed after it was tried, so it was left alone. It is tried again below."),
            (asked.refused, "did not take it, so it is as it was. Below is why."))  # fmt: skip
    return tuple(f"“{title_of(titles[i])}” {words}" for ids, words in said for i in ids if i in titles)
