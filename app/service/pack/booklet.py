"""One booklet of a pack: every sheet of a way to build a design, on one paper and in one unit, with its contents."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import accumulate

from msgspec import Struct

from app.errors import ProofError
from app.paper.booklet.front import BookletFacts, ContentsLine, front_pages, whole_design
from app.paper.booklet.numbers import PageFeet, numbered
from app.paper.booklet.proved import ProvedRow, proved_pages
from app.proof.read_pdf import READER, PdfPage, read_some
from app.proof.result import Proof
from app.proof.sheets import prove_sheets
from app.scene.primitives import Scene
from app.service.pack.boards import PackBoards
from app.service.pack.request import Variant
from app.service.pack.sections import DrawnPages, Section, sections_of
from app.writers.pdf import Bookmark, write

Figures = dict[tuple[str, ...], tuple[int, float]]
"""What reading sheets back has found so far, by kind, board, arrangement and face: cuts, largest difference [mm]."""


class Booklet(Struct, frozen=True):
    """A booklet as it was written and read back: its bytes, its pages and contents, what was found of each template."""

    data: bytes
    pages: int
    contents: tuple[ContentsLine, ...]
    proofs: tuple[tuple[str, Proof], ...]


def booklet(
    boards: PackBoards, variant: Variant, paper: str, unit: str, drawn: DrawnPages, figures: Figures
) -> Booklet:
    """A booklet; what is handed out is what was read back.

    Its last page says what reading it back has found, so it is written with what is known to come of that, and once
    more where something else did.

    Args:
        boards: of the pack.
        variant: the way to build the design.
        paper: name of the paper.
        unit: of the measures, ``mm`` or ``inch``.
        drawn: what other booklets and files of this paper and unit have drawn.
        figures: what reading them back has found; taken from and added to.

    Raises:
        PaperError: the paper is too small for a sheet.
        ProofError: a sheet, read back, does not show what the design asks for.
    """
    sections = [*sections_of(boards, variant, unit, paper, drawn), Section("What was proved")]
    first = boards.jobs(variant, unit, paper)[0]
    facts = _facts(boards, variant, unit)
    whole = whole_design(facts.boards)
    front = len(front_pages(facts, _contents(sections, 0), first.printing))
    lines = _contents(sections, front)
    asked = [section for section in sections if section.kind is not None]
    body = [*front_pages(facts, lines, first.printing), *(page for section in sections for page in section.pages)]
    said = [ProvedRow(s.name, len(s.pages), *figures.get(_key(s), (0, 0.0))) for s in asked]
    for _ in range(3):
        end = tuple(proved_pages(whole, first.printing, said, READER))
        data = _written([*body, *end], boards.design.title, lines, drawn.feet)
        proofs = _proved(data, sections, front, len(body) + len(end))
        found = [ProvedRow(name, proof.pages, proof.holes, proof.largest) for name, proof in proofs]
        figures.update({_key(s): (row.holes, row.largest) for s, row in zip(asked, found, strict=True)})
        if found == said or tuple(proved_pages(whole, first.printing, found, READER)) == end:
            return Booklet(data, len(body) + len(end), lines, proofs)
        said = found
    raise ProofError("The booklet reads differently each time it is written. Please report it.")


def _key(section: Section) -> tuple[str, ...]:
    """What the figures of a section are known by."""
    if section.kind is None or section.job is None:
        return ()
    job = section.job
    return section.kind.name, job.board.id, job.board.arrangement_id, job.face


def _written(pages: Sequence[Scene], title: str, lines: Sequence[ContentsLine], feet: PageFeet) -> bytes:
    many = len(pages)
    marked = [numbered(page, number, many, feet) for number, page in enumerate(pages, 1)]
    return write(marked, title=title, bookmarks=[Bookmark(line.title, line.page - 1, line.level) for line in lines])


def _facts(boards: PackBoards, variant: Variant, unit: str) -> BookletFacts:
    design = boards.design
    seen = [boards.seen(unit, board.id, arrangement.id) for board, arrangement in variant.boards]
    latest = design.published[-1] if design.published else None
    published = latest is not None and boards.revision == f"revision {latest.letter}"
    return BookletFacts(
        tuple(each.resolved for each in seen),
        tuple(len(each.report.stops) for each in seen),
        design.notes,
        latest.changes if latest and published else (),
        latest.date if latest and published else "",
    )


def _contents(sections: Sequence[Section], front: int) -> tuple[ContentsLine, ...]:
    """The contents of pages that begin after ``front`` others."""
    begins = accumulate((len(section.pages) for section in sections[:-1]), initial=front + 1)
    return tuple(ContentsLine(s.title, page, s.level) for s, page in zip(sections, begins, strict=True))


def _proved(data: bytes, sections: Sequence[Section], front: int, many: int) -> tuple[tuple[str, Proof], ...]:
    """What reading a booklet back has found of each kind of sheets in it that something is drilled from.

    Raises:
        ProofError: it does not show what the design asks for.
    """
    begins = accumulate((len(section.pages) for section in sections[:-1]), initial=front)
    asked = [(s, range(at, at + len(s.pages))) for s, at in zip(sections, begins, strict=True) if s.kind is not None]
    there, pages = read_some(data, frozenset(number for _, numbers in asked for number in numbers))
    if there != many:
        raise ProofError(f"The booklet has {there} pages, not {many}. Please report it.")
    return tuple((section.name, _proof(section, numbers, pages)) for section, numbers in asked)


def _proof(section: Section, numbers: range, pages: Mapping[int, PdfPage]) -> Proof:
    found = None
    if section.kind is not None and section.job is not None:
        read = tuple(pages[number] for number in numbers)
        found = prove_sheets(section.kind, read, section.job, section.before)
    if found is None:
        raise ProofError(f"Nothing reads back {section.name}. Please report it.")
    return found
