"""What each check found beside its value and its limit, as values; the words are made by ``views.words.findings``."""

from dataclasses import dataclass
from enum import Enum

from flangelayout.checks.cut_facts import (
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


@dataclass(frozen=True, slots=True)
class BoreInPlate:
    """The bore against the outside diameter of a round plate."""


class FaceAgainst(Enum):
    """What a raised face is held against."""

    OUTSIDE = "outside"
    BORE = "bore"
    EDGE = "edge"


@dataclass(frozen=True, slots=True)
class FaceOnPlate:
    """A raised face against the plate it stands on; ``diameter`` in mm."""

    against: FaceAgainst
    diameter: float


@dataclass(frozen=True, slots=True)
class CircleOnPlate:
    """A bolt circle against the outside diameter of a round plate."""


@dataclass(frozen=True, slots=True)
class HolesOfCircle:
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


@dataclass(frozen=True, slots=True)
class TwoHoles:
    """Two holes: the value is the metal between them; sizes and distance of their centers in mm."""

    one: float
    other: float
    apart: float


@dataclass(frozen=True, slots=True)
class HoleOnPlate:
    """A hole of ``diameter`` mm against the edge of the plate."""

    diameter: float


@dataclass(frozen=True, slots=True)
class HoleByOpening:
    """A hole of ``diameter`` mm against an opening; ``bore`` is the diameter of a round one."""

    diameter: float
    bore: float | None


@dataclass(frozen=True, slots=True)
class OpeningOnPlate:
    """An opening against the edge of the plate."""


@dataclass(frozen=True, slots=True)
class OpeningsMeet:
    """An opening against ``other``, counted as the plate counts them."""

    other: int


@dataclass(frozen=True, slots=True)
class RecessDepth:
    """A recess, or a blind thread, of ``depth`` mm in a plate of ``thickness`` mm."""

    recess: Recess
    depth: float
    thickness: float


@dataclass(frozen=True, slots=True)
class RecessesMeet:
    """The recesses of two holes."""

    recess: Recess


class Edge(Enum):
    """What something may break out over."""

    PLATE = "plate"
    OPENING = "opening"
    FACE = "face"


@dataclass(frozen=True, slots=True)
class RecessBreaksOut:
    """A recess ``wide`` mm across against the edge of the plate or of an opening."""

    recess: Recess
    wide: float
    over: Edge


@dataclass(frozen=True, slots=True)
class FaceEdgeCut:
    """What a hole takes out against the edge of a raised face of ``face`` mm; ``recess`` where that is the widest."""

    face: float
    recess: Recess | None


@dataclass(frozen=True, slots=True)
class Metal:
    """Metal between two holes, or from one to an edge; ``count`` places fall short alike."""

    count: int = 1


class SeatPart(Enum):
    """What bears on the plate."""

    NUT = "nut"
    WASHER = "washer"
    SPOTFACE = "spotface"


@dataclass(frozen=True, slots=True)
class Seat:
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


@dataclass(frozen=True, slots=True)
class SeatRoom:
    """A seat against what lies beside it: the value is what is left."""

    seat: Seat
    over: SeatOver


class TurnTo(Enum):
    """What a wrench is turned beside."""

    BOLT = "bolt"
    HUB = "hub"
    MATE = "mate on that face"


@dataclass(frozen=True, slots=True)
class Turning:
    """Room to turn a nut."""

    tool: Wrench
    bolt: str
    to: TurnTo


@dataclass(frozen=True, slots=True)
class BoltsApart:
    """The greatest distance between neighboring bolts."""


@dataclass(frozen=True, slots=True)
class ThreadDepth:
    """Depth of full thread."""

    thread: str


@dataclass(frozen=True, slots=True)
class ThreadBottom:
    """Metal left below the run-out and the drill point."""

    thread: str


class Shortage(Enum):
    """What two bolt circles leave too little of."""

    METAL = "metal"
    SEAT_A = "seat of the first"
    SEAT_B = "seat of the second"


@dataclass(frozen=True, slots=True)
class Clocked:
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


@dataclass(frozen=True, slots=True)
class Placed:
    """How an equally spaced bolt circle stands to the centerlines; its own numbers say it."""


@dataclass(frozen=True, slots=True)
class BoltName:
    """A bolt as written."""

    bolt: str


@dataclass(frozen=True, slots=True)
class BoltHole:
    """A bolt in its hole, in mm; ``medium`` is the published medium clearance hole, where there is one."""

    bolt: str
    diameter: float
    medium: float | None
    medium_source: str


@dataclass(frozen=True, slots=True)
class HoleCover:
    """How far a hole is covered: the bolt, and its nut across flats in mm, where a table has it."""

    bolt: str
    nut_flats: float | None


@dataclass(frozen=True, slots=True)
class AsStandard:
    """One figure against the row that the drilling names; ``meant`` where the job says that it is to differ."""

    figure: Figure
    designation: str
    meant: bool = False


@dataclass(frozen=True, slots=True)
class RowNote:
    """What the published row that a drilling names asks one to look out for."""

    designation: str
    note: str


@dataclass(frozen=True, slots=True)
class MateBolts:
    """The bolts through this circle and its mate, in mm: the value is the radial room of the tightest.

    Attributes:
        designation: Of the mate.
        bolt: As written.
        unmatched: Holes of either without a partner.
        circle: Bolt circle here.
        mate_circle: Bolt circle of the mate.
        hole_count: Holes here.
        mate_count: Holes of the mate.
    """

    designation: str
    bolt: str
    unmatched: int
    circle: float
    mate_circle: float
    hole_count: int
    mate_count: int


@dataclass(frozen=True, slots=True)
class MateRim:
    """Heads or nuts of one circle against the rim of the mate that sits on ``face`` on another, ``mate_group``."""

    designation: str
    mate_group: int
    outside_diameter: float
    seat: Seat
    face: PlateFace


@dataclass(frozen=True, slots=True)
class MateSpigot:
    """The bore, or a recess, against a mate's spigot of ``spigot`` mm."""

    designation: str
    spigot: float


@dataclass(frozen=True, slots=True)
class Heavy:
    """A plate, or each part of one, of ``mass`` kg, above the ``limit`` in kg that is lifted by hand.

    Attributes:
        is_stated: Whether the limit is the shop's own, not the usual one.
        has_lifting_holes: Whether it has holes to be lifted by.
    """

    mass: float
    limit: float
    is_stated: bool
    has_lifting_holes: bool


class MatePart(Enum):
    """What of a mate a nut or a head is held against on the mate's own other side."""

    EDGE = "edge"
    HUB = "hub"


@dataclass(frozen=True, slots=True)
class MateRoom:
    """A nut or head on the other side of a mate, against its edge or its hub of ``size`` mm."""

    called: str
    part: MatePart
    size: float
    seat: Seat


@dataclass(frozen=True, slots=True)
class SeatByWall:
    """A seat against the wall of something turned on the face it bears on, ``diameter`` mm across."""

    seat: Seat
    diameter: float


class Sized(Enum):
    """What a usual size is asked about."""

    PLATE = "plate"
    THICKNESS = "thickness"
    HOLE = "hole"


@dataclass(frozen=True, slots=True)
class UsualSize:
    """A size that may be in the wrong unit."""

    what: Sized


@dataclass(frozen=True, slots=True)
class FractionOfMm:
    """A length written as a fraction of a millimeter, without a unit."""

    written: str


@dataclass(frozen=True, slots=True)
class FitsOtherUnit:
    """A circle of ``hole_count`` on ``diameter`` mm whose number is, in the unit ``other``, a published one's."""

    hole_count: int
    diameter: float
    other: Unit
    designation: str


@dataclass(frozen=True, slots=True)
class ReadAgain:
    """A written circle against what the job's readings say; ``band`` is theirs, plus and minus in mm."""

    band: float


@dataclass(frozen=True, slots=True)
class ReadingsFixNothing:
    """Readings of a job that fix no circle."""


@dataclass(frozen=True, slots=True)
class PickedAmong:
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
    | DrillDepth
    | ReadAgain
    | ReadingsFixNothing
    | PickedAmong
)
"""One class for each kind of thing that a check says."""
