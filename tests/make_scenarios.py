"""Lays the scenarios out anew: ``python -m tests.make_scenarios``.

The files in ``scenarios/`` are what counts and may be edited; this only saves drawing them from nothing.
"""

from __future__ import annotations

from app.arrange.design.settings import bit_set, set_notes
from app.arrange.maker.make import make_on_board
from app.arrange.new_deck.new_deck import new_deck
from app.arrange.new_deck.new_deck_spec import NewDeck
from app.arrange.placement.edit import add, move_by, set_label, set_recess
from app.arrange.placement.legends import set_legend
from app.catalogue.hardware import (
    CircleBody,
    CircleCutout,
    CircleFlange,
    EncoderEntry,
    GlueEntry,
    NutEntry,
    PartEntry,
    RectangleBody,
    ScrewsEntry,
    SnapEntry,
)
from app.catalogue.load import catalogue
from app.document.dump import save
from app.document.pattern_schema import BoundaryEntry, PatternEntry
from app.document.schema import (
    ArrangementEntry,
    BitEntry,
    BoardEntry,
    CornerEntry,
    DepthBelowEntry,
    Design,
    EdgeEntry,
    EdgesEntry,
    KeepClearEntry,
    LayerEntry,
    OutlineEntry,
    PlacementEntry,
    ShopEntry,
)
from app.document.where import Where
from app.document.wiring_schema import FixedPinEntry, WiringPlanEntry
from app.model.legend import LegendPlace
from app.model.maker.measure import Value
from app.paths import data_dir
from app.units import INCH
from tests.make_cabinets import cabinets

INVENTED = "Invented for demonstration."

GOOD = {
    "harbour-lane-two-seater": (
        NewDeck(
            title="Harbour Lane two-seater",
            players=2,
            buttons=6,
            width=660,
            depth=240,
            thickness=18,
            material="mdf",
            shape="stepped",
        ),
        (
            "Two players side by side on 18 mm MDF, six buttons each, 2 × 3 stepped. The one-player arrangement uses "
            "player one's holes under the same letters, so it can grow into the two-player deck without moving a hole."
        ),
    ),
    "lantern-hill-solo": (
        NewDeck(
            title="Lantern Hill solo",
            players=1,
            buttons=8,
            width=600,
            depth=250,
            thickness=19.05,
            material="mdf",
            shape="arc",
            stick="centre",
        ),
        "One player on 19.05 mm (3/4 in) MDF: the stick dead centre, a 2 × 4 arc of buttons to its right.",
    ),
    "willow-court-easy-reach": (
        NewDeck(
            title="Willow Court easy reach",
            players=1,
            buttons=4,
            width=620,
            depth=330,
            thickness=15,
            material="plywood",
            cover=3,
            shape="straight",
            button="button-60-nut",
            finger_gap=25,
            admin=1,
            admin_at="back-right",
        ),
        (
            "An accessible deck: 60 mm domes in a 3 mm acrylic cover on 15 mm plywood, 25 mm between them so that a "
            "fist or the heel of a hand presses one at a time (25 mm between controls for thumb or palm: MIL-STD-1472, "
            "from memory). Check with the person who will use it: reach, strength and aim differ."
        ),
    ),
    "pine-shelf-compact": (
        NewDeck(
            title="Pine Shelf compact",
            players=1,
            buttons=4,
            width=14 * INCH,
            depth=8 * INCH,
            thickness=INCH / 2,
            material="plywood",
            shape="straight",
            units="inch",
            admin=2,
        ),
        "A small deck in inches: 14 × 8 in of 1/2 in plywood, measured 12.7 mm, inch bits, Letter paper, four buttons.",
    ),
}

