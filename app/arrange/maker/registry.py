"""Every maker, in the order they are offered."""

from __future__ import annotations

from typing import Final

from app.arrange.maker import display, door, fan, grille, header, sockets
from app.arrange.maker.made import Maker
from app.errors import NotFoundError

MAKERS: Final[tuple[Maker, ...]] = (
    grille.MAKER,
    fan.MAKER,
    sockets.MAKER,
    door.MAKER,
    display.MAKER,
    header.MAKER,
)

_BY_NAME: Final = {maker.name: maker for maker in MAKERS}


def maker_named(name: str) -> Maker:
    """The maker of that name.

    Raises:
        NotFoundError: there is none.
    """
    maker = _BY_NAME.get(name)
    if maker is None:
        raise NotFoundError(f"There is no maker “{name[:40]}”. Use one of: {', '.join(_BY_NAME)}.")
    return maker
