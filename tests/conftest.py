"""What all tests share: the browser, the running app, deterministic hypothesis, and loud skips."""

from __future__ import annotations

import gc
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, settings

from tests.running import Server, running_app
from tests.tools import NO_BROWSER, NO_PDFTOPPM, find_browser, find_pdftoppm, launch_flags, what_is_missing

pytest_plugins = ["tests.postgres"]

# "gate" finds the same examples every time, so that a red run can be repeated; "explore" looks further.
_COMMON: dict[str, Any] = {"deadline": None, "print_blob": True, "suppress_health_check": [HealthCheck.too_slow]}
settings.register_profile("gate", max_examples=25, derandomize=True, database=None, **_COMMON)
settings.register_profile("explore", max_examples=1000, **_COMMON)
settings.load_profile("gate")

_BROWSER_FIXTURES = {"browser", "context", "new_context", "page", "launch_browser"}


def pytest_addoption(parser: pytest.Parser) -> None:
    """Add the option for the long run."""
    parser.addoption("--long", action="store_true", help="run what is left out of the gate too, with many examples")


def pytest_configure(config: pytest.Config) -> None:
    """Many examples in the long run; ``--hypothesis-profile`` has been followed before."""
    gc.disable()  # what is collected stays
    if config.getoption("--long") and not config.getoption("--hypothesis-profile"):
        settings.load_profile("explore")


def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    """Leave out what is for the long run; mark what drives a browser, and skip it where there is none."""
    if not config.getoption("--long"):
        left_out = [item for item in items if item.get_closest_marker("long")]
        config.hook.pytest_deselected(items=left_out)
        items[:] = [item for item in items if not item.get_closest_marker("long")]
    for item in items:
        if _BROWSER_FIXTURES & set(getattr(item, "fixturenames", ())):
            item.add_marker(pytest.mark.browser)
    marked = [item for item in items if item.get_closest_marker("browser")]
    if marked and find_browser() is None:
        for item in marked:
            item.add_marker(pytest.mark.skip(reason=NO_BROWSER))
    if hasattr(config, "workerinput"):
        items[:] = _mixed(items)


def _mixed(items: Sequence[pytest.Item]) -> list[pytest.Item]:
    """Files that drive a browser spread out among the others, each in the order it had.

    A browser is waited for now and then, and takes more than one processor at other times: two files that drive one
    leave processors idle, and stand in each other's way, where one beside a file that only reckons does not.
    """
    files: dict[Path, list[pytest.Item]] = {}
    for item in items:
        files.setdefault(item.path, []).append(item)
    driving = {item.path for item in items if item.get_closest_marker("browser")}
    lots = [[path for path in files if (path in driving) is which] for which in (True, False)]
    places = {path: (place + 0.5) / len(lot) for lot in lots for place, path in enumerate(lot)}
    return [item for path in sorted(files, key=lambda path: places[path]) for item in files[path]]


def pytest_collection_finish() -> None:
    """Look no more through what was collected, which stays to the end, for what could be forgotten; and less often."""
    gc.collect()
    gc.freeze()
    gc.set_threshold(20_000, 20, 20)
    gc.enable()


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