CLASHES = (
    ("cable-bush-25", 852.0, 230.0, "R1", "outside-board: the hole of R1 leaves the board at the right."),
    ("button-24-nut-long", 470.0, 280.0, "R2", "edge-distance: R2 leaves 8 mm behind its hole, 6.5 mm at worst."),
    ("button-24-nut-long", 560.0, 26.0, "R3", "edge-slot: R3 leaves 14 mm before it, and a slot there is 10 mm deep."),
    ("cable-bush-25", 150.0, 255.0, "R4", "web: R4 and R5 leave 6 mm between their holes, 4 mm at worst."),
    ("cable-bush-25", 181.0, 255.0, "R5", ""),
    ("button-60-nut", 240.0, 120.0, "R6", "flange-overlap: the domes of R6 and R7 lie 2 mm over each other."),
    ("button-60-nut", 298.0, 120.0, "R7", ""),
    ("button-60-nut", 390.0, 271.0, "R8", "flange-overhang: the dome of R8 hangs 1 mm over the back edge."),
    ("stick-plate-95x53", 400.0, 130.0, "R9", "under-clash: the plate of R9 and the nut of R10 meet at worst."),
    ("button-28-nut-long", 466.0, 130.0, "R10", ""),
    ("button-28-nut-long", 30.0, 120.0, "R11", "rail-clash: the nut of R11 is where the left rail is."),
    ("trackball-57", 550.0, 135.0, "R12", "depth-below: R12 hangs 70 mm down, and its wires have no room left."),
    ("button-16-nut-short", 100.0, 60.0, "R13", "thread-reach: the thread of R13 is too short for 18 mm."),
    ("button-30-snap", 170.0, 60.0, "R14", "snap-grip: the clips of R14 grip boards up to 5 mm."),
    ("beacon-16", 760.0, 150.0, "R20", "ledge: the 5 mm left above the wide recess of R20 break under a hard slap."),
    ("stick-plate-95x53-short", 200.0, 190.0, "R16", "lever-height: the lever of R16 stands 42 mm up, 50 is wanted."),
    ("cable-bush-25", 330.0, 200.0, "R17", "recess: R17 has 0.25 mm of room in its recess, 0.5 is needed."),
    ("cable-clamp-8", 300.0, 40.0, "R18", "screw-hold: the screws of R18 end 1 mm short of the top face."),
    ("signal-lamp-14", 400.0, 50.0, "R19", "bit-depth: the only bit for R19 reaches 8 mm, and the board is 18."),
    ("round-meter-37", 100.0, 200.0, "R15", "bit-match: no bit of this shop makes the 37 mm hole of R15."),
    ("switch-box-60x40", 833.0, 60.0, "R21", "under-overhang: the box of R21 hangs 3 mm past the right edge."),
    ("blanking-cap-24", 700.0, 45.0, "R22", "part-measures: the cap of R22 is 2 mm narrower than its own hole."),
    ("button-60-nut", 400.0, 190.0, "R23", "lever-sweep: the lever of R9 leans back against the dome of R23."),
    (
        "encoder-greedy",
        139.0,
        100.0,
        "R33",
        "light-current: R33 and what is wired to it draw 640 mA; USB 2.0 gives 500.",
    ),
    ("cable-bush-25", 332.0, 40.0, "R24", "screw-distance: a screw of R18 and R24 leave 6 mm of board, 4 at worst."),
)


FAN: dict[str, Value] = {"frame": "60", "holes": "staggered-60", "hole": 8.0, "pitch": 24.0}
GRILLE: dict[str, Value] = {
    "outer": 64.0, "cone": 44.0, "depth": 30.0, "magnet": 40.0, "fixing": "glue", "hole": 5.0, "pitch": 15.0,
}  # fmt: skip
DOOR: dict[str, Value] = {
    "sized": "both", "opening-width": 41.0, "opening-height": 32.0, "width": 40.0, "height": 26.0, "hinges": 1,
    "hinge": 12.0, "inset": 5.0, "leaf": 12.0, "screw-line": 7.0, "screws": 1, "screw-length": 14.0, "held": "catch",
}  # fmt: skip
DISPLAY: dict[str, Value] = {
    "pattern": "50x20", "cable": False, "outer-width": 54.0, "outer-height": 25.0, "outer-depth": 5.0,
    "visible-width": 50.0, "visible-height": 20.0, "screw-length": 30.0, "mass": 40_000.0, "span": 800.0,
    "room": 56.0, "opening-width": 46.0, "opening-height": 16.0,
}  # fmt: skip
SOCKET: dict[str, Value] = {"count": 1, "behind": 90.0}

WORN = BitEntry(kind="forstner", diameter=14, reach=8)


