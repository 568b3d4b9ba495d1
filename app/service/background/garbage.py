"""How often a process looks through its memory for garbage."""

from __future__ import annotations

import gc
from typing import Final

_YOUNG: Final = 50_000
"""Objects made and not given back, after which the young ones are looked through. A board of three thousand parts is
half a million frozen values without a circle among them: looked through every 700, they took a third of the time
of its page. So many take some megabytes."""

WHILE_BEGINNING: Final = 200_000
"""As many for a command: what it imports is kept, half as many objects as these, and looking them through is for
nothing."""


def collect_seldom(young: int = _YOUNG) -> None:
    """Look for garbage as seldom as suits large frozen values; for processes that answer or work, once they began."""
    gc.set_threshold(young, 10, 10)
