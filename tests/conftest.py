"""What all tests share: the browser, the running app, deterministic hypothesis, and loud skips."""

from __future__ import annotations

import os
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, settings

from tests.running import Server, running_app
from tests.tools import NO_BROWSER, NO_PDFTOPPM, find_browser, find_pdftoppm, launch_flags, what_is_missing

pytest_plugins = ["tests.postgres"]

# "ci" finds the same examples every time, so that a red run can be repeated; "explore" looks further.
settings.register_profile(
    "ci",
    derandomize=True,
    database=None,
    deadline=None,
    max_examples=100,
    print_blob=True,
    suppress_health_check=[HealthCheck.too_slow],
)
settings.register_profile("explore", deadline=None, max_examples=2000)
settings.load_profile(os.environ.get("HYPOTHESIS_PROFILE", "ci"))

_BROWSER_FIXTURES = {"browser", "context", "new_context", "page", "launch_browser"}


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Mark what drives a browser, and skip it with the reason where there is none."""
    for item in items:
        if _BROWSER_FIXTURES & set(getattr(item, "fixturenames", ())):
            item.add_marker(pytest.mark.browser)
    marked = [item for item in items if item.get_closest_marker("browser")]
    if marked and find_browser() is None:
        for item in marked:
            item.add_marker(pytest.mark.skip(reason=NO_BROWSER))


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter) -> None:
    """Say at the very end what could not be tested: a skipped test proves nothing."""
    for sentence in what_is_missing():
        terminalreporter.write_sep("!", "NOT TESTED", red=True, bold=True)
        terminalreporter.write_line(sentence, red=True, bold=True)


@pytest.fixture(scope="session")
def browser_type_launch_args(browser_type_launch_args: dict[str, Any]) -> dict[str, Any]:
    """pytest-playwright's launch options, with the Chromium that was found."""
    return {**browser_type_launch_args, "executable_path": str(find_browser()), "args": launch_flags()}


@pytest.fixture(scope="session")
def pdftoppm() -> Path:
    """Path of pdftoppm; the test is skipped, with the reason, where there is none."""
    found = find_pdftoppm()
    if found is None:
        pytest.skip(NO_PDFTOPPM)
    return found


@pytest.fixture(scope="module")
def server(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Server]:
    """The real app in a process of its own, on an empty data folder; one for each test file."""
    with running_app(tmp_path_factory.mktemp("served") / "data") as running:
        yield running