SLOT = ((637.0, 30.0), (643.0, 30.0), (643.0, 270.0), (637.0, 270.0))
WINDOW = ((700.0, 250.0), (740.0, 250.0), (740.0, 290.0), (700.0, 290.0))


BATTENS = ((72.0, 32.0, 56.0, 4.0), (72.0, 84.0, 56.0, 4.0), (72.0, 32.0, 4.0, 56.0), (124.0, 32.0, 4.0, 56.0))
"""Four areas to keep clear that hem R13 in."""

WIRED = WiringPlanEntry(pins=(FixedPinEntry(placement="r2", tab=1, encoder="gone", pin=1),))


def main() -> None:
    """Write every scenario."""
    folder = data_dir("scenarios")
    folder.mkdir(exist_ok=True)
    for name, (spec, notes) in GOOD.items():
        design = set_notes(new_deck(spec, catalogue()), f"{INVENTED} {notes}").design
        save(design, folder / f"{name}.json")
    for name, design in cabinets(INVENTED).items():
        save(design, folder / f"{name}-cabinet.json")
    save(broken(), folder / "leaky-raft.json")


def broken() -> Design:
    """A deck that breaks every rule once."""
    design = Design(
        title="The leaky raft",
        notes="\n".join(
            [
                f"{INVENTED} It breaks every rule once, on purpose; do not build it.",
                *(why for *_, why in CLASHES if why),
                "opening-distance: the window leaves 10 mm to the back edge, 9 mm at worst.",
                "deck-strength: the slot for a light leaves a fifth of the board to bear a leaning hand.",
                "finger-guard: the 8 mm holes R26 let a finger 20 mm deep, and the blades of R25 begin 18 mm behind.",
                "cone-cover: the holes of R28 lie 8 mm beside the cone of R27 and one opens onto its rim.",
                "cone-area: the holes of R28 open a tenth of the cone of R27 where a fifth is wanted.",
                "air-flow: R25 blows out through 25 cm², and R29 lets in 1.4 cm².",
                "door-clearance: the small door has a gap of 0.5 mm, and a saw may take all of it.",
                "door-swing: the free edge of that door, 18 mm thick, swings into that of its opening.",
                "display-fit: the small display at R31 has 0.75 mm beside it at worst, and 2 mm is wanted.",
                "mount-screw: the 30 mm screws of R31 meet the bottom of its thread.",
                "plate-bending: R31 weighs 40 kg, and the deck bends too far between supports 800 mm apart.",
                "plug-room: behind the socket R32 there is too little room for a plug that needs 90 mm with its bend.",
                "legend-clear: the legend of R1 lies over its own hole.",
                "legend-room: behind R8 there is no clear place for its legend.",
                "legend-overlap: the legends of R11 and R13 lie over each other.",
                "legend-size: the legend of R15 is 2 mm high, and is to be read from 700 mm.",
                "inputs: R2 was put on a pin of an encoder board that is not there.",
                "wire-way: four battens round R13 leave its wires no way to R33.",
                "hinge-screw: the 14 mm screw of R30 comes through the 12 mm board round the opening.",
            ]
        ),
        shop=ShopEntry(drilling="hand", bits=(*bit_set("metric", catalogue()), WORN), paper="a4"),
        hardware=(_bush(), _meter(), _clamp(), _lamp(), _beacon(), _box(), _cap(), _greedy()),
        boards=(_raft(),),
    )
    for part, x, y, label, _ in CLASHES:
        edit = add(design, None, None, part, x, y, catalogue())
        design = set_label(edit.design, None, None, edit.placement, label).design
        if label == "R20":
            design = set_recess(design, None, None, edit.placement, (120.0, 120.0, 12.5, 13.0)).design
        if label == "R17":
            design = set_recess(design, None, None, edit.placement, (29.5, 29.5, 12.5, 4.0)).design
    board = design.boards[0]
    arrangement = board.arrangements[0]
    rows: list[PlacementEntry] = [p.model_copy(update={"id": p.label.lower()}) for p in arrangement.placements]
    arrangement = arrangement.model_copy(update={"placements": tuple(rows), "retired": ()})
    bare = design.model_copy(update={"boards": (board.model_copy(update={"arrangements": (arrangement,)}),)})
    return _lettered(_aired(bare))


