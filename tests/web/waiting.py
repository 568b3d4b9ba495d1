"""Coroutines run to their end, beside the loop that a browser's tests keep running in this thread."""

from __future__ import annotations

import asyncio
from collections.abc import Coroutine
from concurrent.futures import ThreadPoolExecutor
from typing import Any, TypeVar

Result = TypeVar("Result")


def run(work: Coroutine[Any, Any, Result]) -> Result:
    """What a coroutine gives, worked out in a thread of its own."""
    with ThreadPoolExecutor(1) as pool:
        return pool.submit(asyncio.run, work).result()
