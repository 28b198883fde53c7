"""What the shop checks hold a plate against: published limits, common practice, or what a job or shop sets."""

from dataclasses import dataclass
from enum import Enum


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


@dataclass(frozen=True, slots=True)
class Limit:
    """A length in mm, or a multiple, and who sets it: a published source, ``common practice``, the job, the shop."""

    value: float
    source: str


@dataclass(frozen=True, slots=True)
class HoleShare:
    """A least metal as a share of a hole's diameter, where nobody sets a length."""

    share: float
    source: str

    def limit(self, diameter: float) -> Limit:
        """The least metal beside a hole of that diameter."""
        return Limit(self.share * diameter, f"{self.share:g} x hole, {self.source}")


BETWEEN_BOLT_HOLES = HoleShare(0.5, "common practice; published pipe flanges leave 0.75 or more")
BETWEEN_TUBE_HOLES = HoleShare(0.2, "common practice, after the TEMA tube pitch of 1.25 x tube, from memory")
TO_AN_EDGE = HoleShare(0.25, "common practice; published pipe flanges leave 0.32 or more")
ENGAGEMENT = Limit(1.0, "common practice for steel; cast iron and aluminum want 1.5")


@dataclass(frozen=True, slots=True)
class CheckLimits:
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
        off: Rules that are left out, by name.
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
    off: tuple[str, ...] = ()


USUAL_LIMITS = CheckLimits()
