"""Steps as blocks of a page: a box to tick, the number, the words, and the picture beside them."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from app.drafting.build_steps.pictures import step_picture
from app.drafting.build_steps.step_said import StepSaid
from app.drafting.forms import box_path
from app.paper.cover.text import Paragraph, height, set_text
from app.paper.lists.block import SIZE, Block
from app.paper.steps.steps_listed import StepsListed, needs_words
from app.scene.palette import TEXT, TEXT_CAUTION, TEXT_MUTED
from app.scene.primitives import Group, Item, Line, Scene, Style, Text
from app.shop.build_steps.listing import ListedStep

_INDENT: Final = 13.0
_BESIDE: Final = 66.0
_TITLE: Final = 3.7
_AIR: Final = 5.0
_HAIR = Style(stroke="#b9b4a8", width=0.1, role="rule")
_TICK = Style(stroke="#23272b", width=0.25, role="tick")


def step_blocks(found: StepsListed, left: float, width: float, room: float) -> list[Block]:
    """Every step that is not hidden; one longer than a page goes on in further blocks.

    Args:
        found: the steps.
        left: where they begin [mm].
        width: of the page [mm].
        room: height of a page [mm].
    """
    blocks: list[Block] = []
    for number, step in enumerate(found.shown, 1):
        blocks += _step(number, step, found.said(step), (left, width), room)
    return blocks


def _step(number: int, step: ListedStep, said: StepSaid, line: tuple[float, float], room: float) -> list[Block]:
    left, width = line
    wide = width - _INDENT - (_BESIDE if step.made is not None else 0.0)
    parts = _parted(_paragraphs(said), wide, room - 20.0)
    first = _first(number, step, said.title, parts[0], (left, width, wide), last=len(parts) == 1)
    rest = [_going_on(part, (left, width, wide), last=index == len(parts) - 2) for index, part in enumerate(parts[1:])]
    return [first, *rest]


def _paragraphs(said: StepSaid) -> list[Paragraph]:
    found = [Paragraph(text) for text in said.sentences]
    if said.needs:
        found.append(Paragraph(f"You need: {needs_words(said)}.", style=TEXT_MUTED, gap=0.45))
    if said.dries:
        found.append(Paragraph(f"Dries: {said.dries}.", gap=0.45))
    if said.caution:
        found.append(Paragraph(f"Caution: {said.caution}", style=TEXT_CAUTION, gap=0.45))
    return found


def _parted(paragraphs: Sequence[Paragraph], wide: float, room: float) -> list[list[Paragraph]]:
    """Paragraphs in runs that are no higher than a page has room."""
    parts: list[list[Paragraph]] = [[]]
    for paragraph in paragraphs:
        if parts[-1] and height([*parts[-1], paragraph], wide, SIZE) > room:
            parts.append([])
        parts[-1].append(paragraph)
    return parts


def _first(
    number: int,
    step: ListedStep,
    title: str,
    paragraphs: Sequence[Paragraph],
    line: tuple[float, float, float],
    *,
    last: bool,
) -> Block:
    left, width, wide = line
    heading = [Paragraph(title, bold=True)]
    head = height(heading, wide, _TITLE)
    text = head + 1.0 + height(paragraphs, wide, SIZE)
    picture = step_picture(step.made) if step.made is not None else None
    high = max(text, picture.height if picture is not None else 0.0, 6.0)

    def draw(top: float) -> list[Item]:
        items: list[Item] = [
            box_path((left + 0.3, top - 4.1, left + 4.1, top - 0.3), _TICK),
            Text((left + _INDENT - 2.0, top - 3.4), str(number), _TITLE, TEXT, "end", bold=True),
        ]
        items += set_text(heading, left + _INDENT, top, wide, _TITLE)[0]
        items += set_text(paragraphs, left + _INDENT, top - head - 1.0, wide, SIZE)[0]
        if picture is not None:
            items.append(placed_scene(picture, left + width - picture.width, top - picture.height))
        return [*items, *_rule(left, width, top - high - _AIR / 2)] if last else items

    return Block(high + (_AIR if last else 1.0), draw, held=False)


def _going_on(paragraphs: Sequence[Paragraph], line: tuple[float, float, float], *, last: bool) -> Block:
    left, width, wide = line
    high = height(paragraphs, wide, SIZE)

    def draw(top: float) -> list[Item]:
        items = set_text(paragraphs, left + _INDENT, top, wide, SIZE)[0]
        return [*items, *_rule(left, width, top - high - _AIR / 2)] if last else items

    return Block(high + (_AIR if last else 1.0), draw)


def _rule(left: float, width: float, y: float) -> list[Item]:
    return [Line((left, y), (left + width, y), _HAIR)]


def placed_scene(scene: Scene, x: float, y: float) -> Group:
    """A picture with its lower left corner at a place of the page [mm]."""
    return Group(scene.items, shift=(x - scene.x0, y - scene.y0))
