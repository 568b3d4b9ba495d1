"""Sockets in a row, or one behind the other."""

from __future__ import annotations

from typing import Final

from app.arrange.maker.made import Figure, Made, Maker, Piece
from app.arrange.maker.rectangles import ring_of
from app.catalogue.load import Catalogue
from app.document.schema import LayerEntry
from app.model.maker import sockets
from app.model.maker.measure import Asked
from app.model.part import Part

_LAYERS: Final = (LayerEntry(material="plywood", thickness=9.0),)


def make(asked: Asked, catalogue: Catalogue) -> Made:
    """The sockets that the measures ask for, the first one on the left, or at the back."""
    part, many, apart = catalogue.parts[asked.text("socket")], int(asked.number("count")), asked.number("spacing")
    across = asked.text("way") == "row"
    places = [(k - (many - 1) / 2) * apart for k in range(many)]
    pieces = tuple(
        Piece(f"socket-{k}", part.id, place if across else 0.0, 0.0 if across else -place)
        for k, place in enumerate(places, 1)
    )
    length = (many - 1) * apart + _side(part, across=across)
    between = (Figure("between", "Between two of them", apart - _side(part, across=across), "length"),)
    figures = (Figure("length", "From end to end", length, "length"), *(between if many > 1 else ()))
    sides = asked.number("width"), asked.number("height")
    return Made(ring_of(*sides), _LAYERS, asked.number("free-depth"), pieces, figures=figures)


def _side(part: Part, *, across: bool) -> float:
    """How wide a socket is on the top face, or below it where nothing shows, along their row [mm]."""
    shape = part.flange.shape if part.flange else part.body.shape
    x0, y0, x1, y1 = shape.bounds
    return x1 - x0 if across else y1 - y0


MAKER: Final = Maker(
    name=sockets.SOCKETS,
    title="Row of sockets",
    sentence="Sockets side by side, or one behind the other, as far apart as their plugs need.",
    measures=sockets.MEASURES,
    make=make,
)
