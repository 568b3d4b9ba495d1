"""Printer profiles in the store: kept, replaced, forgotten; killed while keeping one."""

from __future__ import annotations

import signal
import subprocess
import sys
import threading

import pytest

from app.errors import NotFoundError
from app.store import Store, open_store


def test_one_profile_for_each_printer_and_paper(database_url: str) -> None:
    store = open_store(database_url)
    kept = store.profiles
    kept.keep("Desk", "a4", 1.001, 0.999, "A 189.8 mm")
    kept.keep("Attic", "a4", 1.0, 1.01, "C 247.5 mm")
    kept.keep("Desk", "letter", 1.02, 1.0, "A 186.3 mm")
    kept.keep("Desk", "a4", 1.002, 0.998, "A 189.6 mm")
    assert [(p.printer, p.paper) for p in kept.all()] == [("Attic", "a4"), ("Desk", "a4"), ("Desk", "letter")]
    again = kept.get("Desk", "a4")
    assert (again.x, again.y, again.measured) == (1.002, 0.998, "A 189.6 mm")
    kept.forget("Desk", "a4")
    kept.forget("Desk", "a4")
    with pytest.raises(NotFoundError, match=r"Desk.*a4"):
        kept.get("Desk", "a4")
    assert len(kept.all()) == 2
    store.close()


@pytest.mark.skipif(sys.platform == "win32", reason="a process is killed another way there")
def test_killed_while_replacing_a_profile_the_old_one_stays(database_url: str) -> None:
    """Killed after the statement was run and before it counts, nothing has happened."""
    store = open_store(database_url)
    store.profiles.keep("Desk", "a4", 1.001, 0.999, "before")
    script = (
        "import os, signal, sys\nfrom app.store import Store, open_store\n"
        "import app.store.profiles as m\n"
        "store, run = open_store(sys.argv[1]), m.put_in\n"
        "m.put_in = lambda *a, **k: (run(*a, **k), os.kill(os.getpid(), signal.SIGKILL))\n"
        "store.profiles.keep('Desk', 'a4', 1.02, 1.0, 'after')\n"
    )
    finished = subprocess.run([sys.executable, "-c", script, database_url], check=False)
    assert finished.returncode == -signal.SIGKILL
    assert [(p.x, p.measured) for p in store.profiles.all()] == [(1.001, "before")]
    store.profiles.keep("Desk", "a4", 1.02, 1.0, "after")
    assert store.profiles.get("Desk", "a4").measured == "after"
    store.close()


def test_two_that_keep_the_same_profile_at_once_both_succeed(database_url: str) -> None:
    stores = [open_store(database_url), open_store(database_url)]
    failures: list[Exception] = []

    def keep(store: Store, x: float) -> None:
        try:
            for _ in range(20):
                store.profiles.keep("Desk", "a4", x, 1.0, "measured")
                store.profiles.forget("Desk", "a4")
            store.profiles.keep("Desk", "a4", x, 1.0, "measured")
        except Exception as error:  # noqa: BLE001 - whatever it is must fail the test, not vanish in the thread
            failures.append(error)

    threads = [threading.Thread(target=keep, args=pair) for pair in zip(stores, (1.001, 1.002), strict=True)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert failures == []
    for store in stores:
        store.close()
