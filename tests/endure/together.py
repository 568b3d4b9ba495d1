"""Two programs on one place that edit the same designs at once: both keep their work, also when one is killed."""

from __future__ import annotations

import time
from pathlib import Path

from tests.endure.figures import Figures
from tests.endure.kills import Edits
from tests.endure.ledger import Ledger
from tests.endure.nursery import Nursery
from tests.endure.program import forked


def two_programs(where: Path | str, nursery: Nursery, figures: Figures, seconds: float) -> None:
    """Edit the same designs in two programs for some time, kill one of them, and look in the other."""
    one, other = forked(nursery, where, figures), forked(nursery, where, figures)
    ledger = Ledger(figures)
    asker = other.asker(figures)
    for scenario in ("pine-shelf-compact", "lantern-hill-solo"):
        ledger.open(asker, scenario)
    both = Edits(one, ledger, figures, "one"), Edits(other, ledger, figures, "two")
    for edits in both:
        edits.start(4)
    before = figures.counts["edits acknowledged"]
    time.sleep(seconds)
    one.kill()
    time.sleep(seconds / 2)
    both[1].stop()
    both[0].join()
    figures.hold(figures.counts["edits acknowledged"] > before, "two programs on one place: nothing was acknowledged")
    ledger.check(asker, "two programs on one place")
    asker.close()
    other.kill()
    figures.count("kills")
