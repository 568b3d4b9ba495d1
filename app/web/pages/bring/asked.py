"""What is to be brought, and to which designs, as the address and the form of the page have it."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Annotated

from fastapi import Depends, Query, Request
from msgspec import Struct

from app.service import BringWays, Wanted, wanted_of
from app.values import replace
from app.web.forms import Form

_LONGEST = 200
_MOST = 200  # values of one name that are read
_IDS = ","


class BringAsked(Struct, frozen=True):
    """What the address says.

    Args:
        what: things to bring, as their texts.
        into: ids of designs.
        replace: whether they take the place of what has the same id.
        centred: whether they keep their distance from the middle of the board.
        find, label: which designs are shown to choose from.
        trying: whether it is to be tried now.
        done, moved, refused: ids of designs that it was brought to just now, or was not, and why.
    """

    what: tuple[str, ...] = ()
    into: tuple[str, ...] = ()
    replace: bool = False
    centred: bool = False
    find: str = ""
    label: str = ""
    trying: bool = False
    done: tuple[str, ...] = ()
    moved: tuple[str, ...] = ()
    refused: tuple[str, ...] = ()

    @property
    def ways(self) -> BringWays:
        """How, for a use case."""
        return BringWays(replace=self.replace, centred=self.centred)

    def wanted(self) -> tuple[Wanted, ...]:
        """What, for a use case.

        Raises:
            EditError: a text names nothing that can be brought.
        """
        return tuple(wanted_of(text) for text in self.what)

    def pairs(self) -> list[tuple[str, str]]:
        """Names and values of an address that says the same."""
        flags = [(name, "1") for name in ("replace", "centred", "trying") if getattr(self, name)]
        lists = [(name, _IDS.join(getattr(self, name))) for name in ("done", "moved", "refused") if getattr(self, name)]
        words = [(name, getattr(self, name)) for name in ("find", "label") if getattr(self, name)]
        chosen = [(name, each) for name in ("what", "into") for each in getattr(self, name)]
        return [*chosen, *flags, *words, *lists]

    def after(self, done: tuple[str, ...], moved: tuple[str, ...], refused: tuple[str, ...]) -> BringAsked:
        """What is looked at once it was brought: how it went, and those that it was not brought to tried again."""
        left = (*moved, *refused)
        return replace(self, into=left, trying=bool(left), done=done, moved=moved, refused=refused)


async def asked_in(
    request: Request,
    what: Annotated[list[str] | None, Query()] = None,
    into: Annotated[list[str] | None, Query()] = None,
) -> BringAsked:
    """What the address asks for."""
    values = dict(request.query_params)
    return BringAsked(
        what=tuple(dict.fromkeys((what or [])[:_MOST])),
        into=tuple(dict.fromkeys((into or [])[:_MOST])),
        replace=values.get("replace") == "1",
        centred=values.get("centred") == "1",
        find=" ".join(values.get("find", "").split())[:_LONGEST],
        label=" ".join(values.get("label", "").split())[:_LONGEST],
        trying=values.get("trying") == "1",
        done=_ids(values, "done"),
        moved=_ids(values, "moved"),
        refused=_ids(values, "refused"),
    )


def _ids(values: Mapping[str, str], name: str) -> tuple[str, ...]:
    return tuple(each for each in values.get(name, "").split(_IDS)[:_MOST] if each)


def asked_by(form: Form) -> tuple[BringAsked, dict[str, str]]:
    """What a form asks for, and the revision that each ticked design was tried on, by its id."""
    ticked = [name.removeprefix("into.") for name in form.values if name.startswith("into.") and form.flag(name)]
    what = tuple(each for each in form.text("what").split(_IDS) if each)
    asked = BringAsked(what=what, into=tuple(ticked), replace=form.flag("replace"), centred=form.flag("centred"))
    return asked, {name: form.text(f"rev.{name}") for name in ticked}


Asking = Annotated[BringAsked, Depends(asked_in)]
