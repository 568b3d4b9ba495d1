"""The design file: JSON, all lengths in mm whatever the display units.

Every model forbids unknown fields and is frozen; an edit makes a new document. ``holewise schema``
prints this as JSON Schema.
"""

from typing import Annotated, Literal, Self

from pydantic import Field, PrivateAttr, StringConstraints

from app.catalogue.fields import (
    Angle,
    Between,
    Coordinate,
    Flag,
    Id,
    Label,
    Length,
    Notes,
    Record,
    Size,
    UpTo,
    Words,
)
from app.catalogue.hardware import PartEntry
from app.document.as_built_schema import Marks
from app.document.brought_schema import Brought
from app.document.coupon_schema import Trials
from app.document.legend_schema import LegendEntry, LetteringEntry
from app.document.list_schema import ColumnEntry, RatesEntry
from app.document.outline_schema import CornerEntry, OutlineEntry
from app.document.pattern_schema import MakerEntry, PatternEntry
from app.document.published_schema import Published
from app.document.steps_schema import StepsEntry
from app.document.wiring_schema import WiringPlanEntry
from app.model import limits

__all__ = ["CornerEntry", "OutlineEntry"]

FORMAT = "holewise-design"
VERSION = 4


class BitEntry(Record):
    """A bit the builder owns [mm]."""

    kind: Literal["twist", "brad-point", "spade", "forstner", "hole-saw", "step", "router"]
    diameter: Annotated[float, Between(0, 200, above=True)]
    reach: Annotated[float, Between(0, 1000, above=True)] = 50.0
    inch: Flag = False


class ShopEntry(Record):
    """How the builder works: drilling method, bits, paper, how long work takes, what is bought in case [%]."""

    drilling: Literal["hand", "press", "cnc"] = "hand"
    bits: Annotated[tuple[BitEntry, ...], UpTo(limits.BITS)] = ()
    paper: Annotated[str, UpTo(limits.PAPER)] = "a4"
    rates: RatesEntry | None = None
    spares: Annotated[float, Between(0, 100)] | None = None
    _own: bool = PrivateAttr(default=False)

    @property
    def owned(self) -> bool:
        """Whether the bits are the builder's own list, which may be empty; a file never says so."""
        return self._own

    def with_own(self, bits: tuple[BitEntry, ...]) -> Self:
        """The same with the builder's own list of bits."""
        shop = self.model_copy(update={"bits": bits})
        shop._own = True  # noqa: SLF001 - its own kind
        return shop


class LayerEntry(Record):
    """One layer, top to underside: material id and measured thickness [mm]."""

    material: Id
    thickness: Size


class EdgeEntry(Record):
    """What is at an edge [mm]: depth of a moulding slot, width of a rail below."""

    slot_depth: Length = 0.0
    rail: Length = 0.0


class EdgesEntry(Record):
    """What is at each edge, as the player sees the board."""

    front: EdgeEntry = EdgeEntry.model_construct()
    right: EdgeEntry = EdgeEntry.model_construct()
    back: EdgeEntry = EdgeEntry.model_construct()
    left: EdgeEntry = EdgeEntry.model_construct()


class DepthBelowEntry(Record):
    """Free depth below the underside at the front and back edge [mm], straight between."""

    front: Length
    back: Length


class KeepClearEntry(Record):
    """A rectangle to keep clear on one face, by its front-left corner and size [mm]."""

    face: Literal["top", "under"]
    x: Coordinate
    y: Coordinate
    width: Size
    height: Size
    label: Words = ""


class CounterboreEntry(Record):
    """A flat-bottomed hole from the underside about the part's origin [mm]."""

    diameter: Annotated[float, Between(0, 200, above=True)]
    depth: Annotated[float, Between(0, 100, above=True)]


class RecessEntry(Record):
    """A pocket routed from the underside about the part's origin, turned with it [mm]."""

    width: Size
    height: Size
    corner: Length = 0.0
    depth: Annotated[float, Between(0, 100, above=True)]


class AcceptedEntry(Record):
    """A caution the builder accepted: the rule, what it is about, the figure accepted, and why.

    ``measured`` is in mm; it is the factor of safety where strength is judged. ``cause`` tells it from other findings
    of the rule about the same parts, as ``left`` or ``width``. ``required`` is what was needed then [mm].
    """

    rule: Id
    subjects: Annotated[tuple[Id, ...], UpTo(limits.SUBJECTS)]
    measured: Coordinate | None = None
    reason: Annotated[str, StringConstraints(min_length=1, pattern=r"^[^\x00-\x1f\x7f]*$"), UpTo(limits.REASON)]
    cause: Words = ""
    required: Coordinate | None = None


class PlacementEntry(Record):
    """A part at one position [mm, degrees]; ``drill`` off keeps the position and leaves it undrilled."""

    id: Id
    part: Id
    x: Coordinate
    y: Coordinate
    angle: Angle = 0.0
    label: Label = ""
    station: str = ""
    drill: Flag = True
    locked: Flag = False
    counterbore: CounterboreEntry | None = None
    recess: RecessEntry | None = None
    maker: Id | None = None
    legend: LegendEntry | None = None


