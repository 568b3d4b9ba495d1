"""Photo cards: four coded markers to cut out, one for each corner of a face, by which a photograph is measured."""

from __future__ import annotations

from typing import Final

from app.drafting.words import exact
from app.model.photo_cards import CORNERS, CardPlan, plan_cards
from app.paper.cover.text import Paragraph
from app.paper.lists.block import Block, words_block
from app.paper.lists.list_pages import ListPages
from app.paper.photo.card import card_items
from app.paper.photo.words import how_words, lack_words
from app.paper.sheet_kind import Leaf, SheetJob, SheetKind
from app.scene.primitives import Item

_NAME = "photo-cards"
_APART: Final = 16.0  # between cards [mm]: room for a knife along a rule
_FOOT: Final = ("Print at actual size, 100 %. Measure both check bars before you cut.",)


def photo_plan(job: SheetJob) -> CardPlan:
    """The cards of a job's face, and what is to be said of them."""
    return job.once(f"{_NAME} plan", lambda: plan_cards(job.board, job.face))


class PhotoCardPages(ListPages):
    """The page, with its cards laid as they lie on the board: those of the back above those of the front."""

    def __init__(self, job: SheetJob) -> None:
        plan = photo_plan(job)

        def setting(left: float, width: float, _: float) -> list[Block]:
            unit = job.unit
            said = [Paragraph(text) for text in lack_words(plan, job.board)]
            if plan.cards is None:
                return [words_block(said, left, width)]
            said += [Paragraph(text) for text in how_words(plan.cards, unit)]
            blocks = [words_block(said, left, width, air=10.0)]
            cards = plan.cards
            x = left + (width - 2 * cards.side - _APART) / 2
            for row in ((3, 2), (0, 1)):

                def draw(top: float, row: tuple[int, int] = row) -> list[Item]:
                    low = top - cards.side - cards.tab
                    places = ((x, low), (x + cards.side + _APART, low))
                    return [item for k, at in zip(row, places, strict=True) for item in card_items(cards, k, at)]

                blocks.append(Block(cards.side + cards.tab + _APART, draw))
            return blocks

        title = "Photo cards, " + ("top face" if job.face == "top" else "underside")
        belongs = f"cards {plan.cards.code:03d}" if plan.cards is not None else ""
        super().__init__(job.board, job.printing, title, _NAME, setting, belongs=belongs, foot=_FOOT)


def _pages(job: SheetJob) -> PhotoCardPages:
    return job.once(f"{_NAME} pages", lambda: PhotoCardPages(job))


def _rows(job: SheetJob) -> tuple[tuple[int, str, int, str], ...]:
    """Each card: its number, its corner, the number of its marker, the side of that."""
    cards = photo_plan(job).cards
    if cards is None:
        return ()
    side = exact(cards.marker, job.unit)
    return tuple((k + 1, name, cards.numbers[k], side) for k, name in enumerate(CORNERS))


def _leaves(job: SheetJob) -> tuple[Leaf, ...]:
    return tuple(Leaf(f"photo cards, page {number}") for number in range(1, len(_pages(job)) + 1))


PHOTO_CARDS: SheetKind[object] = SheetKind(
    name=_NAME,
    words="photo cards",
    needs=frozenset({"board", "face"}),
    rows=_rows,
    leaves=_leaves,
    pages=_pages,
    unproved="Nothing is drilled from them; a photograph shows how large they came out.",
    packed=False,
)
