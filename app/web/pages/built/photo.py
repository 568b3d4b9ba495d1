"""The part of *As built* that measures by a photograph: send it, look at what it told, keep what was chosen."""

from __future__ import annotations

from collections.abc import Mapping

from msgspec import Struct

from app.service.drawings.formats import sheet_format
from app.service.edits.built_photo import PhotoHole
from app.service.photo import INSTALL, PhotoAsked, is_there, photo_asked
from app.service.photo_told import found_of
from app.service.screens.bench.photo_seen import NO_HOLES, PhotoSeen, card_words, photo_seen
from app.service.screens.words import as_typed
from app.service.sight import Sight
from app.values import replace
from app.web.forms import Form
from app.web.shared.head import PageHead, head_of
from app.web.shared.view_state import ViewState


class CardLink(Struct, frozen=True):
    """The sheet of cards of a face: what it is in words, where it is, and what is wrong with it."""

    words: str
    url: str
    lacks: tuple[str, ...]


class PhotoForm(Struct, frozen=True):
    """What is asked for to send a photograph.

    Args:
        there: whether photographs can be read here.
        install: what makes that so.
        cards: the sheets of cards; none where no card can be laid.
        lacks: why there are none.
        width, depth: of the real board, as they stand in their fields.
        wrong: what is wrong with these or with the file, by field.
        action: where it is sent.
    """

    there: bool
    install: str
    cards: tuple[CardLink, ...]
    lacks: tuple[str, ...]
    width: str
    depth: str
    wrong: Mapping[str, str]
    action: str


class PhotoPage(Struct, frozen=True):
    """What a photograph told, to be looked at.

    Args:
        view: the view.
        head: its head; what was told is in one unit and of one arrangement, so there is none to choose.
        unit: of what is typed.
        seen: what it told.
        told, picture: the same as text, for the form.
        chosen: names of the rows that are ticked.
        problem: what is wrong; empty if nothing is.
        form: to send another.
        action: where what was chosen goes.
        back_url: the page *As built*.
    """

    view: ViewState
    head: PageHead
    unit: str
    seen: PhotoSeen
    told: str
    picture: str
    chosen: frozenset[str]
    problem: str
    form: PhotoForm
    action: str
    back_url: str


def photo_form(
    sight: Sight, view: ViewState, typed: Mapping[str, str] | None = None, wrong: Mapping[str, str] | None = None
) -> PhotoForm:
    """The form to send a photograph of the board in view, with what was typed."""
    asked, typed, unit = photo_asked(sight.checked.resolved), typed or {}, sight.unit
    pdf, plain = sheet_format()[0].ending, view.at(seen="")
    links = tuple(
        CardLink(
            "Cards for the top face" if face == "top" else "Cards for the underside",
            plain.at(face=face).url(f"/photo-cards{pdf}"),
            card_words(plan, sight.checked.resolved),
        )
        for face, plan in asked.plans.items()
        if plan.cards is not None and asked.wanted[face]
    )
    said = [words for plan in asked.plans.values() for words in card_words(plan, sight.checked.resolved)]
    return PhotoForm(
        there=is_there(),
        install=INSTALL,
        cards=links,
        lacks=() if links else tuple(dict.fromkeys(said)) or (NO_HOLES,),
        width=typed.get("width", as_typed(asked.size[0], unit)),
        depth=typed.get("depth", as_typed(asked.size[1], unit)),
        wrong=wrong or {},
        action=f"/designs/{view.design}/built/photo",
    )


def asked_for(form: Form, sight: Sight) -> PhotoAsked:
    """What is looked for in a photograph that was sent, on a board of the size that was typed.

    Raises:
        EditError: the size cannot be read, or is not that of this board.
    """
    size = (form.length("width", "The width of the board"), form.length("depth", "The depth of the board"))
    form.done()
    return photo_asked(sight.checked.resolved, size)


def photo_page(
    sight: Sight, view: ViewState, told: str, picture: str, form: Form | None = None, problem: str = ""
) -> PhotoPage:
    """What a photograph told of the board in view.

    Args:
        sight: the design.
        view: the view.
        told: what it told, as text.
        picture: the straightened picture, likewise.
        form: what was chosen, where that could not be kept.
        problem: why.

    Raises:
        EditError: what it told is not complete.
    """
    view = view.at(select=(), section=False, face="top", layers=(), to="").showing(sight.revision)
    found = found_of(told, picture)
    asked = photo_asked(sight.checked.resolved, (found.cards.width, found.cards.depth))
    seen = photo_seen(sight.checked.resolved, asked, found)
    ticked = frozenset(row.code for row in seen.rows if (row.ticked if form is None else form.flag(f"take.{row.code}")))
    sizes = {"width": as_typed(found.cards.width, sight.unit), "depth": as_typed(found.cards.depth, sight.unit)}
    return PhotoPage(
        view=view,
        head=replace(head_of(sight, view, "/built", tally=False), arrangements=(), units=()),
        unit=sight.unit.value,
        seen=seen,
        told=told,
        picture=picture,
        chosen=ticked,
        problem=problem,
        form=photo_form(sight, view, sizes),
        action=f"/designs/{view.design}/built/photo-take",
        back_url=view.at(seen="").url("/built"),
    )


def chosen_holes(form: Form, sight: Sight) -> tuple[PhotoHole, ...]:
    """The holes that were ticked.

    Raises:
        EditError: what the photograph told is not complete.
    """
    found = found_of(form.text("told"), form.text("picture"))
    asked = photo_asked(sight.checked.resolved, (found.cards.width, found.cards.depth))
    rows = photo_seen(sight.checked.resolved, asked, found).rows
    return tuple(hole for row in rows if form.flag(f"take.{row.code}") for hole in row.holes)
