"""Corners, openings and areas of a board as they are listed and typed, with the one in hand."""

from __future__ import annotations

from msgspec import Struct

from app.service.edits.board_changes import Box
from app.service.screens.board.board_form import AreaSeen, CornerSeen, Grip, RingSeen
from app.service.screens.choices import Choice
from app.service.screens.words import as_typed
from app.units import Unit
from app.web.pages.board_edit.board_fields import LengthField
from app.web.shared.view_state import Option, ViewState

MOST_LISTED = 120


class CornerForm(Struct, frozen=True):
    """The corner in hand: which it is, its fields, and those for cutting it off."""

    ring: int
    index: int
    name: str
    place: tuple[LengthField, ...]
    setback: tuple[LengthField, ...]
    slope: tuple[LengthField, ...]
    slope_words: str
    cut: tuple[LengthField, ...]


class CornersPanel(Struct, frozen=True):
    """Corners of one ring: the ways to the other rings, the list, the one in hand."""

    rings: tuple[Option, ...]
    rows: tuple[Option, ...]
    more: int
    held: CornerForm | None


class ThingPanel(Struct, frozen=True):
    """Openings, or areas to keep clear: the list, the one in hand by its number, fields of it or of a new one.

    Args:
        rows: the list.
        held: number of the one in hand; -1 if none is, and the fields are those of a new one.
        name: of the one in hand.
        fields: lengths.
        faces: faces to choose from; empty for openings.
        label: words of the area.
        corners_url: where the opening's corners are.
        new_url: where a new one is added.
    """

    rows: tuple[Option, ...]
    held: int
    name: str
    fields: tuple[LengthField, ...]
    faces: tuple[Choice, ...] = ()
    label: str = ""
    corners_url: str = ""
    new_url: str = ""


def corners_panel(rings: tuple[RingSeen, ...], grip: Grip | None, view: ViewState, unit: Unit) -> CornersPanel:
    """Corners of the ring in hand, the rim if none is."""
    k = grip.ring if grip is not None and grip.ring < len(rings) else 0
    ring = rings[k].corners
    i = grip.index if grip is not None and grip.index < len(ring) else -1

    def at(r: int, index: int) -> str:
        return view.url("/board", group="corners", hold=f"corner-{r}-{index}")

    names = ["Outline", *(f"Opening {r}" for r in range(1, len(rings)))]
    # A long list would hide the fields: as many are shown as fit, those round the one in hand.
    first = max(0, min(i - MOST_LISTED // 2, len(ring) - MOST_LISTED))
    listed = range(first, min(len(ring), first + MOST_LISTED))
    return CornersPanel(
        rings=tuple(Option(name, at(r, 0), r == k) for r, name in enumerate(names)) if len(rings) > 1 else (),
        rows=tuple(Option(_corner_words(j, ring[j], unit), at(k, j), j == i) for j in listed),
        more=len(ring) - len(listed),
        held=_corner_form(rings, k, i, unit) if i >= 0 else None,
    )


def _corner_words(index: int, corner: CornerSeen, unit: Unit) -> str:
    set_back = ""
    if corner.setback:
        before, after = (as_typed(v, unit) for v in corner.setback)
        set_back = f", set back {before}" if before == after else f", set back {before} and {after}"
    return f"{index + 1} · {as_typed(corner.x, unit)}, {as_typed(corner.y, unit)}{set_back}"


def _corner_form(rings: tuple[RingSeen, ...], k: int, i: int, unit: Unit) -> CornerForm:
    ring = rings[k].corners
    corner = ring[i]
    before, after = corner.setback or (0.0, 0.0)
    across, along = rings[k].offsets
    level = abs(corner.rise) <= abs(corner.run)
    cut = (along, across) if level else (across, along)
    return CornerForm(
        ring=k,
        index=i,
        name=f"Corner {i + 1}" + (f" of opening {k}" if k else ""),
        place=(
            LengthField("x", "From left edge", as_typed(corner.x, unit)),
            LengthField("y", "From front edge", as_typed(corner.y, unit)),
        ),
        setback=(
            LengthField("before", "Set-back before it", as_typed(before, unit)),
            LengthField("after", "Set-back after it", as_typed(after, unit)),
        ),
        slope=(
            LengthField("run", "Run, to the right", as_typed(corner.run, unit)),
            LengthField("rise", "Rise, to the back", as_typed(corner.rise, unit)),
        ),
        slope_words=f"Edge to corner {(i + 1) % len(ring) + 1}",
        cut=(
            LengthField("cut-before", "Before it", as_typed(cut[0], unit)),
            LengthField("cut-after", "After it", as_typed(cut[1], unit)),
        ),
    )


def openings_panel(rings: tuple[RingSeen, ...], new: Box, grip: Grip | None, view: ViewState, unit: Unit) -> ThingPanel:
    """The openings, one of them in hand, or the fields of a new one."""
    held = grip.ring if grip is not None and grip.kind == "opening" and 1 <= grip.ring < len(rings) else -1
    rows = []
    for k, ring in enumerate(rings[1:], 1):
        _, _, width, height = ring.box
        said = f"{k} · {as_typed(width, unit)} × {as_typed(height, unit)}"
        rows.append(Option(said, view.url("/board", group="openings", hold=f"opening-{k}"), k == held))
    if held >= 0:
        box, even = rings[held].box, rings[held].setback
        hint = "Its corners differ; this sets them all" if even is None else ""
    else:
        box, even, hint = new, 0.0, "Half the shorter side makes it round"
    set_back = LengthField("setback", "Corner set-back", as_typed(even or 0.0, unit), hint)
    return ThingPanel(
        rows=tuple(rows),
        held=held,
        name=f"Opening {held}" if held >= 0 else "",
        fields=(*_box_fields(box, unit), set_back),
        corners_url=view.url("/board", group="corners", hold=f"corner-{held}-0") if held >= 0 else "",
        new_url=view.url("/board", group="openings"),
    )


def clear_panel(areas: tuple[AreaSeen, ...], new: Box, grip: Grip | None, view: ViewState, unit: Unit) -> ThingPanel:
    """The areas to keep clear, one of them in hand, or the fields of a new one."""
    held = grip.ring if grip is not None and grip.kind in ("clear", "size") and grip.ring < len(areas) else -1
    rows = []
    for k, area in enumerate(areas):
        face = "underside" if area.face == "under" else "top"
        said = f"{k + 1} · {as_typed(area.box[2], unit)} × {as_typed(area.box[3], unit)}, {face}"
        said += f", {area.label}" if area.label else ""
        rows.append(Option(said, view.url("/board", group="clear", hold=f"clear-{k}"), k == held))
    one = areas[held] if held >= 0 else None
    box = one.box if one else new
    face = one.face if one else "under"
    return ThingPanel(
        rows=tuple(rows),
        held=held,
        name=f"Area {held + 1}" if one else "",
        fields=_box_fields(box, unit),
        faces=(Choice("under", "the underside", face == "under"), Choice("top", "the top face", face == "top")),
        label=one.label if one else "",
        new_url=view.url("/board", group="clear"),
    )


def _box_fields(box: Box, unit: Unit) -> tuple[LengthField, ...]:
    words = {"x": "From left edge", "y": "From front edge", "width": "Width", "height": "Front to back"}
    return tuple(LengthField(n, w, as_typed(v, unit)) for (n, w), v in zip(words.items(), box, strict=True))
