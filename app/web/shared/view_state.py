"""Where on a design the screen is: the part of the address that every link and form carries on."""

from __future__ import annotations

from typing import Any, Literal, cast
from urllib.parse import urlencode

from msgspec import Struct

from app.service import Face, Where
from app.service.screens.board.layer_list import DEMANDED
from app.units import Unit
from app.values import replace
from app.web.forms import unit_of

MOST_SELECTED = 200


class ViewState(Struct, frozen=True):
    """The view of a design.

    Args:
        design: id of the design.
        board: id of the board; empty for the deck.
        arrangement: id of the arrangement; empty for the first.
        face: the face shown.
        section: whether the board is shown cut through the part in hand instead.
        to: id of the part that distances are measured to; empty for the nearest.
        seen: id of the revision on screen, which every form carries on.
        other_windows: what other windows did in the meantime, in words.
        units: ``mm`` or ``inch`` if chosen on screen; empty for the design's own.
        select: ids of the selected placements, the one in hand first.
        layers: names of what is drawn besides the usual.
    """

    design: str
    board: str = ""
    arrangement: str = ""
    face: Face = "top"
    units: Literal["", "mm", "inch"] = ""
    select: tuple[str, ...] = ()
    section: bool = False
    to: str = ""
    seen: str = ""
    other_windows: str = ""
    layers: tuple[str, ...] = ()

    @classmethod
    def of(cls, design: str, values: dict[str, str]) -> ViewState:
        """Read a query or form; what it does not know is left at its default."""
        face = values.get("face", "")
        units = values.get("units", "")
        chosen = tuple(dict.fromkeys(part for part in values.get("select", "").split(",") if part))
        return cls(
            design=design,
            board=values.get("board", ""),
            arrangement=values.get("arrangement", ""),
            face="under" if face == "under" else "top",
            units=cast("Literal['', 'mm', 'inch']", units if units in {"mm", "inch"} else ""),
            select=chosen[:MOST_SELECTED],
            section=face == "section",
            to=values.get("to", ""),
            seen=values.get("seen", ""),
            layers=tuple(sorted(DEMANDED.intersection(values.get("layers", "").split(",")))),
        )

    def showing(self, revision: str) -> ViewState:
        """The same view on a page that shows ``revision``; a form that was refused goes on from what it knew."""
        return self if self.seen else replace(self, seen=revision)

    @property
    def where(self) -> Where:
        """The board and arrangement, for a use case."""
        return Where(self.board or None, self.arrangement or None)

    def unit(self, own: str) -> Unit:
        """The unit on screen; ``own`` is the design's."""
        return unit_of(self.units or own)

    def at(self, **changes: Any) -> ViewState:
        """The same view with something else in it."""
        return replace(self, **changes)

    def url(self, page: str = "", **more: str) -> str:
        """Address of a page or file of the design in this view, as ``/paper``."""
        query = {k: v for k, v in {**dict(self.fields), **more}.items() if v}
        path = f"/designs/{self.design}{page}"
        return f"{path}?{urlencode(query)}" if query else path

    @property
    def fields(self) -> tuple[tuple[str, str], ...]:
        """Name and value of what is not at its default: hidden fields of a form."""
        pairs = (
            ("board", self.board),
            ("arrangement", self.arrangement),
            ("face", "section" if self.section else self.face if self.face != "top" else ""),
            ("units", self.units),
            ("select", ",".join(self.select)),
            ("to", self.to),
            ("layers", ",".join(self.layers)),
        )
        return tuple((name, value) for name, value in pairs if value)

    @property
    def carried(self) -> tuple[tuple[str, str], ...]:
        """Name and value of every hidden field of a form: the view, and the revision it shows."""
        return (*self.fields, ("seen", self.seen)) if self.seen else self.fields


class Option(Struct, frozen=True):
    """One way of a switch.

    Args:
        words: what it says.
        url: where it leads.
        current: whether it is the present one.
        state: how it stands there: ``stop``, ``caution``, ``fits``, ``unknown``; empty where that is not asked.
        says: the same in words, with how many.
        size: how large it is, in words; empty of all but boards.
        picture: address of a small drawing of it; likewise.
    """

    words: str
    url: str
    current: bool = False
    state: str = ""
    says: str = ""
    size: str = ""
    picture: str = ""


class BoardStrip(Struct, frozen=True):
    """The boards of a design, to go from one to another.

    Args:
        options: each with its picture, its size and how it stands; none where there is but one.
        url: the page of all of them, where another is added.
        ask: where how they stand is asked for, if a page could not wait for that.
    """

    options: tuple[Option, ...]
    url: str
    ask: str = ""
