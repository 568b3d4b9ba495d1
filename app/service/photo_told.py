"""What a photograph told, as text that travels in a form: nothing of it is kept before somebody has chosen."""

from __future__ import annotations

import base64
import binascii
import json
import math
from typing import TYPE_CHECKING, Final

from app.errors import EditError
from app.model.photo_cards import Cards

if TYPE_CHECKING:
    from app.photo.measuring import PhotoMeasured

_LOST: Final = "What the photograph told did not arrive complete. Send the photograph again."
_MOST: Final = 10_000  # holes
_FIGURES: Final = 5  # of a hole


def told_of(found: PhotoMeasured) -> tuple[str, str]:
    """Everything that was found, and the straightened picture, each as text."""
    cards = found.cards
    told = {
        "face": cards.face, "width": cards.width, "depth": cards.depth, "marker": cards.marker,
        "box": [round(v, 3) for v in found.picture.box], "printed": [round(v, 5) for v in found.printed],
        "scale": round(found.scale, 3), "angle": round(found.angle, 2),
        "holes": [
            [m.code, m.doubt, *(round(v, 4) for v in (m.x, m.y, m.diameter, m.within, m.wide_within))]
            for m in found.holes
        ],
    }  # fmt: skip
    return json.dumps(told, separators=(",", ":")), base64.b64encode(found.picture.jpeg).decode("ascii")


def found_of(told: str, picture: str) -> PhotoMeasured:
    """The same again.

    Raises:
        EditError: it is not what :func:`told_of` gave.
    """
    from app.photo.measuring import Measured, PhotoMeasured
    from app.photo.straight import StraightPicture

    try:
        read = json.loads(told)
        left, front, right, back = (_number(v) for v in read["box"])
        across, along = (_number(v) for v in read["printed"])
        rows = read["holes"]
        if read["face"] not in ("top", "under") or len(rows) > _MOST or not (right > left and back > front):
            raise ValueError
        holes = []
        for code, doubt, *figures in rows:
            if not isinstance(code, str) or not isinstance(doubt, str) or len(figures) != _FIGURES:
                raise ValueError
            holes.append(Measured(code[:200], doubt[:40], *(_number(v) for v in figures)))
        cards = Cards(read["face"], 0, _number(read["width"]), _number(read["depth"]), _number(read["marker"]))
        image = StraightPicture(base64.b64decode(picture, validate=True), (left, front, right, back))
        return PhotoMeasured(
            cards, tuple(holes), image, (across, along), _number(read["scale"]), _number(read["angle"])
        )
    except (ValueError, KeyError, TypeError, RecursionError, binascii.Error) as error:
        raise EditError(_LOST, "rows") from error


def _number(value: object) -> float:
    if isinstance(value, bool) or not isinstance(value, int | float) or not math.isfinite(value) or abs(value) > 1e6:
        raise ValueError(value)
    return float(value)
