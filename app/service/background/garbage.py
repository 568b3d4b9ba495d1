"""How often a process looks through its memory for garbage."""

from __future__ import annotations

import gc
from typing import Final

_YOUNG: Final = 50_000
"""Objects made and not given back, after which the young ones are looked through. A board of three thousand parts is
half a million frozen values without a circle among them: looked through every 700, they took a third of the time
of its page. So many take some megabytes."""


def collect_seldom() -> None:
    """Look for garbage as seldom as suits large frozen values; for processes that answer or work, once they began."""
    gc.set_threshold(_YOUNG, 10, 10)
