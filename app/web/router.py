"""Routes whose answers are computed one at a time."""

from __future__ import annotations

from collections.abc import Callable
from inspect import iscoroutinefunction
from typing import Any

from fastapi import APIRouter

from app.service.background.computing import one_at_a_time


class Router(APIRouter):
    """Routes of a page. What answers in a thread does so in turn; what answers in the loop takes none."""

    def add_api_route(self, path: str, endpoint: Callable[..., Any], **options: Any) -> None:
        """Add one, as FastAPI does."""
        turned = endpoint if iscoroutinefunction(endpoint) else one_at_a_time(endpoint)
        super().add_api_route(path, turned, **options)
