"""Wrong print settings and what they do to a sheet: a table of ranges, worked out for the paper in use.

Every figure follows from the sizes of the papers (ISO 216, ASME Y14.1), the edge printers leave white (four makers'
manuals: 4 to 6.35 mm; 3 mm from memory) or the resolutions programs take for granted (72 and 96 to the inch).
"""

from __future__ import annotations

from collections.abc import Iterable

from msgspec import Struct

from app.catalogue.load import catalogue
from app.model.tooling import Paper

Range = tuple[float, float]
"""Least and largest ratio of measured to drawn length."""

_STEP = 1.75
"""Sides of papers further apart than this are not taken for each other: more than one size up or down."""

_PRINT_AGAIN = "Then print the check sheet and measure it again."


class Setting(Struct, frozen=True):
    """A wrong setting and the ratios of measured to drawn length it makes.

    Args:
        id: short name.
        name: what has happened, in the middle of a sentence.
        x, y: ratios along the short and the long side of the paper.
        even: whether both axes are scaled alike.
        advice: what to change.
        source: how the figures come about.
        rank: the less, the likelier where several explain a measurement: 0 for one that makes a single figure.
    """

    id: str
    name: str
    x: Range
    y: Range
    even: bool
    advice: str
    source: str
    rank: int = 0


def settings_for(paper: Paper, edges: Range | None = None) -> tuple[Setting, ...]:
    """Every wrong setting that is known, for sheets made for ``paper``.

    Args:
        paper: the paper the sheets are made for.
        edges: least and most the printer leaves white [mm]; None for the usual 3 to 6.35 mm.
    """
    rule = catalogue().rule
    white = edges or (rule("printer-edge-small"), rule("paper-margin-least"))
    others = [p for p in catalogue().papers.values() if _sides(p) != _sides(paper) and _mistakable(p, paper)]
    found = [_fit_same(paper, white), _stretched(paper, white), _borderless(paper), *_resolutions(), *_several(paper)]
    for other in others:
        found += _onto(paper, other, white)
    return tuple(found)


def _sides(paper: Paper) -> tuple[float, float]:
    return (min(paper.width, paper.height), max(paper.width, paper.height))


def _mistakable(one: Paper, other: Paper) -> bool:
    """Whether a printer might hold the one for the other: no more than a step of √2 (ISO 216) apart, about."""
    ratios = [a / b for a, b in zip(_sides(one), _sides(other), strict=True)]
    return min(ratios) >= 1 / _STEP and max(ratios) <= _STEP


def _even(ratios: Iterable[float]) -> Range:
    found = tuple(ratios)
    return (min(found), max(found))


def _onto(paper: Paper, other: Paper, white: Range) -> list[Setting]:
    """A sheet fitted to another paper: to the whole of it, and to what the printer can reach of it."""
    (w, h), (ow, oh) = _sides(paper), _sides(other)
    whole = min(ow / w, oh / h)
    inside = _even(min((ow - 2 * m) / w, (oh - 2 * m) / h) for m in white)
    verb = "shrunk onto" if whole < 1 else "enlarged onto"
    advice = (
        f"The sheets are made for {paper.name} and the dialog or the tray says {other.name}. Load {paper.name} and "
        f"choose it in the dialog, or choose {other.name} for the sheets; print at actual size (100 %). "
        f"{_PRINT_AGAIN}"
    )
    found = []
    if abs(whole - 1) > catalogue().rule("setting-tolerance"):
        found.append(
            Setting(
                f"{paper.id}-onto-{other.id}", f"{paper.name} was {verb} {other.name}", (whole, whole), (whole, whole),
                True, advice, f"min({ow:g} / {w:g}, {oh:g} / {h:g})",
            )
        )  # fmt: skip
    if whole < 1:
        found.append(
        Setting(
            f"{paper.id}-fitted-into-{other.id}",
            f"{paper.name} was fitted to the printable area of {other.name}",
            inside, inside, True, advice, f"the same with {white[0]:g} to {white[1]:g} mm left white on every side",
            3,
        )
    )  # fmt: skip
    return found


