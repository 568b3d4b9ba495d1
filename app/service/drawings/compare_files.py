"""What changed between two states of a design, as sheets to print."""

from __future__ import annotations

from msgspec import Struct

from app.catalogue.load import catalogue
from app.compare.states import compared_states
from app.document.published import revision_name
from app.document.resolve import resolve
from app.document.schema import Design
from app.fit.report.report import check
from app.paper.kinds.what_changed import WHAT_CHANGED
from app.paper.sheet_kind import SheetJob, bound_pages
from app.service.background.budget import apart
from app.service.checks.long_designs import has_many_parts
from app.service.drawings.made_file import MadeFile
from app.service.drawings.sheet_files import bound_file, printing_on
from app.units import Unit
from app.values import replace


class StatesAsked(Struct, frozen=True):
    """Two states to compare, and what they are called on the sheet; empty for their titles.

    Args:
        before, after: the older and the newer state.
        was, now: what they are called, as ``revision A``.
        revision: what the state of the newer one is called at the head of sheets; empty for a file on its own.
    """

    before: Design
    after: Design
    was: str = ""
    now: str = ""
    revision: str = ""


def compare_file(asked: StatesAsked, units: str = "", paper: str = "") -> MadeFile:
    """What changed, as PDF; nothing on it is at true size.

    Args:
        asked: what is compared.
        units: of the words; empty for the newer state's.
        paper: name of a paper; empty for the shop's.

    Raises:
        EditError: they share no board.
        DocumentError: a board of one of them cannot be put together.
        PaperError: no such paper, or one too small.
    """
    large = has_many_parts(asked.before) or has_many_parts(asked.after)
    return apart(large, _made, asked, units or asked.after.units, paper)


def _made(asked: StatesAsked, units: str, paper: str) -> MadeFile:
    job = states_job(asked, units, paper)
    return bound_file(WHAT_CHANGED, asked.after, job, tuple(bound_pages(WHAT_CHANGED, job)))


def states_job(asked: StatesAsked, units: str, paper: str) -> SheetJob:
    """What the sheets are made from: the newer design's deck bears their head, for all its boards."""
    after = asked.after.model_copy(update={"units": units})
    states = compared_states(asked.before, asked.after, catalogue(), Unit(units), was=asked.was, now=asked.now)
    deck = resolve(after, None, None, catalogue(), asked.revision or revision_name(asked.after))
    if len(after.boards) > 1:
        deck = replace(deck, name="All boards")
    every = (resolve(after, b.id, a.id, catalogue()) for b in after.boards for a in b.arrangements)
    stops = sum(len(check(board, catalogue()).stops) for board in every)
    return SheetJob(deck, replace(printing_on(deck, paper), stops=stops), states=states)
