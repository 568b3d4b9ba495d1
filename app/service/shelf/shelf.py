"""The shelf: which designs are looked for, in which order, and what can be said of each.

Of all designs only titles and times are read. What is said of one is kept with its revision; documents are read only
for what is shown and not kept yet. A design that cannot be shown says so in its own place and hides no other.
"""

from __future__ import annotations

import logging
from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Literal

from msgspec import Struct

from app.catalogue.load import catalogue
from app.document.schema import Design
from app.errors import HolewiseError, VersionError
from app.service.background.computing import held
from app.service.background.made_once import MadeOnce
from app.service.checks.checking import parsed
from app.service.checks.states import every_state, known_states
from app.service.own_bits import Bits, bits_code
from app.service.shelf.search import ShelfQuery, Slice, cut, label_counts, matching, ordered, titled
from app.service.shelf.verdict import Verdict, packed, unpacked, verdict_of
from app.service.sight import revised_of
from app.store import DesignRow, Present, Revision
from app.store import Shelved as Rows
from app.values import replace

if TYPE_CHECKING:
    from app.model.resolved import ResolvedBoard

Ailment = Literal["", "gone", "nothing", "newer", "unread", "undrawn", "fault", "adrift", "tangled", "title", "date"]

_LOG = logging.getLogger("holewise.shelf")


class ShelfItem(Struct, frozen=True):
    """A design on the shelf.

    Args:
        row: title and times.
        verdict: what is said of it; None if it cannot be shown.
        ailment: what is wrong with what is stored of it: ``gone``, the moment it shows is missing; ``nothing``, every
            moment is; ``newer``, a newer Holewise wrote it; ``unread``, its document cannot be read; ``undrawn``, its
            deck cannot be laid out or drawn; ``fault``, showing it fails in a way nobody thought of; ``adrift``, its
            own row is lost; ``tangled``, its moments do not follow one another; ``title`` and ``date``, these cannot be
            read. Empty if it is sound.
        detail: the same in the words of what found it; may be empty.
        labels: of it, in order.
    """

    row: DesignRow
    verdict: Verdict | None
    ailment: Ailment = ""
    detail: str = ""
    labels: tuple[str, ...] = ()


class Shelf(Struct, frozen=True):
    """A page of the shelf.

    Args:
        items: the designs on it.
        slice: which part of those found they are.
        total: how many are on the shelf, found or not.
        away: designs put away that were found, as far as the page of them goes.
        away_slice: which part.
        made: what was made for this page and is not kept yet, by kind and revision, and the lengths of the documents.
        labels: every label on the shelf, in order, and how many designs have it.
    """

    items: tuple[ShelfItem, ...]
    slice: Slice
    total: int
    away: tuple[DesignRow, ...]
    away_slice: Slice
    made: MadeOfRevisions
    labels: tuple[tuple[str, int], ...] = ()


class MadeOfRevisions(Struct, frozen=True):
    """What was made from revisions, by revision: verdicts, pictures, the lengths of the documents; and with what."""

    verdicts: Mapping[str, bytes]
    pictures: Mapping[str, bytes]
    sizes: Mapping[str, int]
    code: str = ""

    def hold(self, kept: MadeOnce) -> None:
        """Have it at hand from now on."""
        kept.hold("verdict", self.verdicts, self.sizes, self.code)
        kept.hold("picture", self.pictures, self.sizes, self.code)

    def keep(self, kept: MadeOnce) -> None:
        """Keep it, so that it need not be made again."""
        kept.keep("verdict", self.verdicts, self.sizes, self.code)
        kept.keep("picture", self.pictures, self.sizes, self.code)


def shelf_of(
    rows: Rows,
    kept: MadeOnce,
    wanted: ShelfQuery,
    bits: Bits | None = None,
    labels: Mapping[str, tuple[str, ...]] | None = None,
) -> Shelf:
    """The page of the shelf that is asked for, judged with the workshop's bits."""
    labels, every = labels or {}, titled(rows, rows.rows())

    def page(of: Sequence[DesignRow], at: int) -> tuple[tuple[DesignRow, ...], Slice]:
        return cut(ordered(matching(of, wanted.find, labels, wanted.label), wanted.order), at)

    (found, part), (away, away_part) = page(every, wanted.page), page(rows.rows(removed=True), wanted.away)
    items, made = judged_items(rows, kept, found, bits)
    labelled = tuple(replace(item, labels=labels[item.row.id]) if item.row.id in labels else item for item in items)
    return Shelf(labelled, part, len(every), away, away_part, made, label_counts(every, labels))


