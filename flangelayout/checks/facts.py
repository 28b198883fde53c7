"""What each check found beside its value and its limit, as values; the words are made by ``views.words.findings``."""

from enum import Enum

from msgspec import Struct

from flangelayout.checks.cut_facts import (
    BoreThere,
    CornersRounded,
    CutHoles,
    DrillDepth,
    KerfInGap,
    KerfTaken,
    LeadsDrawn,
    LeadsLeftOff,
    Overcut,
    PaperCannotHold,
    ProgramLeftOut,
    Signs,
    TabsLeft,
)
from flangelayout.checks.joint_facts import JointFacts, Recess
from flangelayout.checks.limits import Limit, Wrench
from flangelayout.flange.origin import Figure
from flangelayout.flange.turning import PlateFace
from flangelayout.units import Unit


class BoreInPlate(Struct, frozen=True):
    """The bore against the outside diameter of a round plate."""


class FaceAgainst(Enum):
    """What a raised face is held against."""

    OUTSIDE = "outside"
    BORE = "bore"
    EDGE = "edge"


class FaceOnPlate(Struct, frozen=True):
    """A raised face against the plate it stands on; ``diameter`` in mm."""

    against: FaceAgainst
    diameter: float


class CircleOnPlate(Struct, frozen=True):
    """A bolt circle against the outside diameter of a round plate."""


class HolesOfCircle(Struct, frozen=True):
    """Neighbors on one bolt circle: the value is the metal between them.

    Attributes:
        hole_count: On the circle.
        hole_diameter: In mm.
        diameter: Of the circle in mm.
        chord: Least distance between two centers in mm.
    """

    hole_count: int
    hole_diameter: float
    diameter: float
    chord: float


class TwoHoles(Struct, frozen=True):
    """Two holes: the value is the metal between them; sizes and distance of their centers in mm."""

    one: float
    other: float
    apart: float


class HoleOnPlate(Struct, frozen=True):
    """A hole of ``diameter`` mm against the edge of the plate."""

    diameter: float


class HoleByOpening(Struct, frozen=True):
    """A hole of ``diameter`` mm against an opening; ``bore`` is the diameter of a round one."""

    diameter: float
    bore: float | None


class OpeningOnPlate(Struct, frozen=True):
    """An opening against the edge of the plate."""


class OpeningsMeet(Struct, frozen=True):
    """An opening against ``other``, counted as the plate counts them."""

    other: int


class RecessDepth(Struct, frozen=True):
    """A recess, or a blind thread, of ``depth`` mm in a plate of ``thickness`` mm."""

    recess: Recess
    depth: float
    thickness: float


class RecessesMeet(Struct, frozen=True):
    """The recesses of two holes."""

    recess: Recess


class Edge(Enum):
    """What something may break out over."""

    PLATE = "plate"
    OPENING = "opening"
    FACE = "face"


class RecessBreaksOut(Struct, frozen=True):
    """A recess ``wide`` mm across against the edge of the plate or of an opening."""

    recess: Recess
    wide: float
    over: Edge


class FaceEdgeCut(Struct, frozen=True):
    """What a hole takes out against the edge of a raised face of ``face`` mm; ``recess`` where that is the widest."""

    face: float
    recess: Recess | None


class Metal(Struct, frozen=True):
    """Metal between two holes, or from one to an edge; ``count`` places fall short alike."""

    count: int = 1


class SeatPart(Enum):
    """What bears on the plate."""

    NUT = "nut"
    WASHER = "washer"
    SPOTFACE = "spotface"


class Seat(Struct, frozen=True):
    """What bears on the plate round every hole of a bolt circle: ``diameter`` in mm, ``bolt`` as written."""

    part: SeatPart
    diameter: float
    bolt: str


class SeatOver(Enum):
    """What a seat may run over."""

    EDGE = "edge"
    OPENING = "opening"
    HUB = "hub"
    HUB_AND_WELD = "hub and weld"
    RAISED_FACE = "raised face"
    HOLE = "hole"
    NEXT = "next"
    OTHER_CIRCLE = "other circle"


class SeatRoom(Struct, frozen=True):
    """A seat against what lies beside it: the value is what is left, the least of ``count`` that run over holes."""

    seat: Seat
    over: SeatOver
    count: int = 1


class TurnTo(Enum):
    """What a wrench is turned beside."""

    BOLT = "bolt"
    HUB = "hub"
    MATE = "mate on that face"


class Turning(Struct, frozen=True):
    """Room to turn a nut."""

    tool: Wrench
    bolt: str
    to: TurnTo


class BoltsApart(Struct, frozen=True):
    """The greatest distance between neighboring bolts."""


class ThreadDepth(Struct, frozen=True):
    """Depth of full thread."""

    thread: str


class ThreadBottom(Struct, frozen=True):
    """Metal left below the run-out and the drill point."""

    thread: str


class Shortage(Enum):
    """What two bolt circles leave too little of."""

    METAL = "metal"
    SEAT_A = "seat of the first"
    SEAT_B = "seat of the second"


class Clocked(Struct, frozen=True):
    """Two bolt circles as they are turned to each other, by index, and the turn that leaves the most.

    Attributes:
        group_a: The first circle.
        group_b: The second, which is turned.
        short: What the value measures.
        start_angle: What the second circle's would be at the best turn, in degrees.
        best_turn: By how much it is turned for that.
        best_angle: Least angle from hole to hole then.
        best_metal: Metal left then, in mm.
        hopeless: What is short even then; ``None`` where that turn is a cure.
        hopeless_value: How much is left then, in mm.
    """

    group_a: int
    group_b: int
    short: Shortage
    start_angle: float
    best_turn: float
    best_angle: float
    best_metal: float
    hopeless: Shortage | None
    hopeless_value: float
    limit: Limit


