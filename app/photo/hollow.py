"""Whether one looks through a rim into the dark: what parts a hole from all else that is round."""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import NDArray

from app.photo.camera import Camera
from app.photo.circles import Fit, directions
from app.photo.ink_and_paper import InkAndPaper
from app.photo.picture import Grey
from app.photo.profiles import sampled

Floats = NDArray[np.float64]

_DARK: Final = 0.16  # of the way from the ink of the cards to their paper: below it is dark
_PART: Final = 0.42  # radius of a disc that has to be, in radii of the hole: from the side, much of it is its wall


def is_hollow(grey: Grey, camera: Camera, paper: InkAndPaper, fit: Fit) -> bool:
    """Whether one looks through it: a round part of it is as dark as the ink of the cards.

    What is seen of the dark below a board is the other end of the hole, round on one side and hidden by the wall on the
    other. Knots are brown, screws shine and have slots; no round part of these is as dark. Over something bright, a
    hole cannot be told from a spot of paint: that is left undecided.
    """
    centre = np.array([fit.x, fit.y])
    rays = directions(48)
    rings = [sampled(grey, camera.seen(centre + (f * fit.radius + 0.3) * rays)) for f in (1.15, 1.3, 1.5)]
    face = min(float(np.median(paper.of(ring, centre))) for ring in rings)  # one of them may run along a drawn line
    axis = np.linspace(-0.9, 0.9, 37)
    places = np.stack(np.meshgrid(axis, axis), axis=-1).reshape(-1, 2)
    within = paper.of(sampled(grey, camera.seen(centre + fit.radius * places)), centre)
    return face > _DARK + 0.1 and _round_part(places, within < min(_DARK, face - 0.1))


def _round_part(places: Floats, fitting: NDArray[np.bool_]) -> bool:
    """Whether nearly all of some disc within the hole, of a size that tells something, is so."""
    for at in (0.0, 0.15, 0.3, 0.45):
        for ray in directions(16) if at else directions(1):
            disc = np.hypot(*(places - at * ray).T) < _PART
            if float(fitting[disc].mean()) >= 0.92:
                return True
    return False