class StationEntry(Record):
    """Everything one player's hands use: its parameters, so that it can be laid out anew.

    Columns are counted from the stick outward, rows from the front to the back. A mirrored station is the
    image of the same station about its own middle, so its stick is on the other side.

    Args:
        shape: ``straight``, ``stepped`` or ``arc``: how the steps were chosen.
        rows, columns: of the button field.
        buttons: how many of the field's positions there are, back row first; all if left out.
        pitch, row_spacing: centre to centre [mm].
        steps: shift of each column away from the player [mm]; columns without one have none.
        tilt: turning of the field about its middle, before it is mirrored [degrees].
        stick: side of the stick before mirroring; ``centre`` if ``centre`` is the stick's place; or ``none``.
        hand_gap: stick centre to the nearest button column [mm].
        centre: x of the stick if it is ``centre``, else x midway between stick and farthest column [mm].
        front: distance of the front row, without its steps, from the front edge [mm].
        mirrored: whether it is the mirror image.
        button_part, stick_part: the hardware.
    """

    id: Id
    name: Words = ""
    shape: Literal["straight", "stepped", "arc"] = "straight"
    rows: Annotated[int, Field(strict=True, ge=0, le=10)] = 2
    columns: Annotated[int, Field(strict=True, ge=0, le=20)] = 3
    buttons: Annotated[int, Field(strict=True, ge=0, le=200)] | None = None
    pitch: Size = 42.0
    row_spacing: Size = 42.0
    steps: Annotated[tuple[Coordinate, ...], UpTo(limits.STEPS)] = ()
    tilt: Angle = 0.0
    stick: Literal["left", "right", "centre", "none"] = "left"
    hand_gap: Size = 90.0
    centre: Coordinate = 0.0
    front: Length = 80.0
    mirrored: Flag = False
    button_part: Id = "button-28-nut-long"
    stick_part: Id = "stick-plate-95x53"


class ArrangementEntry(Record):
    """One way to populate a board.

    ``retired`` lists retired letters, which are never given again; ``as_built`` what was drilled of it.
    """

    id: Id
    name: Words = ""
    stations: Annotated[tuple[StationEntry, ...], UpTo(limits.STATIONS)] = ()
    placements: Annotated[tuple[PlacementEntry, ...], UpTo(limits.PARTS)] = ()
    makers: Annotated[tuple[MakerEntry, ...], UpTo(limits.MAKERS)] = ()
    retired: Annotated[tuple[Label, ...], UpTo(limits.RETIRED)] = ()
    accepted: Annotated[tuple[AcceptedEntry, ...], UpTo(limits.ACCEPTED)] = ()
    as_built: Marks | None = None
    wiring: WiringPlanEntry | None = None


class BoardEntry(Record):
    """One flat part; the deck is the board the hands rest on, companions are the other drilled boards.

    ``gone`` lists ids of deleted arrangements, which are never given again.
    """

    id: Id
    name: Words
    role: Literal["deck", "companion"] = "deck"
    outline: OutlineEntry
    layers: Annotated[tuple[LayerEntry, ...], Field(min_length=1), UpTo(limits.LAYERS)]
    edges: EdgesEntry = EdgesEntry.model_construct()
    depth_below: DepthBelowEntry | None = None
    paint: Annotated[float, Between(0, 2)] = 0.0
    lettering: LetteringEntry | None = None
    keep_clear: Annotated[tuple[KeepClearEntry, ...], UpTo(limits.AREAS)] = ()
    arrangements: Annotated[tuple[ArrangementEntry, ...], Field(min_length=1), UpTo(limits.ARRANGEMENTS)]
    gone: Annotated[tuple[Id, ...], UpTo(limits.GONE)] | None = None


class Design(Record):
    """Everything in one document: boards, hardware, patterns of holes, shop, notes.

    ``gone`` lists ids of deleted boards, which are never given again; ``columns`` are the builder's own, of the parts
    list; ``published`` the revisions that came out; ``coupon`` what came of trial cuts in scrap; ``brought`` what came
    from other designs.
    """

    format: Literal["holewise-design"] = "holewise-design"
    version: Literal[4] = 4
    title: Words
    notes: Notes = ""
    units: Literal["mm", "inch"] = "mm"
    shop: ShopEntry = ShopEntry.model_construct()
    hardware: Annotated[tuple[PartEntry, ...], UpTo(limits.OWN_PARTS)] = ()
    patterns: Annotated[tuple[PatternEntry, ...], UpTo(limits.PATTERNS)] = ()
    boards: Annotated[tuple[BoardEntry, ...], Field(min_length=1), UpTo(limits.BOARDS)]
    gone: Annotated[tuple[Id, ...], UpTo(limits.GONE_BOARDS)] | None = None
    columns: Annotated[tuple[ColumnEntry, ...], UpTo(limits.COLUMNS)] | None = None
    published: Published | None = None
    steps: StepsEntry | None = None
    coupon: Trials | None = None
    brought: Brought | None = None
