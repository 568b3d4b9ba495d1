"""Every answer that is computed in a thread takes its turn, and waits for no thread to be told what it depends on."""

from __future__ import annotations

from inspect import iscoroutinefunction, unwrap

from fastapi import FastAPI
from fastapi.routing import APIRoute
from starlette.testclient import TestClient

from app.service.background import computing


def routes_of(application: FastAPI) -> list[APIRoute]:
    found, waiting = [], list(application.routes)
    while waiting:
        route = waiting.pop()
        if isinstance(route, APIRoute):
            found.append(route)
        else:
            waiting += getattr(getattr(route, "original_router", None), "routes", [])
    return [route for route in found if not route.path.startswith("/static")]


def test_every_answer_is_computed_in_turn(client: TestClient) -> None:
    assert isinstance(client.app, FastAPI)
    found = routes_of(client.app)
    assert len(found) > 30
    for route in found:
        if not iscoroutinefunction(route.endpoint):
            assert unwrap(route.endpoint) is not route.endpoint, f"{route.path}: use Router of app.web.router"
            assert route.endpoint.__code__.co_filename == computing.__file__, route.path


def test_no_thread_is_waited_for_to_read_what_an_answer_depends_on(client: TestClient) -> None:
    assert isinstance(client.app, FastAPI)
    for route in routes_of(client.app):
        for one in route.dependant.dependencies:
            assert iscoroutinefunction(one.call), f"{route.path}: {one.call} is no async def"
