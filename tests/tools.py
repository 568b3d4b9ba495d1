"""Finds the outside programs the tests measure with: a Chromium, pdftoppm, node and a PostgreSQL server."""

from __future__ import annotations

import functools
import os
import re
import shutil
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent

NO_BROWSER = "no Chromium: neither a chromium* on PATH nor the one `playwright install chromium` gets"
NO_PDFTOPPM = "no pdftoppm on PATH: it comes with the package poppler-utils, or poppler"
NO_NODE = "no node on PATH, of version 20.11 or newer: the package is nodejs"
NO_POSTGRES = "no PostgreSQL server: neither initdb on PATH nor in /usr/lib/postgresql; the package is postgresql"

# Playwright's own default path is asked in a process of its own: its driver must not live on in the tests.
_ASK_PLAYWRIGHT = (
    "from playwright.sync_api import sync_playwright as s\nwith s() as p: print(p.chromium.executable_path)"
)

_QUIET = (
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-gpu",
    "--disable-quic",
    "--disable-sync",
    "--no-first-run",
)


@functools.cache
def find_browser() -> Path | None:
    """A Chromium to drive: first on PATH, then Playwright's own; None if there is neither.

    One without windows is the first choice: what it makes of a page is the same, and it draws no frame round it, which
    is a third of the time that tests take.
    """
    return _on_path("chromium-headless-shell") or _on_path("chromium") or _playwrights_own()


@functools.cache
def find_pdftoppm() -> Path | None:
    """The program that turns a PDF page into pixels; None if it is not there."""
    found = shutil.which("pdftoppm")
    return Path(found) if found else None


@functools.cache
def find_node() -> Path | None:
    """The program that runs scripts outside a browser; None if there is none that can load ours as modules."""
    found = shutil.which("node")
    if found is None:
        return None
    said = subprocess.run([found, "--version"], capture_output=True, text=True, timeout=60, check=False).stdout
    version = re.fullmatch(r"v(\d+)\.(\d+)\.\d+\s*", said)
    return Path(found) if version and (int(version[1]), int(version[2])) >= (20, 11) else None


@functools.cache
def find_postgres() -> Path | None:
    """The folder with the programs of a PostgreSQL server, the newest of several; None if there is none."""
    if found := shutil.which("initdb"):
        return Path(found).resolve().parent
    debian = [path.parent for path in Path("/usr/lib/postgresql").glob("*/bin/initdb")]
    return max(debian, key=lambda folder: int(folder.parent.name), default=None)


def launch_flags() -> list[str]:
    """Flags for a Chromium that stays on this machine; root may not use its sandbox."""
    root = hasattr(os, "geteuid") and os.geteuid() == 0
    return [*_QUIET, *(["--no-sandbox"] if root else [])]


def what_is_missing() -> list[str]:
    """One sentence for each outside program that is not there."""
    missing = [] if find_browser() else [f"{NO_BROWSER}. Every browser test and picture is skipped."]
    if not find_pdftoppm():
        missing.append(f"{NO_PDFTOPPM}. Every test that measures printed pixels is skipped.")
    if not find_node():
        missing.append(f"{NO_NODE}. Every test of a script by itself is skipped.")
    if not find_postgres():
        missing.append(f"{NO_POSTGRES}. Every test of a store on a server is skipped.")
    return missing


def forget() -> None:
    """Look again next time, because something was installed."""
    find_browser.cache_clear()
    find_pdftoppm.cache_clear()
    find_node.cache_clear()
    find_postgres.cache_clear()


def _on_path(stem: str) -> Path | None:
    for name in (stem, f"{stem}-browser"):
        if found := shutil.which(name):
            return Path(found)
    for folder in os.environ.get("PATH", "").split(os.pathsep):
        if not folder or not Path(folder).is_dir():
            continue
        for path in sorted(Path(folder).glob(f"{stem}*")):
            if path.is_file() and os.access(path, os.X_OK) and "driver" not in path.name:
                return path
    return None


def _playwrights_own() -> Path | None:
    asked = subprocess.run(
        [sys.executable, "-c", _ASK_PLAYWRIGHT], capture_output=True, text=True, timeout=60, check=False
    )
    path = Path(asked.stdout.strip())
    return path if asked.returncode == 0 and asked.stdout.strip() and path.is_file() else None
