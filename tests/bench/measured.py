"""One measurement, in a process of its own."""

from __future__ import annotations

import gc
import sys
from importlib import import_module
from typing import Final

from playwright.sync_api import sync_playwright

from app.service.background.garbage import collect_seldom
from tests.bench.timing import Aim
from tests.tools import NO_BROWSER, find_browser, launch_flags

ALONE: Final = ("fit", "draw", "room", "shelf", "start", "bench_lists", "wiring", "pack")
BESIDE_A_BROWSER: Final = ("paper", "patterns")
IN_A_BROWSER: Final = ("pages", "drag")
KNOWN: Final = (*ALONE, *BESIDE_A_BROWSER, *IN_A_BROWSER)
"""Modules of this package that measure, in the order in which they do."""


def measured(name: str) -> list[Aim]:
    """Run the measurement of a name that is known; its tables are printed. Garbage is looked for as in the app's."""
    measurement = import_module(f"tests.bench.{name}")
    gc.freeze()
    collect_seldom()
    aims: list[Aim]
    if name in ALONE:
        aims = measurement.measure()
    elif (found := find_browser()) is None:
        print(f"\nNOT MEASURED: {NO_BROWSER}. {name} has nothing to measure beside, or in.")
        aims = measurement.measure(None) if name in BESIDE_A_BROWSER else []
    else:
        with sync_playwright() as playwright:
            browser = playwright.chromium.launch(executable_path=str(found), args=launch_flags())
            aims = measurement.measure(browser)
            browser.close()
    sys.stdout.flush()
    return aims
