"""Random designs for laws, and an ordinary one for everything else."""

from __future__ import annotations

from hypothesis import strategies as st

from app.document.schema import (
    ArrangementEntry,
    BitEntry,
    BoardEntry,
    CornerEntry,
    CounterboreEntry,
    DepthBelowEntry,
    Design,
    EdgeEntry,
    EdgesEntry,
    KeepClearEntry,
    LayerEntry,
    OutlineEntry,
    PlacementEntry,
    ShopEntry,
    StationEntry,
)
from app.model import limits

COORDINATES = st.floats(-100_000, 100_000, allow_nan=False)
PLACES = st.floats(limits.PLACE.least, limits.PLACE.most, allow_nan=False)
LENGTHS = st.floats(0, 1000, allow_nan=False)
TEXTS = st.text(st.characters(exclude_categories=["Cc", "Cs"]), max_size=30)
LABELS = st.text(st.characters(exclude_categories=["Cc", "Cs"]), min_size=1, max_size=12)
IDS = st.from_regex(r"\A[a-z0-9][a-z0-9._-]{0,12}\Z")
PARTS = st.sampled_from(["button-28-nut-long", "button-24-nut-long", "stick-plate-95x53", "no-such-part"])


@st.composite
def placements(draw: st.DrawFn, station: str) -> tuple[PlacementEntry, ...]:
    """Up to eight parts, each with an id and a label of its own."""
    ids = draw(st.lists(IDS, max_size=8, unique=True))
    labels = draw(st.lists(LABELS, min_size=len(ids), max_size=len(ids), unique=True))
    bore = st.builds(CounterboreEntry, diameter=st.floats(1, 200), depth=st.floats(0.1, 100))
    return tuple(
        PlacementEntry(
            id=placement_id,
            part=draw(PARTS),
            x=draw(PLACES),
            y=draw(PLACES),
            angle=draw(st.floats(-360, 360)),
            label=label,
            station=draw(st.sampled_from(["", station])),
            drill=draw(st.booleans()),
            locked=draw(st.booleans()),
            counterbore=draw(st.none() | bore),
        )
        for placement_id, label in zip(ids, labels, strict=True)
    )


@st.composite
def arrangements(draw: st.DrawFn) -> tuple[ArrangementEntry, ...]:
    """One to three arrangements."""
    ids = draw(st.lists(IDS, min_size=1, max_size=3, unique=True))
    return tuple(
        ArrangementEntry(
            id=arrangement_id,
            name=draw(TEXTS),
            stations=(
                StationEntry(id="s1", centre=draw(COORDINATES), steps=tuple(draw(st.lists(COORDINATES, max_size=4)))),
            ),
            placements=draw(placements("s1")),
            retired=tuple(draw(st.lists(LABELS, max_size=3))),
        )
        for arrangement_id in ids
    )


@st.composite
def designs(draw: st.DrawFn) -> Design:
    """A well-formed design whose outline can exist; nothing says it can be built."""
    width, depth = draw(st.floats(100, 5000)), draw(st.floats(100, 5000))
    setback = draw(st.none() | st.tuples(st.floats(0.1, 40), st.floats(0.1, 40)))
    board = BoardEntry(
        id=draw(IDS),
        name=draw(TEXTS),
        outline=OutlineEntry(
            corners=(
                CornerEntry(x=0, y=0),
                CornerEntry(x=width, y=0),
                CornerEntry(x=width, y=depth, setback=setback),
                CornerEntry(x=0, y=depth),
            )
        ),
        layers=tuple(
            LayerEntry(material="mdf", thickness=draw(st.floats(0.1, 100))) for _ in range(draw(st.integers(1, 3)))
        ),
        edges=EdgesEntry(left=EdgeEntry(rail=draw(LENGTHS)), front=EdgeEntry(slot_depth=draw(LENGTHS))),
        depth_below=draw(st.none() | st.builds(DepthBelowEntry, front=LENGTHS, back=LENGTHS)),
        keep_clear=tuple(
            KeepClearEntry(face="under", x=draw(COORDINATES), y=0, width=10, height=5, label=draw(TEXTS))
            for _ in range(draw(st.integers(0, 2)))
        ),
        arrangements=draw(arrangements()),
    )
    bit = st.builds(BitEntry, kind=st.sampled_from(["twist", "forstner"]), diameter=st.floats(0.1, 200))
    return Design(
        title=draw(TEXTS),
        notes=draw(st.text(st.characters(exclude_categories=["Cs"]), max_size=100)),
        units=draw(st.sampled_from(["mm", "inch"])),
        shop=ShopEntry(bits=tuple(draw(st.lists(bit, max_size=3)))),
        boards=(board,),
    )


def small_design() -> Design:
    """Two buttons and a stick on a 400 × 200 mm board: the same every time."""
    return Design(
        title="Small deck",
        boards=(
            BoardEntry(
                id="deck",
                name="Control deck",
                outline=OutlineEntry(
                    corners=(
                        CornerEntry(x=0, y=0),
                        CornerEntry(x=400, y=0),
                        CornerEntry(x=400, y=200, setback=(30, 30)),
                        CornerEntry(x=0, y=200, setback=(30, 30)),
                    )
                ),
                layers=(LayerEntry(material="mdf", thickness=18),),
                arrangements=(
                    ArrangementEntry(
                        id="one",
                        name="One player",
                        placements=(
                            PlacementEntry(id="a", part="stick-plate-95x53", x=100, y=100, label="A"),
                            PlacementEntry(id="b", part="button-28-nut-long", x=190, y=100, label="B"),
                            PlacementEntry(id="c", part="button-28-nut-long", x=232, y=100, label="C"),
                        ),
                    ),
                ),
            ),
        ),
    )
