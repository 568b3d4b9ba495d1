"""What a drilled board needs, as files: the retrofit template with its list, and the list for other programs."""

from __future__ import annotations

from typing import Final

from app.catalogue.load import catalogue
from app.errors import NotFoundError
from app.fit.report.report import check
from app.paper.kinds.retrofit import RETROFIT
from app.paper.sheet_kind import SheetJob, bound_pages
from app.service.background.budget import apart
from app.service.checks.long_designs import has_many_parts
from app.service.drawings.file_names import sheets_name
from app.service.drawings.formats import LISTS, list_format, sheet_format
from app.service.drawings.made_file import MadeFile, ProvedFile
from app.service.drawings.sheet_files import printing_on
from app.service.screens.plans.retrofit_seen import RetrofitAsked, retrofit_found
from app.units import Unit
from app.values import replace

RETROFIT_ENDINGS: Final = (sheet_format()[0].ending, *(form.ending for form in LISTS))
"""Endings of the files that there are of it."""


def retrofit_file(asked: RetrofitAsked, ending: str, units: str = "", paper: str = "", revision: str = "") -> MadeFile:
    """The template, read back before it is handed out, or the list.

    Args:
        asked: which board is which.
        ending: of the file, as ``.pdf``.
        units: of the words; empty for the newer design's.
        paper: name of a paper; empty for the shop's.
        revision: what the state of the newer design is called; empty for a file on its own.

    Raises:
        HolewiseError: as :func:`app.service.screens.plans.retrofit_seen.retrofit_found`, or no such paper or ending.
        ProofError: the file, read back, does not show what has to be done.
    """
    large = has_many_parts(asked.older) or has_many_parts(asked.newer)
    return apart(large, _made, asked, ending, units or asked.newer.units, paper, revision)


def _made(asked: RetrofitAsked, ending: str, units: str, paper: str, revision: str) -> MadeFile:
    from app.proof import prove_sheets

    found = retrofit_found(asked, Unit(units))
    found = replace(found, new=replace(found.new, revision=revision))
    stops = len(check(found.final, catalogue()).stops)  # those of the design, and what old holes bring
    printing = replace(printing_on(found.new, paper), stops=stops)
    job = SheetJob(found.new, printing, retrofit=found)
    if ending == RETROFIT_ENDINGS[0]:
        form, write = sheet_format()
        data = write(bound_pages(RETROFIT, job), RETROFIT.pages(job)[0].title, "")
        name = sheets_name(RETROFIT, asked.newer, found.new, "top", printing)
        proof = prove_sheets(RETROFIT, data, job)
        if proof is None:
            return MadeFile(data=data, name=name, format=form, stops=stops)
        return ProvedFile(data=data, name=name, format=form, stops=stops, proof=proof)
    fmt = next((form.name for form in LISTS if form.ending == ending), None)
    if fmt is None or RETROFIT.tables is None:
        raise NotFoundError(f"There is no file “{ending[:10]}” of it. Use one of: {', '.join(RETROFIT_ENDINGS)}.")
    listed, write_list = list_format(fmt)
    name = sheets_name(RETROFIT, asked.newer, found.new, "top", printing, listed)
    return MadeFile(data=write_list(RETROFIT.tables(job)), name=name, format=listed, stops=stops)
