"""The addresses the app answers, read from the app itself."""

from __future__ import annotations

import re

from fastapi import FastAPI
from fastapi.routing import APIRoute


def routes_of(application: FastAPI, method: str) -> list[str]:
    """Every path that answers ``method``, with its names in braces."""
    found = []
    waiting = list(application.routes)
    while waiting:
        route = waiting.pop()
        if isinstance(route, APIRoute):
            if method in (route.methods or ()):
                found.append(route.path)
        else:
            waiting += getattr(getattr(route, "original_router", None), "routes", [])
    assert len(found) >= 3, "the routes could not be listed"
    return sorted(set(found))


def address_of(path: str, design: str, placement: str = "a", verb: str = "move", key: str = "none") -> str:
    """The address of a path that leads somewhere: its names filled in."""
    scenario = path.startswith("/scenarios")
    names = {
        "design_id": design,
        "verb": verb,
        "key": key,
        "fmt": "svg",
        "part_id": "button-24-nut-long",
        "name": "lantern-hill-solo" if scenario else "none",
        "placement": placement,
        "board_id": "deck",
        "maker": "fan",
        "kind": "parts",
        "maker_id": "fan",
        "pattern_id": "pattern",
        "names": "base.css",
    }
    return re.sub(r"\{(\w+)[^}]*\}", lambda match: names[match[1]], path)