def _lettered(design: Design) -> Design:
    """The same with legends, none of them as it should be."""
    wrong: tuple[tuple[str, str, LegendPlace, tuple[float, float], float | None], ...] = (
        ("r1", "GO", "free", (0.0, 0.0), None),
        ("r8", "No room here", "back", (0.0, 0.0), None),
        ("r11", "ONE", "free", (12.0, -79.0), None),
        ("r13", "TWO", "free", (-60.0, -20.0), None),
        ("r15", "SMALL", "free", (-60.0, -30.0), 2.0),
    )
    for placement, text, place, at, height in wrong:
        design = set_legend(design, None, None, placement, text=text, place=place, at=at, height=height).design
    return design


def _aired(design: Design) -> Design:
    """The same with a fan, a loudspeaker and a few holes for air, none of them as it should be."""
    design = make_on_board(design, Where(), "fan", FAN, 62.0, 258.0, 0.0, catalogue()).design
    design = make_on_board(design, Where(), "grille", GRILLE, 760.0, 50.0, 0.0, catalogue()).design
    design = move_by(design, None, None, "grille-holes", 8.0, 0.0).design
    design = make_on_board(design, Where(), "display", DISPLAY, 785.0, 235.0, 0.0, catalogue()).design
    design = make_on_board(design, Where(), "sockets", SOCKET, 690.0, 225.0, 0.0, catalogue()).design
    design = make_on_board(design, Where(), "door", DOOR, 570.0, 70.0, 0.0, catalogue()).design
    vent = PatternEntry(id="vent", name="Vent", hole=5.0, pitch=15.0, boundary=BoundaryEntry(width=36.0))
    design = design.model_copy(update={"patterns": (*design.patterns, vent)})
    design = add(design, None, None, vent.id, 455.0, 45.0, catalogue()).design
    for placement, label in (
        ("fan-fan", "R25"),
        ("fan-holes", "R26"),
        ("grille-magnet", "R27"),
        ("grille-holes", "R28"),
        (design.boards[0].arrangements[0].placements[-1].id, "R29"),
        ("door-hinge-1", "R30"),
        ("sockets-socket-1", "R32"),
        ("display-mount", "R31"),
    ):
        design = set_label(design, None, None, placement, label).design
    (arrangement,) = design.boards[0].arrangements
    rows = tuple(p.model_copy(update={"id": "r29"}) if p.label == "R29" else p for p in arrangement.placements)
    arrangement = arrangement.model_copy(update={"placements": rows, "retired": ()})
    board = design.boards[0].model_copy(update={"arrangements": (arrangement,)})
    return design.model_copy(update={"boards": (board,)})


def _raft() -> BoardEntry:
    return BoardEntry(
        id="deck",
        name="Control deck",
        outline=OutlineEntry(
            corners=(
                CornerEntry(x=0, y=0),
                CornerEntry(x=860, y=0),
                CornerEntry(x=860, y=300, setback=(40, 40)),
                CornerEntry(x=0, y=300, setback=(40, 40)),
            ),
            openings=tuple(tuple(CornerEntry(x=x, y=y) for x, y in opening) for opening in (SLOT, WINDOW)),
        ),
        layers=(LayerEntry(material="mdf", thickness=18),),
        edges=EdgesEntry(front=EdgeEntry(slot_depth=10), left=EdgeEntry(rail=18)),
        depth_below=DepthBelowEntry(front=60, back=110),
        keep_clear=(
            KeepClearEntry(face="under", x=230, y=240, width=60, height=40, label="hinge"),
            *(KeepClearEntry(face="under", x=x, y=y, width=w, height=h, label="batten") for x, y, w, h in BATTENS),
        ),
        arrangements=(ArrangementEntry(id="one", name="Every rule broken", wiring=WIRED),),
    )


def _bush() -> PartEntry:
    return PartEntry(
        id="cable-bush-25",
        name="Cable bush, 25 mm hole, pushed in",
        kind="socket",
        source="Invented for demonstration.",
        cutouts=(CircleCutout(shape="circle", diameter=25, smallest=24.9, largest=25.5),),
        fixing=SnapEntry(type="snap", grip_min=10, grip_max=25),
        body=CircleBody(shape="circle", diameter=24.5, depth=16),
    )


