"""Which edits were acknowledged, and whether the timeline still has every one of them."""

from __future__ import annotations

import json
import re
import threading
from collections import defaultdict
from dataclasses import dataclass, field
from html import unescape
from typing import Any

from tests.endure.asking import Asker
from tests.endure.figures import Figures

_STEP = re.compile(r"<p><strong>(.*?)</strong></p>")
_NUMBER = re.compile(r"Step (\d+) ·")


@dataclass
class Ledger:
    """Edits that programs said they had kept. Any thread may write.

    Args:
        figures: where edits acknowledged and lost are counted.
    """

    figures: Figures
    _new: dict[str, set[str]] = field(default_factory=lambda: defaultdict(set))
    _lock: Any = field(default_factory=threading.Lock)

    @property
    def designs(self) -> tuple[str, ...]:
        """Ids of the designs that were opened."""
        return tuple(self._new)

    def open(self, asker: Asker, scenario: str) -> str:
        """Put a copy of a scenario on the shelf; gives the id of the design."""
        answer = asker.post("/designs/scenario", {"name": scenario})
        assert answer.status == 303, answer.text[:300]
        with self._lock:
            self._new[answer.design] = set()
        return answer.design

    def edit(self, asker: Asker, design: str, words: str, placement: str = "") -> int:
        """Make an edit whose step will have ``words`` in it: a label of a placement, else the title. Gives the status.

        Args:
            asker: the window.
            design: id of the design.
            words: at most 12 characters, used once.
            placement: id of the placement that gets a label.
        """
        if placement:
            fields = {"select": placement, "label": words, "label.was": ""}
            status = asker.post(f"/designs/{design}/edit/place", fields).status
        else:
            status = asker.post(f"/designs/{design}/edit/title", {"title": words}).status
        if status == 303:
            self.figures.count("edits acknowledged")
            with self._lock:
                self._new[design].add(words)
        return status

    def check(self, asker: Asker, after: str, *, pages: bool = True) -> None:
        """See that all acknowledged since the last check is in the timelines.

        Args:
            asker: a window.
            after: what was done to the program, in words.
            pages: whether shelf and designs have to open as well.
        """
        hold = self.figures.hold
        hold(not pages or asker.get("/").status == 200, f"{after}: the shelf does not open")
        for design, words in self._new.items():
            opens = not pages or asker.get(f"/designs/{design}").status == 200
            hold(opens, f"{after}: design {design} does not open")
            lost = words - _last_words(asker, design, len(words))
            self.figures.count("edits lost", len(lost))
            hold(not lost, f"{after}: acknowledged edits of design {design} are lost: {sorted(lost)[:5]}")
            words.clear()

    def forget(self) -> None:
        """Leave the designs that there are, for new ones."""
        self._new.clear()


def placements(asker: Asker, design: str) -> list[str]:
    """Ids of the placements of a design's first arrangement."""
    raw = json.loads(asker.get(f"/designs/{design}/design.json").text)
    return [entry["id"] for entry in raw["boards"][0]["arrangements"][0]["placements"]]


def _last_words(asker: Asker, design: str, many: int) -> set[str]:
    """The last word of each of the last steps of a timeline: ``many`` of them and some more."""
    found: list[str] = []
    before = ""
    # An edit that was under way when the program went may be there too, unacknowledged.
    while before != "1" and len(found) < many + 50:
        page = asker.get(f"/designs/{design}/timeline?before={before}").text
        found += [unescape(step).split()[-1].strip('"') for step in _STEP.findall(page)]
        numbers = _NUMBER.findall(page)
        if not numbers:
            break
        before = numbers[-1]
    return set(found)