def judged_items(
    rows: Rows, kept: MadeOnce, found: Sequence[DesignRow], bits: Bits | None = None
) -> tuple[tuple[ShelfItem, ...], MadeOfRevisions]:
    """Designs with what is said of each: what is kept, and what is made for those of which nothing is."""
    there = rows.present([row.head for row in found])
    sound = [row for row in found if row.head in there and there[row.head].design == row.id]
    sizes = {row.head: there[row.head].size for row in sound}
    items = _said(sound, kept.read("verdict", sizes))
    made = MadeOfRevisions({}, {}, sizes)
    if len(items) < len(sound):
        # Whoever asks for the same meanwhile waits here, and finds it made.
        with held(kept.making):
            items = _said(sound, kept.read("verdict", sizes))
            unmade = [row for row in sound if row.id not in items]
            made = replace(_make(rows, unmade, items, sizes, bits), code=kept.code_of(bits_code(bits)))
            made.hold(kept)
    lesser = _lesser(rows, kept, [row for row in found if row.id in items], there)
    each = (items.get(row.id) or _headless(rows, row) for row in found)
    return tuple(item if item.ailment else replace(item, ailment=lesser.get(item.row.id, "")) for item in each), made


def _said(found: Sequence[DesignRow], verdicts: Mapping[str, bytes]) -> dict[str, ShelfItem]:
    return {row.id: ShelfItem(row, unpacked(verdicts[row.head])) for row in found if row.head in verdicts}


def _make(
    rows: Rows,
    wanted: Sequence[DesignRow],
    items: dict[str, ShelfItem],
    sizes: Mapping[str, int],
    bits: Bits | None,
) -> MadeOfRevisions:
    """Judge and draw designs of which nothing is kept, and put them among the items."""
    verdicts, pictures = dict[str, bytes](), dict[str, bytes]()
    documents = rows.revisions([row.head for row in wanted])
    for row in wanted:
        if row.head not in documents:
            continue
        items[row.id], picture = _made(row, documents[row.head], bits)
        verdict = items[row.id].verdict
        if verdict is not None:
            verdicts[row.head], pictures[row.head] = packed(verdict), picture.encode("utf-8")
    return MadeOfRevisions(verdicts, pictures, sizes)


def _headless(rows: Rows, row: DesignRow) -> ShelfItem:
    return ShelfItem(row, None, "gone" if rows.past(row.id).moments else "nothing")


def _made(row: DesignRow, revision: Revision, bits: Bits | None) -> tuple[ShelfItem, str]:
    """A design judged and drawn: a verdict without a drawing would be of a board that nobody can see."""
    from app.document.resolve import find_board, resolve
    from app.service.drawings.drawings import thumbnail_svg

    document = revised_of(revision, bits)
    stage: Ailment = "unread"
    try:
        design = parsed(document)
        stage = "undrawn"
        deck = deck_of(design)
        first = find_board(design)
        states = every_state(document, known_states(document))
        for each in first.arrangements:
            if (first.id, each.id) not in states:
                resolve(design, first.id, each.id, catalogue())  # says why
        return ShelfItem(row, verdict_of(design, deck, states)), thumbnail_svg(deck)
    except VersionError as error:
        return ShelfItem(row, None, "newer", str(error)), ""
    except HolewiseError as error:
        return ShelfItem(row, None, stage, str(error)), ""
    except Exception:  # noqa: BLE001 - told of in the log
        # Whatever it is, it is this design's, and must not hide the others.
        _LOG.exception("design %s cannot be shown", row.id)
        return ShelfItem(row, None, "fault"), ""


def _lesser(rows: Rows, kept: MadeOnce, found: Sequence[DesignRow], there: Mapping[str, Present]) -> dict[str, Ailment]:
    """What ails designs that can be shown all the same, by id."""
    ailments: dict[str, Ailment] = {}
    for row in found:
        if {"created", "modified"}.intersection(row.damaged) or not there[row.head].dated:
            ailments[row.id] = "date"
        if "title" in row.damaged:
            ailments[row.id] = "title"
    ailments |= dict.fromkeys(kept.tangled(rows, [(row.id, row.head) for row in found]), "tangled")
    return ailments | {row.id: "adrift" for row in found if "row" in row.damaged}


def deck_of(design: Design) -> ResolvedBoard:
    """A design's deck with its first arrangement, as its small drawing shows it."""
    from app.document.resolve import resolve

    return resolve(design, None, None, catalogue())