class Placed(Struct, frozen=True):
    """How an equally spaced bolt circle stands to the centerlines; its own numbers say it."""


class BoltName(Struct, frozen=True):
    """A bolt as written."""

    bolt: str


class BoltHole(Struct, frozen=True):
    """A bolt in its hole, in mm; ``medium`` is the published medium clearance hole, where there is one."""

    bolt: str
    diameter: float
    medium: float | None
    medium_source: str


class HoleCover(Struct, frozen=True):
    """How far a hole is covered: the bolt, and its nut across flats in mm, where a table has it."""

    bolt: str
    nut_flats: float | None


class AsStandard(Struct, frozen=True):
    """One figure against the row that the drilling names; ``meant`` where the job says that it is to differ."""

    figure: Figure
    designation: str
    meant: bool = False


class RowNote(Struct, frozen=True):
    """What the published row that a drilling names asks one to look out for."""

    designation: str
    note: str


class MateBolts(Struct, frozen=True):
    """The bolts through this circle and its mate: the value is how many mm farther apart the tightest's holes may lie.

    Attributes:
        designation: Of the mate.
        bolt: As written.
        unmatched: Holes of either without a partner.
        circle: Bolt circle here.
        mate_circle: Bolt circle of the mate.
        hole_count: Holes here.
        mate_count: Holes of the mate.
        thread: Of the mate's holes where the bolt is of another size and does not screw in; empty else.
        are_both_tapped: Whether the holes here and the mate's have threads: nothing is clamped.
    """

    designation: str
    bolt: str
    unmatched: int
    circle: float
    mate_circle: float
    hole_count: int
    mate_count: int
    thread: str = ""
    are_both_tapped: bool = False


class MateRim(Struct, frozen=True):
    """Heads or nuts of one circle against the rim of the mate that sits on ``face`` on another, ``mate_group``."""

    designation: str
    mate_group: int
    outside_diameter: float
    seat: Seat
    face: PlateFace


class MateSpigot(Struct, frozen=True):
    """The bore, or a recess, against a mate's spigot of ``spigot`` mm."""

    designation: str
    spigot: float


class Heavy(Struct, frozen=True):
    """A plate, or each part of one, of ``mass`` kg, above the ``limit`` in kg that is lifted by hand.

    Attributes:
        pieces: How many parts the plate is made in.
        is_stated: Whether the limit is the shop's own, not the usual one.
        has_lifting_holes: Whether it has holes to be lifted by.
    """

    mass: float
    limit: float
    pieces: int
    is_stated: bool
    has_lifting_holes: bool


class MatePart(Enum):
    """What of a mate a nut or a head is held against on the mate's own other side."""

    EDGE = "edge"
    HUB = "hub"


class MateRoom(Struct, frozen=True):
    """A nut or head on the other side of a mate, against its edge or its hub of ``size`` mm."""

    called: str
    part: MatePart
    size: float
    seat: Seat


class SeatByWall(Struct, frozen=True):
    """A seat against the wall of something turned on the face it bears on, ``diameter`` mm across."""

    seat: Seat
    diameter: float


class Sized(Enum):
    """What a usual size is asked about."""

    PLATE = "plate"
    THICKNESS = "thickness"
    HOLE = "hole"


class UsualSize(Struct, frozen=True):
    """A size that may be in the wrong unit."""

    what: Sized


class FractionOfMm(Struct, frozen=True):
    """A length written as a fraction of a millimeter, without a unit."""

    written: str


class BlockLineIdle(Struct, frozen=True):
    """A line of the shop's own block for so many decimals, with which no size is written."""

    places: int


class BlockLineMissing(Struct, frozen=True):
    """Sizes in mm with the decimals of inches that they are written with, for which the block has no line."""

    sizes: tuple[tuple[float, int], ...]


class FitsOtherUnit(Struct, frozen=True):
    """A circle of ``hole_count`` on ``diameter`` mm whose number is, in the unit ``other``, a published one's."""

    hole_count: int
    diameter: float
    other: Unit
    designation: str


class ReadAgain(Struct, frozen=True):
    """A written circle against what the job's readings say; ``band`` is theirs, plus and minus in mm."""

    band: float


class ReadingsFixNothing(Struct, frozen=True):
    """Readings of a job that fix no circle."""


class PickedAmong(Struct, frozen=True):
    """A row named although the job's readings fit ``others`` as well, each by one of its names."""

    designation: str
    others: tuple[str, ...]


Facts = (
    JointFacts
    | BoreInPlate
    | FaceOnPlate
    | CircleOnPlate
    | HolesOfCircle
    | TwoHoles
    | HoleOnPlate
    | HoleByOpening
    | OpeningOnPlate
    | OpeningsMeet
    | RecessDepth
    | RecessesMeet
    | RecessBreaksOut
    | FaceEdgeCut
    | Metal
    | SeatRoom
    | Turning
    | BoltsApart
    | ThreadDepth
    | ThreadBottom
    | Clocked
    | Placed
    | Signs
    | BoreThere
    | CutHoles
    | KerfTaken
    | KerfInGap
    | CornersRounded
    | LeadsDrawn
    | LeadsLeftOff
    | Overcut
    | TabsLeft
    | PaperCannotHold
    | ProgramLeftOut
    | BoltName
    | BoltHole
    | HoleCover
    | AsStandard
    | RowNote
    | MateBolts
    | MateRim
    | MateSpigot
    | Heavy
    | MateRoom
    | SeatByWall
    | UsualSize
    | FractionOfMm
    | FitsOtherUnit
    | BlockLineIdle
    | BlockLineMissing
    | DrillDepth
    | ReadAgain
    | ReadingsFixNothing
    | PickedAmong
)
"""One class for each kind of thing that a check says."""