def _meter() -> PartEntry:
    return PartEntry(
        id="round-meter-37",
        name="Round meter, 37 mm hole, nut",
        kind="socket",
        source="Invented for demonstration.",
        cutouts=(CircleCutout(shape="circle", diameter=37, smallest=36.5, largest=37.5),),
        flange=CircleFlange(shape="circle", diameter=44, rise=4),
        fixing=NutEntry(type="nut", thread_length=32, nut_height=5, nut_width=44),
        body=CircleBody(shape="circle", diameter=36, depth=45),
    )


def _clamp() -> PartEntry:
    return PartEntry(
        id="cable-clamp-8",
        name="Cable clamp over an 8 mm hole, two screws",
        kind="bracket",
        mount="under",
        source="Invented for demonstration.",
        cutouts=(CircleCutout(shape="circle", diameter=8, smallest=7, largest=9),),
        fixing=ScrewsEntry(
            type="screws", holes=((-12.0, 0.0), (12.0, 0.0)), screw_diameter=3, screw_length=18, plate_thickness=1
        ),
        body=CircleBody(shape="circle", diameter=32, depth=8),
    )


def _lamp() -> PartEntry:
    return PartEntry(
        id="signal-lamp-14",
        name="Signal lamp, 14 mm hole, nut",
        kind="socket",
        source="Invented for demonstration.",
        cutouts=(CircleCutout(shape="circle", diameter=14, smallest=13.9, largest=14.1),),
        flange=CircleFlange(shape="circle", diameter=18, rise=2),
        fixing=NutEntry(type="nut", thread_length=28, nut_height=4, nut_width=18),
        body=CircleBody(shape="circle", diameter=13, depth=32),
    )


def _beacon() -> PartEntry:
    return PartEntry(
        id="beacon-16",
        name="Beacon, 16 mm hole, nut",
        kind="socket",
        source="Invented for demonstration.",
        cutouts=(CircleCutout(shape="circle", diameter=16, smallest=15.9, largest=16.5),),
        flange=CircleFlange(shape="circle", diameter=20, rise=2),
        fixing=NutEntry(type="nut", thread_length=16, nut_height=4, nut_width=20),
        body=CircleBody(shape="circle", diameter=15, depth=24),
    )


def _box() -> PartEntry:
    return PartEntry(
        id="switch-box-60x40",
        name="Switch box under an 8 mm hole, two screws",
        kind="socket",
        mount="under",
        source="Invented for demonstration.",
        cutouts=(CircleCutout(shape="circle", diameter=8, smallest=7, largest=9),),
        fixing=ScrewsEntry(type="screws", holes=((-15.0, -14.0), (-15.0, 14.0)), screw_diameter=3, screw_length=12),
        body=RectangleBody(shape="rectangle", width=60, height=40, depth=30),
    )


def _greedy() -> PartEntry:
    return PartEntry(
        id="encoder-greedy",
        name="Encoder board, 48 inputs and 2 turning axes, 24 × 16 mm, and much too thirsty",
        kind="encoder",
        mount="under",
        source="Invented for demonstration.",
        cutouts=(),
        fixing=GlueEntry(type="glue"),
        body=RectangleBody(shape="rectangle", width=24, height=16, depth=10),
        encoder=EncoderEntry(inputs=48, turnings=2, grounds=4, supplies=2, connection="pin", current=600),
    )


def _cap() -> PartEntry:
    return PartEntry(
        id="blanking-cap-24",
        name="Blanking cap, 24 mm hole, pushed in",
        kind="socket",
        source="Invented for demonstration.",
        cutouts=(CircleCutout(shape="circle", diameter=24, smallest=23.9, largest=24.1),),
        flange=CircleFlange(shape="circle", diameter=22, rise=2),
        fixing=SnapEntry(type="snap", grip_min=10, grip_max=25),
        body=CircleBody(shape="circle", diameter=21, depth=16),
    )


if __name__ == "__main__":
    main()
