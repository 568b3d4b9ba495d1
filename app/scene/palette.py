"""The colours of the screen and of the sheets, and the named styles made of them.

Colours are ours: a warm off-white page, graphite ink, one deep teal for what can be acted on, and the
materials as they look on the bench. Contrast follows WCAG 2.2: text 4.5 to 1 (1.4.3), lines and shapes
that carry meaning 3 to 1 (1.4.11), each against the ground it stands on. ``css_variables`` hands the
same values to the stylesheet, so that a drawing and the page around it cannot disagree.

Line widths are drawing-office steps in mm (0.13, 0.18, 0.25, 0.35, 0.5, 0.7: ISO 128-20 series).
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import Final

from app.scene.primitives import Style

LIGHT: Final[Mapping[str, str]] = MappingProxyType(
    {
        "page": "#f4f1ea",
        "card": "#fbf9f4",
        "raised": "#ffffff",
        "rule": "#dcd6c9",
        "field": "#8b877c",
        "ink": "#23272b",
        "muted": "#5a5f64",
        "teal": "#0f6b6b",
        "teal-deep": "#0a5050",
        "teal-pale": "#dcebe9",
        "stop": "#a3301f",
        "stop-pale": "#f6e2dd",
        "caution": "#7d5500",
        "caution-pale": "#f5ead0",
        "clear": "#2f6b3a",
        "mdf": "#d0b283",
        "mdf-edge": "#8f7448",
        "plywood": "#dcbf8b",
        "plywood-edge": "#a9824a",
        "acrylic": "#bccdd6",
        "acrylic-edge": "#6c8795",
        "metal": "#c3c6c8",
        "metal-edge": "#7d8286",
        "hole": "#fbfaf7",
        "cap": "#f1ede2",
        "cap-edge": "#7f6b47",
        "body": "#cfccc3",
        "body-edge": "#6e6a60",
        "knob": "#2f3639",
    }
)
"""Colours of the light scheme, and of every sheet and file."""

DARK: Final[Mapping[str, str]] = MappingProxyType(
    {
        "page": "#1b1e20",
        "card": "#24282b",
        "raised": "#2d3235",
        "rule": "#3e4448",
        "field": "#868d91",
        "ink": "#ece8df",
        "muted": "#b1b5b6",
        "teal": "#5cc2bd",
        "teal-deep": "#8ad8d3",
        "teal-pale": "#173c3b",
        "stop": "#f0917f",
        "stop-pale": "#452520",
        "caution": "#e0b45c",
        "caution-pale": "#3d3117",
        "clear": "#8ccb97",
    }
)
"""What the dark scheme changes; materials and hardware keep their own colours."""

INK: Final = LIGHT["ink"]
MUTED: Final = LIGHT["muted"]
TEAL: Final = LIGHT["teal"]
TEAL_DEEP: Final = LIGHT["teal-deep"]
STOP: Final = LIGHT["stop"]
CAUTION: Final = LIGHT["caution"]
WHITE: Final = "#ffffff"

PAPER = Style(stroke=None, fill=WHITE, role="paper")
SHEET_EDGE = Style(stroke="#8f9396", width=0.18, dash=(2.0, 1.5), role="sheet-edge")
FRAME = Style(stroke=INK, width=0.35, role="frame")
FRAME_FILLED = Style(stroke=INK, width=0.25, fill=INK, role="frame-filled")
BAR_DARK = Style(stroke=None, fill=INK, role="bar-dark")
SEAM_MARK = Style(stroke=INK, width=0.25, role="seam-mark")

OUTLINE = Style(stroke=INK, width=0.5, role="outline")
OPENING = Style(stroke=INK, width=0.35, role="opening")
HIDDEN = Style(stroke=MUTED, width=0.25, dash=(2.0, 1.0), role="hidden")
KEEP_CLEAR = Style(stroke=MUTED, width=0.25, dash=(1.0, 1.0), role="keep-clear")
RAIL = Style(stroke=LIGHT["mdf-edge"], width=0.18, fill="#bd9d6b", opacity=0.55, role="rail")
CENTRE_LINE = Style(stroke=TEAL, width=0.25, dash=(6.0, 1.5, 1.0, 1.5), role="centre-line")
BASELINE = Style(stroke=TEAL, width=0.25, dash=(6.0, 1.5, 1.0, 1.5), role="baseline")
DATUM_LINE = Style(stroke=TEAL, width=0.25, dash=(9.0, 2.0), role="datum-line")
DEPTH_LINE = Style(stroke=MUTED, width=0.25, dash=(3.0, 1.5), role="depth-line")
PROJECTION = Style(stroke=TEAL_DEEP, width=0.18, dash=(1.5, 1.0), role="projection")
DIMENSION = Style(stroke=INK, width=0.18, role="dimension")
RULER = Style(stroke=MUTED, width=0.18, role="ruler")
GRID = Style(stroke=INK, width=0.13, opacity=0.18, role="grid")

HOLE = Style(stroke=INK, width=0.25, role="hole")
HOLE_OPEN = Style(stroke=INK, width=0.25, fill=LIGHT["hole"], role="hole-open")
HOLE_OFF = Style(stroke=INK, width=0.5, dash=(2.0, 1.4), role="hole-off")
COUNTERBORE = Style(stroke=MUTED, width=0.25, dash=(1.5, 1.0), role="counterbore")
RECESS = Style(stroke=MUTED, width=0.25, dash=(3.0, 1.0), role="recess")
CROSS = Style(stroke=INK, width=0.13, role="cross")
PILOT = Style(stroke=INK, width=0.18, role="pilot")

FLANGE = Style(stroke=LIGHT["cap-edge"], width=0.5, fill=LIGHT["cap"], role="flange")
CAP = Style(stroke=LIGHT["cap-edge"], width=0.25, fill=LIGHT["hole"], role="cap")
KNOB = Style(stroke=INK, width=0.25, fill=LIGHT["knob"], role="knob")
PLATE = Style(stroke=INK, width=0.25, dash=(1.5, 1.0), role="plate")
NUT = Style(stroke=LIGHT["body-edge"], width=0.25, fill="#b8b5ab", role="nut")
THREAD = Style(stroke=LIGHT["body-edge"], width=0.18, fill="#dedbd2", role="thread")
BODY = Style(stroke=LIGHT["body-edge"], width=0.25, fill=LIGHT["body"], role="body")
SHAFT = Style(stroke=INK, width=0.18, fill="#8b9094", role="shaft")

HALO_STOP = Style(stroke=STOP, width=0.7, role="halo-stop")
HALO_CAUTION = Style(stroke=CAUTION, width=0.9, dash=(2.4, 1.6), role="halo-caution")
HALO_SELECTED = Style(stroke=TEAL_DEEP, width=1.0, role="halo-selected")
IN_HAND = Style(stroke=TEAL_DEEP, width=1.0, role="in-hand")
MEASURE = Style(stroke=TEAL_DEEP, width=0.35, role="measure")
FLAG = Style(stroke=None, fill=TEAL, role="flag")
FLAG_TEXT = Style(stroke=None, fill=WHITE, role="flag-text")

TEXT = Style(stroke=None, fill=INK, role="text")
TEXT_MUTED = Style(stroke=None, fill=MUTED, role="text-muted")
TEXT_GUIDE = Style(stroke=None, fill=TEAL, role="text-guide")
TEXT_STOP = Style(stroke=None, fill=STOP, role="text-stop")
TEXT_CAUTION = Style(stroke=None, fill=CAUTION, role="text-caution")
TEXT_LIGHT = Style(stroke=None, fill=WHITE, role="text-light")

_BOARD_LOOKS: Final = {
    "mdf": "mdf",
    "hardboard": "mdf",
    "particleboard": "mdf",
    "wood": "plywood",
    "plywood": "plywood",
    "acrylic": "acrylic",
    "polycarbonate": "acrylic",
    "plastic": "acrylic",
    "metal": "metal",
    "aluminium": "metal",
    "steel": "metal",
}


def board(kind: str) -> Style:
    """Face of a board of a material ``kind`` (``mdf``, ``plywood``, ``acrylic``, ``aluminium``, ``steel``…).

    A kind not listed looks like plain MDF, so that a new material is drawn and never an error.
    """
    look = _BOARD_LOOKS.get(kind.lower(), "mdf")
    return Style(stroke=LIGHT[f"{look}-edge"], width=0.5, fill=LIGHT[look], role=f"board board-{look}")


def layer_cut(kind: str) -> Style:
    """Cut edge of one layer of a board of a material ``kind``, as an elevation or a section shows it."""
    look = _BOARD_LOOKS.get(kind.lower(), "mdf")
    return Style(stroke=LIGHT[f"{look}-edge"], width=0.35, fill=LIGHT[look], role=f"cut cut-{look}")


def grain(kind: str) -> Style:
    """Lines inside a cut edge: plies of plywood, fibres of MDF, a hatch in metal or acrylic."""
    look = _BOARD_LOOKS.get(kind.lower(), "mdf")
    return Style(stroke=LIGHT[f"{look}-edge"], width=0.18, opacity=0.55, role=f"grain grain-{look}")


def css_variables(*, dark: bool = False) -> str:
    """The colours as custom properties for a stylesheet: ``--ink: #23272b;`` and so on, one a line."""
    return "\n".join(f"--{name}: {value};" for name, value in (DARK if dark else LIGHT).items())
