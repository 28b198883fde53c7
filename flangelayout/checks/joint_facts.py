"""What the checks of what is turned, and of the mates of a plate, say beside value and limit, as values."""

from enum import Enum

from msgspec import Struct

from flangelayout.flange.joints.derived import Parent
from flangelayout.flange.turning import PlateFace
from flangelayout.units import Unit


class Recess(Enum):
    """What is made of a hole beside drilling it right through."""

    COUNTERBORE = "counterbore"
    COUNTERSINK = "countersink"
    SPOTFACE = "spotface"
    THREAD = "thread"


class TurnedAgainst(Enum):
    """What something turned must lie inside of, or stand out beyond."""

    EDGE = "edge"
    BORE = "bore"


class TurnedOnPlate(Struct, frozen=True):
    """Something turned, by its index among all that is, against the plate's edge or its bore."""

    turned: int
    against: TurnedAgainst


class TurnedFloor(Struct, frozen=True):
    """The least metal that what is turned on both faces leaves, between two diameters in mm.

    Attributes:
        inner: Where the ring of least metal begins.
        outer: Where it ends; infinite at the edge of the plate.
    """

    inner: float
    outer: float


class WallCut(Struct, frozen=True):
    """A hole against the wall of something turned, by its index; ``recess`` where that is widest on its face."""

    turned: int
    recess: Recess | None


class LeftToMachine(Struct, frozen=True):
    """Everything turned on the faces of the plate, which no cut makes."""


class DerivedFrom(Struct, frozen=True):
    """The part that this one was derived from, as it was then."""

    parent: Parent


class SpigotDepth(Struct, frozen=True):
    """How deep the plate lies below the face of a mate, for its spigot: the limit is the spigot's height."""

    called: str


class SpigotInMate(Struct, frozen=True):
    """A spigot of the plate, by its index, against the bore of a mate of ``bore`` mm."""

    called: str
    turned: int
    bore: float


class MatesMeet(Struct, frozen=True):
    """What is left between the spigots of the mates on both faces."""

    one: str
    other: str


class HeadSunk(Struct, frozen=True):
    """A counterbore against the height of the head in it, where a mate lies on its face."""

    called: str
    bolt: str


class WorkedFace(Struct, frozen=True):
    """A recess, a seat or a blind thread that opens at ``face``, where the mate lies on ``mate_face``."""

    recess: Recess
    face: PlateFace
    called: str
    mate_face: PlateFace


class ThreadOpens(Struct, frozen=True):
    """Threads right through that open at ``face``, inside the bolt circle of the mate that is sealed there."""

    thread: str
    face: PlateFace
    called: str


class LengthAssumed(Struct, frozen=True):
    """A bolt whose length takes a mate to be as thick as the plate.

    Attributes:
        name: Thread or size.
        length: That is ordered for it, in mm.
        unit: Of the bolt.
        thickness: That is assumed, in mm.
        least: The thinnest mate in mm under which the screw ends inside its thread; ``None`` for what takes a nut.
    """

    name: str
    length: float
    unit: Unit
    thickness: float
    least: float | None


class ScrewEnd(Struct, frozen=True):
    """The end of a screw against the bottom of its thread, or against the far face where ``comes_out``."""

    name: str
    length: float
    comes_out: bool


JointFacts = (
    DerivedFrom
    | HeadSunk
    | LeftToMachine
    | LengthAssumed
    | MatesMeet
    | ScrewEnd
    | SpigotDepth
    | SpigotInMate
    | ThreadOpens
    | TurnedFloor
    | TurnedOnPlate
    | WallCut
    | WorkedFace
)
"""One class for each kind of thing that the checks of what is turned and of the mates say."""