def _fit_same(paper: Paper, white: Range) -> Setting:
    w, h = _sides(paper)
    at = _even(min((w - 2 * m) / w, (h - 2 * m) / h) for m in white)
    return Setting(
        "fit-to-page", "“fit to page” shrank the page to the printable area", at, at, True,
        f"In the print dialog switch off “fit to page”, “fit to printable area” and “shrink oversized pages”; choose "
        f"“actual size” or 100 %. {_PRINT_AGAIN}",
        f"({w:g} − 2 m) / {w:g}, m = {white[0]:g} to {white[1]:g} mm left white", 1,
    )  # fmt: skip


def _stretched(paper: Paper, white: Range) -> Setting:
    w, h = _sides(paper)
    return Setting(
        "stretched", "the page was stretched to the printable area, each side by its own factor",
        _even((w - 2 * m) / w for m in white), _even((h - 2 * m) / h for m in white), False,
        f"In the print dialog switch off all fitting and stretching; choose “actual size” or 100 %. {_PRINT_AGAIN}",
        f"({w:g} − 2 m) / {w:g} and ({h:g} − 2 m) / {h:g}", 2,
    )  # fmt: skip


def _borderless(paper: Paper) -> Setting:
    rule = catalogue().rule
    w, _ = _sides(paper)
    beyond = (rule("borderless-least"), rule("borderless-most"))
    at = _even((w + 2 * e) / w for e in beyond)
    return Setting(
        "borderless", "borderless printing enlarged the sheet past its edges", at, at, True,
        f"Switch off borderless printing (edge to edge, without margins). {_PRINT_AGAIN}",
        f"({w:g} + 2 e) / {w:g}, e = {beyond[0]:g} to {beyond[1]:g} mm over each side", 1,
    )  # fmt: skip


def _resolutions() -> list[Setting]:
    words = "a program used {1} dots to the inch instead of {0}"
    advice = f"Print the file from a PDF viewer at actual size, not from a photo program or a browser. {_PRINT_AGAIN}"
    pairs = ((72, 96), (96, 72))
    return [
        Setting(f"dots-{a}-{b}", words.format(a, b), (a / b, a / b), (a / b, a / b), True, advice, f"{a} / {b}")
        for a, b in pairs
    ]


def _several(paper: Paper) -> list[Setting]:
    w, h = _sides(paper)
    two = min(h / 2 / w, w / h)
    advice = f"Choose one page per sheet and actual size. {_PRINT_AGAIN}"
    return [
        Setting(
            "two-a-sheet", "two pages were printed on one sheet", (two, two), (two, two), True, advice,
            f"min({h:g} / 2 / {w:g}, {w:g} / {h:g})",
        ),
        Setting(
            "four-a-sheet", "four pages were printed on one sheet", (0.5, 0.5), (0.5, 0.5), True, advice, "1 / 2"
        ),
    ]  # fmt: skip


def matching(settings: tuple[Setting, ...], x: float, y: float, slack: tuple[float, float]) -> tuple[Setting, ...]:
    """The settings that explain both ratios, the likeliest first.

    Args:
        settings: what to choose from.
        x: measured over drawn length along the short side of the paper.
        y: the same along the long side.
        slack: how far reading errors and the printer's own may carry each ratio from a setting's.
    """
    found: list[tuple[tuple[int, float], Setting]] = []
    for setting in settings:
        off = max(_beyond(x, setting.x) / slack[0], _beyond(y, setting.y) / slack[1])
        alike = not setting.even or abs(x - y) <= sum(slack)
        if off <= 1.0 and alike and (setting.even or _one_edge(setting, x, y, slack)):
            found.append(((setting.rank, off), setting))
    return tuple(setting for _, setting in sorted(found, key=lambda pair: pair[0]))


def _beyond(value: float, at: Range) -> float:
    return max(at[0] - value, value - at[1], 0.0)


def _one_edge(setting: Setting, x: float, y: float, slack: tuple[float, float]) -> bool:
    """Whether both ratios of an uneven setting come from about the same place in its ranges."""
    if min(setting.x[1] - setting.x[0], setting.y[1] - setting.y[0]) < 1e-9:
        return True  # one edge only was asked for
    loose = slack[0] / (setting.x[1] - setting.x[0]) + slack[1] / (setting.y[1] - setting.y[0])
    return abs(_share(x, setting.x) - _share(y, setting.y)) <= loose


def _share(value: float, at: Range) -> float:
    return (value - at[0]) / (at[1] - at[0])
