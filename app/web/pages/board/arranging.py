"""Forms for several parts at once, and for placing a part by another: each as the change it asks for."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from types import MappingProxyType

from app.errors import EditError
from app.service import DesignChange
from app.service.edits import arranging, changes
from app.web.forms import Form
from app.web.shared.view_state import ViewState


def chosen(view: ViewState) -> tuple[str, ...]:
    """Ids of the selected parts, the one in hand first.

    Raises:
        EditError: none is selected.
    """
    if not view.select:
        raise EditError("Nothing is selected. Choose a part on the board first.")
    return view.select


def _duplicate(form: Form, view: ViewState) -> DesignChange:
    picked = chosen(view)
    if len(picked) > 1:
        return arranging.all_duplicated(view.where, picked, changes.grid_of(form.unit))
    return changes.duplicated(view.where, picked[0], changes.grid_of(form.unit))


def _lock(form: Form, view: ViewState) -> DesignChange:
    return arranging.locked(view.where, chosen(view), lock=form.flag("lock"))


def _mirror(form: Form, view: ViewState) -> DesignChange:
    copies = form.one_of("how", "The way to mirror", ("move", "copy")) == "copy"
    return arranging.mirrored(view.where, chosen(view), copies=copies)


def _turn(form: Form, view: ViewState) -> DesignChange:
    together = form.flag("together")
    return arranging.turned(view.where, chosen(view), form.number("by", "The angle"), together=together)


def _shift(form: Form, view: ViewState) -> DesignChange:
    dx = form.length("shift-x", "The way to the right") if form.text("shift-x") else 0.0
    dy = form.length("shift-y", "The way to the back") if form.text("shift-y") else 0.0
    change = arranging.shifted(view.where, chosen(view), dx, dy)
    return changes.beside_fields(change, {"dx": "shift-x", "dy": "shift-y"})


def _together(form: Form, view: ViewState) -> DesignChange:
    angle = form.number("angle", "The angle") if form.text("angle") else None
    return arranging.together_set(view.where, chosen(view), part=form.text("part"), angle=angle)


def _station_copy(form: Form, view: ViewState) -> DesignChange:
    how = form.one_of("how", "The way to copy", ("mirror", "shift"))
    change = arranging.station_copied(view.where, form.text("station"), mirror=how == "mirror")
    return changes.beside_fields(change, {"station": "how"})


def _place_beside(form: Form, view: ViewState) -> DesignChange:
    dx = form.length("rel-dx", "The distance to the right") if form.changed("rel-dx") else None
    dy = form.length("rel-dy", "The distance to the back") if form.changed("rel-dy") else None
    change = arranging.placed_beside(view.where, chosen(view)[0], view.to, dx, dy)
    return changes.beside_fields(change, {"dx": "rel-dx", "dy": "rel-dy", "x": "rel-dx", "y": "rel-dy"})


def _place_away(form: Form, view: ViewState) -> DesignChange:
    far = form.length("rel-distance", "The distance") if form.changed("rel-distance") else None
    angle = form.number("rel-direction", "The direction") if form.changed("rel-direction") else None
    change = arranging.placed_away(view.where, chosen(view)[0], view.to, far, angle)
    names = {"distance": "rel-distance", "direction": "rel-direction", "x": "rel-distance", "y": "rel-distance"}
    return changes.beside_fields(change, names)


READERS: Mapping[str, Callable[[Form, ViewState], DesignChange]] = MappingProxyType(
    {
        "align": lambda form, view: arranging.aligned(view.where, chosen(view), form.text("how")),
        "space": lambda form, view: arranging.spaced(view.where, chosen(view), form.text("how")),
        "mirror": _mirror,
        "turn": _turn,
        "shift": _shift,
        "together": _together,
        "duplicate": _duplicate,
        "lock": _lock,
        "station-copy": _station_copy,
        "place-beside": _place_beside,
        "place-away": _place_away,
    }
)
"""What each form does, by the last word of its address."""
