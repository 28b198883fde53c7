"""What every hole of a group is: one record, carried by bolt circles, patterns and single holes alike."""

import math
from enum import Enum

from msgspec import Struct

from flangelayout.errors import GeometryError
from flangelayout.facts import Length
from flangelayout.flange.hole import DRILLED, HoleKind, check_kind, has_face
from flangelayout.flange.origin import LookedUp
from flangelayout.flange.turning import PlateFace
from flangelayout.problems.flange import FlangeProblem


class Fastener(Enum):
    """What goes through a hole: a bolt with a head and one nut, a stud with two nuts, or nothing that is ordered."""

    BOLT = "bolt"
    STUD = "stud"
    NONE = "none"


class Tightening(Struct, frozen=True):
    """Everything that a torque takes, as a job states it.

    Attributes:
        bolt_class: Strength class.
        nut_factor: K of the formula T = K F d.
        lubrication: What the nut factor is for, in words.
        bolt_load: Share of the proof load.
    """

    bolt_class: str
    nut_factor: float
    lubrication: str
    bolt_load: float


class Joint(Struct, frozen=True):
    """A bolted joint.

    Attributes:
        mate_thickness: Of the part on the other side, in mm; ``None`` if not stated.
        gasket_thickness: In mm; ``None`` if not stated.
        fastener: What goes through the holes.
        washers: For each bolt, 0 to 2.
        bolts_with: The part in whose bill its bolts are; empty where they are in its own.
        tightening: How tight, where the job states all of it.
    """

    mate_thickness: float | None = None
    gasket_thickness: float | None = None
    fastener: Fastener = Fastener.BOLT
    washers: int = 2
    bolts_with: str = ""
    tightening: Tightening | None = None


class Drilling(Struct, frozen=True):
    """The holes of one group.

    Attributes:
        diameter: What is drilled, in mm, > 0: the tap drill of a thread, the width of a slot.
        kind: What is made of every hole.
        name: What the shop calls the group.
        bolt: Bolt that goes through, as written.
        mates_with: The part and face it bolts to.
        looked_up: Its sizes that were taken from published tables.
        joint: What it is bolted up with.
        key: The table of the job that asks for the group, as in ``bolt_circle[2]``; empty outside a job, where
            the flange counts the groups by kind.
        worked_from: The face that its recess, seat or thread is made from.
        is_lifting: Whether the plate is to be lifted by them.

    Raises:
        GeometryError: If the diameter is no size, or contradicts the kind.
    """

    diameter: float
    kind: HoleKind = DRILLED
    name: str = ""
    bolt: str = ""
    mates_with: str = ""
    looked_up: tuple[LookedUp, ...] = ()
    joint: Joint = Joint()
    key: str = ""
    worked_from: PlateFace = PlateFace.FACE
    is_lifting: bool = False

    def __post_init__(self) -> None:
        """Refuse what makes no hole."""
        if not (math.isfinite(self.diameter) and self.diameter > 0):
            raise GeometryError.of(FlangeProblem.HOLE_NOT_WIDER_THAN_ZERO, diameter=Length(self.diameter))
        check_kind(self.kind, self.diameter)

    @property
    def made_from(self) -> PlateFace:
        """The face that the tool comes from; the one the plate is drawn from where either serves."""
        return self.worked_from if has_face(self.kind) else PlateFace.FACE
