"""What the shop checks hold a plate against: published limits, common practice, or what a job or shop sets."""

from enum import Enum

from msgspec import Struct

from flangelayout.checks.rule import Rule
from flangelayout.standards import PublishedTable


class Wrench(Enum):
    """What the nuts are turned with."""

    OPEN_END = "open-end"
    SOCKET = "socket"
    NONE = "none"


class NutSide(Enum):
    """Where the nuts or heads bear on the plate: behind it, on the face it is seen from, or on both."""

    BACK = "back"
    FACE = "face"
    BOTH = "both"

    @property
    def on_face(self) -> bool:
        """Whether any bears on the face the plate is seen from, where a raised face stands."""
        return self is not NutSide.BACK


class Ground(Enum):
    """What a limit stands on where no table has it; what each is drawn from is said where it is put in words."""

    GEOMETRY = "geometry"
    STATED = "stated"
    BOLT_HOLES = "bolt holes"
    TUBE_HOLES = "tube holes"
    EDGE = "edge"
    ENGAGEMENT = "engagement"
    PIPE_THREAD = "pipe thread"
    METAL_BELOW = "metal below"
    HEAD_FLOOR = "head floor"
    HOLE_ROOM = "hole room"
    PLATE_STOCK = "plate stock"
    BOLT_RANGE = "bolt range"
    BREAKTHROUGH = "breakthrough"
    FACE_TABLES = "face tables"
    READINGS = "readings"


class Published(Struct, frozen=True):
    """A published source, as it is cited: the standard, its table, how far to trust it."""

    citation: str


Source = Ground | Published
"""Who sets a limit."""


class Base(Enum):
    """What a limit is a share of."""

    HOLE = "hole"
    DIAMETER = "diameter"
    THICKNESS = "thickness"


class Limit(Struct, frozen=True):
    """A length in mm, a count or a multiple, and who sets it; ``share`` of ``base`` where that makes it."""

    value: float
    source: Source
    share: float | None = None
    base: Base | None = None


class HoleShare(Struct, frozen=True):
    """A least metal as a share of a hole's diameter, where nobody sets a length."""

    share: float
    source: Source

    def limit(self, diameter: float) -> Limit:
        """The least metal beside a hole of that diameter."""
        return Limit(self.share * diameter, self.source, self.share, Base.HOLE)


GEOMETRY = Limit(0.0, Ground.GEOMETRY)
"""Nothing may be less than nothing."""
BETWEEN_BOLT_HOLES = HoleShare(0.5, Ground.BOLT_HOLES)
BETWEEN_TUBE_HOLES = HoleShare(0.2, Ground.TUBE_HOLES)
TO_AN_EDGE = HoleShare(0.25, Ground.EDGE)
ENGAGEMENT = Limit(1.0, Ground.ENGAGEMENT)


class CheckLimits(Struct, frozen=True):
    """Limits and facts of the shop checks; ``None`` where the usual ones hold.

    Attributes:
        ligament: Least metal between two holes.
        edge: Least metal from a hole to the plate's outer edge.
        bore: Least metal from a hole to the bore or another opening.
        hub_diameter: Of the hub or pipe that stands on the side of the nuts, in mm.
        weld: Leg of the fillet weld round it, in mm.
        wrench: What the nuts are turned with.
        nuts_on: Where they bear.
        washers: Whether washers stand under them.
        gasket_factor: Factor m of the gasket, for the greatest bolt spacing.
        bolt_spacing: Greatest distance between neighboring bolts.
        thread_engagement: Least full thread as a multiple of the thread's diameter.
        hand_lift: The most in kg that the shop lifts by hand; what is usual where it does not say.
        off: Rules that are left out.
        own: The shop's own patterns, by which a mate is looked up beside the published rows.
    """

    ligament: Limit | None = None
    edge: Limit | None = None
    bore: Limit | None = None
    hub_diameter: float | None = None
    weld: float = 0.0
    wrench: Wrench = Wrench.OPEN_END
    nuts_on: NutSide = NutSide.BACK
    washers: bool = False
    gasket_factor: float | None = None
    bolt_spacing: Limit | None = None
    thread_engagement: Limit = ENGAGEMENT
    hand_lift: float | None = None
    off: tuple[Rule, ...] = ()
    own: tuple[PublishedTable, ...] = ()


USUAL_LIMITS = CheckLimits()
