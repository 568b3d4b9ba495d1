"""Drawings of the board itself: with handles, what follows a handle, and pictures of shapes."""

from __future__ import annotations

from app.arrange.board.presets import shape_ring
from app.drafting.forms import outline_path
from app.drafting.view.board_edit_view import GROUPS, board_sheet, follower_groups, handle_place
from app.drafting.view.board_handles import handles_of
from app.drafting.view.board_view import line_weight, view_scale
from app.drafting.weights import weighted
from app.fit.finding import Finding
from app.fit.rules import outside_board
from app.geometry.outline import Outline
from app.scene.palette import LIGHT
from app.scene.primitives import Point, Scene, Style
from app.service.checks.checking import CheckResult
from app.service.edits.board_changes import Dragged
from app.writers import svg

_PICTURE = Style(stroke=LIGHT["ink"], width=6.0, fill=LIGHT["mdf"], role="shape-form")


def sheet_svg(seen: CheckResult, held: str) -> str:
    """The board with handles that a pointer and the keyboard can take hold of, inline SVG."""
    scene = board_sheet(seen.resolved, _marked(seen), held)
    return svg.embed(scene, ident="shape-svg", role="drawing shape-drawing", interactive=True)


def following_svg(dragged: Dragged, held: str) -> str:
    """What follows a handle while it is dragged, to be swapped on the page."""
    board = dragged.seen.resolved
    groups = follower_groups(board, _marked(dragged.seen), held, dragged.shift)
    scene = Scene(0.0, 0.0, 1.0, 1.0, weighted(groups, line_weight(view_scale(board))))
    return "".join(svg.swap(scene, name) for name in GROUPS)


def handle_shift(seen: CheckResult, dragged: Dragged, held: str) -> Point:
    """How far a handle has come on the drawing, y up [mm]; nowhere if it is gone."""
    before, after = seen.resolved, dragged.seen.resolved
    scale = view_scale(before)
    was, now = handle_place(before, held, scale), handle_place(after, held, scale, dragged.shift)
    return (now[0] - was[0], now[1] - was[1]) if was and now else (0.0, 0.0)


def handle_words(seen: CheckResult, held: str) -> str:
    """What the handle in hand is; empty if there is none."""
    found = handles_of(seen.resolved, held, view_scale(seen.resolved))
    return next((handle.words for handle in found if handle.name == held), "")


def outside(seen: CheckResult) -> tuple[str, ...]:
    """Letters of the parts that do not lie on the board, in reading order."""
    ids = dict.fromkeys(subject for finding in _marked(seen) for subject in finding.subjects)
    placed = (seen.resolved.placed(name) for name in ids)
    return tuple(part.label or part.part.name for part in placed if part is not None)


def shape_picture(shape: str, width: float, front_to_back: float, across: float, along: float) -> str:
    """A shape as wide and deep as the board [mm], as a small inline picture.

    Raises:
        EditError: no such shape, or offsets it has no room for.
    """
    outline = Outline(shape_ring(shape, width, front_to_back, across, along))
    edge = 0.03 * max(width, front_to_back)
    times = max(width, front_to_back) / 400.0
    items = weighted((outline_path(outline, _PICTURE),), times)
    scene = Scene(-edge, -edge, width + edge, front_to_back + edge, items)
    return svg.embed(scene, role="shape-picture", names=False)


def _marked(seen: CheckResult) -> tuple[Finding, ...]:
    return tuple(finding for finding in seen.report.open if finding.rule == outside_board.RULE.name)
