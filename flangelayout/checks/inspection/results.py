"""What an inspection is given and what it finds; lengths in mm."""

import math
from collections.abc import Iterable
from enum import Enum

from msgspec import Struct

from flangelayout.checks.fitting.minimax import Freedom, Placing
from flangelayout.checks.inspection.rework import PASSES
from flangelayout.checks.inspection.tolerances import Allowed
from flangelayout.flange import Hole
from flangelayout.geometry.shapes import Point


class PartVerdict(Enum):
    """Whether the part keeps what is stated."""

    PASS = "part passes"
    USABLE = "holes good to use"
    OPEN = "not all was measured"
    FAIL = "part does not pass"
    UNJUDGED = "no tolerance is stated to judge the part by"


class OtherSize(Enum):
    """A size with limits of its own that is judged by no reading; a bore is by one, not by places of holes."""

    OUTSIDE = "outside"
    SIDES = "sides of the plate"
    OUTLINE = "outline of the plate"
    BORE = "bore"
    INSIDE = "inside"
    THICKNESS = "thickness"
    SLOTS = "length of slots"
    SEATS = "seats of holes"
    OPENINGS = "openings"
    TURNED = "what is turned"
    BLOCK = "sizes that the block of the drawing names"
    HOLES = "width of holes, of which nothing is stated"
    TO_BORE = "place of holes to the bore, of which nothing is stated"
    SPACING = "spacing of holes along a circle, of which nothing is stated"

    @property
    def is_known(self) -> bool:
        """Whether its limits can be told, not by the drawing's owner alone."""
        return self not in (OtherSize.BLOCK, OtherSize.HOLES, OtherSize.SPACING, OtherSize.TO_BORE)

    @property
    def is_on_card(self) -> bool:
        """Whether a check card asks for it."""
        return self.is_known and self is not OtherSize.OUTLINE


class MeasuredHole(Struct, frozen=True):
    """A hole as measured: its label if it was written, its center in mm, its diameter if it was measured."""

    center: Point
    label: str = ""
    diameter: float | None = None


class HoleResult(Struct, frozen=True):
    """One measured hole.

    Attributes:
        hole: As drawn.
        measured: As measured.
        deviation: From its place on the drawing at the best fit, in mm, along the drawing's x and y.
        zone: Diameter of the zone without any bonus; ``None`` where none is stated.
        bonus: What its size adds to the zone at maximum material; 0 where its size was not measured.
        with_bonus: Whether the bonus counts.
        size_fits: Whether its diameter keeps what is stated; ``None`` where it is not judged.
    """

    hole: Hole
    measured: MeasuredHole
    deviation: Point
    zone: Allowed | None
    bonus: float
    with_bonus: bool
    size_fits: bool | None

    @property
    def radial(self) -> float:
        """Distance from its place in mm."""
        return math.hypot(self.deviation.x, self.deviation.y)

    @property
    def position(self) -> float:
        """True position: the diameter of the zone it would just lie in (ISO 1101, ASME Y14.5)."""
        return 2 * self.radial

    @property
    def allowed(self) -> float | None:
        """The zone it must lie in, in mm."""
        return None if self.zone is None else self.zone.value + (self.bonus if self.with_bonus else 0.0)

    @property
    def passed(self) -> bool | None:
        """Whether place and size keep what is stated; ``None`` where nothing is."""
        place = None if self.allowed is None else self.position <= self.allowed + 2 * PASSES
        stated = [each for each in (place, self.size_fits) if each is not None]
        return all(stated) if stated else None


def common_ends(failing: Iterable[frozenset[str]]) -> frozenset[str]:
    """The hole at which all of several lengths end; empty where they have none in common, or are but one."""
    different = set(failing)
    return frozenset.intersection(*different) if len(different) > 1 else frozenset()


class SizeResult(Struct, frozen=True):
    """A measured length against the drawing, in mm; ``ends`` are the holes that it lies between."""

    what: str
    nominal: float
    measured: float
    tolerance: Allowed | None
    ends: frozenset[str] = frozenset()

    @property
    def deviation(self) -> float:
        """Measured less nominal."""
        return self.measured - self.nominal

    @property
    def passed(self) -> bool | None:
        """Whether it keeps its tolerance; ``None`` where none is stated."""
        return None if self.tolerance is None else abs(self.deviation) <= self.tolerance.value + PASSES


class PlateSize(Struct, frozen=True):
    """A diameter of the plate as measured, in mm, between its limits, which are infinite where nothing is stated."""

    what: OtherSize
    measured: float
    least: float
    most: float
    source: str

    @property
    def passed(self) -> bool:
        """Whether it lies within its limits."""
        return self.least - PASSES <= self.measured <= self.most + PASSES


class Rework(Struct, frozen=True):
    """What makes one hole pass: opening it all round, or making a slot of it toward one side.

    Attributes:
        label: The hole.
        open_to: Diameter in mm.
        slot_by: How much longer than round it becomes, in mm; ``None`` where the bolt does not enter it as it is.
        direction_deg: Which way the slot runs from the hole, on the drawing.
    """

    label: str
    open_to: float
    slot_by: float | None
    direction_deg: float


class Way(Enum):
    """What is done to a hole that its bolt does not pass, the least harmful first."""

    SLOT = "slot"
    DRILL = "drill"
    SMALLER_BOLT = "smaller bolt"
    BOTH_LARGER = "both parts larger"
    REDRILL = "plug and redrill"


