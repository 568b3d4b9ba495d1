"""``python -m tests.bench``: measure the app beside general-purpose tools, all on this machine in one run."""

from __future__ import annotations

import gc
import os
import platform
import sys

from playwright.sync_api import sync_playwright

from app.service.background.garbage import collect_seldom
from tests.bench import bench_lists, drag, draw, fit, pack, pages, paper, patterns, room, shelf, start, wiring
from tests.bench.timing import Aim, print_aims
from tests.tools import NO_BROWSER, find_browser, launch_flags


def main() -> int:
    """Run every measurement, print the tables and, last, the aims. Garbage is looked for as in the app's processes."""
    gc.freeze()
    collect_seldom()
    busy = f", load {os.getloadavg()[0]:.1f} before the start" if hasattr(os, "getloadavg") else ""
    print(f"Python {platform.python_version()}, {platform.system()}, {os.cpu_count()} processors{busy}")
    aims: list[Aim] = [*fit.measure(), *draw.measure(), *room.measure(), *shelf.measure(), *start.measure()]
    aims += [*bench_lists.measure(), *wiring.measure(), *pack.measure()]
    found = find_browser()
    if found is None:
        print(f"\nNOT MEASURED: {NO_BROWSER}. There is nothing to print beside, and no drag.")
        paper.measure(None)
        patterns.measure(None)
    else:
        with sync_playwright() as playwright:
            browser = playwright.chromium.launch(executable_path=str(found), args=launch_flags())
            aims += paper.measure(browser)
            aims += pages.measure(browser)
            aims += drag.measure(browser)
            aims += patterns.measure(browser)
            browser.close()
    print_aims(aims)
    return 0


if __name__ == "__main__":
    sys.exit(main())