class BoltSeat(Enum):
    """What carries nut and head then."""

    COVERED = "covered"
    PLATE_WASHER = "plate washer"
    NONE = "none"


class Mending(Struct, frozen=True):
    """One way to mend one hole; lengths in mm.

    Attributes:
        label: The hole.
        way: What is done.
        size: How wide, or as a slot how long over all, the hole is then.
        bolt: The bolt that goes through then.
        seat: What carries nut and head then.
        metal: Least metal left to the next hole, the edge or an opening, where it is scarcest for what is wanted.
        needed: What is wanted there (see `checks.limits`).
    """

    label: str
    way: Way
    size: float
    bolt: str
    seat: BoltSeat
    metal: float
    needed: float

    @property
    def is_sound(self) -> bool:
        """Whether it leaves enough metal and a seat."""
        return self.seat is not BoltSeat.NONE and self.metal >= self.needed - PASSES


class MateResult(Struct, frozen=True):
    """Whether the bolts of one group pass the part it bolts to, and what is to be done where not.

    Attributes:
        group: Index of the group.
        bolt: As written.
        mate: What the part is held against, in words.
        room: Radial room of the tightest bolt in mm, negative where it does not pass.
        rework: The holes to open; empty where all pass, or where the mate's own holes are smaller than the bolt.
        ways: What a shop can do to each of them, hole by hole, the least harmful first.
        is_whole: Whether all holes of the group were measured.
    """

    group: int
    bolt: str
    mate: str
    room: float
    rework: tuple[Rework, ...]
    ways: tuple[Mending, ...] = ()
    is_whole: bool = True

    @property
    def passed(self) -> bool:
        """Whether a bolt goes through every hole."""
        return not self.rework and self.room >= -PASSES


class LeftOpen(Struct, frozen=True):
    """What measured places leave open.

    Attributes:
        holes: Those that were not measured.
        widths: Those whose width has limits and was not measured.
        apart: Those that no limit ties to most of the others.
        unlimited: Those whose width was measured and has no limits.
        threaded: Those with threads, which are left to a gauge.
        sizes: What else has limits.
        is_stated: Whether the drawing limits anything at all.
        has_card: Whether the plate has a check card: it has patterns of holes.
    """

    holes: tuple[Hole, ...] = ()
    widths: tuple[Hole, ...] = ()
    apart: tuple[Hole, ...] = ()
    unlimited: tuple[Hole, ...] = ()
    threaded: tuple[Hole, ...] = ()
    sizes: tuple[OtherSize, ...] = ()
    is_stated: bool = False
    has_card: bool = True


class Inspection(Struct, frozen=True):
    """A finished part against its drawing.

    Attributes:
        placing: How the part lies in the measured coordinates: the drawing turned and shifted, at the fit
            the verdict is given at: the least greatest excess over the zones or, where that fails, the fewest
            failing holes.
        squares: The same by least squares.
        rms: Root mean square of the distances at the least-squares fit, in mm.
        freedom: Whether the shift was fitted or fixed by the datum bore.
        holes: In the drawing's order.
        circles: Bolt circles.
        chords: Between centers: neighbors of circles, where any two are limited also those across, and others that
            fail; off the circles what a check card lists.
        mates: One for each group whose bolt is known.
        passes_plain: Whether all zones hold without the bonus, at the best fit for that; ``None`` if none is stated.
        passes_bonus: The same with the bonus.
        eccentricity: From the datum bore to the middle of each bolt circle in mm; empty without a measured bore.
        plate_sizes: Those that were measured and have limits.
        is_mirrored: Whether the holes lie as the mirror image of the drawing.
        left: What is not judged.
    """

    placing: Placing
    squares: Placing
    rms: float
    freedom: Freedom
    holes: tuple[HoleResult, ...]
    circles: tuple[SizeResult, ...]
    chords: tuple[SizeResult, ...]
    mates: tuple[MateResult, ...]
    passes_plain: bool | None
    passes_bonus: bool | None
    eccentricity: tuple[tuple[str, float], ...] = ()
    plate_sizes: tuple[PlateSize, ...] = ()
    is_mirrored: bool = False
    left: LeftOpen = LeftOpen()

    @property
    def suspects(self) -> frozenset[str]:
        """The holes at which every length between holes that fails ends, where more than one fails."""
        return common_ends(size.ends for size in self.chords if size.passed is False)

    @property
    def are_bolts_stopped(self) -> bool:
        """Whether some of the bolts that were tried do not pass."""
        return not all(mate.passed for mate in self.mates)

    @property
    def answers(self) -> tuple[bool, ...]:
        """Whether each length and hole that was measured and has limits keeps them."""
        found = [hole.passed for hole in self.holes] + [size.passed for size in (*self.circles, *self.chords)]
        return tuple(each for each in (*found, *(size.passed for size in self.plate_sizes)) if each is not None)

    @property
    def verdict(self) -> PartVerdict:
        """Whether everything that is stated holds; pass only where nothing of it was left unmeasured."""
        answers, left = self.answers, self.left
        if not (answers or left.is_stated or self.is_mirrored):
            return PartVerdict.UNJUDGED
        if not all(answers) or self.is_mirrored:
            return PartVerdict.FAIL
        if left.holes or left.widths or not answers or not all(each.is_known for each in left.sizes):
            return PartVerdict.OPEN
        return PartVerdict.USABLE if left.apart or left.unlimited or left.sizes else PartVerdict.PASS
